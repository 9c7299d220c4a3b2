"""A garden's year of care, planting by planting or task by task."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.core.paginator import Page, Paginator

from plants import care
from plants.models import Garden, Planting, StandingInstruction
from plants.queries import gardens as places
from plants.queries.bloom import year_from
from plants.queries.care import (
    PlantingYear,
    care_years_of,
    climate_of,
    plantings_in,
)
from plants.queries.catalogue import PARTS

# As many strips as fit a sheet of paper with their words.
PER_PAGE = 12


@dataclass(frozen=True, kw_only=True)
class WorkLine:
    """One rule of a planting with its windows of the year."""

    rule: care.Rule
    windows: Sequence[care.Window]

    @property
    def is_cut(self) -> bool:
        """Whether something is cut off."""
        return self.rule.task in PARTS["cutting"]


@dataclass(frozen=True, kw_only=True)
class YearLine:
    """One planting's year: its work in date order and its closed seasons."""

    year: PlantingYear
    work: Sequence[WorkLine]

    @property
    def planting(self) -> Planting:
        """What the year is of."""
        return self.year.planting

    @property
    def instructions(self) -> list[StandingInstruction]:
        """What is insisted on at this planting alone."""
        return [one for one in self.year.instructions if one.planting_id is not None]


@dataclass(frozen=True, kw_only=True)
class MonthWork:
    """One task of a month at the plantings that share its days."""

    rule: care.Rule
    earliest: dt.date
    best: dt.date
    latest: dt.date
    plantings: Sequence[Planting]


@dataclass(frozen=True, kw_only=True)
class Month:
    """The work of a month by best day."""

    first: dt.date
    work: Sequence[MonthWork]


@dataclass(frozen=True, kw_only=True)
class GardenYear:
    """A garden's care from START on, for so many days; of its plantings one page."""

    garden: Garden
    year: int
    start: dt.date
    days: int
    page: Page[Planting]
    lines: Sequence[YearLine]

    @property
    def end(self) -> dt.date:
        """The last day shown."""
        return self.start + dt.timedelta(days=self.days - 1)

    @property
    def instructions(self) -> list[StandingInstruction]:
        """What is insisted on in the whole garden."""
        return [
            one
            for line in self.lines[:1]
            for one in line.year.instructions
            if one.planting_id is None
        ]

    def months(self) -> list[Month]:
        """The work of all plantings, month by month, those without any left out."""
        found: dict[dt.date, dict[tuple[object, ...], MonthWork]] = {}
        for line in self.lines:
            for window in told(line.year):
                rule = window.rule
                of_month = found.setdefault(window.best.replace(day=1), {})
                days = (window.earliest, window.best, window.latest)
                key = (rule.task, rule.purpose, days)
                before = of_month.get(key)
                sharing = [*before.plantings] if before else []
                if line.planting not in sharing:
                    sharing.append(line.planting)
                of_month[key] = MonthWork(
                    rule=rule,
                    earliest=window.earliest,
                    best=window.best,
                    latest=window.latest,
                    plantings=sharing,
                )
        return [
            Month(
                first=first,
                work=sorted(
                    of_month.values(),
                    key=lambda row: (row.best, row.earliest, row.rule.task),
                ),
            )
            for first, of_month in sorted(found.items())
        ]


def told(year: PlantingYear) -> list[care.Window]:
    """The windows with a time of their own; what holds on any day is left out."""
    return [window for window in year.windows if not window.rule.always]


def _lines(years: Iterable[PlantingYear]) -> list[YearLine]:
    lines = []
    for year in years:
        of_rule: dict[str, list[care.Window]] = {}
        for window in told(year):
            of_rule.setdefault(window.rule.key, []).append(window)
        lines.append(
            YearLine(
                year=year,
                work=[
                    WorkLine(rule=windows[0].rule, windows=windows)
                    for windows in of_rule.values()
                ],
            )
        )
    return lines


def garden_year(
    *,
    pk: int,
    year: int | None,
    day: dt.date,
    by_task: bool = False,
    page: str | None = None,
) -> GardenYear | None:
    """A garden's care of YEAR, else of the year of DAY; None when it is not there.

    By planting only those of one page are reckoned, by task all of them together.
    """
    garden = places.garden(pk=pk)
    if garden is None:
        return None
    climate = climate_of(garden)
    year = climate.year_of(day) if year is None else year
    start, days = year_from(climate, year)
    plantings = plantings_in(garden)
    leaf = Paginator(plantings, max(len(plantings), 1) if by_task else PER_PAGE)
    shown = leaf.get_page(page)
    return GardenYear(
        garden=garden,
        year=year,
        start=start,
        days=days,
        page=shown,
        lines=_lines(care_years_of(list(shown), start=start, days=days)),
    )
