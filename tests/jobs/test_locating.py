"""Nobody digs before underground lines are asked for, waited for and seen marked."""

import datetime as dt
import uuid

import pytest
import time_machine
from django.urls import reverse

from firm.models import DayOff, Entry, Person, TaxRegion
from firm.registry import registry
from jobs.actions.today import end_visit, settle_task, start_visit
from jobs.actions.work import (
    DigsTooEarly,
    JobMovedOn,
    LinesNotMarked,
    MarksEndTooEarly,
    MarksNotedAlready,
    NoSuchJob,
    book_job,
    call_off_job,
    no_request_needed,
    note_marks,
    start_job,
    write_locate_request,
)
from jobs.enums import TaskState
from jobs.models import Job, LocateRequest, Visit
from jobs.queries.locating import (
    day_after_full_days,
    last_day_to_ask,
    locating_of,
    to_ask_for,
)
from jobs.queries.work import job as find_job
from tests import factories
from tests.conftest import StrictClient, browser_of
from tests.factories import NOW
from tests.jobs.work_samples import (
    RIGHT_DAY,
    PlantingSample,
    marked_lines,
    planting_sample,
)

pytestmark = pytest.mark.django_db

ON_THE_DAY = dt.datetime(2026, 4, 14, 12, 0, tzinfo=dt.UTC)
# The planting is on a Tuesday; three full business days are Thu, Fri and Mon.
ASKED = dt.date(2026, 4, 8)


@pytest.fixture
def owner(db: None) -> Person:
    made: Person = factories.PersonFactory(name="Olive Harrow")
    return made


@pytest.fixture
def sample(owner: Person) -> PlantingSample:
    factories.FirmFactory()
    return planting_sample()


@pytest.fixture
def job(sample: PlantingSample, owner: Person) -> Job:
    return book_job(
        job_id=sample.job.pk,
        version=sample.job.version,
        day=RIGHT_DAY,
        crew_id=sample.crew.pk,
        reason="",
        by=owner,
        now=NOW,
    )


def asked(job: Job, owner: Person, **changes: object) -> LocateRequest:
    given: dict[str, object] = {
        "job_id": job.pk,
        "number": "L-4711",
        "asked_on": ASKED,
        "first_day": None,
        "good_until": None,
        "key": uuid.uuid4(),
        "by": owner,
        "now": NOW,
    }
    return write_locate_request(**{**given, **changes})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("asked_on", "full_days", "digs"),
    [
        # South Carolina's notice calendar, page read: Monday, three full days, Friday.
        ("2026-03-02", 3, "2026-03-06"),
        # A cooperative in Indiana, page read: two full days; Tuesday, dig Friday.
        ("2026-03-03", 2, "2026-03-06"),
        # Florida, page read: the day of asking and weekends do not count.
        ("2026-03-06", 2, "2026-03-11"),
        ("2026-03-07", 2, "2026-03-11"),
        ("2026-03-08", 2, "2026-03-11"),
        ("2026-03-02", 0, "2026-03-03"),
    ],
)
def test_full_business_days_are_counted_as_published_pages_count_them(
    asked_on: str, full_days: int, digs: str
) -> None:
    day = dt.date.fromisoformat
    found = day_after_full_days(
        asked_on=day(asked_on), full_days=full_days, free=frozenset()
    )
    assert found == day(digs)


def test_a_holiday_is_no_business_day() -> None:
    """Asked on Wed 1 July with Friday the 3rd off: Thu, Mon and Tue are full days."""
    free = frozenset({dt.date(2026, 7, 3)})
    found = day_after_full_days(asked_on=dt.date(2026, 7, 1), full_days=3, free=free)
    assert found == dt.date(2026, 7, 8)


def test_the_last_day_to_ask_is_the_latest_that_still_leaves_the_full_days() -> None:
    for number in range(60):
        day = dt.date(2026, 6, 1) + dt.timedelta(days=number)
        free = frozenset({dt.date(2026, 7, 3), dt.date(2026, 6, 19)})
        last = last_day_to_ask(digs_on=day, full_days=3, free=free)
        assert last.weekday() < 5
        assert last not in free
        assert day_after_full_days(asked_on=last, full_days=3, free=free) <= day
        later = last + dt.timedelta(days=1)
        while later.weekday() > 4 or later in free:
            later += dt.timedelta(days=1)
        assert day_after_full_days(asked_on=later, full_days=3, free=free) > day


