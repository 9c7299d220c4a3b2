"""What the week board shows: visits to place, and those slipping out of their time."""

import datetime as dt
from dataclasses import dataclass

from django.db.models import Q
from django.utils.dateformat import format as written
from django.utils.translation import gettext as _

from jobs.enums import ContractState, JobState, VisitState
from jobs.models import Visit

# A visit whose window closes within so many days slips.
SLIPPING_DAYS = 7


@dataclass(frozen=True, kw_only=True)
class Slipping:
    """A visit that is late or about to be, and in words why."""

    visit: Visit
    words: str
    is_late: bool


def slipping(*, day: dt.date) -> list[Slipping]:
    """Visits not done that are late on DAY or leave their window soon, worst first."""
    soon = day + dt.timedelta(days=SLIPPING_DAYS)
    visits = (
        Visit.objects.filter(state__in=[VisitState.PLANNED, VisitState.UNDER_WAY])
        .filter(
            Q(contract__isnull=True) | Q(contract__state=ContractState.RUNNING),
        )
        .exclude(job__state=JobState.CALLED_OFF)
        .filter(
            Q(day__lt=day)
            | Q(day__isnull=True, latest_on__lte=soon)
            | Q(latest_on__lt=day)
        )
        .select_related("garden", "crew")
        .order_by("latest_on", "day", "id")
    )
    found = []
    for visit in visits:
        if visit.day is not None and visit.day < day:
            words = _("planned for %(day)s and not done") % {
                "day": written(visit.day, "D j M Y")
            }
            late = True
        elif visit.latest_on is not None and visit.latest_on < day:
            words = _("its window ended on %(day)s") % {
                "day": written(visit.latest_on, "D j M Y")
            }
            late = True
        elif visit.latest_on is not None:
            words = _("its window ends on %(day)s") % {
                "day": written(visit.latest_on, "D j M Y")
            }
            late = False
        else:
            continue
        found.append(Slipping(visit=visit, words=words, is_late=late))
    return sorted(found, key=lambda row: not row.is_late)
