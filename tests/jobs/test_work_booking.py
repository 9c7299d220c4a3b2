"""Booking, moving, starting and calling off jobs."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from firm.actions.record import SomebodyElseChangedIt
from firm.models import DayOff, Entry, Person
from jobs.actions.work import (
    DayIsPast,
    JobMovedOn,
    LinesNotMarked,
    NeedsReason,
    StartsLater,
    book_job,
    call_off_job,
    note_visit_started,
    start_job,
)
from jobs.models import Job, Visit
from jobs.queries.work import cautions_on, crew_day
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW
from tests.jobs.work_samples import (
    HOT_DAY,
    RIGHT_DAY,
    PlantingSample,
    marked_lines,
    planting_sample,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def sample(owner: Person) -> PlantingSample:
    return planting_sample()


def booked(sample: PlantingSample, owner: Person, **changes: Any) -> Job:
    options: dict[str, Any] = {
        "job_id": sample.job.pk,
        "version": sample.job.version,
        "day": RIGHT_DAY,
        "crew_id": sample.crew.pk,
        "reason": "",
        "by": owner,
        "now": NOW,
    }
    return book_job(**{**options, **changes})


def test_a_job_booked_in_the_window_gets_its_visit_with_the_caution_first(
    sample: PlantingSample, owner: Person
) -> None:
    job = booked(sample, owner)
    assert (job.state, job.day, job.crew) == ("booked", RIGHT_DAY, sample.crew)
    assert (job.out_of_window_reason, job.out_of_window_words) == ("", "")
    visit = Visit.objects.get(job=job)
    assert (visit.kind, visit.state, visit.day) == ("planting", "planned", RIGHT_DAY)
    assert visit.planned_hours == Decimal("10.00")
    tasks = list(visit.tasks.order_by("position"))
    assert [task.title for task in tasks] == [
        "Before the first spade: underground lines",
        "Plant 12 × Blue mophead",
        "Plant 3 × Dark yew",
    ]
    assert "call 811" in tasks[0].how
    assert "within 24 in to either side of one use hand tools" in tasks[0].how
    assert tasks[0].why == "Local law comes first, whatever this page says."
    assert "two to three times as wide as the root ball and no deeper" in tasks[1].how
    assert tasks[1].where == "Long border, 24 in apart."
    assert "Not known whether it is toxic to people: wear gloves." in tasks[1].harm
    # 10 h less the 10 minutes for the lines, by the number of plants.
    assert [task.minutes for task in tasks] == [10, 472, 118]


def test_a_day_outside_the_window_says_which_plant_and_why_and_needs_a_reason(
    sample: PlantingSample, owner: Person
) -> None:
    with pytest.raises(NeedsReason) as refused:
        booked(sample, owner, day=HOT_DAY, reason="   ")
    assert [caution.words for caution in refused.value.cautions] == [
        "Blue mophead, Long border: It is hot or dry and nothing waters the new roots."
        " The next time to plant it is Thu 10 Sep 2026 to Thu 31 Dec 2026."
    ]
    assert Job.objects.get(pk=sample.job.pk).state == "to book"
    assert not Visit.objects.exists()

    job = booked(sample, owner, day=HOT_DAY, reason="The client waters by hand daily.")
    assert job.out_of_window_reason == "The client waters by hand daily."
    assert job.out_of_window_words == refused.value.cautions[0].words
    assert Visit.objects.get(job=job).owners_reason == job.out_of_window_reason
    entry = Entry.objects.get(action="job booked")
    assert entry.details["reason"] == "The client waters by hand daily."


def test_the_irrigated_bed_is_a_caution_only_and_the_evergreen_fails_in_winter(
    sample: PlantingSample,
) -> None:
    found = cautions_on(job=sample.job, day=HOT_DAY)
    assert [(each.what, each.verdict) for each in found] == [
        ("Blue mophead, Long border", "wrong"),
        ("Dark yew, Door bed", "bearable"),
    ]
    winter = cautions_on(job=sample.job, day=dt.date(2026, 11, 20))
    assert [(each.what, each.verdict, each.reason) for each in winter] == [
        (
            "Dark yew, Door bed",
            "wrong",
            "Leaves that stay on lose water all winter; cold soil grows no root.",
        )
    ]
    assert cautions_on(job=sample.job, day=RIGHT_DAY) == []


def test_a_reason_written_for_a_good_day_is_not_kept(
    sample: PlantingSample, owner: Person
) -> None:
    assert booked(sample, owner, reason="just so").out_of_window_reason == ""


def test_a_day_that_is_over_is_refused_and_today_is_not(
    sample: PlantingSample, owner: Person
) -> None:
    today = dt.date(2026, 3, 2)
    with pytest.raises(DayIsPast, match="Sun 1 Mar 2026 is over"):
        booked(sample, owner, day=today - dt.timedelta(days=1))
    reason = "The yews must be out of the yard."
    assert booked(sample, owner, day=today, reason=reason).day == today


def test_the_second_of_two_bookings_is_told(
    sample: PlantingSample, owner: Person
) -> None:
    booked(sample, owner)
    other = dt.date(2026, 4, 20)
    with pytest.raises(SomebodyElseChangedIt):
        booked(sample, owner, day=other)
    assert Job.objects.get(pk=sample.job.pk).day == RIGHT_DAY


def test_moving_a_job_moves_its_visit_and_writes_no_second_one(
    sample: PlantingSample, owner: Person
) -> None:
    first = booked(sample, owner)
    other = dt.date(2026, 4, 20)
    moved = booked(sample, owner, version=first.version, day=other)
    visit = Visit.objects.get(job=moved)
    assert (moved.day, visit.day, visit.version) == (other, other, 2)
    assert visit.tasks.count() == 3


def test_a_rained_off_visit_is_followed_by_one_that_points_back(
    sample: PlantingSample, owner: Person
) -> None:
    job = booked(sample, owner)
    old = Visit.objects.get(job=job)
    Visit.objects.filter(pk=old.pk).update(state="rained off")
    moved = booked(sample, owner, version=job.version, day=dt.date(2026, 4, 20))
    new = Visit.objects.exclude(pk=old.pk).get(job=moved)
    assert (new.instead_of, new.state) == (old, "planned")
    assert new.tasks.count() == 3


def test_a_planting_starts_only_on_its_day_and_with_marked_lines(
    sample: PlantingSample, owner: Person
) -> None:
    job = booked(sample, owner)
    on_the_day = dt.datetime(2026, 4, 14, 12, 0, tzinfo=dt.UTC)
    with pytest.raises(LinesNotMarked, match="is written down for this job"):
        start_job(job_id=job.pk, version=job.version, by=owner, now=on_the_day)
    with pytest.raises(StartsLater, match="Tue 14 Apr 2026"):
        start_job(job_id=job.pk, version=job.version, by=owner, now=NOW)
    marked_lines(job, by=owner)
    started = start_job(job_id=job.pk, version=job.version, by=owner, now=on_the_day)
    assert (started.state, started.started_at) == ("under way", on_the_day)
    visit = Visit.objects.get(job=job)
    assert visit.state == "under way"
    marked = visit.tasks.get(rule_key="locate-lines")
    assert (marked.state, marked.settled_by) == ("done", owner)
    with pytest.raises(JobMovedOn, match="under way"):
        booked(sample, owner, version=started.version)


def test_a_crew_that_begins_the_visit_puts_the_job_under_way_once(
    sample: PlantingSample, owner: Person
) -> None:
    visit = Visit.objects.get(job=booked(sample, owner))
    note_visit_started(visit=visit, by=sample.person, now=NOW)
    note_visit_started(visit=visit, by=sample.person, now=NOW)
    assert Job.objects.get(pk=sample.job.pk).state == "under way"
    assert Entry.objects.filter(action="job started").count() == 1


def test_calling_off_keeps_the_reason_and_takes_the_visit_along(
    sample: PlantingSample, owner: Person
) -> None:
    job = booked(sample, owner)
    gone = call_off_job(
        job_id=job.pk, version=job.version, reason="Moved away", by=owner, now=NOW
    )
    assert (gone.state, gone.called_off_reason) == ("called off", "Moved away")
    assert Visit.objects.get(job=job).state == "called off"
    with pytest.raises(JobMovedOn, match="called off"):
        booked(sample, owner, version=gone.version)


def test_a_crew_day_is_said_in_words_with_holidays_and_over_full_days(
    sample: PlantingSample, owner: Person
) -> None:
    day = crew_day(
        crew=sample.crew, day=RIGHT_DAY, hours=Decimal(10), besides_job=sample.job.pk
    )
    assert day.words == ["North on Tue 14 Apr 2026: 10 of 8 h, over-full by 2 h."]
    assert not day.is_fine
    factories.VisitFactory(
        job=factories.JobFactory(number="J-2026-9001"),
        crew=sample.crew,
        day=RIGHT_DAY,
        planned_hours=Decimal(3),
    )
    fuller = crew_day(
        crew=sample.crew, day=RIGHT_DAY, hours=Decimal(5), besides_job=None
    )
    assert fuller.words == ["North on Tue 14 Apr 2026: 8 of 8 h."]
    assert fuller.is_fine
    DayOff.objects.create(day=RIGHT_DAY, reason="Spring holiday")
    off = crew_day(crew=sample.crew, day=RIGHT_DAY, hours=Decimal(5), besides_job=None)
    assert off.words == [
        "North does not work on Tue 14 Apr 2026: Spring holiday.",
        "North on Tue 14 Apr 2026: 8 of 0 h, over-full by 8 h.",
    ]


def test_the_booking_page_tells_the_plant_and_keeps_what_was_typed(
    sample: PlantingSample,
    owner_client: StrictClient,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("firm.clock.now", lambda: NOW)
    url = f"/jobs/{sample.job.pk}/book/"
    typed = {
        "version": str(sample.job.version),
        "day": "2026-07-08",
        "crew": str(sample.crew.pk),
        "reason": "",
    }
    page = owner_client.post(url, typed)
    assert page.status_code == 200
    said = page.content.decode()
    assert "Blue mophead, Long border: It is hot or dry" in said
    assert "Write why it is done anyway." in said
    assert 'value="2026-07-08"' in said
    looked = owner_client.post(url, {**typed, "day": "2026-04-14", "look": "1"})
    assert "Nothing speaks against this day." in looked.content.decode()
    assert Job.objects.get(pk=sample.job.pk).state == "to book"
    done = owner_client.post(url, {**typed, "reason": "Watered by hand."})
    assert done.status_code == 302
    shown = owner_client.get(f"/jobs/{sample.job.pk}/").content.decode()
    assert "Done all the same, because: Watered by hand." in shown
    assert "North on Wed 8 Jul 2026: 10 of 8 h, over-full by 2 h." in shown


def test_the_list_shows_each_job_under_its_state(
    sample: PlantingSample, owner: Person, owner_client: StrictClient
) -> None:
    page = owner_client.get("/jobs/").content.decode()
    assert page.index("To book") < page.index("New border") < page.index("Booked")
    booked(sample, owner)
    page = owner_client.get("/jobs/").content.decode()
    assert page.index("Booked") < page.index("New border") < page.index("Under way")