def test_the_gate_opens_only_with_a_request_its_days_and_its_marks(
    job: Job, owner: Person
) -> None:
    def refused(match: str) -> None:
        with pytest.raises(LinesNotMarked, match=match):
            start_job(job_id=job.pk, version=job.version, by=owner, now=ON_THE_DAY)

    refused("No request to mark underground lines is written down")
    late = asked(job, owner, asked_on=dt.date(2026, 4, 9))
    # Fri, Mon and Tue are its full days.
    assert late.digs_from == dt.date(2026, 4, 15)
    refused("L-4711 digging may begin on Wed 15 Apr 2026")
    over = asked(job, owner, asked_on=dt.date(2026, 3, 2), good_until=RIGHT_DAY)
    LocateRequest.objects.filter(pk=over.pk).update(good_until=dt.date(2026, 4, 13))
    refused("held until Mon 13 Apr 2026. Ask anew")
    good = asked(job, owner)
    assert good.digs_from == RIGHT_DAY
    refused("Nobody has noted the marks of request L-4711")
    note_marks(
        job_id=job.pk, request_id=good.pk, note="Red along the wall", by=owner, now=NOW
    )
    with pytest.raises(MarksNotedAlready):
        note_marks(job_id=job.pk, request_id=good.pk, note="x", by=owner, now=NOW)
    started = start_job(job_id=job.pk, version=job.version, by=owner, now=ON_THE_DAY)
    assert started.state == "under way"
    assert [
        Entry.objects.filter(action=action).count()
        for action in ("locate request written", "locate marks noted")
    ] == [3, 1]


def test_a_crew_cannot_begin_the_visit_before_either(
    job: Job, sample: PlantingSample, owner: Person
) -> None:
    visit = Visit.objects.get(job=job)
    with pytest.raises(LinesNotMarked):
        start_visit(visit=visit, by=sample.person, now=ON_THE_DAY)
    visit.refresh_from_db()
    assert visit.state == "planned"
    request = asked(job, owner)
    browser = browser_of(sample.person)
    with time_machine.travel(ON_THE_DAY, tick=False):
        page = browser.get(reverse("stop", args=[visit.pk])).content.decode()
        assert "Do not dig yet." in page
        assert "Nobody has noted the marks of request L-4711" in page
        browser.post(reverse("stop-start", args=[visit.pk]))
        visit.refresh_from_db()
        assert visit.state == "planned"
        marks = reverse("stop-marks", args=[visit.pk, request.pk])
        browser.post(marks, {"note": ""})
        request.refresh_from_db()
        assert request.marks_noted_at is None
        browser.post(marks, {"note": "Blue by the gate"})
        page = browser.get(reverse("stop", args=[visit.pk])).content.decode()
        assert "Do not dig yet." not in page
        assert "Blue by the gate" in page
        browser.post(reverse("stop-start", args=[visit.pk]))
    visit.refresh_from_db()
    assert visit.state == "under way"
    request.refresh_from_db()
    assert request.marks_noted_by == sample.person


def test_ticking_a_task_begins_no_visit_that_may_not_be_begun(
    job: Job, sample: PlantingSample, owner: Person
) -> None:
    visit = Visit.objects.get(job=job)
    task = visit.tasks.order_by("-position")[0]
    ticked: dict[str, object] = {
        "task": task,
        "state": TaskState.DONE,
        "reason": "",
        "note": "",
        "by": sample.person,
        "now": ON_THE_DAY,
    }
    with pytest.raises(LinesNotMarked):
        settle_task(**ticked)  # type: ignore[arg-type]
    url = reverse("task", args=[task.pk])
    with time_machine.travel(ON_THE_DAY, tick=False):
        page = browser_of(sample.person).post(url, {"state": "done"})
    assert "No digging before underground lines" in page.content.decode()
    visit.refresh_from_db()
    task.refresh_from_db()
    assert (visit.state, task.state) == ("planned", "open")
    marked_lines(job, by=owner)
    settle_task(**ticked)  # type: ignore[arg-type]
    visit.refresh_from_db()
    assert visit.state == "under way"


