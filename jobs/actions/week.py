"""Placing visits on the week board, ordering them, and what weather does to them."""

import datetime as dt
from collections.abc import Mapping, Sequence
from decimal import Decimal

from django.db import transaction
from django.db.models import F, Sum
from django.utils.translation import gettext as _

from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Crew, Person
from firm.money import round_half_up
from firm.queries import firm_or_blank
from jobs.actions.quotes.lines import local_day
from jobs.actions.work.visits import next_stop
from jobs.enums import ContractState, JobState, TaskState, VisitKind, VisitState
from jobs.models import Visit, VisitTask
from jobs.queries.week import Objection, day_said, objections, visit_to_place

OPEN_TASKS = (TaskState.OPEN, TaskState.PART_DONE)
GOING_ON = (VisitState.PLANNED, VisitState.UNDER_WAY)


class WeekRefused(Exception):
    """Something that cannot be done with a visit now; says why."""


class NoSuchVisit(WeekRefused):
    """There is no such visit or crew."""

    def __init__(self) -> None:
        super().__init__(_("There is no such visit or crew."))


class VisitMovedOn(WeekRefused):
    """The visit is not planned any more."""

    def __init__(self, state: str) -> None:
        super().__init__(
            _("Not done: this visit is now %(state)s. Look at it again.")
            % {"state": state}
        )


class DayIsOver(WeekRefused):
    """A visit was to be planned for a day in the past."""

    def __init__(self, day: dt.date) -> None:
        super().__init__(
            _("%(day)s is over. Plan it for today or later.") % {"day": day_said(day)}
        )


class PlacedAtItsJob(WeekRefused):
    """The day of a booked job is chosen on the page of the job."""

    def __init__(self) -> None:
        super().__init__(
            _("Its day is chosen on the page of its job, with the planting windows.")
        )


class ContractRests(WeekRefused):
    """A visit of a contract that is not running."""

    def __init__(self) -> None:
        super().__init__(_("Its contract is not running, so it is not planned."))


class DayNeedsReason(WeekRefused):
    """A day outside a window or in a closed season, without the owner's reason."""

    def __init__(self, found: Sequence[Objection]) -> None:
        super().__init__(
            _("This day is wrong for what is named above. Write why it is done anyway.")
        )
        self.objections = tuple(found)


class CannotRainOff(WeekRefused):
    """A visit that is over cannot be rained off."""

    def __init__(self) -> None:
        super().__init__(_("This visit is over; it can no longer be rained off."))


@transaction.atomic
def place_visit(
    *,
    visit_id: int,
    version: int,
    crew_id: int,
    day: dt.date,
    position: int | None,
    reason: str,
    by: Person,
    now: dt.datetime,
) -> Visit:
    """The visit with a crew on DAY, last of its stops or at POSITION.

    A day outside a task's window or in a closed season needs REASON, which is kept.
    """
    visit = visit_to_place(visit_id=visit_id)
    crew = Crew.objects.filter(pk=crew_id).exclude(retired_on__lte=day).first()
    if visit is None or crew is None:
        raise NoSuchVisit
    if day < local_day(now, firm_or_blank()):
        raise DayIsOver(day)
    _refuse_unless_here(visit)
    found = objections(visit=visit, day=day)
    reason = reason.strip()[:300]
    if found and not reason:
        raise DayNeedsReason(found)
    stays = (visit.crew_id, visit.day) == (crew.pk, day)
    if position is None:
        position = visit.position if stays else next_stop(crew=crew, day=day)
    changed = Visit.objects.filter(
        pk=visit_id, version=version, state=VisitState.PLANNED
    ).update(
        crew=crew,
        day=day,
        position=position,
        owners_reason=reason if found else "",
        version=F("version") + 1,
    )
    was = visit.day
    visit = _changed(visit_id, changed)
    # The day was chosen with the windows as they stand: these are the agreed ones now.
    VisitTask.objects.filter(visit=visit, agreed_best_on__isnull=False).update(
        agreed_earliest_on=None, agreed_best_on=None, agreed_latest_on=None
    )
    record(
        action="visit placed" if was is None else "visit moved",
        subject=visit,
        summary=f"{visit.title} on {day:%Y-%m-%d} with {crew.name}",
        now=now,
        by=by,
        details={"reason": reason, "against": [each.words for each in found]}
        if found
        else None,
    )
    return visit


@transaction.atomic
def take_off_board(
    *, visit_id: int, version: int, by: Person, now: dt.datetime
) -> Visit:
    """The visit without crew and day, to be placed anew."""
    visit = visit_to_place(visit_id=visit_id)
    if visit is None:
        raise NoSuchVisit
    _refuse_unless_here(visit)
    changed = Visit.objects.filter(
        pk=visit_id, version=version, state=VisitState.PLANNED
    ).update(
        crew=None, day=None, position=1, owners_reason="", version=F("version") + 1
    )
    visit = _changed(visit_id, changed)
    record(
        action="visit taken off",
        subject=visit,
        summary=f"{visit.title} taken off the board",
        now=now,
        by=by,
    )
    return visit


