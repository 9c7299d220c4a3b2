"""People of the firm, their crews and their free days."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.enums import Role
from firm.models import Crew, CrewMember, DayOff, Person


class LastOwner(Exception):
    """The firm would be left without an owner who can log in."""

    def __init__(self) -> None:
        super().__init__(
            _("This is the last owner who can log in. Name another owner first.")
        )


class NameTaken(Exception):
    """Another crew has this name."""

    def __init__(self) -> None:
        super().__init__(_("Another crew has this name."))


class AlreadyInCrew(Exception):
    """The person is in that crew on some of those days already."""

    def __init__(self) -> None:
        super().__init__(_("This person is in the crew on some of these days already."))


class DayAlreadyOff(Exception):
    """That day is free already."""

    def __init__(self) -> None:
        super().__init__(_("This day is free already."))


class EndsBeforeStart(Exception):
    """A stay in a crew that would end before it begins."""

    def __init__(self) -> None:
        super().__init__(_("The last day lies before the first."))


@dataclass(frozen=True, kw_only=True)
class PersonDetails:
    """What the owner keeps of a person."""

    name: str
    role: str
    phone: str = ""
    language: str = "en"
    hour_cost: Decimal = Decimal(0)
    is_active: bool = True


PERSON_FIELDS = list(PersonDetails.__dataclass_fields__)


@transaction.atomic
def add_person(*, details: PersonDetails, by: Person, now: dt.datetime) -> Person:
    """The new person, who has no mail address here and so cannot log in."""
    person = Person(**{name: getattr(details, name) for name in PERSON_FIELDS})
    person.set_unusable_password()
    person.save()
    record(
        action="person added",
        subject=person,
        summary=f"{person.name} added as {person.role}",
        now=now,
        by=by,
    )
    return person


@transaction.atomic
def change_person(
    *, person_id: int, details: PersonDetails, by: Person, now: dt.datetime
) -> Person:
    """The changed person; raises LastOwner rather than lock everybody out."""
    # Locked on PostgreSQL, so that two owners cannot switch each other off at once;
    # on SQLite the transaction itself is the lock.
    list(
        Person.objects.select_for_update()
        .filter(role=Role.OWNER)
        .order_by("id")
        .values_list("id")
    )
    person = Person.objects.get(pk=person_id)
    changed = [
        name
        for name in PERSON_FIELDS
        if getattr(person, name) != getattr(details, name)
    ]
    for name in changed:
        setattr(person, name, getattr(details, name))
    if changed:
        person.save(update_fields=changed)
    if not _owners_who_can_log_in():
        raise LastOwner
    record(
        action="person changed",
        subject=person,
        summary=f"{person.name} changed",
        now=now,
        by=by,
        details={"fields": changed},
    )
    return person


def _owners_who_can_log_in() -> int:
    return Person.objects.filter(
        role=Role.OWNER, is_active=True, email__isnull=False
    ).count()


@dataclass(frozen=True, kw_only=True)
class CrewDetails:
    """What is kept of a crew."""

    name: str
    hours_per_day: Decimal = Decimal(8)
    start_at: dt.time = dt.time(7, 30)
    vehicle: str = ""
    payload_kg: Decimal | None = None
    retired_on: dt.date | None = None


CREW_FIELDS = list(CrewDetails.__dataclass_fields__)


@transaction.atomic
def save_crew(
    *, crew_id: int | None, details: CrewDetails, by: Person | None, now: dt.datetime
) -> Crew:
    """The crew as described; a new one without an id."""
    crew = Crew.objects.get(pk=crew_id) if crew_id else Crew()
    for name in CREW_FIELDS:
        setattr(crew, name, getattr(details, name))
    try:
        with transaction.atomic():
            crew.save(update_fields=CREW_FIELDS if crew_id else None)
    except IntegrityError as error:
        if Crew.objects.filter(name=details.name).exclude(pk=crew_id or 0).exists():
            raise NameTaken from error
        raise
    record(
        action="crew changed" if crew_id else "crew added",
        subject=crew,
        summary=f"Crew {crew.name} {'changed' if crew_id else 'added'}",
        now=now,
        by=by,
    )
    return crew


@transaction.atomic
def put_in_crew(
    *,
    crew_id: int,
    person_id: int,
    starts_on: dt.date,
    ends_on: dt.date | None,
    is_lead: bool,
    by: Person,
    now: dt.datetime,
) -> CrewMember:
    """The new stay of the person in the crew."""
    if ends_on is not None and ends_on < starts_on:
        raise EndsBeforeStart
    crew = Crew.objects.select_for_update().get(pk=crew_id)
    same_days = CrewMember.objects.filter(crew=crew, person_id=person_id).filter(
        Q(ends_on__isnull=True) | Q(ends_on__gte=starts_on)
    )
    if ends_on is not None:
        same_days = same_days.filter(starts_on__lte=ends_on)
    if same_days.exists():
        raise AlreadyInCrew
    member = CrewMember.objects.create(
        crew=crew,
        person_id=person_id,
        starts_on=starts_on,
        ends_on=ends_on,
        is_lead=is_lead,
    )
    record(
        action="put in crew",
        subject=crew,
        summary=f"{member.person.name} in {crew.name} from {starts_on}",
        now=now,
        by=by,
    )
    return member


@transaction.atomic
def end_stay_in_crew(
    *, member_id: int, ends_on: dt.date, by: Person, now: dt.datetime
) -> CrewMember:
    """The stay in a crew, ending on ENDS_ON."""
    member = CrewMember.objects.select_related("crew", "person").get(pk=member_id)
    if ends_on < member.starts_on:
        raise EndsBeforeStart
    later = CrewMember.objects.filter(
        crew=member.crew,
        person=member.person,
        starts_on__gt=member.starts_on,
        starts_on__lte=ends_on,
    )
    if later.exists():
        raise AlreadyInCrew
    member.ends_on = ends_on
    member.save(update_fields=["ends_on"])
    record(
        action="left crew",
        subject=member.crew,
        summary=f"{member.person.name} in {member.crew.name} until {ends_on}",
        now=now,
        by=by,
    )
    return member


@transaction.atomic
def add_day_off(
    *,
    day: dt.date,
    crew_id: int | None,
    reason: str,
    by: Person,
    now: dt.datetime,
) -> DayOff:
    """The new free day, of one crew or of everybody."""
    day_off = DayOff(day=day, crew_id=crew_id, reason=reason)
    try:
        with transaction.atomic():
            day_off.save()
    except IntegrityError as error:
        whose = Q(crew__isnull=True) if crew_id is None else Q(crew_id=crew_id)
        if DayOff.objects.filter(whose, day=day).exists():
            raise DayAlreadyOff from error
        raise
    record(
        action="day off added",
        subject=day_off,
        summary=f"{day} free: {reason}",
        now=now,
        by=by,
    )
    return day_off


@transaction.atomic
def remove_day_off(*, day_off_id: int, by: Person, now: dt.datetime) -> DayOff:
    """The free day that was taken away."""
    day_off = DayOff.objects.get(pk=day_off_id)
    record(
        action="day off removed",
        subject=day_off,
        summary=f"{day_off.day} no longer free",
        now=now,
        by=by,
    )
    day_off.delete()
    return day_off
