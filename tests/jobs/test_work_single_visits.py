"""Single visits: no planting and no contract, with a price or by the hour."""

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

import pytest

from firm.models import Person
from jobs.actions.work import (
    AlreadyFinished,
    CrewIsNeeded,
    DayToCome,
    NeedsReason,
    SingleVisitDetails,
    book_job,
    finish_single_visit,
    open_single_visit,
)
from jobs.models import Job, Visit
from plants.models import Garden, Planting
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW

pytestmark = pytest.mark.django_db
# Bloom is over on 31 July of the invented year at the latest, buds are set after it.
CLOSED_DAY = dt.date(2026, 12, 8)


@pytest.fixture
def planting(owner: Person) -> Planting:
    factories.RuleFactory()
    factories.ClosedSeasonFactory()
    plant = factories.PlantFactory(common="Blue mophead")
    found: Planting = factories.PlantingFactory(plant=plant, number=4, count=3)
    return found


def opened(garden: Garden, owner: Person, **changes: Any) -> Job:
    options: dict[str, Any] = {
        "title": "Pruning call",
        "price": Decimal("180.00"),
        "hour_price": None,
        "is_taxed": False,
        "planned_hours": Decimal(3),
        "planned_cost": Decimal("114.00"),
    }
    key = changes.pop("key", None) or uuid.uuid4()
    details = SingleVisitDetails(**{**options, **changes})
    return open_single_visit(garden=garden, details=details, key=key, by=owner, now=NOW)


def test_a_visit_without_planting_or_contract_is_a_job_to_book(owner: Person) -> None:
    garden = factories.GardenFactory()
    job = opened(garden, owner, free=("Look at the old gate",), notes="Dog is friendly")
    assert (job.kind, job.state, job.price) == ("single", "to book", Decimal("180.00"))
    assert job.number == "J-2026-0001"
    visit = Visit.objects.get(job=job)
    assert (visit.kind, visit.day, visit.crew) == ("single", None, None)
    assert (visit.contract, visit.notes) == (None, "Dog is friendly")
    assert [task.title for task in visit.tasks.all()] == ["Look at the old gate"]


def test_the_same_form_sent_twice_opens_one_job(owner: Person) -> None:
    garden, key = factories.GardenFactory(), uuid.uuid4()
    first = opened(garden, owner, key=key)
    assert opened(garden, owner, key=key) == first
    assert (Job.objects.count(), Visit.objects.count()) == (1, 1)


def test_a_chosen_task_brings_its_rule_and_window(
    planting: Planting, owner: Person
) -> None:
    job = opened(
        planting.garden, owner, tasks=(f"{planting.pk}:cut-after-bloom", "9:gone")
    )
    (task,) = Visit.objects.get(job=job).tasks.all()
    assert (task.planting, task.task, task.purpose) == (planting, "prune", "flower")
    assert task.title == "prune, for its flowers: Blue mophead"
    assert task.how == "Shorten the stems that have flowered."
    assert task.minutes == 60
    assert task.earliest_on is not None
    assert task.earliest_on < task.best_on < task.latest_on


def test_a_task_in_its_closed_season_needs_a_reason_when_it_gets_its_day(
    planting: Planting, owner: Person
) -> None:
    crew = factories.CrewFactory()
    tasks = (f"{planting.pk}:cut-after-bloom",)
    with pytest.raises(NeedsReason) as refused:
        opened(planting.garden, owner, tasks=tasks, day=CLOSED_DAY, crew_id=crew.pk)
    (caution,) = refused.value.cautions
    assert caution.what == "Blue mophead (number 4), prune"
    assert caution.verdict == "closed"
    assert not Job.objects.exists()
    # Without a day nothing is closed yet; booking it later asks the same.
    job = opened(planting.garden, owner, tasks=tasks)
    with pytest.raises(NeedsReason):
        book_job(
            job_id=job.pk,
            version=job.version,
            day=CLOSED_DAY,
            crew_id=crew.pk,
            reason="",
            by=owner,
            now=NOW,
        )
    kept = book_job(
        job_id=job.pk,
        version=job.version,
        day=CLOSED_DAY,
        crew_id=crew.pk,
        reason="A branch blocks the door.",
        by=owner,
        now=NOW,
    )
    assert kept.out_of_window_reason == "A branch blocks the door."
    assert Visit.objects.get(job=job).day == CLOSED_DAY


