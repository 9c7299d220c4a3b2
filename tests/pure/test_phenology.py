"""Degree days taken from what was seen, and the drawing of seen and computed."""

from collections.abc import Mapping
from datetime import date
from math import floor
from xml.etree import ElementTree

import pytest

from plants.care.phenology import Sighting, spread_of, suggestion
from plants.climate import day_degrees
from plants.drawings import FlowerYear, first_flowers
from tests.pure.care_gardens import mirrored, virginia

HERE = virginia()


class Record:
    """A year whose warmth was recorded day by day: total degree days by date."""

    def __init__(self, totals: Mapping[date, float]) -> None:
        self.totals = totals

    def degree_days(self, day: date) -> float:
        return self.totals[day]


def seen(*days: date) -> list[Sighting]:
    return [Sighting(day, HERE) for day in days]


def test_the_days_of_the_university_calculators_give_their_printed_totals() -> None:
    # Ohio State University Extension (bygl.osu.edu, node 1452, page read): 43 so far,
    # a high of 61 and then of 67 over a base of 50 make 48.5 and 57.
    total = 43 + day_degrees(61, 40, method="modified")
    assert total == 48.5
    assert total + day_degrees(67, 45, method="modified") == 57
    # Printed examples of the average method: 70/40 is 5, 64/62 is 13, 63/43 is 3.
    assert [day_degrees(*pair) for pair in ((70, 40), (64, 62), (63, 43))] == [5, 13, 3]


def test_the_middle_the_ends_and_the_number_of_the_totals_are_told() -> None:
    year = date(2026, 4, 20), date(2026, 4, 26), date(2026, 5, 1)
    totals = [floor(HERE.degree_days(day) * 10) / 10 for day in year]

    found = spread_of(seen(*year))

    assert found == (totals[1], totals[0], totals[2], 3)
    assert spread_of([]) is None


def test_two_observations_give_the_mean_of_their_totals() -> None:
    record = Record({date(2026, 5, 1): 200.0, date(2026, 5, 9): 260.0})

    found = spread_of([Sighting(day, record) for day in record.totals])

    assert found == (230.0, 200.0, 260.0, 2)


def test_a_years_own_warmth_is_asked_where_it_is_known() -> None:
    warm = Record({date(2026, 4, 20): 234.0})

    told = suggestion(climate=HERE, first=[Sighting(date(2026, 4, 20), warm)])

    assert told is not None
    assert told.first == (234.0, 234.0, 234.0, 1)
    assert round(HERE.degree_days(date(2026, 4, 20)), 1) != 234.0


def test_the_suggested_total_leads_back_to_the_middle_day() -> None:
    told = suggestion(
        climate=HERE,
        first=seen(date(2025, 4, 22), date(2026, 4, 30), date(2027, 5, 2)),
        last=seen(date(2025, 6, 1), date(2026, 6, 9)),
    )

    assert told is not None
    assert HERE.degree_days_reached(told.first.middle, 2026) == date(2026, 4, 30)
    assert told.last is not None
    assert told.last.n == 2
    assert told.full_outside == 0


def test_without_first_flowers_nothing_is_suggested() -> None:
    assert suggestion(climate=HERE, first=[]) is None
    assert suggestion(climate=HERE, first=[], last=seen(date(2026, 6, 1))) is None


def test_flowers_of_winter_tell_no_degree_days() -> None:
    # Hardly any warmth adds up in a cold winter.
    assert suggestion(climate=HERE, first=seen(date(2025, 12, 28))) is None
    cold = virginia(
        tmin_c=[-18, -16, -9, 0, 7, 12, 15, 14, 9, 3, -4, -13],
        tmax_c=[-7, -5, 1, 11, 19, 24, 27, 25, 20, 12, 3, -5],
    )
    told = suggestion(climate=cold, first=[Sighting(date(2026, 2, 10), cold)])
    assert told is None


def test_an_end_before_the_first_flowers_is_left_out() -> None:
    told = suggestion(
        climate=HERE,
        first=seen(date(2026, 10, 5)),
        # Over in the spring of the year after: the total counts anew from January.
        last=seen(date(2027, 3, 1)),
    )

    assert told is not None
    assert told.last is None


def test_full_bloom_outside_of_the_totals_is_counted() -> None:
    told = suggestion(
        climate=HERE,
        first=seen(date(2026, 4, 20)),
        full=seen(date(2026, 4, 10), date(2026, 5, 1), date(2026, 6, 20)),
        last=seen(date(2026, 5, 25)),
    )

    assert told is not None
    assert told.full_outside == 2


def test_south_of_the_equator_the_totals_count_from_july() -> None:
    south = mirrored(HERE)
    day = date(2026, 10, 30)

    told = suggestion(climate=south, first=[Sighting(day, south)])

    assert told is not None
    assert south.degree_days_reached(told.first.middle, 2026) == day


# --- the drawing -------------------------------------------------------------------

YEARS = [
    FlowerYear(year=2024, computed=date(2024, 4, 24), seen=(date(2024, 5, 3),)),
    FlowerYear(
        year=2025,
        computed=date(2025, 4, 24),
        seen=(date(2025, 4, 20), date(2025, 4, 29)),
    ),
    FlowerYear(year=2026, computed=None, seen=(date(2026, 2, 28),)),
]


def test_the_drawing_says_in_words_what_it_shows() -> None:
    svg = ElementTree.fromstring(first_flowers(YEARS))  # noqa: S314
    said = svg.findtext("{http://www.w3.org/2000/svg}desc")

    assert said == (
        "2024: computed 24 Apr, seen 3 May. "
        "2025: computed 24 Apr, seen 20 Apr, 29 Apr. "
        "2026: seen 28 Feb."
    )


def test_a_dot_stands_for_each_sighting_and_one_in_the_legend() -> None:
    svg = first_flowers(YEARS)

    # Each dot is a filled and an outlined circle.
    assert svg.count("<circle") == 2 * (4 + 1)
    assert all(str(year) in svg for year in (2024, 2025, 2026))


def test_nothing_is_drawn_of_no_year() -> None:
    with pytest.raises(ValueError, match="no year"):
        first_flowers([])


def test_flowers_over_the_new_year_stay_in_one_row() -> None:
    svg = first_flowers(
        [
            FlowerYear(
                year=2025, computed=date(2025, 12, 28), seen=(date(2026, 1, 6),)
            ),
            FlowerYear(
                year=2027, computed=date(2027, 12, 28), seen=(date(2028, 2, 29),)
            ),
        ]
    )
    lines = [
        each
        for each in ElementTree.fromstring(svg)  # noqa: S314
        if each.get("class") == "leaf-line" and each.tag.endswith("line")
    ]
    lengths = [float(one.get("x2", 0)) - float(one.get("x1", 0)) for one in lines]

    assert len(lengths) == 2
    # Nine days and sixty-two days on one scale.
    assert lengths[1] / lengths[0] == pytest.approx(62 / 9, rel=0.03)
