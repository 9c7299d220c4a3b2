"""Finishing a planting: what grows, the numbers, the guide, and all of it once."""

import datetime as dt
from typing import Any

import pytest

from firm.models import Entry, Message, Person
from jobs.actions.planting import (
    FinishedPlanting,
    NothingPlanted,
    Planted,
    PlantingRowRefused,
    finish_planting_job,
)
from jobs.actions.work import AlreadyFinished, CrewIsNeeded, DayToCome, book_job
from jobs.models import Document, Job, PrivateLink, Visit
from plants.models import Planting
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW
from tests.jobs.work_samples import RIGHT_DAY, PlantingSample, planting_sample

pytestmark = pytest.mark.django_db
AFTER = dt.datetime(2026, 4, 15, 12, 0, tzinfo=dt.UTC)


@pytest.fixture
def sample(owner: Person) -> PlantingSample:
    found = planting_sample()
    factories.ContactFactory(client=found.garden.client)
    return found


def finished(
    sample: PlantingSample,
    owner: Person,
    counts: tuple[int, int] = (12, 3),
    numbers: tuple[int | None, int | None] = (None, None),
    **changes: Any,
) -> FinishedPlanting:
    options: dict[str, Any] = {
        "job_id": sample.job.pk,
        "version": Job.objects.get(pk=sample.job.pk).version,
        "day": RIGHT_DAY,
        "crew_id": sample.crew.pk,
        "planted": [
            Planted(job_plant_id=row.pk, count=count, bed_id=row.bed_id, number=number)
            for row, count, number in zip(sample.rows, counts, numbers, strict=True)
        ],
        "by": owner,
        "now": AFTER,
    }
    return finish_planting_job(**{**options, **changes})


def test_finishing_records_plantings_numbers_and_settles_the_visit(
    sample: PlantingSample, owner: Person
) -> None:
    factories.PlantingFactory(garden=sample.garden, number=7)
    job = book_job(
        job_id=sample.job.pk,
        version=sample.job.version,
        day=RIGHT_DAY,
        crew_id=sample.crew.pk,
        reason="",
        by=owner,
        now=NOW,
    )
    out = finished(sample, owner)
    assert (out.job.state, out.job.day) == ("finished", RIGHT_DAY)
    rows = Planting.objects.filter(origin="planted").order_by("number")
    assert [
        (one.number, one.count, one.plant, one.bed, one.planted_on) for one in rows
    ] == [
        (8, 12, sample.shrub, sample.dry, RIGHT_DAY),
        (9, 3, sample.evergreen, sample.irrigated, RIGHT_DAY),
    ]
    assert {(one.age_known, one.age_years, one.age_on) for one in rows} == {
        ("known", 0, RIGHT_DAY)
    }
    assert [row.planting for row in job.plants.order_by("id")] == list(rows)
    visit = Visit.objects.get(job=job)
    assert (visit.state, visit.day) == ("done", RIGHT_DAY)
    assert [
        (task.state, task.planting) for task in visit.tasks.order_by("position")
    ] == [("left out", None), ("done", rows[0]), ("done", rows[1])]
    # The lines were not said to be marked, so nobody is put down for it.
    assert visit.tasks.get(rule_key="locate-lines").left_out_reason == (
        "Nobody ticked it before the job was finished."
    )


def test_fewer_are_recorded_beside_the_plan_and_none_is_no_planting(
    sample: PlantingSample, owner: Person, owner_client: StrictClient
) -> None:
    finished(sample, owner, counts=(10, 0))
    assert [one.count for one in Planting.objects.all()] == [10]
    first, second = sample.job.plants.order_by("id")
    assert (first.count, first.planting and first.planting.count) == (12, 10)
    assert (second.count, second.planting) == (3, None)
    left = Visit.objects.get().tasks.get(rule_key=f"plant-{second.pk}")
    assert (left.state, left.left_out_reason) == ("left out", "None was planted.")
    entry = Entry.objects.get(action="job finished")
    assert entry.details["planted"][0] == {
        "plant": "Blue mophead",
        "planned": 12,
        "planted": 10,
    }
    page = owner_client.get(f"/jobs/{sample.job.pk}/").content.decode()
    assert "2 fewer" in page
    assert "3 fewer" in page


