"""The page of one visit, and a crew's day to put in order."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from firm.models import Crew
from jobs.enums import VisitState
from jobs.models import HourEntry, Problem, Visit, VisitTask
from jobs.queries.week.moved import MovedOut, moved_out
from jobs.queries.week.objections import Objection, objections, visit_to_place
from jobs.queries.week.slipping import window_words

MOVABLE = (VisitState.PLANNED, VisitState.UNDER_WAY)


@dataclass(frozen=True, kw_only=True)
class VisitPage:
    """One visit with its tasks, hours and problems."""

    visit: Visit
    tasks: Sequence[VisitTask]
    hours: Sequence[HourEntry]
    problems: Sequence[Problem]
    objections: Sequence[Objection]
    window: str
    moved_out: MovedOut | None
    successor: Visit | None

    @property
    def is_planned(self) -> bool:
        """Whether it may still be placed, moved or called off."""
        return self.visit.state == VisitState.PLANNED


def visit_page(*, visit_id: int, day: dt.date) -> VisitPage | None:
    """The page of a visit as it stands on DAY; None without."""
    visit = visit_to_place(visit_id=visit_id)
    if visit is None:
        return None
    return VisitPage(
        visit=visit,
        tasks=list(visit.tasks.all()),
        hours=list(
            HourEntry.objects.filter(visit=visit)
            .select_related("person")
            .order_by("day", "id")
        ),
        problems=list(
            Problem.objects.filter(visit=visit)
            .select_related("planting", "raised_by")
            .order_by("raised_at", "id")
        ),
        objections=objections(visit=visit, day=visit.day)
        if visit.day and visit.state in MOVABLE
        else [],
        window=window_words(visit, day)[0],
        moved_out=next(iter(moved_out(day=day, visit_id=visit.pk)), None),
        successor=Visit.objects.filter(instead_of=visit).first(),
    )


def stops_of(*, crew_id: int, day: dt.date) -> tuple[Crew, list[Visit]] | None:
    """A crew's stops of a day in order; None without such a crew."""
    crew = Crew.objects.filter(pk=crew_id).first()
    if crew is None:
        return None
    return crew, list(
        Visit.objects.filter(crew=crew, day=day, state__in=MOVABLE)
        .select_related("garden")
        .order_by("position", "id")
    )
