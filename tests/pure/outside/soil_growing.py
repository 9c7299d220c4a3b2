"""Printed figures on fertiliser, planting and watering (sections 4 to 6)."""

from decimal import Decimal

from firm.units import convert
from plants import water
from plants.soil.feeding import (
    K_OF_K2O,
    P_OF_P2O5,
    crown_m2,
    grams_per_m2,
    nutrients_in,
    product_rate,
    read_analysis,
    root_zone_m2,
)
from plants.soil.rooting import (
    FLORIDA_SHRUB_DAYS,
    FLORIDA_SHRUB_LITRES,
    GALLONS_PER_INCH,
    LARGEST_TRUNK,
    SHRUB_SHARE,
    first_waterings,
    florida_months,
    minnesota_years,
)
from plants.soil.stock import (
    BALL_LB_PER_CU_FT,
    BALLS,
    CONTAINERS,
    HOLE_TIMES,
    ball_depth_in,
    ball_in,
    ball_volume_m3,
    ball_weight_kg,
    caliper_height_in,
    municipal_depth_in,
)
from tests.pure.outside.rows import Check, D, table

NEBRASKA = "University of Nebraska-Lincoln, Lawn Fertilizer Calculations, page read"
GUIDES = "gardenguides.com worked example, page read"
VCE = "Virginia Cooperative Extension SPES-397P label, page read; arithmetic"
VIRGINIA = "Virginia 430-018 by an agent's column, copy"
CROWN = "sammela.com crown circle at 6 lb N, copy (pi = 3.14)"
FLORIDA = "University of Florida IFAS, Planting trees, page read"
TOWN = "municipal landscape specification (Florida 2005-06), page read"
MINNESOTA = "University of Minnesota, Watering newly planted trees, page read"
IFAS_TIME = "University of Florida IFAS, Establishment period, page read"
IFAS_TABLE = "University of Florida IFAS, More on irrigation, Table 1, page read"
IFAS_SHRUB = "University of Florida IFAS, shrub irrigation study, page read"
CATALOGUE = "nursery catalogue citing NIST labelling, copy; arithmetic"
Z60 = "ANSI Z60.1, memory"
ARITH = "arithmetic"


def rate(n: str, analysis: str) -> Decimal:
    return product_rate(n_lb_per_1000=D(n), analysis=read_analysis(analysis))


def in_bag(analysis: str) -> tuple[Decimal, Decimal, Decimal]:
    found = nutrients_in(kilograms=D(40), analysis=read_analysis(analysis))
    return found.n, found.p2o5, found.k2o


def crown_sq_ft(radius: int) -> Decimal:
    return convert(
        crown_m2(convert(D(radius), unit="ft", to="m")), unit="m²", to="sq ft"
    )


def zone_sq_ft(radius: int) -> Decimal:
    radius_m = convert(D(radius), unit="ft", to="m")
    return convert(root_zone_m2(radius_m), unit="m²", to="sq ft")


def gallons(litres: Decimal) -> Decimal:
    return convert(litres, unit="L", to="gal")


