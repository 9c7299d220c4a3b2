"""The water of roots and of the top of the soil: examples and tables of FAO-56.

R. G. Allen and others, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56,
1998 (page read). Its tables 12, 17 and 22 come as data with the package pyfao56
(public domain).
"""

from functools import cache

import numpy as np
from pyfao56.tools import FAO56Tables

from plants.water import BedsWater
from plants.water.plant_factors import (
    PLANTING_ROWS,
    full_cover,
    part_cover,
    shade_share,
    staged,
)
from plants.water.rootzone import water_balance
from plants.water.soils import TABLE_19, readily_available_mm, total_available_mm
from plants.water.topsoil import (
    covered_share,
    evaporation_coefficient,
    most_coefficient,
    topsoil_day,
)
from tests.pure.outside.rows import Check, table

FAO = "FAO-56, page read"
PYFAO = "package pyfao56 1.4.3 (CC0)"

# --- plants and soils --------------------------------------------------------------


@cache
def example_41() -> dict[str, float]:
    """Plants 2 m high that cover three tenths of the ground."""
    shaded = shade_share(cover=0.3, height_to_width=1, lat=40, day_of_year=200)
    full = full_cover(height_m=2, humidity_min=55, wind_2m=1.5)
    part = part_cover(full=full, cover=0.3, shaded=shaded, height_m=2)
    return {"shaded": shaded, "full": full, "part": part}


SOILS_36 = {
    "loamy sand": (0.15, 0.06),
    "silt": (0.32, 0.15),
    "silty clay": (0.35, 0.23),
}
ROWS_36 = (
    ("onion", 0.4, 0.30, ("36 11", "68 20", "48 14")),
    ("tomato", 0.8, 0.40, ("72 29", "136 54", "96 38")),
    ("maize", 1.2, 0.55, ("108 59", "204 112", "144 79")),
)


def held(soil: str, roots_m: float, share: float) -> str:
    """Total and readily available water, whole mm."""
    capacity, wilting = SOILS_36[soil]
    total = total_available_mm(capacity=capacity, wilting=wilting, roots_m=roots_m)
    return f"{total:.0f} {readily_available_mm(total, share):.0f}"


PRINTED_19 = """
sand .07-.17 .02-.07 .05-.11 2-7 6-12
loamy_sand .11-.19 .03-.10 .06-.12 4-8 9-14
sandy_loam .18-.28 .06-.16 .11-.15 6-10 15-20
loam .20-.30 .07-.17 .13-.18 8-10 16-22
silt_loam .22-.36 .09-.21 .13-.19 8-11 18-25
silt .28-.36 .12-.22 .16-.20 8-11 22-26
silty_clay_loam .30-.37 .17-.24 .13-.18 8-11 22-27
silty_clay .30-.42 .17-.29 .13-.19 8-12 22-28
clay .32-.40 .20-.24 .12-.20 8-12 22-29
"""
COLUMNS_19 = ("capacity", "wilting", "available", "easy_mm", "total_mm")


def range_19(soil: str, column: str) -> str:
    low, high = getattr(TABLE_19[soil.replace("_", " ")], column)
    if column.endswith("_mm"):
        return f"{low:g}-{high:g}"
    return f"{low:.2f}-{high:.2f}".replace("0.", ".")


NAMES = {
    "cool-season turf": "turfgrass cool season",
    "warm-season turf": "turfgrass warm season",
    "conifers": "conifer trees",
    "berry bushes": "berries bushes",
    "strawberries": "strawberries",
    "apple and pear": "apples cherries pears no ground cover killing frost",
}


def pyfao_row(number: int, name: str) -> str:
    """The three figures of a row as pyfao56 has them."""
    found = getattr(_tables(), f"table{number}")
    wanted = NAMES[name]
    if number == 22 and name == "apple and pear":
        wanted = "apples cherries pears"
    (row,) = found[found.iloc[:, 0].str.strip() == wanted].values.tolist()
    return " ".join(f"{float(value):g}" for value in row[1:4])


@cache
def _tables() -> FAO56Tables:
    return FAO56Tables()


def our_row(number: int, name: str) -> str:
    ours = PLANTING_ROWS[name]
    figures = {12: ours.whole, 17: ours.basal, 22: (*ours.roots_m, ours.share)}[number]
    return " ".join(f"{value:g}" for value in figures)


