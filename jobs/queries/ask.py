"""What may be done to a plant on a day, in the gardens that a person may see then."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from firm.enums import Role
from firm.models import Person
from jobs.queries.today import ON_THE_ROUND, crews_seen_by, may_open
from plants import care
from plants.models import Garden, Plant, Planting, Source, StandingInstruction
from plants.queries.care import (
    ask_the_day,
    ask_the_day_of_plant,
    plantings_in,
    sources_by_key,
)


class NoSuchNumber(Exception):
    """No planting of that number grows in the garden."""


@dataclass(frozen=True, kw_only=True)
class AskPage:
    """What may be done to one plant of GARDEN on DAY, or the plants to choose from.

    PLANTING is None for a plant of the catalogue that does not stand there yet, and
    both are None until one is chosen.
    """

    garden: Garden
    day: dt.date
    plantings: Sequence[Planting]
    planting: Planting | None
    plant: Plant | None
    group: care.Group | None
    instructions: Sequence[StandingInstruction]
    answers: Sequence[care.Answer]
    sources: Mapping[str, Source]

    @property
    def best(self) -> list[care.Answer]:
        """What is best done now."""
        return [one for one in self.answers if one.verdict == "best now"]

    @property
    def closed(self) -> list[list[care.Answer]]:
        """What does harm now; tasks closed for one reason until one day together."""
        found: dict[tuple[object, ...], list[care.Answer]] = {}
        for one in self.answers:
            if one.verdict == "closed":
                ahead = one.ahead and (one.ahead.earliest, one.ahead.best)
                found.setdefault((one.ground, one.reason, ahead), []).append(one)
        return list(found.values())

    @property
    def allowed(self) -> list[care.Answer]:
        """What does no harm now."""
        return [one for one in self.answers if one.verdict == "allowed"]


def gardens_to_ask_about(
    *, person: Person, day: dt.date, today: dt.date
) -> list[Garden]:
    """The gardens PERSON may ask about on DAY: all for the owner, else of the round."""
    gardens = Garden.objects.select_related("station").order_by("name", "id")
    if person.role == Role.OWNER:
        return list(gardens.filter(left_at=None))
    if not may_open(person=person, day=day, today=today):
        return []
    return list(
        gardens.filter(
            visits__day=day,
            visits__state__in=ON_THE_ROUND,
            visits__crew__in=crews_seen_by(person=person, day=day),
        ).distinct()
    )


def plant_to_ask_about(*, key: str) -> Plant | None:
    """A plant of the catalogue."""
    return Plant.objects.select_related("group").filter(key=key).first()


def ask_page(
    *, garden: Garden, number: int | None, plant: Plant | None, day: dt.date
) -> AskPage:
    """The answers for NUMBER in GARDEN, or for PLANT there; NoSuchNumber where none is.

    GARDEN is one of those that the person may ask about.
    """
    plantings = plantings_in(garden)
    planting = None
    if number is not None:
        planting = next((one for one in plantings if one.number == number), None)
        if planting is None:
            raise NoSuchNumber
    asked = None
    if planting is not None:
        asked = ask_the_day(planting, day=day)
        plant = planting.plant
    elif plant is not None:
        asked = ask_the_day_of_plant(plant, garden=garden, day=day)
    return AskPage(
        garden=garden,
        day=day,
        plantings=plantings,
        planting=planting,
        plant=plant,
        group=asked.facts.group if asked else None,
        instructions=asked.facts.instructions if asked else (),
        answers=asked.answers if asked else (),
        sources=sources_by_key() if asked else {},
    )
