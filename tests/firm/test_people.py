"""People, crews and free days."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from firm.models import Crew, CrewMember, DayOff, Entry, Person
from firm.queries import people_in
from tests import factories
from tests.conftest import StrictClient, browser_of


@pytest.fixture(autouse=True)
def on_the_day() -> object:
    with time_machine.travel(factories.NOW, tick=False):
        yield


def as_typed(person: Person, **changes: str) -> dict[str, str]:
    typed = {
        "name": person.name,
        "role": person.role,
        "phone": person.phone,
        "language": person.language,
        "hour_cost": str(person.hour_cost),
        "is_active": "on",
    } | changes
    return {key: value for key, value in typed.items() if value != "off"}


def test_the_owner_changes_a_role_and_switches_somebody_off(
    owner_client: StrictClient, owner: Person
) -> None:
    cal = factories.PersonFactory(name="Cal Reed", role="crew")
    cals = browser_of(cal)
    assert cals.get(reverse("password-change")).status_code == 200
    url = reverse("person", args=[cal.pk])

    made = owner_client.post(url, as_typed(cal, role="bookkeeper", hour_cost="31.50"))
    assert made.status_code == 302
    cal.refresh_from_db()
    assert (cal.role, cal.hour_cost) == ("bookkeeper", Decimal("31.50"))

    owner_client.post(url, as_typed(cal, is_active="off"))
    cal.refresh_from_db()
    assert cal.is_active is False
    # The live session ends with the next page.
    assert cals.get(reverse("password-change")).status_code == 302
    assert Entry.objects.filter(action="person changed", by=owner).count() == 2


@pytest.mark.parametrize(
    ("change", "field"),
    [({"is_active": "off"}, "is_active"), ({"role": "crew"}, "role")],
)
def test_the_last_owner_stays_one(
    owner_client: StrictClient, owner: Person, change: dict[str, str], field: str
) -> None:
    # An owner without a mail address cannot log in, so this one does not count.
    factories.PersonFactory(role="owner", email=None)
    url = reverse("person", args=[owner.pk])

    refused = owner_client.post(url, as_typed(owner, phone="555 0177", **change))

    assert refused.status_code == 200
    assert "last owner" in str(refused.context["form"].errors[field])
    assert b"555 0177" in refused.content
    owner.refresh_from_db()
    assert (owner.role, owner.is_active, owner.phone) == ("owner", True, "")

    factories.PersonFactory(role="owner")
    assert owner_client.post(url, as_typed(owner, **change)).status_code == 302
    owner.refresh_from_db()
    assert (owner.role == "owner" and owner.is_active) is False


def test_somebody_who_never_logs_in_is_added_as_crew(
    owner_client: StrictClient,
) -> None:
    typed = {"name": "Wen Alder", "language": "es", "hour_cost": "22", "role": "owner"}
    assert owner_client.post(reverse("person-new"), typed).status_code == 302
    wen = Person.objects.get(name="Wen Alder")
    assert (wen.role, wen.email, wen.language) == ("crew", None, "es")
    assert not wen.has_usable_password()
    assert b"does not log in" in owner_client.get(reverse("people")).content

    refused = owner_client.post(reverse("person-new"), {**typed, "hour_cost": "-1"})
    assert refused.context["form"].errors["hour_cost"] == [
        "This cannot be less than nought."
    ]


def test_a_crew_is_added_changed_and_given_up(owner_client: StrictClient) -> None:
    typed = {"name": "Oak", "hours_per_day": "7.5", "start_at": "07:00"}
    assert owner_client.post(reverse("crews"), typed).status_code == 302
    oak = Crew.objects.get()
    assert (oak.hours_per_day, oak.start_at) == (Decimal("7.50"), dt.time(7))

    twice = owner_client.post(reverse("crews"), typed)
    assert twice.status_code == 200
    assert twice.context["form"].errors["name"]
    absurd = owner_client.post(reverse("crews"), {**typed, "hours_per_day": "25"})
    assert "16 hours" in str(absurd.context["form"].errors["hours_per_day"])
    assert Crew.objects.count() == 1

    url = reverse("crew", args=[oak.pk])
    truck = {"vehicle": "Green tipper", "payload": "3000"}
    light = owner_client.post(url, {**typed, **truck, "payload": "20"})
    assert "50 kg (110 lb)" in str(light.context["form"].errors["payload"])
    assert owner_client.post(url, {**typed, **truck}).status_code == 302
    oak.refresh_from_db()
    # 3,000 lb of 0.45359237 kg.
    assert (oak.vehicle, oak.payload_kg) == ("Green tipper", Decimal("1360.8"))
    assert owner_client.get(url).context["form"]["payload"].value() == "3000"
    owner_client.post(url, {**typed, "retired_on": "2026-12-31"})
    oak.refresh_from_db()
    assert oak.retired_on == dt.date(2026, 12, 31)
    assert owner_client.get(reverse("crew", args=[oak.pk + 1])).status_code == 404


def test_who_is_in_a_crew_is_known_by_day(owner_client: StrictClient) -> None:
    oak = factories.CrewFactory(name="Oak")
    cal = factories.PersonFactory(name="Cal Reed", role="crew")
    url = reverse("crew-join", args=[oak.pk])
    stay = {"person": str(cal.pk), "starts_on": "2026-03-09", "is_lead": "on"}
    assert owner_client.post(url, stay).status_code == 302
    member = CrewMember.objects.get()
    assert (member.ends_on, member.is_lead) == (None, True)
    assert people_in(crew=oak, day=dt.date(2026, 3, 8)) == []
    assert people_in(crew=oak, day=dt.date(2026, 3, 9)) == [cal]

    overlapping = owner_client.post(url, {**stay, "starts_on": "2026-06-01"})
    assert overlapping.status_code == 200
    assert "already" in str(overlapping.context["stay_form"].errors["person"])
    backwards = owner_client.post(
        url, {**stay, "starts_on": "2026-03-05", "ends_on": "2026-03-04"}
    )
    assert "before the first" in str(backwards.context["stay_form"].errors["ends_on"])
    assert CrewMember.objects.count() == 1

    end = reverse("stay-end", args=[member.pk])
    too_early = owner_client.post(end, {"ends_on": "2026-03-08"})
    assert too_early.context["form"].errors["ends_on"]
    assert owner_client.post(end, {"ends_on": "2026-05-31"}).status_code == 302
    assert people_in(crew=oak, day=dt.date(2026, 5, 31)) == [cal]
    assert people_in(crew=oak, day=dt.date(2026, 6, 1)) == []
    # Now there is room for a second stay, which the first may not run into.
    assert (
        owner_client.post(url, {**stay, "starts_on": "2026-06-08"}).status_code == 302
    )
    into = owner_client.post(end, {"ends_on": "2026-06-08"})
    assert "already" in str(into.context["form"].errors["ends_on"])


def test_nobody_switched_off_can_be_put_in_a_crew(owner_client: StrictClient) -> None:
    oak = factories.CrewFactory()
    gone = factories.PersonFactory(role="crew", is_active=False)
    refused = owner_client.post(
        reverse("crew-join", args=[oak.pk]),
        {"person": str(gone.pk), "starts_on": "2026-03-09"},
    )
    assert refused.context["stay_form"].errors["person"]
    assert CrewMember.objects.count() == 0


def test_a_free_day_is_of_everybody_or_of_one_crew_and_kept_once(
    owner_client: StrictClient,
) -> None:
    oak = factories.CrewFactory(name="Oak")
    url = reverse("days-off")
    everybody = {"day": "2026-07-03", "reason": "Holiday"}
    assert owner_client.post(url, everybody).status_code == 302
    assert owner_client.post(url, {**everybody, "crew": str(oak.pk)}).status_code == 302
    for again in (everybody, {**everybody, "crew": str(oak.pk)}):
        refused = owner_client.post(url, again)
        assert refused.context["form"].errors["day"] == ["This day is free already."]
    assert DayOff.objects.count() == 2
    page = owner_client.get(url).content.decode()
    assert "everybody" in page
    assert "Oak" in page

    day_off = DayOff.objects.get(crew=None)
    remove = reverse("day-off-remove", args=[day_off.pk])
    assert owner_client.get(remove).status_code == 405
    assert owner_client.post(remove).status_code == 302
    assert owner_client.post(remove).status_code == 404
    assert DayOff.objects.count() == 1


def test_free_days_gone_by_are_not_listed(owner_client: StrictClient) -> None:
    DayOff.objects.create(day=dt.date(2026, 3, 1), reason="Gone by")
    DayOff.objects.create(day=dt.date(2026, 3, 2), reason="Today still")
    page = owner_client.get(reverse("days-off")).content.decode()
    assert "Gone by" not in page
    assert "Today still" in page


@pytest.mark.parametrize("count", [1, 3])
@pytest.mark.parametrize("name", ["people", "crews"])
def test_lists_take_the_same_queries_however_long_they_are(
    owner_client: StrictClient,
    django_assert_num_queries: object,
    name: str,
    count: int,
) -> None:
    crew = factories.CrewFactory()
    for _ in range(count):
        factories.CrewMemberFactory(crew=crew)
        factories.CrewMemberFactory()
    wanted = {"people": 5, "crews": 7}[name]
    with django_assert_num_queries(wanted):
        assert owner_client.get(reverse(name)).status_code == 200
