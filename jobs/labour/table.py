"""The rates and factors that a firm begins with, each with how it is known.

Nearly all are common practice without a source: no page with production rates of
ornamental planting could be read. Those with a source are of restoration planting of
small stock.
"""

from decimal import Decimal

from jobs.labour.rates import Factor, Mark, Rate, Touch

RIVERBANK = "US Army Corps of Engineers, streambank manual, appendix B (page read)"
MIDDLE = f"{RIVERBANK}; typical is the middle of both, ours"
SCHIECHTL = f"{MIDDLE}; after Schiechtl 1980"
PRACTICE = "common practice, no source"

EVERY = (Touch.SEASON, Touch.CREW, Touch.PACE)
DIGS = (Touch.ACCESS, Touch.CARRY, Touch.SLOPE, Touch.SOIL, Touch.ROOTS, *EVERY)
CARRIES = (Touch.ACCESS, Touch.CARRY, Touch.SLOPE, *EVERY)
CUTS_GROUND = (Touch.SLOPE, Touch.SOIL, Touch.ROOTS, *EVERY)
STANDS = (Touch.SLOPE, *EVERY)


def _rate(
    key: str,
    name: str,
    unit: str,
    figures: tuple[str, str, str],
    touched_by: tuple[Touch, ...] = (),
    *,
    is_per_hour: bool = False,
    source: str = "",
) -> Rate:
    low, typical, high = (Decimal(figure) for figure in figures)
    return Rate(
        key=key,
        name=name,
        unit=unit,
        low=low,
        typical=typical,
        high=high,
        is_per_hour=is_per_hour,
        touched_by=touched_by,
        mark=Mark.READ if source else Mark.PRACTICE,
        source=source or PRACTICE,
    )


RATES: tuple[Rate, ...] = (
    _rate("plant-pot", "Plant a 4 in pot", "each", ("0.02", "0.03", "0.05"), DIGS),
    _rate("plant-1", "Plant a #1", "each", ("0.08", "0.15", "0.25"), DIGS),
    _rate("plant-3", "Plant a #2 or #3", "each", ("0.15", "0.30", "0.45"), DIGS),
    _rate("plant-5", "Plant a #5", "each", ("0.30", "0.45", "0.70"), DIGS),
    _rate("plant-7", "Plant a #7", "each", ("0.45", "0.65", "1.0"), DIGS),
    _rate("plant-10", "Plant a #10", "each", ("0.60", "0.90", "1.3"), DIGS),
    _rate("plant-15", "Plant a #15", "each", ("0.75", "1.25", "2.0"), DIGS),
    _rate(
        "plant-balled",
        "Plant a balled tree, by its trunk",
        "in of trunk",
        ("0.8", "1.25", "2.0"),
        DIGS,
    ),
    # 30 man-hours per 1,000.
    _rate(
        "plant-plug",
        "Plant a plug",
        "each",
        ("0.030", "0.030", "0.030"),
        DIGS,
        source=RIVERBANK,
    ),
    # 100 to 125 an hour; the slower one as typical.
    _rate(
        "bare-seedling",
        "Plant a bare-root seedling, good site",
        "each",
        ("0.008", "0.010", "0.010"),
        DIGS,
        source=RIVERBANK,
    ),
    # 200 to 400 in a day of eight hours; typical is the middle of both.
    _rate(
        "bare-bank",
        "Plant a bare-root seedling on a bank",
        "each",
        ("0.020", "0.030", "0.040"),
        DIGS,
        source=MIDDLE,
    ),
    # 20 to 40 an hour; typical is the middle of both.
    _rate(
        "small-container",
        "Plant small container stock, restoration",
        "each",
        ("0.025", "0.0375", "0.050"),
        DIGS,
        source=MIDDLE,
    ),
    # 10 to 25 an hour; typical is the middle of both.
    _rate(
        "small-balled",
        "Plant a small balled tree or shrub, restoration",
        "each",
        ("0.040", "0.070", "0.100"),
        DIGS,
        source=SCHIECHTL,
    ),
    _rate(
        "mulch",
        "Spread mulch by hand",
        "cu yd",
        ("0.5", "0.9", "1.5"),
        CARRIES,
    ),
    _rate(
        "soil-mix",
        "Bring in soil or compost and work it in",
        "cu yd",
        ("0.75", "1.25", "2.0"),
        (*CARRIES, Touch.SOIL, Touch.ROOTS),
    ),
    _rate(
        "load-soil",
        "Load soil that is left over",
        "cu yd",
        ("0.5", "0.9", "1.5"),
        CARRIES,
    ),
    _rate(
        "edge",
        "Edge a bed by spade",
        "ft",
        ("40", "75", "150"),
        CUTS_GROUND,
        is_per_hour=True,
    ),
    _rate(
        "stake",
        "Drive a stake and tie to it",
        "each",
        ("0.10", "0.15", "0.25"),
        CUTS_GROUND,
    ),
    _rate(
        "bag-or-ring",
        "Put on a watering bag or a support ring",
        "each",
        ("0.03", "0.05", "0.10"),
        STANDS,
    ),
    _rate(
        "weed",
        "Weed a bed by hand",
        "sq ft",
        ("100", "250", "500"),
        STANDS,
        is_per_hour=True,
    ),
    _rate(
        "prune",
        "Prune a 4 ft shrub by hand",
        "each",
        ("0.10", "0.25", "0.50"),
        STANDS,
    ),
    _rate(
        "shear",
        "Shear a hedge, by its face",
        "sq ft",
        ("100", "200", "350"),
        STANDS,
        is_per_hour=True,
    ),
    _rate(
        "mobilise",
        "Set up at the garden and take in again",
        "job",
        ("0.25", "0.50", "1.0"),
    ),
    _rate("load-out", "Load at the yard", "crew day", ("0.25", "0.50", "0.75")),
    _rate("clean-up", "Clear up", "crew day", ("0.25", "0.50", "0.75")),
    _rate("walk-through", "Walk through with the client", "job", ("0.25", "0.5", "1")),
    _rate("drive", "Drive", "mi", ("15", "25", "40"), is_per_hour=True),
)