FEEDING: list[Check] = [
    *table(
        "4",
        NEBRASKA,
        {
            "1 lb N of 28-3-6, lb per 1,000 sq ft": (
                lambda: rate("1", "28-3-6"),
                "3.57",
            ),
            "the same on 6,000 sq ft, from 3.57": (
                lambda: round(rate("1", "28-3-6"), 2) * 6,
                "21.42",
            ),
            "the same on 6,000 sq ft, exactly": (
                lambda: rate("1", "28-3-6") * 6,
                "21.43",
            ),
        },
    ),
    *table(
        "4",
        GUIDES,
        {
            "3 lb N of 21-0-0 (14.28 printed, cut off)": (
                lambda: rate("3", "21-0-0"),
                "14.28",
            ),
            "the same on 5,000 sq ft (71.42 printed)": (
                lambda: rate("3", "21-0-0") * 5,
                "71.42",
            ),
        },
        within="0.01",
    ),
    *table(
        "4",
        ARITH,
        {
            "3 lb N of 21-0-0, exactly": (lambda: rate("3", "21-0-0"), "14.286"),
            "1 lb N of 16-4-8": (lambda: rate("1", "16-4-8"), "6.25"),
            "1 lb N of 20 % on 12,000 sq ft": (lambda: rate("1", "20-0-0") * 12, "60"),
            "1 lb N of 47 % urea": (lambda: rate("1", "47-0-0"), "2.128"),
            "1 lb N of 10-10-10": (lambda: rate("1", "10-10-10"), "10"),
            "P in 4 lb of P2O5": (lambda: D(4) * P_OF_P2O5, "1.746"),
            "K in 6 lb of K2O": (lambda: D(6) * K_OF_K2O, "4.981"),
            "1 lb per 1,000 sq ft in g/m²": (lambda: grams_per_m2(D(1)), "4.88"),
            "3 lb per 1,000 sq ft in g/m²": (lambda: grams_per_m2(D(3)), "14.65"),
            "1 lb per 1,000 sq ft in lb an acre": (
                lambda: convert(D(1), unit="acre", to="sq ft") / 1000,
                "43.56",
            ),
            "3 lb per 1,000 sq ft in lb an acre": (
                lambda: convert(D(3), unit="acre", to="sq ft") / 1000,
                "130.7",
            ),
            "28-3-6 at 0.9 lb N": (lambda: rate("0.9", "28-3-6"), "3.214"),
        },
    ),
    *table(
        "4",
        VCE,
        {
            "N in 40 lb of 5-10-15": (lambda: in_bag("5-10-15")[0], "2.0"),
            "P2O5 in 40 lb of 5-10-15": (lambda: in_bag("5-10-15")[1], "4.0"),
            "K2O in 40 lb of 5-10-15": (lambda: in_bag("5-10-15")[2], "6.0"),
        },
    ),
    *(
        Check(
            "4",
            f"crown of {radius} ft: {what}",
            CROWN,
            lambda r=radius, t=times: crown_sq_ft(r) * D(t),
            printed,
            within,
        )
        for radius, ground, n, product in (
            (5, "78.5", "0.471", "4.71"),
            (10, "314", "1.884", "18.84"),
            (15, "706.5", "4.239", "42.39"),
            (20, "1256", "7.536", "75.36"),
        )
        for what, times, printed, within in (
            ("sq ft", "1", ground, "0.7"),
            ("lb of N", "0.006", n, "0.005"),
            ("lb of 10-10-10", "0.06", product, "0.05"),
        )
    ),
    *table(
        "trap 7",
        VIRGINIA + ": twice the area",
        {
            "crown of 15 ft: ground to feed, sq ft": (lambda: zone_sq_ft(15), "1413"),
        },
        within="1",
    ),
    *table(
        "trap 7",
        "trade article 2004 doubles the radius: four times the crown",
        {
            "crown of 15 ft with the radius doubled": (
                lambda: crown_sq_ft(30),
                "2826",
            ),
        },
        within="2",
    ),
    *table(
        "trap 7",
        ARITH,
        {
            "3 lb N on the ground to feed, lb": (
                lambda: zone_sq_ft(15) * D("0.003"),
                "4.24",
            ),
            "3 lb N with the radius doubled, lb": (
                lambda: crown_sq_ft(30) * D("0.003"),
                "8.48",
            ),
        },
    ),
]