@transaction.atomic
def call_off_visit(
    *, visit_id: int, version: int, reason: str, by: Person, now: dt.datetime
) -> Visit:
    """A visit of a contract called off with its reason."""
    visit = visit_to_place(visit_id=visit_id)
    if visit is None:
        raise NoSuchVisit
    if visit.kind != VisitKind.CARE:
        raise PlacedAtItsJob
    changed = Visit.objects.filter(
        pk=visit_id, version=version, state=VisitState.PLANNED
    ).update(state=VisitState.CALLED_OFF, version=F("version") + 1)
    visit = _changed(visit_id, changed)
    record(
        action="visit called off",
        subject=visit,
        summary=f"{visit.title} called off: {reason}",
        now=now,
        by=by,
        details={"reason": reason},
    )
    return visit


@transaction.atomic
def order_stops(
    *,
    crew_id: int,
    day: dt.date,
    places: Mapping[int, int],
    by: Person,
    now: dt.datetime,
) -> list[Visit]:
    """The crew's stops of DAY numbered from 1 in the order of the typed PLACES.

    Every stop must be named: one that came or went meanwhile is somebody else's change.
    """
    crew = Crew.objects.filter(pk=crew_id).first()
    if crew is None:
        raise NoSuchVisit
    stops = list(
        Visit.objects.select_for_update(of=("self",))
        .filter(crew=crew, day=day, state__in=GOING_ON)
        .order_by("position", "id")
    )
    if {visit.pk for visit in stops} != set(places):
        raise SomebodyElseChangedIt
    stops.sort(key=lambda visit: (places[visit.pk], visit.position, visit.pk))
    for number, visit in enumerate(stops, start=1):
        Visit.objects.filter(pk=visit.pk).update(position=number)
        visit.position = number
    record(
        action="stops ordered",
        subject=crew,
        summary=f"{crew.name} on {day:%Y-%m-%d}: "
        + ", ".join(visit.title for visit in stops),
        now=now,
        by=by,
    )
    return stops


@transaction.atomic
def rain_off(*, visit: Visit, reason: str, by: Person, now: dt.datetime) -> Visit:
    """The visit that takes its place, with its open tasks and no day yet."""
    changed = Visit.objects.filter(pk=visit.pk, state__in=GOING_ON).update(
        state=VisitState.RAINED_OFF, ended_at=now, version=F("version") + 1
    )
    if changed != 1:
        raise CannotRainOff
    visit.refresh_from_db()
    settled = VisitTask.objects.filter(visit=visit).exclude(state__in=OPEN_TASKS)
    minutes = settled.aggregate(all=Sum("minutes"))["all"] or 0
    done_h = round_half_up(Decimal(minutes) / 60, 2)
    successor = Visit.objects.create(
        kind=visit.kind,
        garden_id=visit.garden_id,
        job_id=visit.job_id,
        contract_id=visit.contract_id,
        title=visit.title,
        earliest_on=visit.earliest_on,
        best_on=visit.best_on,
        latest_on=visit.latest_on,
        planned_hours=max(visit.planned_hours - done_h, Decimal(0)),
        notes=visit.notes,
        instead_of=visit,
    )
    # What was done stays with the day it was done on; the rest moves on.
    VisitTask.objects.filter(visit=visit, state__in=OPEN_TASKS).update(visit=successor)
    record(
        action="visit rained off",
        subject=visit,
        summary=f"{visit.title} rained off: {reason}",
        now=now,
        by=by,
        details={"successor": successor.pk},
    )
    return successor


def _refuse_unless_here(visit: Visit) -> None:
    """Refuse a visit whose day is chosen elsewhere or that is not to be planned."""
    if visit.job is not None and visit.job.state != JobState.UNDER_WAY:
        raise PlacedAtItsJob
    if (
        visit.contract is not None
        and visit.contract.state != ContractState.RUNNING
        and not _still_runs(visit)
    ):
        raise ContractRests


def _still_runs(visit: Visit) -> bool:
    """Whether an ended contract's visit was left standing until its last day."""
    contract = visit.contract
    return (
        contract is not None
        and contract.state == ContractState.ENDED
        and visit.state == VisitState.PLANNED
        and contract.ended_on is not None
        and visit.best_on is not None
        and visit.best_on <= contract.ended_on
    )


def _changed(visit_id: int, changed: int) -> Visit:
    visit = Visit.objects.select_related("garden").filter(pk=visit_id).first()
    if visit is None:
        raise NoSuchVisit
    if changed != 1:
        if visit.state != VisitState.PLANNED:
            raise VisitMovedOn(visit.get_state_display())
        raise SomebodyElseChangedIt
    return visit
