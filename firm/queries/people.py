"""People, invitations, crews and free days, for the pages that keep them."""

import datetime as dt
import hashlib

from django.db.models import F, Prefetch

from firm.models import Crew, CrewMember, DayOff, Invitation, Person


def people() -> list[Person]:
    """Everybody of the firm, those switched off last, by name."""
    return list(Person.objects.order_by("-is_active", "name", "id"))


def person(*, person_id: int) -> Person | None:
    """One person; None if there is none."""
    return Person.objects.filter(pk=person_id).first()


def open_invitations(*, now: dt.datetime) -> list[Invitation]:
    """Invitations that still let somebody in, the oldest first."""
    return list(
        Invitation.objects.filter(
            used_at__isnull=True, withdrawn_at__isnull=True, expires_at__gt=now
        )
        .select_related("invited_by")
        .order_by("invited_at", "id")
    )


def hash_of_key(key: str) -> str:
    """What is stored of an invitation's key."""
    return hashlib.sha256(key.encode()).hexdigest()


def invitation_by_key(*, key: str) -> Invitation | None:
    """The invitation whose link holds KEY, whatever became of it."""
    return Invitation.objects.filter(key_hash=hash_of_key(key)).first()


def invitation_by_id(*, invitation_id: int) -> Invitation | None:
    """One invitation; None if there is none."""
    return (
        Invitation.objects.select_related("invited_by").filter(pk=invitation_id).first()
    )


def is_open(*, invitation: Invitation, now: dt.datetime) -> bool:
    """True while the invitation's link lets its person in."""
    return (
        invitation.used_at is None
        and invitation.withdrawn_at is None
        and now < invitation.expires_at
    )


def crews_with_members() -> list[Crew]:
    """Every crew, those given up last, each with its stays, the latest first."""
    stays = CrewMember.objects.select_related("person").order_by("-starts_on", "id")
    return list(
        Crew.objects.prefetch_related(Prefetch("members", queryset=stays)).order_by(
            F("retired_on").asc(nulls_first=True), "name", "id"
        )
    )


def crew(*, crew_id: int) -> Crew | None:
    """One crew with its stays, the latest first; None if there is none."""
    stays = CrewMember.objects.select_related("person").order_by("-starts_on", "id")
    return (
        Crew.objects.prefetch_related(Prefetch("members", queryset=stays))
        .filter(pk=crew_id)
        .first()
    )


def stay(*, member_id: int) -> CrewMember | None:
    """One person's stay in a crew; None if there is none."""
    return (
        CrewMember.objects.select_related("crew", "person").filter(pk=member_id).first()
    )


def days_off(*, since: dt.date) -> list[DayOff]:
    """Free days from SINCE on, the nearest first."""
    return list(
        DayOff.objects.filter(day__gte=since)
        .select_related("crew")
        .order_by("day", "id")
    )


def day_off(*, day_off_id: int) -> DayOff | None:
    """One free day; None if there is none."""
    return DayOff.objects.filter(pk=day_off_id).first()