def test_asking_anew_does_not_end_a_request_that_still_holds(
    job: Job, owner: Person
) -> None:
    good = asked(job, owner, good_until=dt.date(2026, 4, 20))
    note_marks(job_id=job.pk, request_id=good.pk, note="Flags", by=owner, now=NOW)
    asked(job, owner, asked_on=RIGHT_DAY, number="L-2")
    found = find_job(pk=job.pk)
    assert found is not None
    now = locating_of(job=found, day=RIGHT_DAY)
    assert now is not None
    assert (now.may_dig, now.standing) == (True, good)
    later = locating_of(job=found, day=dt.date(2026, 4, 21))
    assert later is not None
    assert "Nobody has noted the marks of request L-2" in later.why_not


def test_a_request_takes_the_place_of_an_older_reason_for_none(
    job: Job, owner: Person
) -> None:
    no_request_needed(
        job_id=job.pk, reason="Wrong job", key=uuid.uuid4(), by=owner, now=NOW
    )
    assert to_ask_for(day=dt.date(2026, 4, 6)) == []
    late = asked(job, owner, asked_on=dt.date(2026, 4, 9))
    (row,) = to_ask_for(day=dt.date(2026, 4, 9))
    assert row.job == job
    found = find_job(pk=job.pk)
    assert found is not None
    now = locating_of(job=found, day=dt.date(2026, 4, 15))
    assert now is not None
    assert (now.standing, now.waits_for_marks) == (late, True)
    with pytest.raises(LinesNotMarked, match="L-4711"):
        start_job(job_id=job.pk, version=job.version, by=owner, now=ON_THE_DAY)


def test_ending_a_visit_that_never_began_is_no_way_past_the_gate(
    job: Job, sample: PlantingSample, owner: Person
) -> None:
    visit = Visit.objects.get(job=job)
    with pytest.raises(LinesNotMarked):
        end_visit(visit=visit, left_out_reason="Rang", by=sample.person, now=ON_THE_DAY)
    with time_machine.travel(ON_THE_DAY, tick=False):
        page = browser_of(sample.person).post(
            reverse("stop-end", args=[visit.pk]), {"left_out_reason": "Rang"}
        )
    assert "No digging before underground lines" in page.content.decode()
    visit.refresh_from_db()
    job.refresh_from_db()
    assert (visit.state, job.state) == ("planned", "booked")
    marked_lines(job, by=owner)
    end_visit(visit=visit, left_out_reason="Rang", by=sample.person, now=ON_THE_DAY)
    visit.refresh_from_db()
    assert visit.state == "done"


def test_marks_that_are_over_before_the_booked_day_are_asked_for_again(
    job: Job, owner: Person
) -> None:
    asked(job, owner, asked_on=dt.date(2026, 4, 1), good_until=dt.date(2026, 4, 10))
    (row,) = to_ask_for(day=dt.date(2026, 4, 6))
    assert (row.job, row.ask_by) == (job, ASKED)


def test_the_place_says_how_many_full_days_and_its_own_days_off_count(
    sample: PlantingSample, owner: Person
) -> None:
    DayOff.objects.create(day=dt.date(2026, 4, 3), reason="Good Friday")
    assert asked(sample.job, owner, asked_on=dt.date(2026, 4, 1)).digs_from == (
        dt.date(2026, 4, 8)
    )
    sample.garden.tax_region = TaxRegion.objects.create(
        name="Canal ward", locate_days=2
    )
    sample.garden.save()
    assert asked(sample.job, owner, asked_on=dt.date(2026, 4, 1)).digs_from == (
        dt.date(2026, 4, 7)
    )


def test_a_told_day_may_be_later_than_the_counted_one_but_not_before_it(
    job: Job, owner: Person
) -> None:
    with pytest.raises(DigsTooEarly, match="Tue 14 Apr 2026 at the earliest"):
        asked(job, owner, first_day=dt.date(2026, 4, 13))
    with pytest.raises(MarksEndTooEarly):
        asked(job, owner, good_until=dt.date(2026, 4, 13))
    told = asked(job, owner, first_day=dt.date(2026, 4, 16))
    assert told.digs_from == dt.date(2026, 4, 16)
    key = uuid.uuid4()
    twice = {asked(job, owner, key=key).pk for _each in range(2)}
    assert len(twice) == 1