PLANTING: list[Check] = [
    *table(
        "5",
        FLORIDA,
        {"hole, times the ball": (lambda: HOLE_TIMES["Florida, page read"][0], "1.5")},
    ),
    *table(
        "5",
        "Nebraska extension column 2020, page read",
        {"hole, times the ball": (lambda: HOLE_TIMES["Nebraska, page read"][0], "2")},
    ),
    *table(
        "5",
        MINNESOTA,
        {
            "a trunk of 4 in is measured at, in": (
                lambda: caliper_height_in(D(4)),
                "6",
            ),
            "a trunk of 4.5 in is measured at, in": (
                lambda: caliper_height_in(D("4.5")),
                "12",
            ),
        },
    ),
    *table(
        "5",
        TOWN + "; ANSI Z60.1 the same from memory",
        {
            f"ball for a trunk of {caliper} in": (
                lambda c=caliper: ball_in(D(c)),
                printed,
            )
            for caliper, printed in (
                ("1", "16"),
                ("1.5", "20"),
                ("1.75", "22"),
                ("2", "24"),
            )
        },
    ),
    *table(
        "5",
        TOWN,
        {
            "least depth of a 18 in ball (75 %)": (
                lambda: municipal_depth_in(D(18)),
                "13.5",
            ),
            "least depth of a 24 in ball (65 %)": (
                lambda: municipal_depth_in(D(24)),
                "15.6",
            ),
            "least depth of a 32 in ball (60 %)": (
                lambda: municipal_depth_in(D(32)),
                "19.2",
            ),
        },
    ),
    *table(
        "5",
        "2004 standard, kidspeakonline.org, copy; arithmetic",
        {
            "depth of a 24 in ball (60 %)": (lambda: ball_depth_in(D(24)), "14.4"),
            "depth of a 18 in ball (65 %)": (lambda: ball_depth_in(D(18)), "11.7"),
        },
    ),
    *(
        Check(
            "5",
            f"ball for a trunk of {caliper} in, in per in",
            Z60 + "; arithmetic",
            lambda c=caliper: BALLS[D(c)] / D(c),
            ratio,
        )
        for caliper, ratio in (
            ("0.75", "18.7"),
            ("1", "16.0"),
            ("1.25", "14.4"),
            ("1.5", "13.3"),
            ("1.75", "12.6"),
            ("2", "12.0"),
            ("2.5", "11.2"),
            ("3", "10.7"),
            ("3.5", "10.9"),
            ("4", "10.5"),
            ("4.5", "10.7"),
            ("5", "10.8"),
        )
    ),
    *table(
        "5",
        ARITH,
        {
            "24 in ball 16 in deep at 100 lb/cu ft": (
                lambda: (
                    convert(
                        ball_volume_m3(across_in=D(24), depth_in=D(16)),
                        unit="m³",
                        to="cu ft",
                    )
                    * BALL_LB_PER_CU_FT
                ),
                "419",
            ),
            "a gallon in cu in": (
                lambda: convert(D(1), unit="gal", to="cu in"),
                "231",
            ),
            "a gallon in litres": (
                lambda: convert(D(1), unit="gal", to="L"),
                "3.78541",
            ),
        },
    ),
    *table(
        "5",
        "bluegrassfarms.net catalogue, copy",
        {
            "24 in ball 16 in deep weighs, lb": (
                lambda: convert(
                    ball_weight_kg(across_in=D(24), depth_in=D(16)),
                    unit="kg",
                    to="lb",
                ),
                "325",
            ),
        },
        within="5",
    ),
    *(
        Check(
            "5",
            f"{key} in cu in",
            CATALOGUE,
            lambda k=key: convert(CONTAINERS[k].volume_m3, unit="m³", to="cu in"),
            printed,
            "1",
        )
        for key, printed in (
            ("#1", "171"),
            ("#2", "370"),
            ("#3", "554"),
            ("#5", "901"),
            ("#7", "1502"),
            ("#10", "2079"),
            ("#15", "3350"),
            ("#20", "4528"),
            ("#25", "6376"),
        )
    ),
    *(
        Check(
            "5",
            f"{key} of that catalogue lies in its class (1 yes, 0 no)",
            Z60 + "; arithmetic",
            lambda k=key, p=printed: int(CONTAINERS[k].allows(D(p))),
            said,
        )
        for key, printed, said in (
            ("#1", "171", "1"),
            ("#2", "370", "1"),
            ("#3", "554", "0"),
            ("#5", "901", "1"),
            ("#7", "1502", "1"),
            ("#15", "3350", "1"),
            ("#20", "4528", "1"),
            ("#25", "6376", "1"),
        )
    ),
]

