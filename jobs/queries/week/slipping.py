"""Visits that are late or about to leave their window."""

import datetime as dt
from dataclasses import dataclass

from django.db.models import F, Q
from django.utils.dates import MONTHS_3, WEEKDAYS_ABBR
from django.utils.translation import gettext as _

from jobs.enums import ContractState, JobState, VisitState
from jobs.models import Visit

# A visit whose window closes within so many days slips.
SLIPPING_DAYS = 7
# Whose visits are on the board: a paused contract's wait until it goes on, and one that
# was taken over keeps those it left standing for its last weeks.
ALIVE = (
    Q(contract__isnull=True)
    | Q(contract__state=ContractState.RUNNING)
    | Q(contract__state=ContractState.ENDED, best_on__lte=F("contract__ended_on"))
) & (Q(job__isnull=True) | ~Q(job__state=JobState.CALLED_OFF))


@dataclass(frozen=True, kw_only=True)
class Slipping:
    """A visit that is late or about to be, and in words why."""

    visit: Visit
    words: str
    is_late: bool


def day_said(day: dt.date) -> str:
    """A day in running text: Fri 6 Mar."""
    return f"{WEEKDAYS_ABBR[day.weekday()]} {day.day} {MONTHS_3[day.month].title()}"


def slipping(*, day: dt.date) -> list[Slipping]:
    """Visits not done that are late on DAY or leave their window soon, worst first.

    Late are those whose own day is over and those without a day whose window is; a
    visit that stands on a day to come is neither, whatever its window.
    """
    soon = day + dt.timedelta(days=SLIPPING_DAYS)
    visits = (
        Visit.objects.filter(
            ALIVE, state__in=[VisitState.PLANNED, VisitState.UNDER_WAY]
        )
        .filter(Q(day__lt=day) | Q(day__isnull=True, latest_on__lte=soon))
        .select_related("garden", "crew")
        .order_by("latest_on", "day", "id")
    )
    found = [_slips(visit, day) for visit in visits]
    return sorted(found, key=lambda row: not row.is_late)


def _slips(visit: Visit, day: dt.date) -> Slipping:
    if visit.day is not None:
        words = _("planned for %(day)s and not done") % {"day": day_said(visit.day)}
        return Slipping(visit=visit, words=words, is_late=True)
    words, is_late = window_words(visit, day)
    return Slipping(visit=visit, words=words, is_late=is_late)


def window_words(visit: Visit, day: dt.date) -> tuple[str, bool]:
    """How a visit's window stands on DAY, and whether it is over."""
    if visit.earliest_on is None or visit.latest_on is None:
        return _("any day"), False
    if visit.latest_on < day:
        return _("window ended %(day)s") % {"day": day_said(visit.latest_on)}, True
    if visit.earliest_on > day:
        return (
            _("window %(first)s to %(last)s")
            % {
                "first": day_said(visit.earliest_on),
                "last": day_said(visit.latest_on),
            },
            False,
        )
    return _("window ends %(day)s") % {"day": day_said(visit.latest_on)}, False
