"""Whether anybody may dig for a job yet: the requests for marking and their days."""

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from firm.models import DayOff
from jobs.enums import JobKind, JobState
from jobs.models import Job, LocateRequest
from jobs.queries.work.cautions import day_said

# Where the garden's place says nothing: the longer of the waits that pages on 811 name
# (a cooperative in Indiana: two full working days; South Carolina: three full working
# days; pages read).
FULL_DAYS = 3
SATURDAY = 5
# Nobody asks so long ahead; a bound for counting back.
MOST_DAYS = 120


def day_after_full_days(
    *, asked_on: dt.date, full_days: int, free: Collection[dt.date]
) -> dt.date:
    """The first day of digging after FULL_DAYS business days behind ASKED_ON.

    The day of asking, Saturdays, Sundays and FREE days do not count; digging begins
    with the day behind the last full one (South Carolina's notice calendar, page read:
    asked on a Monday, three full working days, digging from Friday morning).
    """
    day, counted = asked_on, 0
    while counted < full_days:
        day += dt.timedelta(days=1)
        if day.weekday() < SATURDAY and day not in free:
            counted += 1
    return day + dt.timedelta(days=1)


def last_day_to_ask(
    *, digs_on: dt.date, full_days: int, free: Collection[dt.date]
) -> dt.date:
    """The latest business day to ask on, so that digging may begin on DIGS_ON."""
    for back in range(1, MOST_DAYS):
        day = digs_on - dt.timedelta(days=back)
        if day.weekday() >= SATURDAY or day in free:
            continue
        first = day_after_full_days(asked_on=day, full_days=full_days, free=free)
        if first <= digs_on:
            return day
    return digs_on - dt.timedelta(days=MOST_DAYS)


def free_days(*, around: dt.date) -> frozenset[dt.date]:
    """The days off of the whole firm near AROUND, which hold its holidays."""
    span = dt.timedelta(days=MOST_DAYS)
    return frozenset(
        DayOff.objects.filter(
            crew__isnull=True, day__gte=around - span, day__lte=around + span
        ).values_list("day", flat=True)
    )


def full_days_of(job: Job) -> int:
    """The full business days that the job's place asks for."""
    region = job.garden.tax_region
    return region.locate_days if region else FULL_DAYS


def digs_from(*, job: Job, asked_on: dt.date) -> dt.date:
    """The first day of digging for JOB when the request goes out on ASKED_ON."""
    return day_after_full_days(
        asked_on=asked_on,
        full_days=full_days_of(job),
        free=free_days(around=asked_on),
    )


@dataclass(frozen=True, kw_only=True)
class Locating:
    """How a job stands with its underground lines on one day.

    WHY_NOT is empty when digging may begin; STANDING is the request that holds.
    """

    requests: tuple[LocateRequest, ...]
    why_not: str
    ask_by: dt.date | None
    whom: str

    # The request that lets somebody dig, else the one written down last.
    standing: LocateRequest | None

    @property
    def may_dig(self) -> bool:
        """Whether nothing is in the way of the first spade."""
        return not self.why_not

    @property
    def waits_for_marks(self) -> bool:
        """Whether somebody still has to look for the marks."""
        one = self.standing
        return (
            one is not None and not one.not_needed_reason and one.marks_noted_at is None
        )


def locating_of(*, job: Job, day: dt.date) -> Locating | None:
    """How JOB stands with its lines on DAY; None for a job that does not dig.

    The job knows its garden's place; two queries.
    """
    if job.kind != JobKind.PLANTING:
        return None
    requests = tuple(
        LocateRequest.objects.filter(job=job)
        .select_related("marks_noted_by", "written_by")
        .order_by("-written_at", "-id")
    )
    ask_by = None
    if job.day is not None and not requests:
        ask_by = last_day_to_ask(
            digs_on=job.day,
            full_days=full_days_of(job),
            free=free_days(around=job.day),
        )
    region = job.garden.tax_region
    # One that was asked anew does not end one that still holds.
    holds = next(
        (one for one in in_force(requests) if not why_no_digging(one, day=day)), None
    )
    standing = holds or (requests[0] if requests else None)
    return Locating(
        requests=requests,
        standing=standing,
        why_not=why_no_digging(standing, day=day),
        ask_by=ask_by,
        whom=region.locate_call if region else "",
    )


def in_force(requests: Sequence[LocateRequest]) -> list[LocateRequest]:
    """Those that still say something, of REQUESTS with the newest first.

    A reason for asking nobody holds only until somebody is asked all the same.
    """
    return [
        one
        for place, one in enumerate(requests)
        if place == 0 or not one.not_needed_reason
    ]


def why_no_digging(request: LocateRequest | None, *, day: dt.date) -> str:
    """Why nobody digs on DAY under REQUEST; empty when they may."""
    if request is None:
        return _("No request to mark underground lines is written down for this job.")
    if request.not_needed_reason:
        return ""
    if request.digs_from is not None and day < request.digs_from:
        return _("Under request %(number)s digging may begin on %(day)s.") % {
            "number": request.number,
            "day": day_said(request.digs_from),
        }
    if request.good_until is not None and day > request.good_until:
        return _("The marks of request %(number)s held until %(day)s. Ask anew.") % {
            "number": request.number,
            "day": day_said(request.good_until),
        }
    if request.marks_noted_at is None:
        return _("Nobody has noted the marks of request %(number)s yet.") % {
            "number": request.number
        }
    return ""


# A job farther ahead has time.
SOON = dt.timedelta(days=14)


@dataclass(frozen=True, kw_only=True)
class ToAsk:
    """A booked job for which nobody has asked yet, and by when to."""

    job: Job
    ask_by: dt.date
    is_late: bool


def _holds_on(request: LocateRequest, day: dt.date) -> bool:
    """Whether REQUEST lets somebody dig on DAY once its marks are noted."""
    if request.digs_from is None:
        return True
    return request.digs_from <= day and (
        request.good_until is None or day <= request.good_until
    )


def to_ask_for(*, day: dt.date) -> list[ToAsk]:
    """The booked plantings of the next days that no request covers, the soonest first.

    Three queries for any number of jobs.
    """
    jobs = list(
        Job.objects.filter(
            kind=JobKind.PLANTING,
            state=JobState.BOOKED,
            day__gte=day,
            day__lte=day + SOON,
        )
        .select_related("garden__tax_region")
        .order_by("day", "id")
    )
    if not jobs:
        return []
    free = free_days(around=day)
    asked: dict[int, list[LocateRequest]] = defaultdict(list)
    for one in LocateRequest.objects.filter(job__in=jobs).order_by(
        "-written_at", "-id"
    ):
        asked[one.job_id].append(one)
    found = []
    for job in jobs:
        if job.day is None or any(
            _holds_on(one, job.day) for one in in_force(asked[job.pk])
        ):
            continue
        last = last_day_to_ask(digs_on=job.day, full_days=full_days_of(job), free=free)
        found.append(ToAsk(job=job, ask_by=last, is_late=last < day))
    return found
