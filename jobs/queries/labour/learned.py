"""What the logged hours of finished jobs say of the hours that were quoted."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Q, Sum

from firm.units import round_figure
from jobs.enums import HourKind, JobState, OfferState, RateMark
from jobs.labour import Learned, learn
from jobs.labour.rates import LEAST_FACTOR, MOST_FACTOR
from jobs.models import (
    ConditionFactor,
    HourEntry,
    Job,
    LabourSetting,
    ProductionRate,
    Quote,
    QuoteLine,
    QuoteOption,
)
from jobs.queries.labour.rates import factor_rows, rate_rows

PACE = "pace-firm"
DRIVE, LOAD_OUT = "drive", "load-out"
# No rate: hours that were written by hand are only held against the logged ones.
BY_HAND = "by hand"
# A task that makes up so much of a job's hours in the garden is taught by the whole
# job, since hours are logged by visit and not by task: common practice, no source.
MAIN_SHARE = (2, 3)
MOST_JOBS = 200
NOTHING = Decimal(0)

Row = ProductionRate | ConditionFactor


@dataclass(frozen=True, kw_only=True)
class Past:
    """One finished job: what was quoted by task, and what was logged by kind."""

    quoted: Mapping[str, Decimal]
    # Hours of lines that were written by hand; of no task.
    by_hand: Decimal
    logged: Mapping[str, Decimal]
    reckoned_at: dt.datetime
    finished_at: dt.datetime

    @property
    def in_garden(self) -> Decimal:
        """Quoted hours that are logged as work in the garden."""
        return sum(
            (h for task, h in self.quoted.items() if task not in (DRIVE, LOAD_OUT)),
            NOTHING,
        )

    @property
    def main_task(self) -> str:
        """The task that makes up most of the hours in the garden, if one does."""
        return next(
            (
                task
                for task, hours in self.quoted.items()
                if task not in (DRIVE, LOAD_OUT)
                and hours * MAIN_SHARE[1] >= self.in_garden * MAIN_SHARE[0]
            ),
            "",
        )

    def pair(self, key: str) -> tuple[Decimal, Decimal] | None:
        """Quoted and logged hours that teach the rate or factor KEY."""
        work = self.logged.get(HourKind.WORK, NOTHING)
        travel, yard = (
            self.logged.get(kind, NOTHING) for kind in (HourKind.TRAVEL, HourKind.YARD)
        )
        if key == BY_HAND:
            # Nobody knows what of it was for the road and the yard.
            both = (sum(self.quoted.values(), self.by_hand), work + travel + yard)
        elif self.by_hand:
            # Some of the logged hours went into what no rate reckoned.
            return None
        elif key == PACE:
            both = (self.in_garden, work)
        elif key == DRIVE:
            both = (self.quoted.get(DRIVE, NOTHING), travel)
        elif key == LOAD_OUT:
            both = (self.quoted.get(LOAD_OUT, NOTHING), yard)
        elif self.main_task == key:
            both = (self.in_garden, work)
        else:
            return None
        return both if both[0] > 0 and both[1] > 0 else None


@dataclass(frozen=True, kw_only=True)
class Suggestion:
    """What the jobs say of one rate or factor, and what it would become."""

    row: Row
    name: str
    learned: Learned
    now_is: Decimal
    becomes: Decimal | None
    # Left by the owner, and no job was finished since.
    is_left: bool

    @property
    def is_rate(self) -> bool:
        """Whether it is a rate, not the firm's pace."""
        return isinstance(self.row, ProductionRate)


@dataclass(frozen=True, kw_only=True)
class LearnedPage:
    """What finished jobs say: of rates, and of hours that were written by hand."""

    suggestions: Sequence[Suggestion]
    by_hand: Learned


def learned_page() -> LearnedPage:
    """Every rate and the pace that any finished job says something of."""
    jobs = past_jobs()
    by_hand = [job.pair(BY_HAND) for job in jobs if job.by_hand]
    return LearnedPage(
        suggestions=_suggestions(jobs),
        by_hand=learn([pair for pair in by_hand if pair is not None]),
    )


def _suggestions(jobs: Sequence[Past]) -> list[Suggestion]:
    pace = [row for row in factor_rows() if row.key == PACE]
    rows: list[Row] = [*pace, *rate_rows()]
    found = (suggestion_for(row, rows, jobs) for row in rows)
    return [each for each in found if each is not None]


def is_known(*, key: str) -> bool:
    """Whether there is a rate or a factor of that key."""
    return (
        ProductionRate.objects.filter(key=key).exists()
        or ConditionFactor.objects.filter(key=key).exists()
    )


def suggestion_of(*, key: str) -> Suggestion | None:
    """What the jobs say of the rate or factor of that key."""
    found = _suggestions(past_jobs())
    return next((each for each in found if each.row.key == key), None)


