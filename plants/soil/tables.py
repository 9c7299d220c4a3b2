"""The printed figures on sulfur and lime, each under the key of its source."""

from collections.abc import Mapping
from decimal import Decimal

SOURCES = {
    "msu-blueberry": (
        "Michigan State University, sulfur for blueberry to pH 4.5, as quoted by a "
        "British Columbia supplier",
        "copy",
    ),
    "soil-handbook": ("A garden soil handbook, Make the pH work for you", "page read"),
    "rhs-acidifying": ("Royal Horticultural Society, Acidifying soil", "page read"),
    "clemson-calculator": (
        "Clemson University, Soil Acidification Calculator (2019), quoting EC 707",
        "page read",
    ),
    "midwest-bed": ("A Midwestern extension article, bed preparation", "copy"),
    "lime-1000": ("Limestone per 1,000 sq ft to pH 6.5, vCalc data set", "page read"),
    "lime-100": ("Limestone per 100 sq ft to pH 6.5", "copy"),
    "psu-lab": (
        "Penn State soil laboratory, Home Garden report notes",
        "page read",
    ),
    "clemson-1650": (
        "Clemson Cooperative Extension, HGIC 1650, Changing the pH of Your Soil",
        "memory",
    ),
    "psu-agronomy": (
        "Penn State Extension, Agronomy Guide, Limestone recommendation",
        "page read",
    ),
    "akers-lab": (
        "Purdue educator's column with a soil laboratory, 2006: nearly 7 lb of "
        "aluminium sulfate for 1 lb of sulfur",
        "copy",
    ),
    "common-practice": ("Common practice, no source", "practice"),
}

TEXTURES = ("sand", "sandy loam", "loam", "clay loam", "clay")
PARTS = ("native soil", "compost", "sand")

# Pounds of sulfur per acre to pH 4.5 by starting pH (msu-blueberry).
SULFUR_TO_4_5: Mapping[str, Mapping[Decimal, int]] = {
    "sand": {
        Decimal("5.0"): 175,
        Decimal("5.5"): 350,
        Decimal("6.0"): 530,
        Decimal("6.5"): 660,
        Decimal("7.0"): 840,
    },
    "loam": {
        Decimal("5.0"): 530,
        Decimal("5.5"): 1030,
        Decimal("6.0"): 1540,
        Decimal("6.5"): 2020,
        Decimal("7.0"): 2560,
    },
    "clay": {
        Decimal("5.0"): 800,
        Decimal("5.5"): 1600,
        Decimal("6.0"): 2300,
        Decimal("6.5"): 3030,
        Decimal("7.0"): 3830,
    },
}
# Pounds of sulfur per 1,000 sq ft for one whole unit of pH (soil-handbook prints
# sandy loam, medium loam and heavy clay loam).
SULFUR_PER_UNIT = {
    "sand": Decimal(10),
    "sandy loam": Decimal(10),
    "loam": Decimal(15),
    "clay loam": Decimal(20),
    "clay": Decimal(20),
}
# Between two printed textures stands the lighter one: the smaller dose comes first.
SULFUR_COLUMN = {
    "sand": "sand",
    "sandy loam": "sand",
    "loam": "loam",
    "clay loam": "loam",
    "clay": "clay",
}
# Grams per m² from pH 7.0-7.5 down to 6.0-6.5, top 15 cm (rhs-acidifying).
SULFUR_G_PER_M2 = {"sand": Decimal(135), "clay": Decimal(270)}
SULFUR_TARGET = Decimal("4.5")
# Above it free lime must be used up first and the printed tables contradict each
# other (22 against 57 lb per 1,000 sq ft for 8.5 to 6.5 on loam).
SULFUR_HIGHEST_START = Decimal("7.5")
PLANTED_CEILING = Decimal(10)
BED_CEILING = Decimal(20)
SULFUR_GAP_MONTHS = 3
FERROUS_SULFATE_FACTOR = Decimal(8)