def test_a_day_without_a_crew_is_refused(owner: Person) -> None:
    with pytest.raises(CrewIsNeeded):
        opened(factories.GardenFactory(), owner, day=dt.date(2026, 4, 14))


def test_closing_the_visit_finishes_the_job_once(owner: Person) -> None:
    crew = factories.CrewFactory()
    day = dt.date(2026, 3, 2)
    job = opened(factories.GardenFactory(), owner, day=day, crew_id=crew.pk)
    visit = Visit.objects.get(job=job)
    Visit.objects.filter(pk=visit.pk).update(state="done")
    done = finish_single_visit(visit=visit, by=owner, now=NOW)
    assert (done.state, done.day, done.finished_at) == ("finished", day, NOW)
    with pytest.raises(AlreadyFinished):
        finish_single_visit(visit=visit, by=owner, now=NOW)


def test_a_visit_still_to_come_is_not_done(owner: Person) -> None:
    crew = factories.CrewFactory()
    ahead = dt.date(2026, 4, 14)
    job = opened(factories.GardenFactory(), owner, day=ahead, crew_id=crew.pk)
    visit = Visit.objects.get(job=job)
    with pytest.raises(DayToCome):
        finish_single_visit(visit=visit, by=owner, now=NOW)
    done = finish_single_visit(visit=visit, day=dt.date(2026, 3, 1), by=owner, now=NOW)
    visit.refresh_from_db()
    assert (done.state, visit.state) == ("finished", "done")
    assert visit.day == dt.date(2026, 3, 1)


def test_the_page_takes_a_visit_by_the_hour_and_finishes_it(
    planting: Planting,
    owner_client: StrictClient,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("firm.clock.now", lambda: NOW)
    url = f"/gardens/{planting.garden_id}/single-visit/"
    page = owner_client.get(url).content.decode()
    assert f'value="{planting.pk}:cut-after-bloom"' in page
    assert "Closed season:" in page
    typed = {
        "key": str(uuid.uuid4()),
        "title": "Cut back the mophead",
        "priced": "hour",
        "price": "",
        "hour_price": "",
        "planned_hours": "2.5",
        "day": "",
        "crew": "",
        "free": "Take the cuttings away",
        "notes": "",
        "reason": "",
        "tasks": f"{planting.pk}:cut-after-bloom",
    }
    missing = owner_client.post(url, typed).content.decode()
    assert "How much?" in missing
    assert "Take the cuttings away" in missing
    assert not Job.objects.exists()
    looked = owner_client.post(url, {**typed, "look": "1", "day": "2026-07-20"})
    assert "Tasks in season around Mon 20 Jul 2026" in looked.content.decode()
    assert "Cut back the mophead" in looked.content.decode()
    done = owner_client.post(url, {**typed, "hour_price": "64"})
    job = Job.objects.get()
    assert done["Location"] == f"/jobs/{job.pk}/"
    assert (job.price, job.hour_price) == (None, Decimal("64.00"))
    # Two and a half hours at what an hour costs the firm, 38.00.
    assert job.planned_cost == Decimal("95.00")
    shown = owner_client.get(f"/jobs/{job.pk}/").content.decode()
    assert "$64.00 for each hour worked" in shown
    owner_client.post(
        f"/jobs/{job.pk}/done/", {"version": str(job.version), "day": "2026-03-02"}
    )
    assert Job.objects.get().state == "finished"