def test_where_no_request_is_needed_its_reason_is_kept(job: Job, owner: Person) -> None:
    kept = no_request_needed(
        job_id=job.pk,
        reason="Raised beds on a roof",
        key=uuid.uuid4(),
        by=owner,
        now=NOW,
    )
    found = find_job(pk=job.pk)
    assert found is not None
    locating = locating_of(job=found, day=RIGHT_DAY)
    assert locating is not None
    assert (locating.may_dig, locating.standing) == (True, kept)
    with pytest.raises(MarksNotedAlready):
        note_marks(job_id=job.pk, request_id=kept.pk, note="x", by=owner, now=NOW)


def test_nothing_is_asked_for_a_job_that_is_off_or_does_not_dig(
    job: Job, owner: Person
) -> None:
    off = call_off_job(
        job_id=job.pk, version=job.version, reason="Moved away", by=owner, now=NOW
    )
    with pytest.raises(JobMovedOn):
        asked(off, owner)
    single = factories.JobFactory(kind="single", quote=None)
    with pytest.raises(NoSuchJob):
        asked(single, owner)
    assert locating_of(job=single, day=RIGHT_DAY) is None


def test_the_owner_is_told_of_what_is_still_to_be_asked_and_by_when(
    job: Job, owner: Person, owner_client: StrictClient
) -> None:
    assert to_ask_for(day=dt.date(2026, 3, 20)) == []
    (row,) = to_ask_for(day=dt.date(2026, 4, 6))
    assert (row.job, row.ask_by, row.is_late) == (job, ASKED, False)
    (row,) = to_ask_for(day=dt.date(2026, 4, 9))
    assert row.is_late
    with time_machine.travel(dt.datetime(2026, 4, 6, 12, tzinfo=dt.UTC), tick=False):
        assert "to ask by Wed 8 Apr 2026" in plain(owner_client, reverse("today"))
        assert "underground lines not asked for yet" in plain(
            owner_client, reverse("jobs")
        )
        assert "Ask by Wed 8 Apr 2026" in plain(
            owner_client, reverse("job", args=[job.pk])
        )
    asked(job, owner)
    assert to_ask_for(day=dt.date(2026, 4, 6)) == []
    assert "morning list" in registry.message_kinds


def plain(browser: StrictClient, url: str) -> str:
    """The text of a page with single spaces."""
    return " ".join(browser.get(url).content.decode().replace("\xa0", " ").split())


def test_the_page_keeps_a_request_and_says_beside_the_field_what_is_wrong(
    job: Job, owner_client: StrictClient
) -> None:
    url = reverse("job-locate", args=[job.pk])
    typed = {"key": str(uuid.uuid4()), "number": "L-9", "asked_on": "2026-04-08"}
    with time_machine.travel(ON_THE_DAY, tick=False):
        early = owner_client.post(url, {**typed, "digs_from": "2026-04-09"})
        assert "at the earliest" in str(early.context["form"].errors["digs_from"])
        to_come = owner_client.post(url, {**typed, "asked_on": "2026-04-15"})
        assert "asked_on" in to_come.context["form"].errors
        blank = owner_client.post(url, {"key": str(uuid.uuid4()), "reason": " "})
        assert "reason" in blank.context["none"].errors
        assert LocateRequest.objects.count() == 0
        kept = owner_client.post(url, typed)
        assert kept.status_code == 302
        note = reverse("job-marks", args=[job.pk, LocateRequest.objects.get().pk])
        owner_client.post(note, {"note": "Flags"})
    request = LocateRequest.objects.get()
    assert (request.number, request.digs_from, request.marks_note) == (
        "L-9",
        RIGHT_DAY,
        "Flags",
    )
    single = factories.JobFactory(kind="single", quote=None)
    assert owner_client.get(reverse("job-locate", args=[single.pk])).status_code == 404
