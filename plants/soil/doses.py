"""Sulfur and lime for an area, split under the ceilings of their sources."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from itertools import pairwise

from firm.units import Display, convert, plain
from plants.soil.tables import (
    ALUM_CEILING,
    ALUM_ON_LOAM,
    BED_CEILING,
    FERROUS_SULFATE_FACTOR,
    LIME_GAP_MONTHS,
    LIME_PER_UNIT,
    LIME_TARGET,
    LIME_TO_6_5,
    LOAM_TABLE_FACTOR,
    PLANTED_CEILING,
    SULFUR_COLUMN,
    SULFUR_G_PER_M2,
    SULFUR_GAP_MONTHS,
    SULFUR_HIGHEST_START,
    SULFUR_PER_UNIT,
    SULFUR_TARGET,
    SULFUR_TO_4_5,
    TEXTURES,
    SoilError,
)

US = Display("us")


@dataclass(frozen=True, kw_only=True)
class Dose:
    """So much of a product on an area, split over visits, with where it comes from."""

    product: str
    lb_per_1000_sq_ft: Decimal
    kg: Decimal
    visits: int
    months_between: int
    kg_each: Decimal
    sources: tuple[str, ...]
    other_lb_per_1000_sq_ft: Mapping[str, Decimal]
    words: str


def check_ph(ph: Decimal, name: str = "pH") -> None:
    """Refuse a pH that no garden soil has."""
    if not Decimal(3) <= ph <= Decimal(10):
        raise SoilError(
            f"{name} {plain(ph, places=1)} is outside 3 to 10: measure again."
        )


def _check_texture(texture: str) -> None:
    if texture not in TEXTURES:
        raise SoilError(f"{texture!r} is no soil texture; say {', '.join(TEXTURES)}.")


def _between(table: Mapping[Decimal, Decimal], ph: Decimal) -> Decimal:
    """The table's figure at a pH, in a straight line between two printed rows."""
    rows = sorted(table)
    for low, high in pairwise(rows):
        if low <= ph <= high:
            part = (ph - low) / (high - low)
            return table[low] + (table[high] - table[low]) * part
    raise SoilError(
        f"The printed table ends at pH {rows[0]} and {rows[-1]}; "
        f"it says nothing about {plain(ph, places=1)}."
    )


def _per_1000(lb_per_acre: Decimal) -> Decimal:
    return convert(lb_per_acre, unit="sq ft", to="acre") * 1000


def sulfur(
    *,
    start_ph: Decimal,
    target_ph: Decimal,
    texture: str,
    area_m2: Decimal,
    planted: bool,
    has_free_lime: bool,
    display: Display = US,
) -> Dose:
    """The elemental sulfur that lowers the pH, split under the ceiling.

    To pH 4.5 the printed table holds. To any other pH the smaller of the table's
    difference and the handbook's figure for one unit comes first, because a second
    dose after a new test does less harm than too much at once; both are shown.
    """
    check_ph(start_ph, "The soil's pH")
    check_ph(target_ph, "The wanted pH")
    _check_texture(texture)
    if area_m2 <= 0:
        raise SoilError("The area must be above nothing.")
    if has_free_lime:
        raise SoilError(
            "This soil fizzes with vinegar: it holds free lime, and sulfur is used up "
            "without making it sour for long. Choose plants that like lime, or "
            "plant in a raised bed of sour soil (Royal Horticultural Society)."
        )
    if target_ph >= start_ph:
        raise SoilError("The wanted pH is not lower than the soil's: no sulfur.")
    if start_ph > SULFUR_HIGHEST_START:
        raise SoilError(
            f"Above pH {SULFUR_HIGHEST_START} the printed tables differ too far, "
            "because lime must first be used up. Have a laboratory test the soil."
        )
    if target_ph < SULFUR_TARGET:
        raise SoilError(f"No table goes lower than pH {SULFUR_TARGET}.")
    if target_ph == SULFUR_TARGET and start_ph > max(SULFUR_TO_4_5["loam"]):
        raise SoilError(
            f"The table to pH {SULFUR_TARGET} ends at a starting pH of 7.0: choose "
            "another plant or have a laboratory say how much."
        )
    table = {SULFUR_TARGET: Decimal(0)}
    for ph, pounds in SULFUR_TO_4_5[SULFUR_COLUMN[texture]].items():
        table[ph] = Decimal(pounds)
    found = {"soil-handbook": SULFUR_PER_UNIT[texture] * (start_ph - target_ph)}
    if start_ph <= max(table):
        found["msu-blueberry"] = _per_1000(
            _between(table, start_ph) - _between(table, target_ph)
        )
    limy = Decimal("7.0") <= start_ph <= Decimal("7.5")
    mild = Decimal("6.0") <= target_ph <= Decimal("6.5")
    if limy and mild and texture in SULFUR_G_PER_M2:
        kilograms = SULFUR_G_PER_M2[texture] / 1000
        found["rhs-acidifying"] = convert(kilograms, unit="kg", to="lb") * convert(
            Decimal(1000), unit="sq ft", to="m²"
        )
    source = min(found, key=lambda each: found[each])
    if target_ph == SULFUR_TARGET:
        source = "msu-blueberry"
    rate = found.pop(source)
    ceiling = PLANTED_CEILING if planted else BED_CEILING
    limit = "clemson-calculator" if planted else "midwest-bed"
    visits = int((rate / ceiling).to_integral_value(ROUND_CEILING))
    return _dose(
        "elemental sulfur",
        rate,
        area_m2=area_m2,
        visits=visits,
        gap=SULFUR_GAP_MONTHS,
        sources=(source, limit),
        display=display,
        last="Water it in, work it into bare ground, keep to days below 24 °C (75 °F), "
        "and test the soil again after three to six months before any more.",
        others=found,
    )


