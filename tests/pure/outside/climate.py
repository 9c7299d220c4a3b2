"""Bands of zones, chances of frost, degree days of one day, months against days."""

from datetime import date
from math import pi

import numpy as np

from plants.climate import day_degrees, hardiness_zone, heat_zone
from plants.climate.lines import MONTH_DAYS
from plants.climate.records import day_totals, degree_days_of_year
from plants.climate.records.frosts import ranked
from tests.pure.care_gardens import celsius, virginia
from tests.pure.outside.rows import Check
from tests.pure.outside.stations import seattle

BANDS = "USDA half-zones, copy; two further pages agree on the ends; arithmetic"
HEAT = "American Horticultural Society scale, text"
RANKS = "NCEI and MRCC reading of chances, page read; arithmetic"
STATION = "NOAA GHCN-Daily, worked out from the daily record"

HALF_ZONES = [f"{number}{letter}" for number in range(1, 14) for letter in "ab"]
DATES = [95, 98, 100, 101, 103, 104, 106, 107, 110, 114]

# Degree days of one day: high, low, method, F.
DAYS = (
    ("Ohio State, Herms, copy", 70, 40, "average", "5"),
    ("Ohio State, Herms, copy", 70, 40, "modified", "10"),
    ("Beacon Journal, 7 March 2019, copy", 64, 62, "average", "13"),
    ("Beacon Journal, 7 March 2019, copy", 64, 62, "modified", "13"),
    ("K and S tree service, copy", 63, 43, "average", "3"),
    ("arithmetic", 63, 43, "modified", "6.5"),
    ("beeswitheeb.com, copy", 60, 50, "average", "5"),
    ("beeswitheeb.com, copy", 60, 50, "modified", "5"),
    ("Ohio State BYGL node 1452, page read", 61, 40, "modified", "5.5"),
    ("Ohio State BYGL node 1452, page read", 67, 45, "modified", "8.5"),
    ("arithmetic", 45, 30, "average", "0"),
    ("arithmetic", 45, 30, "modified", "0"),
    ("arithmetic", 45, 30, "sine", "0"),
    ("arithmetic", 70, 60, "sine", "15"),
    ("arithmetic", 95, 75, "average", "35"),
    ("arithmetic", 95, 75, "modified", "35"),
    ("arithmetic", 95, 75, "capped", "30.5"),
)

# Monthly means and running totals at the month ends, F over 50.
CENTRAL_PARK = {  # USW00094728, 1991-2019
    "low": [27.2, 28.8, 35.1, 45.1, 54.6, 63.8, 69.5, 68.4, 61.7, 50.9, 41.4, 33.3],
    "high": [39.5, 42.4, 50.0, 62.2, 71.7, 79.9, 85.0, 83.5, 76.4, 64.8, 54.0, 44.6],
    "average": [5, 11, 45, 203, 611, 1267, 2113, 2917, 3490, 3747, 3815, 3830],
    "modified": [16, 37, 102, 307, 726, 1382, 2227, 3032, 3606, 3888, 3986, 4015],
}
MILWAUKEE = {  # USW00014839, 1991-2020
    "low": [16.7, 19.6, 28.2, 37.3, 47.3, 57.9, 64.3, 63.7, 55.9, 44.2, 32.5, 22.5],
    "high": [30.0, 33.3, 43.2, 53.9, 65.6, 75.9, 80.9, 79.4, 72.6, 60.4, 46.7, 35.1],
    "average": [0, 1, 17, 69, 302, 809, 1510, 2179, 2608, 2752, 2772, 2773],
    "modified": [2, 7, 44, 146, 423, 936, 1637, 2306, 2747, 2935, 2980, 2985],
}
# vega-datasets 0.9.0, seattle-weather.csv, 2012-2015.
SEATTLE = {
    "low": [36.9, 39.3, 40.7, 43.5, 49.3, 54.0, 57.6, 58.6, 54.2, 48.8, 40.5, 38.0],
    "high": [46.8, 49.7, 54.3, 59.0, 66.7, 72.3, 78.8, 79.0, 71.5, 61.5, 51.8, 46.7],
    "average": [4, 11, 43, 109, 360, 756, 1319, 1902, 2287, 2456, 2482, 2490],
    "modified": [16, 46, 125, 262, 540, 939, 1502, 2085, 2475, 2672, 2721, 2740],
}


