"""Reminders: in the outbox once, at local hours, and silent once they are pointless."""

import datetime as dt
from typing import Any

import pytest

from firm.models import Message, Person
from firm.registry import registry
from jobs.actions.reminders import queue_reminders
from jobs.actions.week import rain_off
from jobs.models import Visit
from tests import factories

# Sunday noon in New York; clocks go forward that night's morning (8 March 2026).
SATURDAY = dt.datetime(2026, 3, 7, 17, 0, tzinfo=dt.UTC)
SUNDAY = dt.date(2026, 3, 8)


def planned(person: Person, day: dt.date, **changes: Any) -> Visit:
    crew = person.memberships.get().crew
    visit: Visit = factories.VisitFactory(
        crew=crew, day=day, job__state="booked", job__day=day, job__crew=crew, **changes
    )
    return visit


def test_a_round_waits_for_six_in_the_morning_local_even_when_clocks_change(
    crew_member: Person,
) -> None:
    planned(crew_member, dt.date(2026, 3, 7))
    planned(crew_member, SUNDAY)
    queue_reminders(now=SATURDAY)
    queue_reminders(now=SATURDAY)
    rounds = Message.objects.filter(kind="crew's round").order_by("due_at")
    assert [row.due_at for row in rounds] == [
        dt.datetime(2026, 3, 7, 11, 0, tzinfo=dt.UTC),
        dt.datetime(2026, 3, 8, 10, 0, tzinfo=dt.UTC),
    ]
    assert {row.recipient for row in rounds} == {crew_member.email}


def test_a_round_is_no_longer_wanted_when_all_its_visits_are_rained_off(
    crew_member: Person, owner: Person
) -> None:
    visit = planned(crew_member, SUNDAY)
    queue_reminders(now=SATURDAY)
    message = Message.objects.get(kind="crew's round")
    kind = registry.message_kinds["crew's round"]
    assert kind.still_wanted(message, SATURDAY)
    rain_off(visit=visit, reason="storm", by=owner, now=SATURDAY)
    assert not kind.still_wanted(message, SATURDAY)


def test_a_client_is_told_two_days_before_at_nine_and_again_for_a_new_day(
    crew_member: Person,
) -> None:
    visit = planned(crew_member, dt.date(2026, 3, 10))
    contact = factories.ContactFactory(client=visit.garden.client)
    factories.ContactFactory(
        client=visit.garden.client,
        is_main=False,
        email="quiet@quill.example",
        wants_reminders=False,
    )
    queue_reminders(now=SATURDAY)
    first = Message.objects.get(kind="visit reminder")
    assert (first.recipient, first.due_at) == (
        contact.email,
        dt.datetime(2026, 3, 8, 13, 0, tzinfo=dt.UTC),
    )
    Visit.objects.filter(pk=visit.pk).update(day=dt.date(2026, 3, 9))
    queue_reminders(now=SATURDAY)
    second = Message.objects.filter(kind="visit reminder").latest("id")
    kind = registry.message_kinds["visit reminder"]
    assert second != first
    assert not kind.still_wanted(first, SATURDAY)
    assert kind.still_wanted(second, SATURDAY)


def test_the_owner_gets_one_morning_list_and_only_when_there_is_something_to_tell(
    owner: Person, crew_member: Person
) -> None:
    queue_reminders(now=SATURDAY)
    queue_reminders(now=SATURDAY + dt.timedelta(minutes=5))
    message = Message.objects.get(kind="morning list")
    kind = registry.message_kinds["morning list"]
    assert message.recipient == owner.email
    assert not kind.still_wanted(message, SATURDAY)
    late = planned(crew_member, dt.date(2026, 3, 2), title="Prune the lilacs")
    assert kind.still_wanted(message, SATURDAY)
    letter = kind.write(message)
    assert f"{late.garden.name}: Prune the lilacs" in letter.text
    assert "planned for Mon 2 Mar and not done" in letter.text


def test_the_round_letter_tells_stops_instructions_and_the_load(
    crew_member: Person, mailoutbox: list[Any], settings: Any
) -> None:
    visit = planned(crew_member, SUNDAY)
    factories.VisitTaskFactory(visit=visit, task="prune")
    visit.garden.instructions.create(
        text="Never cut the hedge by the bedroom & the gate",
        given_on=dt.date(2026, 1, 1),
    )
    queue_reminders(now=SATURDAY)
    kind = registry.message_kinds["crew's round"]
    letter = kind.write(Message.objects.get(kind="crew's round"))
    assert visit.garden.name in letter.text
    assert "Never cut the hedge by the bedroom & the gate" in letter.text
    assert "secateurs" in letter.text


@pytest.mark.parametrize("kind", ["crew's round", "visit reminder", "morning list"])
def test_reminders_are_sent_again_after_a_crash(kind: str) -> None:
    assert registry.message_kinds[kind].after_crash == "send again"