def lime(
    *,
    start_ph: Decimal,
    target_ph: Decimal = LIME_TARGET,
    texture: str,
    area_m2: Decimal,
    cce_percent: Decimal = Decimal(100),
    display: Display = US,
) -> Dose:
    """The ground limestone that raises the pH, corrected for its purity and split.

    `cce_percent` is the calcium carbonate equivalent on the bag.
    """
    check_ph(start_ph, "The soil's pH")
    check_ph(target_ph, "The wanted pH")
    _check_texture(texture)
    if area_m2 <= 0:
        raise SoilError("The area must be above nothing.")
    if not Decimal(20) <= cce_percent <= Decimal(120):
        raise SoilError("The calcium carbonate equivalent lies between 20 and 120 %.")
    if target_ph <= start_ph:
        raise SoilError("The wanted pH is not higher than the soil's: no lime.")
    if target_ph > LIME_TARGET:
        raise SoilError(f"No table goes higher than pH {LIME_TARGET}.")
    table = {**LIME_TO_6_5[texture], LIME_TARGET: Decimal(0)}
    pure = _between(table, start_ph) - _between(table, target_ph)
    # The laboratory's split is for its recommendation, before the purity is reckoned.
    visits = 3 if pure > 200 else 2 if pure > 100 else 1
    source = "lime-100" if texture in {"sandy loam", "clay loam"} else "lime-1000"
    other = LIME_PER_UNIT[texture] * (target_ph - start_ph) * 100 / cce_percent
    return _dose(
        "ground limestone",
        pure * 100 / cce_percent,
        area_m2=area_m2,
        visits=visits,
        gap=LIME_GAP_MONTHS,
        sources=(source, "psu-lab"),
        display=display,
        last="Work it in where nothing grows yet and test again before the next dose.",
        others={"soil-handbook": other},
    )


def lime_by_acidity(
    *, acidity: Decimal, ph: Decimal, target_ph: Decimal = LIME_TARGET
) -> Decimal:
    """Pounds of pure lime per 1,000 sq ft from a laboratory's exchangeable acidity.

    Penn State Extension, Agronomy Guide (page read): for pH 7.0 a thousand pounds an
    acre for each unit of acidity; for 6.5 840 where it is above 4.0, else a flat 2,000
    where the pH lies below 6.5.
    """
    check_ph(ph, "The soil's pH")
    if not 0 <= acidity <= 50:
        raise SoilError("A laboratory's acidity lies between 0 and 50.")
    if target_ph == Decimal("7.0"):
        pounds = acidity * 1000 if ph < target_ph else Decimal(0)
    elif target_ph == LIME_TARGET:
        if acidity > 4:
            pounds = acidity * 840
        else:
            pounds = Decimal(2000) if ph < LIME_TARGET else Decimal(0)
    else:
        raise SoilError("The laboratory's rule holds for pH 6.5 and 7.0 only.")
    return _per_1000(pounds)