def station(record):
    return virginia(tmin_c=celsius(record["low"]), tmax_c=celsius(record["high"]))


def from_months(record, month: int, method: str) -> float:
    day = date(2025, month, MONTH_DAYS[month - 1])
    return station(record).degree_days(day, method=method)


def one_day(high: int, low: int, method: str) -> float:
    """By the daily records; by the single day, too, where it knows the method."""
    highs, lows = np.array([float(high)]), np.array([float(low)])
    (found,) = day_totals(highs, lows, method=method)
    if method in ("average", "modified"):
        assert day_degrees(high, low, method=method) == found
    return float(found)


def worst_of_sines() -> float:
    """Largest difference to the area of the curve, by the middles of 20,000 strips."""
    turns = (np.arange(20_000) + 0.5) / 20_000 * pi - pi / 2
    worst = 0.0
    for low in range(10, 80, 7):
        for reach in (1, 10, 25, 40):
            curve = low + reach / 2 + reach / 2 * np.sin(turns)
            wanted = float(np.maximum(curve - 50, 0).mean())
            worst = max(worst, abs(one_day(low + reach, low, "sine") - wanted))
    return worst


CHECKS: list[Check] = [
    *(
        Check("9a", f"half-zone of {degree:g} F", BANDS,
              lambda f=degree: hardiness_zone(f), zone)
        for index, zone in enumerate(HALF_ZONES)
        for degree in (index * 5.0 - 60, index * 5.0 - 55.1)
    ),
    *(
        Check("9a", f"half-zone of {degree} F, held to the end of the scale", BANDS,
              lambda f=degree: hardiness_zone(f), zone)
        for degree, zone in ((-70, "1a"), (75, "13b"))
    ),
    *(
        Check("9b", f"heat zone of {days:g} days a year over 86 F", HEAT,
              lambda d=days: heat_zone(d), str(zone))
        for zone, (first, last) in enumerate(
            ((0, 0.9), (1, 7), (7.1, 14), (14.1, 30), (30.4, 45), (45.1, 60),
             (60.1, 90), (90.1, 120), (120.1, 150), (150.1, 180), (180.1, 210),
             (210.1, 366)), start=1)
        for days in (first, last)
    ),
    *(
        Check("9c", f"ten dates: {what}", RANKS, lambda c=chance: ranked(DATES, c), day)
        for what, chance, day in (
            ("the early one, 1st of 10", 10, "95"),
            ("the middle", 50, "103.5"),
            ("the late one, 9th of 10 by rank", 90, "110"),
        )
    ),
    *(
        Check("9d", f"a day of {high} and {low} F, {method}", source,
              lambda h=high, n=low, m=method: one_day(h, n, m), printed)
        for source, high, low, method, printed in DAYS
    ),
    Check("9d", "sine against the area of the curve, worst of 40", "numeric area",
          worst_of_sines, "0", "0.000001"),
    *(
        # Early totals are small and hang on single warm spells: 30 units or 3 %.
        Check("1.3", f"{name}: monthly means, end of month {month}, {method}",
              STATION, lambda r=record, m=month, w=method: from_months(r, m, w),
              str(record[method][month - 1]),
              f"{max(30.0, 0.03 * record[method][month - 1]):.0f}")
        for name, record in (
            ("Central Park", CENTRAL_PARK), ("Milwaukee", MILWAUKEE),
            ("Seattle", SEATTLE),
        )
        for method in ("average", "modified")
        for month in (3, 4, 5, 6, 9, 12)
    ),
    Check("1.3", "Central Park: year from monthly means, F",
          "NCEI 1991-2020 daily normals summed",
          lambda: from_months(CENTRAL_PARK, 12, "average"), "3868", "2 %"),
    Check("trap 5", "a day of 70 and 40 F by the average", "Ohio State, Herms, copy",
          lambda: one_day(70, 40, "average"), "5"),
    Check("trap 5", "the same day with the low lifted to the base",
          "Ohio State, Herms, copy", lambda: one_day(70, 40, "modified"), "10"),
    Check("trap 5", "the method stays with the total", "Ohio State, Herms, copy",
          lambda: degree_days_of_year(seattle(), 2013, "modified").method, "modified"),
]  # fmt: skip
