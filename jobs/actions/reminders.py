"""Reminders put into the outbox: crews in the morning, clients, the owner's list."""

import datetime as dt
from zoneinfo import ZoneInfo

from django.db import transaction

from firm.actions.messages import queue
from firm.enums import Role
from firm.geo import local_moment
from firm.models import Person
from firm.queries import firm_or_blank, people_in
from jobs.enums import VisitState
from jobs.models import Visit

# Clients are told this many days before, at an hour that wakes nobody.
CLIENT_DAYS_BEFORE = 2
CLIENT_HOUR = dt.time(9, 0)
# A round that could not be sent by then is of no use any more.
ROUND_TOO_LATE = dt.time(18, 0)


@transaction.atomic
def queue_rounds(*, now: dt.datetime) -> int:
    """How many round letters wait for today and tomorrow: one a person, crew and day.

    The letter is written when it goes out, so it tells the round as it is by then.
    """
    firm = firm_or_blank()
    zone = firm.time_zone
    today = now.astimezone(ZoneInfo(zone)).date()
    queued = 0
    for day in (today, today + dt.timedelta(days=1)):
        crews = {
            visit.crew
            for visit in Visit.objects.filter(
                day=day, crew__isnull=False, state=VisitState.PLANNED
            ).select_related("crew")
        }
        for crew in sorted((c for c in crews if c), key=lambda crew: crew.pk):
            for person in people_in(crew=crew, day=day):
                if not person.email or not person.is_active:
                    continue
                queue(
                    key=f"round:{crew.pk}:{person.pk}:{day}",
                    kind="crew's round",
                    recipient=person.email,
                    payload={
                        "crew": crew.pk,
                        "person": person.pk,
                        "day": day.isoformat(),
                    },
                    due_at=local_moment(day, firm.round_sent_at, zone),
                    too_late_at=local_moment(day, ROUND_TOO_LATE, zone),
                    language=person.language,
                    now=now,
                )
                queued += 1
    return queued


@transaction.atomic
def queue_client_reminders(*, now: dt.datetime) -> int:
    """How many reminders wait for visits of the next days: one a contact and day.

    A visit that is placed later than two days before is told at once; one that is moved
    is told again for its new day.
    """
    firm = firm_or_blank()
    zone = firm.time_zone
    today = now.astimezone(ZoneInfo(zone)).date()
    visits = (
        Visit.objects.filter(
            state=VisitState.PLANNED,
            crew__isnull=False,
            day__gt=today,
            day__lte=today + dt.timedelta(days=CLIENT_DAYS_BEFORE + 1),
        )
        .select_related("garden__client")
        .prefetch_related("garden__client__contacts")
        .order_by("day", "id")
    )
    queued = 0
    for visit in visits:
        day = visit.day
        if day is None:
            continue
        for contact in visit.garden.client.contacts.all():
            if not contact.wants_reminders or not contact.email:
                continue
            queue(
                key=f"visit:{visit.pk}:{contact.pk}:{day}",
                kind="visit reminder",
                recipient=contact.email,
                payload={
                    "visit": visit.pk,
                    "contact": contact.name,
                    "day": day.isoformat(),
                },
                due_at=local_moment(
                    day - dt.timedelta(days=CLIENT_DAYS_BEFORE), CLIENT_HOUR, zone
                ),
                too_late_at=local_moment(day, dt.time(0, 0), zone),
                language=visit.garden.client.language,
                now=now,
            )
            queued += 1
    return queued


@transaction.atomic
def queue_morning_lists(*, now: dt.datetime) -> int:
    """How many morning lists wait for today: one an owner and day."""
    firm = firm_or_blank()
    zone = firm.time_zone
    day = now.astimezone(ZoneInfo(zone)).date()
    owners = Person.objects.filter(
        role=Role.OWNER, is_active=True, email__isnull=False
    ).order_by("id")
    for owner in owners:
        queue(
            key=f"morning:{owner.pk}:{day}",
            kind="morning list",
            recipient=owner.email or "",
            payload={"person": owner.pk, "day": day.isoformat()},
            due_at=local_moment(day, firm.round_sent_at, zone),
            too_late_at=local_moment(day, ROUND_TOO_LATE, zone),
            language=owner.language,
            now=now,
        )
    return len(owners)


@transaction.atomic
def queue_reminders(*, now: dt.datetime) -> int:
    """How many reminders of all kinds stand in the outbox for the coming days."""
    return (
        queue_rounds(now=now)
        + queue_client_reminders(now=now)
        + queue_morning_lists(now=now)
    )
