"""What a crew writes down: tasks ticked, hours, problems, visits begun and ended."""

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.db.models import F, Sum
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from firm.actions.messages import queue
from firm.actions.record import record
from firm.enums import Role
from firm.models import Crew, Person
from firm.queries import firm_or_blank
from jobs.actions.work import finish_single_visit, note_visit_started, refuse_to_dig
from jobs.enums import BillState, HourKind, TaskState, VisitKind, VisitState
from jobs.models import Bill, HourEntry, Problem, Visit, VisitTask
from jobs.queries.work.cautions import firm_day
from plants.models import Garden, Planting

GOING_ON = (VisitState.PLANNED, VisitState.UNDER_WAY)


class VisitIsOver(Exception):
    """A visit that was ended, rained off or called off."""

    def __init__(self) -> None:
        super().__init__(_("This visit is over; its tasks stay as they are."))


class NotBegun(Exception):
    """A visit that cannot begin where it stands."""

    def __init__(self) -> None:
        super().__init__(_("This visit was begun or ended already."))


class TasksAreOpen(Exception):
    """A visit that was to be ended with open tasks and no word why."""

    def __init__(self, count: int) -> None:
        super().__init__(
            ngettext(
                "%(count)d task is still open. Tick it, or say why it is left out.",
                "%(count)d tasks are still open. Tick them, or say why they are "
                "left out.",
                count,
            )
            % {"count": count}
        )


class NeedsAReason(Exception):
    """A task left out without a word why."""

    def __init__(self) -> None:
        super().__init__(_("Say in a few words why it is left out."))


class TooManyHours(Exception):
    """More hours in a day than a day has."""


class NotYet(Exception):
    """Work written down for a day that is still to come."""

    def __init__(self) -> None:
        super().__init__(_("This day is still to come."))


@dataclass(frozen=True, kw_only=True)
class Hours:
    """So many hours of one person for one thing."""

    person: Person
    kind: HourKind
    hours: Decimal


def _refuse_a_day_to_come(visit: Visit, now: dt.datetime) -> None:
    """Refuse work on a visit that stands on a day after today."""
    if visit.day is not None and visit.day > firm_day(now):
        raise NotYet


def _refuse_to_begin(visit: Visit, now: dt.datetime) -> None:
    """Refuse to begin a visit whose job digs while nobody may dig."""
    if visit.job is not None and visit.state == VisitState.PLANNED:
        refuse_to_dig(job=visit.job, day=firm_day(now))


@transaction.atomic
def start_visit(*, visit: Visit, by: Person, now: dt.datetime) -> Visit:
    """The visit, under way, and its booked job with it.

    LinesNotMarked where its job digs and nobody may dig yet.
    """
    _refuse_a_day_to_come(visit, now)
    _refuse_to_begin(visit, now)
    if (
        Visit.objects.filter(pk=visit.pk, state=VisitState.PLANNED).update(
            state=VisitState.UNDER_WAY, started_at=now, version=F("version") + 1
        )
        != 1
    ):
        raise NotBegun
    note_visit_started(visit=visit, by=by, now=now)
    record(
        action="visit begun",
        subject=visit,
        summary=f"{visit.title} begun",
        now=now,
        by=by,
    )
    visit.refresh_from_db()
    return visit


@transaction.atomic
def settle_task(
    *,
    task: VisitTask,
    state: TaskState,
    reason: str,
    note: str,
    by: Person,
    now: dt.datetime,
) -> VisitTask:
    """The task in its new state; the visit is under way from its first task on.

    LinesNotMarked where that would begin a visit whose job may not dig yet. Ticking a
    task twice leaves the first tick as it is.
    """
    if state == TaskState.LEFT_OUT and not reason.strip():
        raise NeedsAReason
    if not Visit.objects.filter(pk=task.visit_id, state__in=GOING_ON).exists():
        raise VisitIsOver
    _refuse_a_day_to_come(task.visit, now)
    _refuse_to_begin(task.visit, now)
    begun = Visit.objects.filter(pk=task.visit_id, state=VisitState.PLANNED).update(
        state=VisitState.UNDER_WAY, started_at=now, version=F("version") + 1
    )
    if begun:
        note_visit_started(visit=task.visit, by=by, now=now)
    settled = state in (TaskState.DONE, TaskState.LEFT_OUT)
    changed = (
        VisitTask.objects.filter(pk=task.pk)
        .exclude(state=state, note=note, left_out_reason=reason.strip())
        .update(
            state=state,
            note=note,
            left_out_reason=reason.strip() if state == TaskState.LEFT_OUT else "",
            settled_at=now if settled else None,
            settled_by=by if settled else None,
        )
    )
    if changed:
        record(
            action="task settled",
            subject=task,
            summary=f"{task.title}: {state.label}",
            now=now,
            by=by,
            details={"reason": reason, "note": note},
        )
    task.refresh_from_db()
    return task