def suggestion_for(
    row: Row, rows: Sequence[Row], jobs: Sequence[Past]
) -> Suggestion | None:
    """What JOBS say of ROW; None where no job says anything.

    Jobs that were reckoned before the figure changed say nothing of it as it is now.
    """
    since = _changed_at(row, rows)
    mine = [
        (pair, job.finished_at)
        for job in jobs
        if (since is None or job.reckoned_at > since)
        and (pair := job.pair(row.key)) is not None
    ]
    if not mine:
        return None
    said = learn([pair for pair, _at in mine])
    is_rate = isinstance(row, ProductionRate)
    now_is = row.typical if isinstance(row, ProductionRate) else row.factor
    return Suggestion(
        row=row,
        name=row.name,
        learned=said,
        now_is=now_is,
        becomes=_becomes(row, now_is, said.suggested, places=4 if is_rate else 3),
        is_left=row.left_at is not None
        and max(finished for _pair, finished in mine) <= row.left_at,
    )


def _changed_at(row: Row, rows: Iterable[Row]) -> dt.datetime | None:
    """The last change of ROW, or of one that the same hours would speak of, too."""
    moments = [row.changed_at]
    if row.key not in (DRIVE, LOAD_OUT):
        moments += [
            each.changed_at
            for each in rows
            if each.key == PACE
            or (
                row.key == PACE
                and each.mark == RateMark.LOGGED
                and each.key not in (DRIVE, LOAD_OUT)
            )
        ]
    known = [moment for moment in moments if moment is not None]
    return max(known) if known else None


def _becomes(
    row: Row, now_is: Decimal, ratio: Decimal | None, *, places: int
) -> Decimal | None:
    if ratio is None:
        return None
    if isinstance(row, ProductionRate) and row.is_per_hour:
        value = round_figure(now_is / ratio, places)
    else:
        value = round_figure(now_is * ratio, places)
    if isinstance(row, ConditionFactor):
        value = min(max(value, LEAST_FACTOR), MOST_FACTOR)
    return value if value > 0 and value != now_is else None


# --- the finished jobs -------------------------------------------------------------


def past_jobs() -> list[Past]:
    """The latest finished jobs with quoted hours and logged ones; five queries."""
    jobs = list(
        Job.objects.filter(state=JobState.FINISHED, quote__isnull=False)
        .select_related("quote")
        .order_by("-finished_at", "-id")[:MOST_JOBS]
    )
    ids = [job.pk for job in jobs]
    job_of = {job.quote_id: job.pk for job in jobs if job.quote_id}
    # What was found and agreed while a job ran belongs to it.
    job_of |= {
        quote: job
        for quote, job in Quote.objects.filter(
            addition_to_id__in=ids, state=OfferState.AGREED
        ).values_list("pk", "addition_to_id")
        if job is not None
    }
    logged: dict[int, dict[str, Decimal]] = defaultdict(dict)
    for job_id, kind, hours in (
        HourEntry.objects.filter(visit__job_id__in=ids)
        .values_list("visit__job_id", "kind")
        .annotate(hours=Sum("hours"))
        .order_by("visit__job_id", "kind")
    ):
        logged[job_id][kind] = hours
    quoted, written_at, by_hand = _quoted(job_of)
    found = []
    for job in jobs:
        if not logged[job.pk] or job.quote is None or job.finished_at is None:
            continue
        found.append(
            Past(
                quoted=quoted[job.pk],
                by_hand=by_hand[job.pk],
                logged=logged[job.pk],
                reckoned_at=written_at.get(job.pk)
                or job.quote.offered_at
                or job.quote.created_at,
                finished_at=job.finished_at,
            )
        )
    return found


def _quoted(
    job_of: Mapping[int, int],
) -> tuple[
    Mapping[int, dict[str, Decimal]],
    Mapping[int, dt.datetime],
    Mapping[int, Decimal],
]:
    """By job: hours by task, when they were reckoned, hours written by hand."""
    taken = set(
        QuoteOption.objects.filter(quote_id__in=job_of, is_taken=True).values_list(
            "quote_id", "title"
        )
    )
    quoted: dict[int, dict[str, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    written_at: dict[int, dt.datetime] = {}
    for setting in LabourSetting.objects.filter(quote_id__in=job_of).order_by("id"):
        job = job_of[setting.quote_id]
        if setting.written_at is not None:
            first = written_at.get(job, setting.written_at)
            written_at[job] = min(first, setting.written_at)
        for each in setting.written:
            if each["option"] and (setting.quote_id, each["option"]) not in taken:
                continue
            quoted[job][each["task"]] += Decimal(each["hours"])
    by_hand: dict[int, Decimal] = defaultdict(Decimal)
    lines = QuoteLine.objects.filter(
        Q(option__isnull=True) | Q(option__is_taken=True),
        quote_id__in=job_of,
        hours__gt=0,
    ).order_by("id")
    for quote, hours, typed in lines.values_list("quote_id", "hours", "typed"):
        if "labour" not in typed:
            by_hand[job_of[quote]] += hours
    return quoted, written_at, by_hand
