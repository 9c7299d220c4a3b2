"""How long a plant takes to root in, and the water of those months, by two schools.

They disagree, so both are kept: Minnesota counts years by the trunk, Florida months by
the trunk and the hardiness zone.
"""

from collections.abc import Mapping
from decimal import Decimal

from plants.soil.tables import SoilError

# University of Minnesota Extension, Watering newly planted trees and shrubs (read).
YEARS_PER_INCH = Decimal("1.5")
GALLONS_PER_INCH = (Decimal(1), Decimal("1.5"))
SHRUB_SHARE = (Decimal(1) / 4, Decimal(1) / 3)
# Waterings: daily for two weeks, every two to three days to week 12, weekly after.
DAILY_DAYS, OFTEN_DAYS = 14, 84

# University of Florida IFAS, Shrub irrigation study (page read): litres a time for a
# shrub out of a #3, and days between, with normal rain.
FLORIDA_SHRUB_LITRES = Decimal(3)
FLORIDA_SHRUB_DAYS = {"north and central Florida": 8, "south Florida": 4}
FLORIDA_SHRUB_WEEKS = (12, 28)

# University of Florida IFAS, More on irrigation, Table 1 (page read): largest trunk in
# inches by hardiness zone and months of irrigation there will be.
LARGEST_TRUNK: Mapping[int, Mapping[int, tuple[Decimal, Decimal]]] = {
    4: {
        12: (Decimal(1), Decimal(1)),
        24: (Decimal("1.5"), Decimal(2)),
        36: (Decimal("2.5"), Decimal(3)),
    },
    6: {
        12: (Decimal("1.5"), Decimal(2)),
        24: (Decimal("2.5"), Decimal("2.5")),
        36: (Decimal("3.5"), Decimal(4)),
    },
    8: {
        12: (Decimal("2.5"), Decimal(3)),
        24: (Decimal(4), Decimal(5)),
        36: (Decimal(6), Decimal(8)),
    },
    10: {
        12: (Decimal("3.5"), Decimal(4)),
        24: (Decimal(6), Decimal(8)),
        36: (Decimal(10), Decimal(10)),
    },
}


def minnesota_years(caliper_in: Decimal) -> Decimal:
    """Years until a tree has rooted in, by its trunk in inches."""
    return YEARS_PER_INCH * caliper_in


def florida_months(*, caliper_in: Decimal, zone: int) -> Decimal:
    """Months until a tree has rooted in, by trunk and zone; in zones 2 to 6 at least.

    University of Florida IFAS, Establishment period for trees (page read).
    """
    if not 2 <= zone <= 11:
        raise SoilError(f"Zone {zone} is not in the table of 2 to 11.")
    per_inch = 3 if zone >= 9 else 6 if zone >= 7 else 12
    return per_inch * caliper_in


def first_waterings() -> tuple[int, int]:
    """The fewest and most waterings of the first twelve weeks as printed."""
    rest = OFTEN_DAYS - DAILY_DAYS
    return DAILY_DAYS + rest // 3, DAILY_DAYS + rest // 2