PLANTS: list[Check] = [
    *table("Ex. 28", FAO, {
        f"coefficient on day {day}": (
            lambda d=day: staged(
                d, lengths=(25, 25, 30, 20), first=0.15, middle=1.19, last=0.35),
            printed)
        for day, printed in ((20, "0.15"), (40, "0.77"), (70, "1.19"), (95, "0.56"))
    }),
    *table("Ex. 30", FAO, {
        f"basal coefficient on day {day}": (
            lambda d=day: staged(
                d, lengths=(25, 25, 30, 20), first=0.15, middle=1.14, last=0.25),
            printed)
        for day, printed in ((12, "0.15"), (37, "0.63"), (65, "1.14"), (90, "0.70"))
    }, within="0.006"),
    *table("Ex. 41", FAO, {
        "part of the ground shaded": (lambda: example_41()["shaded"], "0.41"),
    }, within="0.006"),
    *table("Ex. 41", FAO, {
        "coefficient under full cover": (lambda: example_41()["full"], "1.15"),
        "coefficient under three tenths": (lambda: example_41()["part"], "0.75"),
        "with 0.05 for bare soil": (
            lambda: round(example_41()["part"], 2) + 0.05, "0.80"),
        "with 0.10 for bare soil": (
            lambda: round(example_41()["part"], 2) + 0.10, "0.85"),
    }),
    *(
        Check(
            "Ex. 36", f"{plant} on {soil}: total and easy water, mm", FAO,
            lambda s=soil, r=roots, p=share: held(s, r, p), printed,
        )
        for plant, roots, share, row in ROWS_36
        for soil, printed in zip(SOILS_36, row, strict=True)
    ),
    *(
        Check(
            "Table 19", f"{words[0]}: {column}", FAO,
            lambda s=words[0], c=column: range_19(s, c), printed,
        )
        for words in (line.split() for line in PRINTED_19.split("\n") if line)
        for column, printed in zip(COLUMNS_19, words[1:], strict=True)
    ),
    *(
        Check(
            f"Table {number}", name, PYFAO,
            lambda n=number, k=name: our_row(n, k), pyfao_row(number, name),
        )
        for number in (12, 17, 22)
        for name in sorted(PLANTING_ROWS)
    ),
]  # fmt: skip

# --- the top of the soil -----------------------------------------------------------


@cache
def example_31() -> tuple[list[float], list[float]]:
    """Depletion at the ends of ten days, and what bare loam used on each."""
    depletion, ends, uses = 0.0, [], []
    for _day in range(10):
        found = topsoil_day(
            before_mm=depletion, et0_mm=4.5, basal=0.15, most=1.20, bare_wet_share=1,
            easy_mm=9, total_mm=20,
        )  # fmt: skip
        depletion = found.depletion_mm
        ends.append(depletion)
        uses.append((0.15 + found.coefficient) * 4.5)
    return ends, uses


@cache
def cotton(bare: float | None) -> dict[str, float]:
    """Examples 32 to 34: a coefficient of 0.9 under wind, watered in three ways."""
    most = most_coefficient(basal=0.9, height_m=1, humidity_min=20, wind_2m=3)
    cover = covered_share(basal=0.9, most=most, height_m=1)
    adds = evaporation_coefficient(
        drying=1, most=most, basal=0.9,
        bare_wet_share=1 - cover if bare is None else bare,
    )  # fmt: skip
    return {"most": most, "cover": cover, "adds": adds, "together": 0.9 + adds}


# The day's ETo of example 35 (memory): the printed uses and depletions follow from it.
ET0_35 = [4.5, 5.0, 3.9, 4.2, 4.8, 2.7, 5.8, 5.1, 4.7, 5.2]
USED_35 = [5.5, 6.1, 4.0, 2.9, 2.5, 2.7, 4.7, 2.8, 2.2, 2.3]
ENDS_35 = ["5", "11", "14", "16", "17", "13", "16", "17", "18", "18"]


@cache
def example_35() -> tuple[list[float], list[float], float]:
    """Depletion at the ends of ten days, what was used, and what drained at first."""
    most = most_coefficient(basal=0.3, height_m=0.3, humidity_min=35, wind_2m=1.6)
    depletion, ends, uses, drained = 18.0, [], [], []
    for day, et0 in enumerate(ET0_35):
        basal = 0.30 + 0.10 * day / 9
        cover = covered_share(basal=basal, most=most, height_m=0.3)
        found = topsoil_day(
            before_mm=depletion,
            irrigation_mm=40 if day == 0 else 0,
            irrigated_share=0.8,
            rain_mm=6 if day == 5 else 0,
            et0_mm=et0, basal=basal, most=most,
            bare_wet_share=min(1 - cover, 0.8), easy_mm=8, total_mm=18,
        )  # fmt: skip
        depletion = found.depletion_mm
        ends.append(depletion)
        uses.append((basal + found.coefficient) * et0)
        drained.append(found.drained_mm)
    return ends, uses, drained[0]


