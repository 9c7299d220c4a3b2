"""Printed figures on sulfur, aluminium and iron sulfate, and lime (section 1)."""

from decimal import Decimal

from firm.units import convert
from plants.soil import (
    aluminium_sulfate,
    by_loam_table,
    ferrous_sulfate_kg,
    lime,
    lime_by_acidity,
    sulfur,
    times_as_acid,
)
from plants.soil.doses import Dose
from plants.soil.feeding import grams_per_m2
from plants.soil.tables import (
    ALUM_ON_LOAM,
    LIME_PER_UNIT,
    LIME_TO_6_5,
    SULFUR_G_PER_M2,
    SULFUR_ON_LOAM,
    SULFUR_PER_UNIT,
    SULFUR_TO_4_5,
)
from tests.pure.outside.rows import Check, D

MSU = "Michigan State University by a supplier, copy; conversion arithmetic"
HANDBOOK = "garden-soil.com, Make the pH work for you, page read"
RHS = "Royal Horticultural Society, Acidifying soil, page read"
CLEMSON = "Clemson Soil Acidification Calculator quoting EC 707, page read"
VCALC = "vCalc, pounds of lime per 1,000 sq ft to pH 6.5, page read"
PER_100 = "limestone per 100 sq ft to pH 6.5, agroconection.com, copy"
PSU_LAB = "Penn State soil laboratory, Home Garden notes, page read"
PSU = "Penn State Agronomy Guide, limestone recommendation, page read; arithmetic"
REEVES = "walterreeves.com, extension horticulturist, page read"
AREA_1000 = convert(D(1000), unit="sq ft", to="m²")


def low(start: str, target: str, texture: str, square_feet: int = 1000) -> Dose:
    return sulfur(
        start_ph=D(start),
        target_ph=D(target),
        texture=texture,
        area_m2=convert(D(square_feet), unit="sq ft", to="m²"),
        planted=True,
        has_free_lime=False,
    )


def up(start: str, texture: str, cce: int = 100, square_feet: int = 1000) -> Dose:
    return lime(
        start_ph=D(start),
        texture=texture,
        area_m2=convert(D(square_feet), unit="sq ft", to="m²"),
        cce_percent=D(cce),
    )


def pounds(dose: Dose) -> Decimal:
    return convert(dose.kg, unit="kg", to="lb")


def alum(start: str, target: str, texture: str, square_feet: int) -> Decimal:
    return pounds(
        aluminium_sulfate(
            start_ph=D(start),
            target_ph=D(target),
            texture=texture,
            area_m2=convert(D(square_feet), unit="sq ft", to="m²"),
            has_free_lime=False,
        )
    )


def by_clemson(start: str, target: str, texture: str) -> Decimal:
    """Sulfur per 100 sq ft by the table for loam and its factors."""
    return (
        by_loam_table(
            SULFUR_ON_LOAM, start_ph=D(start), target_ph=D(target), texture=texture
        )
        / 10
    )


TO_4_5 = {
    "5.0": ("4.0", "12.2", "18.4"),
    "5.5": ("8.0", "23.6", "36.7"),
    "6.0": ("12.2", "35.4", "52.8"),
    "6.5": ("15.2", "46.4", "69.6"),
    "7.0": ("19.3", "58.8", "87.9"),
}
LIME_VCALC = {
    "4.0": (100, 175, 230),
    "4.5": (80, 150, 200),
    "5.0": (65, 110, 150),
    "5.5": (45, 75, 100),
    "6.0": (20, 35, 50),
}
# The hundred square feet of agroconection.com; clay loam.
LIME_PER_100 = {
    "4.0": ("11.5", "23"),
    "4.5": ("9.5", "19.5"),
    "5.0": ("8", "15"),
    "5.5": ("6", "10.5"),
    "6.0": ("3", "5.5"),
}

CHECKS: list[Check] = []
for _start, _row in TO_4_5.items():
    for _texture, _printed in zip(("sand", "loam", "clay"), _row, strict=True):
        CHECKS.append(
            Check(
                "1a",
                f"sulfur {_start} to 4.5, {_texture}, lb/1,000 sq ft",
                MSU,
                lambda s=_start, t=_texture: low(s, "4.5", t).lb_per_1000_sq_ft,
                _printed,
            )
        )
CHECKS += [
    Check(
        "trap 3",
        "Michigan table, loam to clay at pH 7.0",
        MSU,
        lambda: D(SULFUR_TO_4_5["clay"][D("7.0")]) / SULFUR_TO_4_5["loam"][D("7.0")],
        "1.50",
    ),
    Check(
        "trap 3",
        "Michigan table, loam to sand at pH 7.0",
        MSU,
        lambda: D(SULFUR_TO_4_5["sand"][D("7.0")]) / SULFUR_TO_4_5["loam"][D("7.0")],
        "0.33",
    ),
]
for _texture, _each in (("sandy loam", "10"), ("loam", "15"), ("clay", "20")):
    CHECKS.append(
        Check(
            "1c",
            f"sulfur for one unit, {_texture}, lb/1,000 sq ft",
            HANDBOOK,
            lambda t=_texture: low("7.5", "6.5", t).lb_per_1000_sq_ft,
            _each,
        )
    )
