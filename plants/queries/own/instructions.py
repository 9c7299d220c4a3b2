"""What an instruction takes out of a garden's year before it is given."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from plants.models import Garden, Planting, StandingInstruction
from plants.queries.care import PlantingYear, facts_about, planting_year, plantings_in
from plants.queries.own.preview import SAME, YearLine, lines_of


@dataclass(frozen=True, kw_only=True)
class InstructionPreview:
    """One planting's year once an instruction stands: what is no longer planned."""

    planting: Planting
    year: PlantingYear
    lines: Sequence[YearLine]


def instruction_preview(
    *,
    garden: Garden,
    planting: Planting | None,
    text: str,
    forbids: Sequence[str],
    day: dt.date,
) -> list[InstructionPreview]:
    """The years that an instruction would change, by the plantings' numbers."""
    given = StandingInstruction(
        garden=garden,
        planting=planting,
        text=text,
        forbids=list(forbids),
        given_on=day,
    )
    start = day.replace(day=1)
    plantings = [
        one for one in plantings_in(garden) if planting is None or one == planting
    ]
    found = []
    for old, new in zip(
        facts_about(plantings, day=day),
        facts_about(plantings, day=day, also=[given]),
        strict=True,
    ):
        year = planting_year(new, start=start)
        before = planting_year(old, start=start)
        lines = [
            line
            for line in lines_of(before.windows, year.windows)
            if line.change != SAME
        ]
        if lines:
            found.append(
                InstructionPreview(planting=new.planting, year=year, lines=lines)
            )
    return found