TOPSOIL: list[Check] = [
    *(
        Check("Ex. 31", f"bare loam, end of day {day}, mm", FAO,
              lambda d=day: example_31()[0][d - 1], printed, "0.006")
        for day, printed in enumerate(
            ("4.73", "9.45", "13.98", "16.57", "18.04", "18.88", "19.36", "19.64",
             "19.79", "19.88"), start=1)
    ),
    *(
        Check("Ex. 31", f"bare loam, used on day {day}, mm", FAO,
              lambda d=day: round(example_31()[1][d - 1], 1), printed)
        for day, printed in enumerate(
            ("5.4", "5.4", "5.2", "3.3", "2.1", "1.5", "1.2", "0.9", "0.8", "0.8"),
            start=1)
    ),
    *table("Ex. 32", FAO, {
        "cotton: most coefficient": (lambda: cotton(None)["most"], "1.30"),
        "cotton: part covered": (lambda: cotton(None)["cover"], "0.53"),
    }),
    *(
        Check(row, f"cotton under {way}: {what}", FAO,
              lambda b=bare, k=key: cotton(b)[k], printed)
        for row, way, bare, adds, together in (
            ("Ex. 32", "sprinkler", None, "0.40", "1.30"),
            ("Ex. 33", "furrow", 0.3, "0.39", "1.29"),
            ("Ex. 34", "drip", 0.19, "0.25", "1.15"),
        )
        for what, key, printed in (
            ("soil adds", "adds", adds), ("together", "together", together))
    ),
    Check("Ex. 35", "most coefficient", FAO,
          lambda: most_coefficient(
              basal=0.3, height_m=0.3, humidity_min=35, wind_2m=1.6), "1.21"),
    *(
        Check("Ex. 35", f"sandy loam, end of day {day}, mm", FAO,
              lambda d=day: example_35()[0][d - 1], printed, "1")
        for day, printed in enumerate(ENDS_35, start=1)
    ),
    # The printed coefficient of day 3, 1.04, is not the sum of its own parts.
    *(
        Check("Ex. 35", f"sandy loam, used on day {day}, mm", FAO,
              lambda d=day: example_35()[1][d - 1], str(printed), "0.2")
        for day, printed in enumerate(USED_35, start=1) if day != 3
    ),
    Check("Ex. 35", "drained on day 1, mm", FAO, lambda: example_35()[2], "32"),
]  # fmt: skip

# --- the depth of the roots --------------------------------------------------------


@cache
def example_37():
    return water_balance(
        BedsWater(
            total_mm=np.array([160.0]), share=np.array([0.4]),
            coefficient=np.array([1.0]),
        ),
        et0_mm=np.full(10, 6.0), rain_mm=np.zeros((10, 1)), start_mm=np.array([55.0]),
        adjusts_share=False,
    )  # fmt: skip


@cache
def example_38(when: str):
    days = np.arange(10)
    total = (130 * (0.30 + 0.05 * days / 9))[:, np.newaxis]
    rain, given = np.zeros((10, 1)), np.zeros((10, 1))
    rain[5], given[0], given[9] = 6, 40, 27
    # On day 10 the newly wet soil uses its most: 1.21 of 5.2 mm.
    used = np.array([*USED_35[:9], 1.21 * 5.2])
    return water_balance(
        BedsWater(total_mm=total, share=np.array([0.6]), coefficient=np.array([1.0])),
        et0_mm=used, rain_mm=rain, given_mm=given, start_mm=np.array([23.0]),
        when=when, adjusts_share=False, ignores_light_rain=False,
    )  # fmt: skip


ROOTS: list[Check] = [
    *(
        Check("Ex. 37", f"end of dry day {day}, mm", FAO,
              lambda d=day: example_37().depletion[d - 1, 0], printed)
        for day, printed in enumerate(
            ("61.0", "67.0", "72.8", "78.3", "83.4", "88.2", "92.6", "96.9", "100.8",
             "104.5"), start=1)
    ),
    *(
        Check("Ex. 37", f"stress on dry day {day}", FAO,
              lambda d=day: example_37().stress[d - 1, 0], printed)
        for day, printed in enumerate(
            ("0.97", "0.91", "0.85", "0.80", "0.75", "0.70", "0.66", "0.62"), start=3)
    ),
    *(
        Check("Ex. 38", f"watered early, end of day {day}, mm", FAO,
              lambda d=day: example_38("early").depletion[d - 1, 0], printed, "1")
        for day, printed in enumerate(
            ("5", "12", "16", "18", "21", "18", "22", "25", "27", "6"), start=1)
    ),
    Check("Ex. 38", "watered early, drained on day 1, mm", FAO,
          lambda: example_38("early").drained[0, 0], "17"),
    Check("Ex. 38", "watered late (equation 88 as written), drained, mm",
          FAO + "; arithmetic", lambda: example_38("late").drained[0, 0], "11.5"),
]  # fmt: skip

CHECKS = [*PLANTS, *TOPSOIL, *ROOTS]