WATERING: list[Check] = [
    *(
        Check(
            "6",
            f"trunk of {caliper} in: {what}",
            MINNESOTA,
            lambda c=caliper, f=figure: f(D(c)),
            printed,
        )
        for caliper, least, most, years in (
            ("1", "1", "1.5", "1.5"),
            ("2", "2", "3", "3"),
            ("3", "3", "4.5", "4.5"),
            ("4", "4", "6", "6"),
            ("5", "5", "7.5", "7.5"),
            ("6", "6", "9", "9"),
        )
        for what, figure, printed in (
            ("least gal a time", lambda c: GALLONS_PER_INCH[0] * c, least),
            ("most gal a time", lambda c: GALLONS_PER_INCH[1] * c, most),
            ("years to root in", minnesota_years, years),
        )
    ),
    *(
        Check(
            "6",
            f"shrub out of {container}, {what} gal a time",
            MINNESOTA + "; arithmetic",
            lambda k=container, e=end: gallons(water.shrub_litres(k)[e]),
            printed,
            # 3.9 / 4 = 0.975 is printed as 0.98.
            "0.006",
        )
        for container, least, most in (
            ("#1", "0.19", "0.25"),
            ("#3", "0.60", "0.80"),
            ("#5", "0.98", "1.30"),
            ("#7", "1.63", "2.17"),
            ("#15", "3.63", "4.83"),
        )
        for end, what, printed in ((0, "least", least), (1, "most", most))
    ),
    *table(
        "6",
        IFAS_SHRUB,
        {
            "shrub out of #3, litres a time": (lambda: FLORIDA_SHRUB_LITRES, "3"),
            "in gallons, about 1": (lambda: gallons(FLORIDA_SHRUB_LITRES), "0.8"),
            "days between, north and central": (
                lambda: FLORIDA_SHRUB_DAYS["north and central Florida"],
                "8",
            ),
            "days between, south": (lambda: FLORIDA_SHRUB_DAYS["south Florida"], "4"),
        },
    ),
    *table(
        "trap 8",
        IFAS_TIME,
        {
            "months for 1 in in zone 9": (
                lambda: florida_months(caliper_in=D(1), zone=9),
                "3",
            ),
            "months for 1 in in zone 7": (
                lambda: florida_months(caliper_in=D(1), zone=7),
                "6",
            ),
            "months for 1 in in zone 6, at least": (
                lambda: florida_months(caliper_in=D(1), zone=6),
                "12",
            ),
            "months for 2 in in zone 6, at least": (
                lambda: florida_months(caliper_in=D(2), zone=6),
                "24",
            ),
            "months for 2 in in zone 7": (
                lambda: florida_months(caliper_in=D(2), zone=7),
                "12",
            ),
        },
    ),
    *table(
        "trap 8",
        MINNESOTA + ": conflicts with Florida, both are kept",
        {"months for 2 in": (lambda: minnesota_years(D(2)) * 12, "36")},
    ),
    *(
        Check(
            "6",
            f"largest trunk, zone {zone}, {months} months: {what}",
            IFAS_TABLE,
            lambda z=zone, n=months, e=end: LARGEST_TRUNK[z][n][e],
            printed,
        )
        for zone, months, least, most in (
            (4, 12, "1", "1"),
            (4, 24, "1.5", "2"),
            (4, 36, "2.5", "3"),
            (6, 12, "1.5", "2"),
            (6, 24, "2.5", "2.5"),
            (6, 36, "3.5", "4"),
            (8, 12, "2.5", "3"),
            (8, 24, "4", "5"),
            (8, 36, "6", "8"),
            (10, 12, "3.5", "4"),
            (10, 24, "6", "8"),
            (10, 36, "10", "10"),
        )
        for end, what, printed in ((0, "from", least), (1, "to", most))
    ),
    *table(
        "6",
        ARITH,
        {
            "1 in of water on 1 sq ft, gal": (
                lambda: convert(
                    convert(D(1), unit="sq ft", to="m²")
                    * convert(D(1), unit="in", to="m"),
                    unit="m³",
                    to="gal",
                ),
                "0.6234",
            ),
            "1 in of water on 1,000 sq ft, gal": (
                lambda: convert(
                    convert(D(1000), unit="sq ft", to="m²")
                    * convert(D(1), unit="in", to="m"),
                    unit="m³",
                    to="gal",
                ),
                "623.4",
            ),
            "25 mm on 1 m², litres": (
                lambda: convert(convert(D(25), unit="mm", to="m"), unit="m³", to="L"),
                "25",
            ),
            "waterings in twelve weeks, fewest": (lambda: first_waterings()[0], "37"),
            "waterings in twelve weeks, most": (lambda: first_waterings()[1], "49"),
            "2 in tree, 2.5 gal, 42 times, gal": (
                lambda: sum(GALLONS_PER_INCH) / 2 * 2 * 42,
                "105",
            ),
        },
    ),
    *table(
        "6",
        MINNESOTA,
        {
            "share of the pot for a shrub, least": (lambda: SHRUB_SHARE[0], "0.25"),
            "share of the pot for a shrub, most": (lambda: SHRUB_SHARE[1], "0.33"),
        },
    ),
]

CHECKS = [*FEEDING, *PLANTING, *WATERING]
