"""Places and small groups of plants that the care tests share."""

from typing import Any

from plants.climate import Climate


def celsius(fahrenheit: list[float]) -> list[float]:
    """The same temperatures in °C."""
    return [(value - 32) * 5 / 9 for value in fahrenheit]


def virginia(**changes: Any) -> Climate:
    """The Virginia Piedmont.

    Monthly normals of Opal, Virginia, plantmaps.com (read); last frost 21-30 April and
    first 21-31 October on the same page, middles taken; reach of the 10 and 90 % dates
    from Ashland, Virginia State Climatology Office (read).
    """
    figures: dict[str, Any] = {
        "tmin_c": celsius(
            [23.8, 25.6, 32.3, 42.5, 52.2, 61.0, 65.6, 63.8, 56.7, 44.4, 34.2, 27.6]
        ),
        "tmax_c": celsius(
            [44.4, 47.4, 55.8, 67.2, 75.1, 83.3, 87.6, 85.8, 79.5, 68.5, 57.7, 48.0]
        ),
        "rain_mm": [
            78.2,
            67.8,
            98.6,
            93.0,
            116.1,
            116.1,
            113.5,
            94.5,
            120.9,
            98.6,
            81.8,
            91.9,
        ],
        "lat": 38.6,
        "last_spring_frost": {10: (5, 8), 50: (4, 25), 90: (4, 12)},
        "first_autumn_frost": {10: (10, 13), 50: (10, 26), 90: (11, 8)},
        "lowest_c": -16.4,
    }
    return Climate.from_months(**{**figures, **changes})


def mirrored(climate: Climate) -> Climate:
    """The same year south of the equator, six months later."""

    def turned(values: tuple[float, ...]) -> tuple[float, ...]:
        return values[6:] + values[:6]

    def frost(dates: Any) -> dict[int, tuple[int, int] | None]:
        return {
            chance: day and ((day[0] + 5) % 12 + 1, min(day[1], 28))
            for chance, day in dates
        }

    return Climate.from_months(
        tmin_c=turned(climate.tmin_c),
        tmax_c=turned(climate.tmax_c),
        rain_mm=turned(climate.rain_mm),
        lat=-climate.lat,
        last_spring_frost=frost(climate.last_spring_frost),
        first_autumn_frost=frost(climate.first_autumn_frost),
        lowest_c=climate.lowest_c,
    )


def warmer(climate: Climate, kelvin: float, frost_days: int = 0) -> Climate:
    """The same place with every month warmer, or colder, by so much."""

    def moved(dates: Any, days: int) -> dict[int, tuple[int, int] | None]:
        found = {}
        for chance, month_day in dates:
            start = climate.season_day(*month_day)
            day = climate.date_of(start + days, 2025)
            found[chance] = (day.month, day.day)
        return found

    return Climate.from_months(
        tmin_c=[value + kelvin for value in climate.tmin_c],
        tmax_c=[value + kelvin for value in climate.tmax_c],
        rain_mm=climate.rain_mm,
        lat=climate.lat,
        last_spring_frost=moved(climate.last_spring_frost, -frost_days),
        first_autumn_frost=moved(climate.first_autumn_frost, frost_days),
        lowest_c=climate.lowest_c,
    )


def frostless() -> Climate:
    """A mild coast without frost in most years; figures made up for the test."""
    return Climate.from_months(
        tmin_c=[8, 8.5, 9, 10, 11, 12.5, 13.5, 14, 13.5, 12, 10, 8.5],
        tmax_c=[14.5, 15.5, 16, 17, 18, 19.5, 20, 20.5, 21, 20, 17.5, 15],
        rain_mm=[110, 100, 80, 35, 15, 4, 1, 2, 5, 28, 70, 105],
        lat=37.8,
        last_spring_frost={10: (1, 20), 50: None, 90: None},
        first_autumn_frost={10: (12, 20), 50: None, 90: None},
        lowest_c=2.5,
    )


def rule(key: str = "line", **changes: Any) -> dict[str, Any]:
    """A rule's specification in order, with fields changed or left out (None)."""
    spec: dict[str, Any] = {
        "key": key,
        "task": "prune",
        "purpose": "flower",
        "window": {"anchor": "bloom_end", "earliest": 0, "best": 14, "latest": 40},
        "limits": {"share_removed_max": 0.3, "cut": "above a bud"},
        "drawing": "above-bud",
        "minutes": 10,
        "how": "Shorten what flowered.",
        "where": "Above a bud.",
        "why": "It flowers on the new shoots next year.",
        "harm": "Cut late it loses a year's flowers.",
        "source": "common practice",
    }
    spec.update(changes)
    return {name: value for name, value in spec.items() if value is not None}


def group(wood: str = "old", /, **changes: Any) -> dict[str, Any]:
    """A group's specification in order, one rule that suits its wood."""
    hangs = {
        "old": {"anchor": "bloom_end", "earliest": 0, "best": 14, "latest": 40},
        "new": {"anchor": "late_winter", "earliest": -17, "best": 13, "latest": 42},
        "both": {"anchor": "late_winter", "earliest": 0, "best": 13, "latest": 42},
        "none": {"anchor": "bud_swell", "earliest": -20, "best": 0, "latest": 60},
    }
    months = {"old": [4, 5], "new": [7, 9], "both": [6, 9], "none": [5, 6]}
    spec: dict[str, Any] = {
        "key": f"{wood}-wood",
        "name": f"{wood.title()} wood",
        "kind": "shrub",
        "habit": "mound",
        "evergreen": "no",
        "buds": "opposite",
        "wood": wood,
        "bloom": {
            "months": months[wood],
            "region": "mid-atlantic",
            "source": "bloom-memory",
        },
        "light": {"best": ["full sun"], "bearable": []},
        "rules": [rule("main-cut", window=hangs[wood])],
        "closed": [],
    }
    spec.update(changes)
    return spec


DEAD_WOOD = rule(
    "dead-wood",
    task="dead wood",
    purpose="dead wood",
    window={"always": True},
    limits=None,
    drawing="dead-tips",
)