@transaction.atomic
def end_visit(
    *, visit: Visit, left_out_reason: str, by: Person, now: dt.datetime
) -> Visit:
    """The visit, done; open tasks are left out for the one reason given, or refuse.

    A single visit finishes its job. A planting job stays under way until the owner
    records what was planted. LinesNotMarked where it never began and nobody may dig:
    such a visit is called off or moved, not ended.
    """
    _refuse_a_day_to_come(visit, now)
    _refuse_to_begin(visit, now)
    reason = left_out_reason.strip()
    still_open = VisitTask.objects.filter(
        visit=visit, state__in=[TaskState.OPEN, TaskState.PART_DONE]
    )
    count = still_open.count()
    if count and not reason:
        raise TasksAreOpen(count)
    if (
        Visit.objects.filter(pk=visit.pk, state__in=GOING_ON).update(
            state=VisitState.DONE, ended_at=now, version=F("version") + 1
        )
        != 1
    ):
        raise VisitIsOver
    still_open.update(
        state=TaskState.LEFT_OUT,
        left_out_reason=reason,
        settled_at=now,
        settled_by=by,
    )
    record(
        action="visit done",
        subject=visit,
        summary=f"{visit.title} done",
        now=now,
        by=by,
        details={"left_out": count, "reason": reason},
    )
    visit.refresh_from_db()
    if visit.kind == VisitKind.SINGLE:
        finish_single_visit(visit=visit, now=now, by=by)
    elif visit.kind == VisitKind.PLANTING:
        note_visit_started(visit=visit, by=by, now=now)
    return visit


@transaction.atomic
def log_hours(
    *,
    day: dt.date,
    today: dt.date,
    entries: Sequence[Hours],
    visit: Visit | None,
    crew: Crew | None,
    note: str,
    key: uuid.UUID,
    by: Person,
    now: dt.datetime,
) -> list[HourEntry]:
    """The hours of several people, whole or not at all.

    KEY belongs to the form: sent twice, the first rows come back. What an hour costs is
    the person's own figure, else the firm's, as it stands now.
    """
    if day > today:
        raise NotYet
    keys = [uuid.uuid5(key, str(number)) for number in range(len(entries))]
    if there := list(HourEntry.objects.filter(key__in=keys).order_by("id")):
        return there
    firm_cost = firm_or_blank().hour_cost
    made: list[HourEntry] = []
    for entry_key, entry in zip(keys, entries, strict=True):
        logged = HourEntry.objects.filter(person=entry.person, day=day).aggregate(
            sum=Sum("hours")
        )["sum"] or Decimal(0)
        if logged + entry.hours > 24:
            raise TooManyHours(
                _("%(name)s would have %(hours)s hours on that day.")
                % {
                    "name": entry.person.name,
                    "hours": (logged + entry.hours).normalize(),
                }
            )
        made.append(
            HourEntry.objects.create(
                person=entry.person,
                day=day,
                kind=entry.kind,
                hours=entry.hours,
                hour_cost=entry.person.hour_cost or firm_cost,
                visit=visit,
                crew=crew,
                note=note,
                logged_by=by,
                logged_at=now,
                key=entry_key,
            )
        )
        record(
            action="hours logged",
            subject=made[-1],
            summary=f"{entry.hours} h of {entry.person.name}, {entry.kind.label}",
            now=now,
            by=by,
        )
    return made


class HoursAreBilled(Exception):
    """Hours that a client was billed for."""

    def __init__(self) -> None:
        super().__init__(_("These hours are on a bill. Take the bill back first."))


@transaction.atomic
def take_back_hours(*, entry: HourEntry, by: Person, now: dt.datetime) -> HourEntry:
    """The hours, gone from the books; what they were stays in the record."""
    job = entry.visit.job if entry.visit else None
    by_the_hour = job is not None and job.price is None
    if (
        by_the_hour
        and entry.kind == HourKind.WORK
        and Bill.objects.filter(job=job).exclude(state=BillState.CREDITED).exists()
    ):
        raise HoursAreBilled
    record(
        action="hours taken back",
        subject=entry,
        summary=f"{entry.hours} h of {entry.person.name}, {entry.kind}, taken back",
        now=now,
        by=by,
        details={
            "day": entry.day.isoformat(),
            "hours": str(entry.hours),
            "hour_cost": str(entry.hour_cost),
            "visit": entry.visit_id,
        },
    )
    HourEntry.objects.filter(pk=entry.pk).delete()
    return entry


@transaction.atomic
def raise_problem(
    *,
    garden: Garden,
    visit: Visit | None,
    planting: Planting | None,
    text: str,
    photo: str,
    key: uuid.UUID,
    by: Person,
    now: dt.datetime,
) -> Problem:
    """The problem, told to every owner with an address; one KEY twice is one."""
    if there := Problem.objects.filter(key=key).first():
        return there
    problem = Problem.objects.create(
        garden=garden,
        visit=visit,
        planting=planting,
        text=text,
        photo=photo,
        raised_by=by,
        raised_at=now,
        key=key,
    )
    record(
        action="problem noted",
        subject=problem,
        summary=f"problem at {garden.name}: {text[:120]}",
        now=now,
        by=by,
    )
    owners = Person.objects.filter(
        role=Role.OWNER, is_active=True, email__isnull=False
    ).order_by("id")
    for owner in owners:
        if owner != by:
            queue(
                key=f"problem:{problem.pk}:{owner.pk}",
                kind="problem noted",
                recipient=owner.email or "",
                payload={"problem": problem.pk, "person": owner.pk},
                due_at=now,
                language=owner.language,
                now=now,
            )
    return problem


class AlreadySettled(Exception):
    """A problem that somebody settled before."""

    def __init__(self) -> None:
        super().__init__(_("Somebody settled this problem before."))


@transaction.atomic
def settle_problem(
    *, problem: Problem, note: str, by: Person, now: dt.datetime
) -> Problem:
    """The problem, settled, with a word on how."""
    if (
        Problem.objects.filter(pk=problem.pk, settled_at__isnull=True).update(
            settled_at=now, settled_by=by, settled_note=note
        )
        != 1
    ):
        raise AlreadySettled
    record(
        action="problem settled",
        subject=problem,
        summary=f"problem at {problem.garden.name} settled: {note[:120]}",
        now=now,
        by=by,
    )
    problem.refresh_from_db()
    return problem
