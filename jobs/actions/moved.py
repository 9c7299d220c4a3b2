"""Planned work follows what was seen and its climates; agreed days stay."""

import datetime as dt
from collections.abc import Collection, Mapping

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from firm.actions.record import record
from firm.models import Person
from jobs.enums import VisitState
from jobs.models import Visit, VisitTask
from jobs.queries.week.moved import OPEN_TASKS, VisitMove, moved_out, visits_to_move
from plants.climate import Climate


@transaction.atomic
def follow_windows(
    *,
    plantings: Collection[int],
    day: dt.date,
    now: dt.datetime,
    by: Person,
    before: Mapping[int, Climate] | None = None,
) -> list[str]:
    """What moved in planned visits with work on PLANTINGS, in sentences.

    BEFORE holds the old climates by station where the figures of some have changed;
    else it was seen in the gardens.

    Windows of open tasks and of their visits move; the day that a visit stands on does
    not: where it lies outside now, the owner is told, with the nearest good day.
    """
    moves = visits_to_move(plantings=plantings, day=day, before=before)
    for move in moves:
        _take_over(move, now, by, has_new_climate=bool(before))
    if not moves:
        return []
    said = [
        ngettext(
            "%(n)d planned visit moved its window with it.",
            "%(n)d planned visits moved their windows with it.",
            len(moves),
        )
        % {"n": len(moves)}
    ]
    touched = {move.visit.pk for move in moves}
    said.extend(
        f"{out.visit.garden.name}, {out.visit.title}, {out.words}."
        for out in moved_out(day=day)
        if out.visit.pk in touched
    )
    said.extend(
        _("%(garden)s, %(title)s: its tasks share no day any more; look at it.")
        % {"garden": move.visit.garden.name, "title": move.visit.title}
        for move in moves
        if move.days is None and move.visit.earliest_on is not None
    )
    return said


def _take_over(
    move: VisitMove, now: dt.datetime, by: Person, *, has_new_climate: bool
) -> None:
    """Write the new days of one visit's tasks, and keep those that were agreed."""
    before = {task.pk: task for task in move.visit.tasks.all()}
    details = {}
    for pk, (earliest, best, latest) in move.tasks.items():
        task = before[pk]
        stood = task.earliest_on, task.best_on, task.latest_on
        agreed = task.agreed_earliest_on, task.agreed_best_on, task.agreed_latest_on
        if agreed == (None, None, None):
            agreed = stood
        if agreed == (earliest, best, latest):
            # Back where it was agreed.
            agreed = None, None, None
        VisitTask.objects.filter(pk=pk, state__in=OPEN_TASKS).update(
            earliest_on=earliest,
            best_on=best,
            latest_on=latest,
            agreed_earliest_on=agreed[0],
            agreed_best_on=agreed[1],
            agreed_latest_on=agreed[2],
        )
        details[str(pk)] = [str(each) for each in (*stood, earliest, best, latest)]
    days = move.days
    changes = (
        {}
        if days is None
        else dict(zip(("earliest_on", "best_on", "latest_on"), days, strict=True))
    )
    Visit.objects.filter(pk=move.visit.pk, state=VisitState.PLANNED).update(
        **changes, version=F("version") + 1
    )
    record(
        action="windows moved",
        subject=move.visit,
        summary=(
            f"{move.visit.title}: windows moved with "
            + ("the figures of the climate" if has_new_climate else "what was seen")
        ),
        now=now,
        by=by,
        details=details,
    )