def by_loam_table(
    table: Mapping[Decimal, Mapping[Decimal, Decimal]],
    *,
    start_ph: Decimal,
    target_ph: Decimal,
    texture: str,
) -> Decimal:
    """Pounds per 1,000 sq ft out of a table for loam, straight between its rows."""
    if start_ph < min(table):
        raise SoilError(f"The printed table begins at pH {min(table)}.")
    by_start = {target_ph: Decimal(0)}
    for start, row in table.items():
        targets = {**row, start: Decimal(0)}
        if min(targets) <= target_ph <= start:
            by_start[start] = _between(targets, target_ph)
    pounds = _between(by_start, start_ph)
    return pounds * 100 * LOAM_TABLE_FACTOR[SULFUR_COLUMN[texture]]


def aluminium_sulfate(
    *,
    start_ph: Decimal,
    target_ph: Decimal,
    texture: str,
    area_m2: Decimal,
    has_free_lime: bool,
    display: Display = US,
) -> Dose:
    """The aluminium sulfate that lowers the pH, split under its own ceiling."""
    # Whatever forbids sulfur forbids this too.
    sulfur(
        start_ph=start_ph,
        target_ph=target_ph,
        texture=texture,
        area_m2=area_m2,
        planted=True,
        has_free_lime=has_free_lime,
    )
    rate = by_loam_table(
        ALUM_ON_LOAM, start_ph=start_ph, target_ph=target_ph, texture=texture
    )
    return _dose(
        "aluminium sulfate",
        rate,
        area_m2=area_m2,
        visits=int((rate / ALUM_CEILING).to_integral_value(ROUND_CEILING)),
        gap=SULFUR_GAP_MONTHS,
        sources=("clemson-1650", "common-practice"),
        display=display,
        last="It works within days; too much aluminium harms roots, so water it in, "
        "keep it off leaves and test again before any more.",
    )


def ferrous_sulfate_kg(sulfur_kg: Decimal) -> Decimal:
    """The ferrous sulfate that does the work of so much sulfur (rhs-acidifying)."""
    return sulfur_kg * FERROUS_SULFATE_FACTOR


def _dose(
    product: str,
    rate: Decimal,
    *,
    area_m2: Decimal,
    visits: int,
    gap: int,
    sources: tuple[str, ...],
    display: Display,
    last: str,
    others: Mapping[str, Decimal] | None = None,
) -> Dose:
    pounds = rate * convert(area_m2, unit="m²", to="sq ft") / 1000
    kilograms = convert(pounds, unit="lb", to="kg")
    each = kilograms / visits
    per = _rate_words(rate, display)
    whole = _weight(kilograms, display)
    if visits == 1:
        split = "In one dose."
    else:
        split = f"In {visits} doses of {_weight(each, display)}, {gap} months apart."
    also = "".join(
        f" Another source says {_rate_words(other, display)}: the tables differ, so "
        "a laboratory's word is worth having."
        for other in (others or {}).values()
    )
    return Dose(
        product=product,
        lb_per_1000_sq_ft=rate,
        kg=kilograms,
        visits=visits,
        months_between=gap if visits > 1 else 0,
        kg_each=each,
        sources=sources,
        other_lb_per_1000_sq_ft=dict(others or {}),
        words=f"{whole} of {product} in all ({per}). {split} {last}{also}",
    )


def _rate_words(rate: Decimal, display: Display) -> str:
    """Pounds per 1,000 sq ft in the firm's units."""
    if display.system == "us":
        return f"{display.figure(rate, places=1, trim=True)} lb per 1,000 sq ft"
    grams = convert(rate, unit="lb", to="g") / convert(
        Decimal(1000), unit="sq ft", to="m²"
    )
    return f"{display.figure(grams, places=0)} g per m²"


def _weight(kilograms: Decimal, display: Display) -> str:
    value = convert(kilograms, unit="kg", to=display.weight_unit)
    return display.measure(value, display.weight_unit, places=2, trim=True)