for _texture, _grams, _per_100 in (("sand", "135", "2.77"), ("clay", "270", "5.53")):
    CHECKS += [
        Check(
            "1c",
            f"sulfur 7.0-7.5 to 6.0-6.5, {_texture}, g/m²",
            RHS,
            lambda t=_texture: grams_per_m2(
                low("7.5", "6.5", t).other_lb_per_1000_sq_ft["rhs-acidifying"]
            ),
            _grams,
        ),
        Check(
            "1c",
            f"the same in lb/100 sq ft, {_texture}",
            "arithmetic",
            lambda t=_texture: (
                low("7.5", "6.5", t).other_lb_per_1000_sq_ft["rhs-acidifying"] / 10
            ),
            _per_100,
        ),
        Check(
            "1e",
            f"ferrous sulfate for {_grams} g/m² of sulfur, g/m²",
            RHS,
            lambda t=_texture: ferrous_sulfate_kg(SULFUR_G_PER_M2[t]),
            {"135": "1080", "270": "2160"}[_grams],
        ),
    ]
CHECKS += [
    Check(
        "1c",
        "unit on loam against Purdue's column (11) and the handbook (15)",
        "COPY hort.net 2006: 11; handbook read: 15",
        lambda: SULFUR_PER_UNIT["loam"],
        "11",
        "4",
    ),
    *(
        Check(
            "1d",
            f"alum 7.0 to 6.5, 20 sq ft, {_texture}, lb",
            "365blogger.com repeating Clemson, copy; agrees with the table (memory)",
            lambda t=_texture: alum("7.0", "6.5", t, 20),
            _printed,
        )
        for _texture, _printed in (("loam", "1.2"), ("clay", "1.8"), ("sand", "0.8"))
    ),
    Check(
        "1d",
        "sulfur 6.0 to 5.0, clay, 100 sq ft, lb (loam table x 1.5)",
        REEVES,
        lambda: by_clemson("6.0", "5.0", "clay"),
        "3.0",
    ),
    Check(
        "1d",
        "alum 6.0 to 5.0, clay, 100 sq ft, lb by the table",
        "arithmetic on the table",
        lambda: alum("6.0", "5.0", "clay", 100),
        "22.5",
    ),
    Check(
        "1d",
        "the same as the page prints it (16 % lower)",
        REEVES,
        lambda: alum("6.0", "5.0", "clay", 100),
        "19",
        "3.6",
    ),
    Check(
        "1d",
        "alum on loam, first half unit from 7.0, lb/10 sq ft",
        "arithmetic on the table: not linear",
        lambda: ALUM_ON_LOAM[D("7.0")][D("6.5")],
        "0.6",
    ),
    Check(
        "1d",
        "alum on loam, second half unit from 7.0, lb/10 sq ft",
        "arithmetic on the table",
        lambda: ALUM_ON_LOAM[D("7.0")][D("6.0")] - ALUM_ON_LOAM[D("7.0")][D("6.5")],
        "0.6",
    ),
    Check(
        "1d",
        "alum on loam, third half unit from 7.0, lb/10 sq ft",
        "arithmetic on the table",
        lambda: ALUM_ON_LOAM[D("7.0")][D("5.5")] - ALUM_ON_LOAM[D("7.0")][D("6.0")],
        "0.9",
    ),
    *(
        Check(
            "1e",
            f"alum for one of sulfur, {_start} to {_target}",
            "arithmetic on the table",
            lambda s=_start, t=_target: (
                ALUM_ON_LOAM[D(s)][D(t)] / SULFUR_ON_LOAM[D(s)][D(t)]
            ),
            _printed,
        )
        for _start, _target, _printed in (
            ("8.0", "6.5", "6.0"),
            ("7.5", "4.5", "7.0"),
            ("8.0", "4.5", "6.9"),
        )
    ),
    Check(
        "1e",
        "iron sulfate for a unit on loam, lb/1,000 sq ft, twice 5 per 100",
        REEVES,
        lambda: ferrous_sulfate_kg(SULFUR_PER_UNIT["loam"]),
        "100",
        "20",
    ),
    Check(
        "1f",
        "5 lb per 1,000 sq ft in lb an acre",
        CLEMSON,
        lambda: D(5) * 1000 / 1000 * convert(D(1), unit="acre", to="sq ft") / 1000,
        "217.8",
    ),
    Check(
        "1f",
        "10 lb per 1,000 sq ft in lb an acre",
        CLEMSON,
        lambda: D(10) * convert(D(1), unit="acre", to="sq ft") / 1000,
        "435.6",
    ),
    Check(
        "1f",
        "30 lb per 1,000 sq ft on planted ground, visits",
        "arithmetic on the ceiling of 10",
        lambda: low("7.5", "5.5", "loam").visits,
        "3",
    ),
    Check(
        "1f",
        "the same, months from the first to the last",
        "arithmetic on three months between",
        lambda: (
            (low("7.5", "5.5", "loam").visits - 1)
            * low("7.5", "5.5", "loam").months_between
        ),
        "6",
    ),
    Check(
        "1f",
        "the same, lb per 1,000 sq ft at each visit",
        CLEMSON,
        lambda: pounds(low("7.5", "5.5", "loam")) / 3,
        "10",
    ),
]
for _start, _limes in LIME_VCALC.items():
    for _texture, _lb in zip(("sand", "loam", "clay"), _limes, strict=True):
        CHECKS.append(
            Check(
                "1g",
                f"lime {_start} to 6.5, {_texture}, lb/1,000 sq ft",
                VCALC,
                lambda s=_start, t=_texture: up(s, t).lb_per_1000_sq_ft,
                str(_lb),
            )
        )