# Pounds of aluminium sulfate on loam per 10 sq ft by starting and wanted pH
# (clemson-1650, from memory), and what sand and clay take of it.
ALUM_ON_LOAM: Mapping[Decimal, Mapping[Decimal, Decimal]] = {
    Decimal(start): {
        Decimal(target): Decimal(pounds)
        for target, pounds in zip(
            ("6.5", "6.0", "5.5", "5.0", "4.5"), row.split(), strict=True
        )
        if pounds != "-"
    }
    for start, row in {
        "8.0": "1.8 2.4 3.3 4.2 4.8",
        "7.5": "1.2 2.1 2.7 3.6 4.2",
        "7.0": "0.6 1.2 2.1 3.0 3.6",
        "6.5": "-   0.6 1.5 2.4 2.7",
        "6.0": "-   -   0.6 1.5 2.1",
    }.items()
}
SULFUR_ON_LOAM: Mapping[Decimal, Mapping[Decimal, Decimal]] = {
    Decimal(start): {
        Decimal(target): Decimal(pounds)
        for target, pounds in zip(
            ("6.5", "6.0", "5.5", "5.0", "4.5"), row.split(), strict=True
        )
        if pounds != "-"
    }
    for start, row in {
        "8.0": "0.3 0.4 0.5 0.6 0.7",
        "7.5": "0.2 0.3 0.4 0.5 0.6",
        "7.0": "0.1 0.2 0.3 0.4 0.5",
        "6.5": "-   0.1 0.2 0.3 0.4",
        "6.0": "-   -   0.1 0.2 0.3",
    }.items()
}
LOAM_TABLE_FACTOR = {"sand": Decimal(2) / 3, "loam": Decimal(1), "clay": Decimal("1.5")}
# At most 5 lb of aluminium sulfate per 100 sq ft at once (memory, several sheets).
ALUM_CEILING = Decimal(50)

# Pounds of ground limestone per 1,000 sq ft to pH 6.5 (lime-1000).
LIME_TO_6_5: Mapping[str, Mapping[Decimal, Decimal]] = {
    "sand": {
        Decimal("4.0"): Decimal(100),
        Decimal("4.5"): Decimal(80),
        Decimal("5.0"): Decimal(65),
        Decimal("5.5"): Decimal(45),
        Decimal("6.0"): Decimal(20),
    },
    "loam": {
        Decimal("4.0"): Decimal(175),
        Decimal("4.5"): Decimal(150),
        Decimal("5.0"): Decimal(110),
        Decimal("5.5"): Decimal(75),
        Decimal("6.0"): Decimal(35),
    },
    "clay": {
        Decimal("4.0"): Decimal(230),
        Decimal("4.5"): Decimal(200),
        Decimal("5.0"): Decimal(150),
        Decimal("5.5"): Decimal(100),
        Decimal("6.0"): Decimal(50),
    },
    # The two textures between are printed per 100 sq ft (lime-100), here times ten.
    "sandy loam": {
        Decimal("4.0"): Decimal(115),
        Decimal("4.5"): Decimal(95),
        Decimal("5.0"): Decimal(80),
        Decimal("5.5"): Decimal(60),
        Decimal("6.0"): Decimal(30),
    },
    "clay loam": {
        Decimal("4.0"): Decimal(230),
        Decimal("4.5"): Decimal(195),
        Decimal("5.0"): Decimal(150),
        Decimal("5.5"): Decimal(105),
        Decimal("6.0"): Decimal(55),
    },
}
# Pounds of ground limestone per 1,000 sq ft for one whole unit (soil-handbook prints
# sandy loam, loam and heavy clay loam).
LIME_PER_UNIT = {
    "sand": Decimal(35),
    "sandy loam": Decimal(35),
    "loam": Decimal(50),
    "clay loam": Decimal(70),
    "clay": Decimal(70),
}
LIME_TARGET = Decimal("6.5")
LIME_GAP_MONTHS = 6
COMPOST_MOST_PERCENT = Decimal(30)


class SoilError(ValueError):
    """A soil that must not be treated so, or a figure out of its table."""