def _factor(
    touch: Touch, level: str, name: str, factor: str, source: str = PRACTICE
) -> Factor:
    return Factor(
        key=f"{touch}-{level}",
        touch=touch,
        name=name,
        factor=Decimal(factor),
        mark=Mark.PRACTICE,
        source=source,
    )


# Clay or rock 1.25 to 1.6, slope or long carry 1.2 to 1.5; the steps between are ours.
FACTORS: tuple[Factor, ...] = (
    _factor(Touch.ACCESS, "open", "truck comes near", "1"),
    _factor(Touch.ACCESS, "barrow", "only a barrow passes", "1.15"),
    _factor(Touch.ACCESS, "steps", "steps or through the house", "1.3"),
    _factor(Touch.CARRY, "near", "up to 50 ft or 15 m", "1"),
    _factor(Touch.CARRY, "far", "50 to 150 ft or 15 to 45 m", "1.2"),
    _factor(Touch.CARRY, "very-far", "over 150 ft or 45 m", "1.5"),
    _factor(Touch.SLOPE, "level", "level", "1"),
    _factor(Touch.SLOPE, "sloping", "sloping", "1.2"),
    _factor(Touch.SLOPE, "steep", "steep", "1.5"),
    _factor(Touch.SOIL, "easy", "sand or loam", "1"),
    _factor(Touch.SOIL, "clay-loam", "clay loam", "1.25"),
    _factor(Touch.SOIL, "clay", "clay", "1.4"),
    _factor(Touch.SOIL, "rocky", "rock or rubble", "1.6"),
    _factor(Touch.ROOTS, "none", "no roots", "1"),
    _factor(Touch.ROOTS, "some", "some roots", "1.2"),
    _factor(Touch.ROOTS, "many", "tree roots throughout", "1.5"),
    _factor(Touch.SEASON, "mild", "mild", "1"),
    _factor(Touch.SEASON, "hot", "hot, with breaks", "1.2"),
    _factor(Touch.SEASON, "wet", "cold or wet ground", "1.2"),
    _factor(Touch.CREW, "practised", "all practised", "1"),
    _factor(Touch.CREW, "half", "half of them new", "1.2"),
    _factor(Touch.CREW, "new", "most of them new", "1.4"),
    _factor(Touch.PACE, "firm", "the firm's own pace", "1"),
)
# Roads against the straight line: common practice, no source.
DETOUR = Decimal("1.3")
