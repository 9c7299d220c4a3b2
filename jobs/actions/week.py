"""Placing visits on the week board, and what weather does to them."""

import datetime as dt

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Person
from jobs.enums import TaskState, VisitState
from jobs.models import Visit, VisitTask


class CannotRainOff(Exception):
    """A visit that is over cannot be rained off."""

    def __init__(self) -> None:
        super().__init__(_("This visit is over; it can no longer be rained off."))


@transaction.atomic
def rain_off(*, visit: Visit, reason: str, by: Person, now: dt.datetime) -> Visit:
    """The visit that takes its place, with its open tasks and no day yet."""
    if (
        Visit.objects.filter(
            pk=visit.pk, state__in=[VisitState.PLANNED, VisitState.UNDER_WAY]
        ).update(state=VisitState.RAINED_OFF, ended_at=now, version=F("version") + 1)
        != 1
    ):
        raise CannotRainOff
    visit.refresh_from_db()
    successor = Visit.objects.create(
        kind=visit.kind,
        garden_id=visit.garden_id,
        job_id=visit.job_id,
        contract_id=visit.contract_id,
        title=visit.title,
        crew_id=None,
        day=None,
        earliest_on=visit.earliest_on,
        best_on=visit.best_on,
        latest_on=visit.latest_on,
        planned_hours=visit.planned_hours,
        notes=visit.notes,
        owners_reason=visit.owners_reason,
        instead_of=visit,
    )
    # What was done stays with the day it was done on; the rest moves on.
    VisitTask.objects.filter(
        visit=visit, state__in=[TaskState.OPEN, TaskState.PART_DONE]
    ).update(visit=successor)
    record(
        action="visit rained off",
        subject=visit,
        summary=f"{visit.title} rained off: {reason}",
        now=now,
        by=by,
        details={"successor": successor.pk},
    )
    return successor
