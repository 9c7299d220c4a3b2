"""Reading typed monthly figures and frost dates, with a word on what is wrong."""

import math
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Literal

from plants.climate.lines import MONTH_DAYS, MONTH_STARTS, SOUTH_SHIFT

MonthDay = tuple[int, int]
Chance = Literal[10, 50, 90]
FrostDates = tuple[tuple[int, MonthDay | None], ...]

CHANCES: tuple[Chance, ...] = (10, 50, 90)


class ClimateError(ValueError):
    """Figures that no place on earth can have; the message names the figure."""


def read_months(
    values: Sequence[float], what: str, lowest: float, highest: float
) -> tuple[float, ...]:
    """Twelve figures within the bounds, January first, or ClimateError."""
    if not isinstance(values, Sequence) or isinstance(values, str):
        raise ClimateError(f"{what}: twelve months are needed, not {values!r}")
    if len(values) != 12:
        raise ClimateError(f"{what}: twelve months are needed, not {len(values)}")
    for number, value in enumerate(values, start=1):
        if not isinstance(value, int | float):
            raise ClimateError(f"{what}, month {number}: {value!r} is not a number")
        if not math.isfinite(value) or not lowest <= value <= highest:
            raise ClimateError(
                f"{what}, month {number}: {value} is not between {lowest} and {highest}"
            )
    return tuple(float(value) for value in values)


def read_frost_dates(
    given: Mapping[int, Sequence[int] | None], what: str
) -> FrostDates:
    """Month and day by chance in per cent; a chance not given has no frost."""
    strange = sorted(set(given) - set(CHANCES))
    if strange:
        raise ClimateError(f"{what}: chances are 10, 50 and 90 %, not {strange}")
    dates: list[tuple[int, MonthDay | None]] = []
    for chance in CHANCES:
        value = given.get(chance)
        if value is None:
            dates.append((chance, None))
            continue
        try:
            month, day = value
            date(2024, month, day)
        except (TypeError, ValueError):
            raise ClimateError(
                f"{what}, {chance} %: {value} is not a month and a day"
            ) from None
        dates.append((chance, (month, min(day, MONTH_DAYS[month - 1]))))
    return tuple(dates)


def check_frost_order(
    spring: FrostDates, autumn: FrostDates, *, southern: bool
) -> None:
    """Raise when the dates do not fall in the order of their chances.

    Places in the cold season are counted from midsummer, as it may hold a new year.
    """
    start = 0 if southern else SOUTH_SHIFT

    def places(dates: FrostDates) -> list[int]:
        return [
            (MONTH_STARTS[found[0] - 1] + found[1] - 1 - start) % 365
            for _chance, found in dates
            if found is not None
        ]

    springs, autumns = places(spring), places(autumn)
    if springs != sorted(springs, reverse=True):
        raise ClimateError(
            "last spring frost: the 10 % date is the late one, the 90 % date the early "
            "one"
        )
    if autumns != sorted(autumns):
        raise ClimateError(
            "first autumn frost: the 10 % date is the early one, the 90 % date the "
            "late one"
        )
    middle_spring, middle_autumn = dict(spring)[50], dict(autumn)[50]
    if middle_spring is not None and middle_autumn is not None:
        (late,), (early,) = (
            places(((50, middle_spring),)),
            places(((50, middle_autumn),)),
        )
        if early >= late:
            raise ClimateError(
                "the first autumn frost lies after the last spring frost of its winter"
            )