for _start, _hundreds in LIME_PER_100.items():
    for _texture, _printed in zip(("sandy loam", "clay loam"), _hundreds, strict=True):
        CHECKS.append(
            Check(
                "1g",
                f"lime {_start} to 6.5, {_texture}, lb/100 sq ft",
                PER_100,
                lambda s=_start, t=_texture: LIME_TO_6_5[t][D(s)] / 10,
                _printed,
            )
        )
CHECKS += [
    *(
        Check(
            "1g",
            f"lime for one unit, {_texture}, lb/1,000 sq ft",
            HANDBOOK,
            lambda t=_texture: up("5.5", t).other_lb_per_1000_sq_ft["soil-handbook"],
            _printed,
        )
        for _texture, _printed in (
            ("sandy loam", "35"),
            ("loam", "50"),
            ("clay loam", "70"),
        )
    ),
    Check(
        "1g",
        "5 lb per 100 sq ft at 70 % CCE, exactly",
        PSU_LAB,
        lambda: pounds(up("6.0", "clay", 70, 100)),
        "7.14",
    ),
    Check(
        "1g",
        "the same as printed, whole pounds",
        PSU_LAB,
        lambda: pounds(up("6.0", "clay", 70, 100)),
        "7",
    ),
    *(
        Check(
            "1g",
            f"parts of {_lb} lb of lime per 100 sq ft",
            PSU_LAB,
            lambda s=_start, t=_texture: up(s, t).visits,
            _parts,
        )
        for _start, _texture, _lb, _parts in (
            ("6.0", "loam", "3.5", "1"),
            ("5.0", "loam", "11", "2"),
            ("4.5", "clay", "20", "2"),
            ("4.0", "clay", "23", "3"),
        )
    ),
    *(
        Check(
            "1g",
            f"lime by acidity {_acidity}, pH {_ph}, lb/1,000 sq ft",
            PSU,
            lambda a=_acidity, p=_ph: lime_by_acidity(acidity=D(a), ph=D(p)),
            _printed,
        )
        for _acidity, _ph, _printed in (
            ("6.0", "5.5", "115.7"),
            ("3.0", "6.2", "45.9"),
            ("3.0", "6.6", "0"),
        )
    ),
    Check(
        "1g",
        "lime by acidity 6.0 to pH 7.0, lb an acre",
        PSU,
        lambda: (
            lime_by_acidity(acidity=D(6), ph=D("5.5"), target_ph=D("7.0"))
            * convert(D(1), unit="acre", to="sq ft")
            / 1000
        ),
        "6000",
    ),
    Check(
        "1g",
        "pH 5.5 is so many times as acid as 6.5",
        "Iowa State, How To Change Your Soil's pH, page read",
        lambda: times_as_acid(D("5.5"), D("6.5")),
        "10",
    ),
    Check(
        "1g",
        "pH 5.5 is so many times as acid as 7.5",
        "Iowa State, How To Change Your Soil's pH, page read",
        lambda: times_as_acid(D("5.5"), D("7.5")),
        "100",
    ),
    Check(
        "trap 1",
        "8 / 10 / 15 lb per 100 sq ft at pH 5.0 is lime: clay loam",
        "R11 prints it under a sulfur heading; lime in agroconection.com",
        lambda: LIME_TO_6_5["clay loam"][D("5.0")] / 10,
        "15",
    ),
    Check(
        "1g",
        "lime for one unit, sand as sandy loam",
        HANDBOOK,
        lambda: LIME_PER_UNIT["sand"],
        "35",
    ),
]
