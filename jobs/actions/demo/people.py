"""The invented firm itself: letterhead, rates, people, crews."""

import datetime as dt
from decimal import Decimal

from firm.actions.accounts import come_in, invitation_key, invite
from firm.actions.people import (
    CrewDetails,
    PersonDetails,
    add_day_off,
    add_person,
    change_person,
    put_in_crew,
    save_crew,
)
from firm.actions.setup import (
    OwnerAnswers,
    TaxAnswers,
    add_tax_rate,
    save_labour_rate,
    save_tax_region,
    set_up_firm,
)
from firm.enums import Role
from firm.models import Crew, Person
from jobs.actions.demo.logins import LOGINS, mark_as_demo
from jobs.actions.demo.place import (
    ELEVATION_M,
    FIGURES,
    LATITUDE,
    LONGITUDE,
    POISON_LINE_ANIMALS,
    POISON_LINE_PEOPLE,
    STATION,
)
from jobs.actions.demo.story import ZONE, Story
from jobs.queries.proposed_words import proposed_words
from plants.actions.stations import write_station

# The firm began so long ago; the year of work lies behind today.
FOUNDED = -470
# Each crew's truck and what it carries in kilograms.
TRUCKS = {
    "Alder": ("Tipper with trailer", Decimal(1800)),
    "Birch": ("Flatbed", Decimal(900)),
}
# Name, crew, leads it, cost of an hour, telephone.
CREW_PEOPLE = (
    ("Reed Calloway", "Alder", True, "31.00", 111),
    ("Tamsin Bole", "Alder", False, "27.50", 112),
    ("Ivo Larkham", "Alder", False, "26.00", 113),
    ("Maud Fenner", "Birch", True, "30.00", 114),
    ("Jory Pask", "Birch", False, "26.50", 115),
)
LABOUR = (
    ("Planting and digging", "38.00", "60.00"),
    ("Pruning and care", "40.00", "64.00"),
    ("Climbing and hedge work", "48.00", "78.00"),
)


def open_the_firm(story: Story, *, passwords: dict[str, str]) -> None:
    """The firm with its people, crews, rates and climate, all of it invented."""
    day = story.day(FOUNDED)
    now = story.at(day, 8)
    set_up_firm(
        owner=OwnerAnswers(
            name="Olive Harrow", email=LOGINS["owner"], password=passwords["owner"]
        ),
        firm={
            "name": "Fernhollow Gardens",
            "address": "The Old Pump House\n4 Mill Lane\nFernhollow",
            "phone": "(555) 555-0100",
            "email": "office@fernhollow.example",
            "website": "fernhollow.example",
            "licence_number": "FH-2207 (invented)",
            "letterhead_note": "Gardens planted and looked after, the year round",
            "units": "us",
            "currency": "USD",
            "time_zone": ZONE,
            "latitude": LATITUDE,
            "longitude": LONGITUDE,
            "margin_percent": Decimal("35.00"),
            "hour_price": Decimal("60.00"),
            "hour_cost": Decimal("38.00"),
            "poison_line_people": POISON_LINE_PEOPLE,
            "poison_line_animals": POISON_LINE_ANIMALS,
            **proposed_words(),
        },
        mail_password="",
        tax=TaxAnswers(
            name="Sales tax", percent=Decimal("6.000"), valid_from=day.replace(day=1)
        ),
        crews=["Alder", "Birch"],
        now=now,
    )
    mark_as_demo()
    story.people["owner"] = Person.objects.get(email=LOGINS["owner"])
    _rates(story, now)
    _place(story, day=day, now=now)
    _people(story, day=day, now=now, passwords=passwords)
    story.station = write_station(
        name=STATION,
        latitude=LATITUDE,
        longitude=LONGITUDE,
        elevation_m=ELEVATION_M,
        figures=FIGURES,
        today=day,
        now=now,
        by=story.owner,
    ).station


def _rates(story: Story, now: dt.datetime) -> None:
    for name, cost, price in LABOUR:
        save_labour_rate(
            rate_id=None,
            name=name,
            hour_cost=Decimal(cost),
            hour_price=Decimal(price),
            by=story.owner,
            now=now,
        )


def _place(story: Story, *, day: dt.date, now: dt.datetime) -> None:
    """A place with tax and wording of its own, invented like the rest."""
    story.ward = save_tax_region(
        region_id=None,
        values={
            "name": "Canal ward",
            "deposit_cap_percent": Decimal("30.00"),
            "quote_words": "Registered with the ward of Canal Walk under"
            " CW-118 (invented).",
            "cancellation_days": 3,
            "cancellation_words": "You may cancel this agreement without giving a"
            " reason. Write to us at the address above.",
            "locate_days": 3,
            "locate_call": "the ward's line register",
        },
        by=story.owner,
        now=now,
    )
    add_tax_rate(
        tax=TaxAnswers(
            name="Ward sales tax",
            percent=Decimal("6.500"),
            valid_from=day.replace(day=1),
            region=story.ward,
        ),
        by=story.owner,
        now=now,
    )


def _comes_in(
    story: Story, *, name: str, role: Role, password: str, now: dt.datetime
) -> Person:
    """Somebody who was invited and came in."""
    invitation = invite(
        name=name, email=LOGINS[role.value], role=role, by=story.owner, now=now
    )
    story.post(now)
    return come_in(
        key=invitation_key(invitation=invitation),
        name=name,
        password=password,
        now=now + dt.timedelta(hours=2),
    )


def _people(
    story: Story, *, day: dt.date, now: dt.datetime, passwords: dict[str, str]
) -> None:
    owner = story.owner
    story.people["bookkeeper"] = _comes_in(
        story,
        name="Bea Lovage",
        role=Role.BOOKKEEPER,
        password=passwords["bookkeeper"],
        now=now,
    )
    crews = {crew.name: crew for crew in Crew.objects.order_by("id")}
    for called, (vehicle, payload_kg) in TRUCKS.items():
        each = crews[called]
        save_crew(
            crew_id=each.pk,
            details=CrewDetails(
                name=called,
                hours_per_day=each.hours_per_day,
                start_at=each.start_at,
                vehicle=vehicle,
                payload_kg=payload_kg,
            ),
            by=None,
            now=now,
        )
        each.refresh_from_db()
    story.crews.update(crews)
    for name, crew, leads, cost, last in CREW_PEOPLE:
        details = PersonDetails(
            name=name,
            role=Role.CREW,
            phone=f"(555) 555-{last:04d}",
            hour_cost=Decimal(cost),
        )
        if "crew" not in story.people:
            person = _comes_in(
                story, name=name, role=Role.CREW, password=passwords["crew"], now=now
            )
            person = change_person(
                person_id=person.pk, details=details, by=owner, now=now
            )
            story.people["crew"] = person
        else:
            person = add_person(details=details, by=owner, now=now)
        story.people[name] = person
        put_in_crew(
            crew_id=crews[crew].pk,
            person_id=person.pk,
            starts_on=day,
            ends_on=None,
            is_lead=leads,
            by=owner,
            now=now,
        )
    change_person(
        person_id=story.bookkeeper.pk,
        details=PersonDetails(
            name="Bea Lovage", role=Role.BOOKKEEPER, hour_cost=Decimal("32.00")
        ),
        by=owner,
        now=now,
    )
    add_day_off(
        day=story.workday(story.day(12)),
        crew_id=crews["Birch"].pk,
        reason="saw and ladder training",
        by=owner,
        now=now,
    )