def test_finishing_twice_is_refused_and_sends_one_guide_and_one_letter(
    sample: PlantingSample, owner: Person
) -> None:
    out = finished(sample, owner)
    with pytest.raises(AlreadyFinished):
        finished(sample, owner)
    assert Planting.objects.count() == 2
    assert list(Document.objects.all()) == [out.guide.document]
    assert out.guide.document.number == "G-2026-0001"
    assert PrivateLink.objects.get() == out.guide.link
    message = Message.objects.get()
    assert (message.kind, message.recipient) == ("care guide", "dana@quill.example")
    assert message.key == f"care guide:{out.guide.link.pk}"


def test_without_a_mail_address_the_guide_stands_and_no_letter_waits(
    owner: Person,
) -> None:
    sample = planting_sample()
    out = finished(sample, owner)
    assert out.guide.message is None
    assert Document.objects.get().job == out.job
    assert PrivateLink.objects.get().recipient == ""
    assert not Message.objects.exists()


def test_a_number_on_the_sketch_is_not_given_again(
    sample: PlantingSample, owner: Person
) -> None:
    factories.PlantingFactory(garden=sample.garden, number=4, state="lost")
    with pytest.raises(PlantingRowRefused, match="Number 4 is already") as refused:
        finished(sample, owner, numbers=(3, 4))
    assert refused.value.job_plant_id == sample.rows[1].pk
    assert refused.value.field == "number"
    assert Job.objects.get(pk=sample.job.pk).state == "to book"
    assert not Document.objects.exists()
    out = finished(sample, owner, numbers=(5, None))
    assert [one.number for one in out.plantings] == [5, 6]


def test_yesterdays_work_is_taken_and_tomorrows_refused(
    sample: PlantingSample, owner: Person
) -> None:
    with pytest.raises(DayToCome):
        finished(sample, owner, day=dt.date(2026, 4, 16))
    with pytest.raises(CrewIsNeeded):
        finished(sample, owner, crew_id=None)
    with pytest.raises(NothingPlanted):
        finished(sample, owner, counts=(0, 0))
    # Never booked: the visit is written for the day it was done.
    out = finished(sample, owner, day=RIGHT_DAY)
    visit = Visit.objects.get(job=out.job)
    assert (visit.day, visit.crew, visit.state) == (RIGHT_DAY, sample.crew, "done")


def form_of(sample: PlantingSample, **changes: str) -> dict[str, str]:
    typed = {
        "version": str(Job.objects.get(pk=sample.job.pk).version),
        "day": "2026-04-14",
        "crew": str(sample.crew.pk),
    }
    for number, row in enumerate(sample.rows, start=1):
        typed |= {
            f"row-{row.pk}-count": str(row.count),
            f"row-{row.pk}-bed": str(row.bed_id),
            f"row-{row.pk}-number": str(number),
            f"row-{row.pk}-place": "",
        }
    return typed | changes


def test_the_finishing_page_proposes_numbers_and_says_a_clash_beside_the_field(
    sample: PlantingSample,
    owner_client: StrictClient,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("firm.clock.now", lambda: AFTER)
    factories.PlantingFactory(garden=sample.garden, number=2)
    url = f"/jobs/{sample.job.pk}/finish/"
    first, second = sample.rows
    page = owner_client.get(url).content.decode()
    assert f'name="row-{first.pk}-number" value="3"' in page
    assert f'name="row-{second.pk}-number" value="4"' in page
    clash = owner_client.post(url, form_of(sample)).content.decode()
    assert "Number 2 is already on this garden&#x27;s sketch." in clash
    twice = owner_client.post(
        url, form_of(sample, **{f"row-{second.pk}-number": "1"})
    ).content.decode()
    assert "Number 1 is given twice on this page." in twice
    assert Planting.objects.filter(origin="planted").count() == 0
    many = form_of(
        sample,
        **{f"row-{first.pk}-count": "10000", f"row-{second.pk}-number": "5"},
    )
    asked = owner_client.post(url, many).content.decode()
    assert "10,000 plants? Tick the box above if so many are meant." in asked
    done = owner_client.post(url, {**many, "counts_are_right": "on"})
    assert done.status_code == 302
    assert Planting.objects.get(number=1).count == 10_000
    shown = owner_client.get(f"/jobs/{sample.job.pk}/").content.decode()
    assert "the care guide goes to dana@quill.example" in shown
    again = owner_client.post(url, form_of(sample)).content.decode()
    assert "This job was already finished." in again
