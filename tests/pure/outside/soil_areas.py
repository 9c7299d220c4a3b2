"""Printed figures on plants per area, mulch, compost and soil (sections 2 and 3)."""

from decimal import Decimal
from itertools import chain

from firm.units import Display, convert, parse_length
from jobs.takeoff import (
    SQUARE,
    TRIANGULAR,
    Circle,
    Rectangle,
    Ring,
    area,
    backfill,
    bags,
    blend,
    cover,
    hedge,
    mulch,
    plants_by_area,
    plants_in_rows,
    row_gap_m,
    slope_factor,
    soil_volume,
    to_order,
)
from tests.pure.outside.rows import Check, D, table

US = Display("us")
GROWERS = "gloverperennials.com spacing chart, page read"
POCKET = (
    "Landscape Architect's Pocket Book, area by the square of spacing, abstract read"
)
BULK = "bulk-yard chart 324/162/108/81/64.8, page read; arithmetic"
BAGS = "reference.com bag coverage, copy; arithmetic"
PAPER = "botanic-garden column, Chicago newspaper 2013/2019/2021, page read"
ARITH = "arithmetic"


def m(text: str) -> Decimal:
    return parse_length(text, default_unit="ft")


def bed(length: str, width: str) -> Rectangle:
    return Rectangle(length_m=m(length), width_m=m(width))


def grid(square_feet: str, spacing: str, layout: str) -> Decimal:
    return plants_by_area(
        bed(f"{square_feet} ft", "1 ft"),
        spacing_m=m(spacing),
        layout=layout,
        display=US,
    ).exact


# Inches: square and triangle per 100 sq ft, row gap in inches, printed count (growers).
GRIDS = """
4 900.00 1039.23 3.46 900
5 576.00 665.11 4.33 -
6 400.00 461.88 5.20 400
8 225.00 259.81 6.93 225
9 177.78 205.28 7.79 -
10 144.00 166.28 8.66 144
12 100.00 115.47 10.39 100
15 64.00 73.90 12.99 64
18 44.44 51.32 15.59 44
24 25.00 28.87 20.78 25
30 16.00 18.48 25.98 -
36 11.11 12.83 31.18 11
48 6.25 7.22 41.57 -
60 4.00 4.62 51.96 -
72 2.78 3.21 62.35 -
"""
METRIC = """
15 44.444 51.320
20 25.000 28.868
25 16.000 18.475
30 11.111 12.830
40 6.250 7.217
45 4.938 5.702
50 4.000 4.619
60 2.778 3.208
75 1.778 2.053
90 1.235 1.426
100 1.000 1.155
"""


def _spaced(row: str) -> list[Check]:
    inches, square, triangle, gap, printed = row.split()
    spacing = f"{inches} in"
    found = table(
        "2",
        ARITH,
        {
            f"square grid at {spacing}, 100 sq ft": (
                lambda: grid("100", spacing, SQUARE),
                square,
            ),
            f"triangle grid at {spacing}, 100 sq ft": (
                lambda: grid("100", spacing, TRIANGULAR),
                triangle,
            ),
            f"row gap of the triangle at {spacing}, in": (
                lambda: convert(row_gap_m(m(spacing)), unit="m", to="in"),
                gap,
            ),
        },
    )
    if printed != "-":
        found += table(
            "2",
            GROWERS,
            {
                f"whole plants at {spacing}, 100 sq ft": (
                    lambda: grid("100", spacing, SQUARE),
                    printed,
                )
            },
        )
    return found


def _metric(row: str) -> list[Check]:
    centimetres, square, triangle = row.split()
    one = Rectangle(length_m=D(1), width_m=D(1))

    def per(layout: str) -> Decimal:
        return plants_by_area(
            one, spacing_m=m(f"{centimetres} cm"), layout=layout, display=US
        ).exact

    return table(
        "2",
        ARITH,
        {
            f"square grid at {centimetres} cm, per m²": (lambda: per(SQUARE), square),
            f"triangle grid at {centimetres} cm, per m²": (
                lambda: per(TRIANGULAR),
                triangle,
            ),
        },
    )


def yards(shape: Rectangle | Circle | Ring, depth: str) -> Decimal:
    return soil_volume(shape, depth_m=m(depth), display=US).value


def covers(volume: str, unit: str, depth: str) -> Decimal:
    return cover(
        volume_m3=convert(D(volume), unit=unit, to="m³"), depth_m=m(depth), display=US
    ).value


def hole(times: str) -> Decimal:
    return backfill(
        ball_m=m("24 in"), ball_depth_m=m("16 in"), hole_times=D(times), display=US
    ).value


def part(number: int) -> Decimal:
    whole = soil_volume(bed("10 ft", "10 ft"), depth_m=m("8 in"), display=US)
    parts = (("soil", D(60)), ("compost", D(25)), ("sand", D(15)))
    return blend(whole, parts=parts, display=US)[number].figure.value


def settled(percent: int) -> Decimal:
    whole = soil_volume(bed("10 ft", "10 ft"), depth_m=m("8 in"), display=US)
    return to_order(whole, settling_percent=D(percent), display=US).value


def layer(length: str, width: str, depth: str) -> Decimal:
    return mulch(bed(length, width), depth_m=m(depth), display=US).in_unit("cu ft")


def bagged(length: str, width: str, depth: str) -> Decimal:
    volume = mulch(bed(length, width), depth_m=m(depth), display=US)
    return bags(volume, bag=D(2), bag_unit="cu ft", display=US).value


def rows_of(length: str, width: str, spacing: str) -> Decimal:
    return plants_in_rows(
        bed(length, width), spacing_m=m(spacing), layout=SQUARE, display=US
    ).figure.value


def line(length: str, spacing: str) -> Decimal:
    return hedge(length_m=m(length), spacing_m=m(spacing), display=US).value


CHECKS: list[Check] = [
    *chain.from_iterable(_spaced(row) for row in GRIDS.split("\n") if row),
    *chain.from_iterable(_metric(row) for row in METRIC.split("\n") if row),
    *table(
        "2",
        GROWERS,
        {
            "1,000 sq ft at 24 in": (lambda: grid("1000", "24 in", SQUARE), "250"),
            "250 sq ft at 8 in (562.5 up)": (
                lambda: grid("250", "8 in", SQUARE),
                "563",
            ),
            "50 sq ft at 24 in (12.5 up)": (lambda: grid("50", "24 in", SQUARE), "13"),
            "300 sq ft at 18 in (erthturf.com prints 133)": (
                lambda: grid("300", "18 in", SQUARE),
                "133",
            ),
        },
    ),
    *table(
        "2",
        GROWERS + "; its rounding is not consistent",
        {
            "300 sq ft at 18 in, as 44 x 3": (
                lambda: grid("300", "18 in", SQUARE),
                "132",
            ),
            "50 sq ft at 36 in (5.56 rounded down)": (
                lambda: grid("50", "36 in", SQUARE),
                "5",
            ),
            "120 sq ft at 10 in (erthturf.com, factor 1.45)": (
                lambda: grid("120", "10 in", SQUARE),
                "174",
            ),
        },
        within="1.4",
    ),
    *table(
        "2",
        ARITH,
        {
            "120 sq ft at 10 in, exactly": (
                lambda: grid("120", "10 in", SQUARE),
                "172.8",
            ),
            "100 sq ft at 12 in, triangle": (
                lambda: grid("100", "12 in", TRIANGULAR),
                "115.47",
            ),
            "13.5 in, plants per sq ft": (lambda: grid("1", "13.5 in", SQUARE), "0.79"),
            "slope 1:3": (lambda: slope_factor(rise=D(1), run=D(3)), "1.0541"),
            "slope 1:2": (lambda: slope_factor(rise=D(1), run=D(2)), "1.1180"),
            "slope of 45 degrees": (
                lambda: slope_factor(rise=D(1), run=D(1)),
                "1.4142",
            ),
            "10 ft x 4 ft at 18 in, in rows": (
                lambda: rows_of("10 ft", "4 ft", "18 in"),
                "12",
            ),
            "10 ft x 4 ft at 18 in, by area": (
                lambda: grid("40", "18 in", SQUARE),
                "17.8",
            ),
            "hedge of 30 ft at 36 in": (lambda: line("30 ft", "36 in"), "11"),
            "hedge of 30 ft at 30 in": (lambda: line("30 ft", "30 in"), "13"),
        },
    ),
    *table(
        "2",
        POCKET,
        {"100 sq ft at 30 in": (lambda: grid("100", "30 in", SQUARE), "16.00")},
    ),
    *table(
        "3",
        BULK,
        {
            f"a cubic yard at {depth}, sq ft": (
                lambda d=depth: covers("1", "cu yd", d),
                printed,
            )
            for depth, printed in (
                ("1 in", "324"),
                ("2 in", "162"),
                ("3 in", "108"),
                ("4 in", "81"),
                ("5 in", "64.8"),
                ("6 in", "54"),
            )
        },
    ),
    *table(
        "3",
        "Master Gardener column, answerparty.com, copy: about",
        {
            "a cubic yard at 3 in": (lambda: covers("1", "cu yd", "3 in"), "100"),
            "a cubic yard at 2 in": (lambda: covers("1", "cu yd", "2 in"), "160"),
        },
        within="8",
    ),
    *table(
        "3",
        ARITH,
        {
            f"bags of {bag} cu ft in a cubic yard": (
                lambda b=bag: convert(D(1), unit="cu yd", to="cu ft") / D(b),
                printed,
            )
            for bag, printed in (
                ("1", "27"),
                ("1.5", "18"),
                ("2", "13.5"),
                ("3", "9"),
            )
        },
    ),
    *table(
        "3",
        BAGS,
        {
            f"{bag} cu ft at {depth}, sq ft": (
                lambda b=bag, d=depth: covers(b, "cu ft", d),
                printed,
            )
            for bag, depth, printed in (
                ("2", "2 in", "12"),
                ("2", "3 in", "8"),
                ("2", "4 in", "6"),
                ("3", "2 in", "18"),
                ("3", "3 in", "12"),
                ("3", "4 in", "9"),
            )
        },
    ),
    *table(
        "3",
        ARITH,
        {
            "whole 2 cu ft bags, 100 sq ft at 3 in": (
                lambda: bagged("10 ft", "10 ft", "3 in"),
                "13",
            ),
            "1,250 sq ft at 2.5 in, cu yd": (
                lambda: yards(bed("50 ft", "25 ft"), "2.5 in"),
                "9.645",
            ),
            "1 in of compost on 1,000 sq ft, cu ft": (
                lambda: layer("50 ft", "20 ft", "1 in"),
                "83.33",
            ),
            "the same, cu yd": (lambda: yards(bed("50 ft", "20 ft"), "1 in"), "3.086"),
            "25 % compost, 8 in on 500 sq ft, cu yd": (
                lambda: yards(bed("25 ft", "20 ft"), "8 in") / 4,
                "3.086",
            ),
            "8 in on 100 sq ft, cu yd": (
                lambda: yards(bed("10 ft", "10 ft"), "8 in"),
                "2.469",
            ),
            "60 % of it": (lambda: part(0), "1.481"),
            "25 % of it": (lambda: part(1), "0.617"),
            "15 % of it": (lambda: part(2), "0.370"),
            "with 15 % for settling": (lambda: settled(15), "2.840"),
            "with 20 % for settling": (lambda: settled(20), "2.963"),
            "circle of 12 ft, sq ft": (
                lambda: area(Circle(diameter_m=m("12 ft")), display=US).value,
                "113.10",
            ),
            "circle of 12 ft at 3 in, cu yd": (
                lambda: yards(Circle(diameter_m=m("12 ft")), "3 in"),
                "1.047",
            ),
            "ring of 6 ft less 1 ft, sq ft": (
                lambda: (
                    area(Ring(diameter_m=m("6 ft"), bare_m=m("1 ft")), display=US).value
                ),
                "27.489",
            ),
            "the ring at 3 in, cu yd": (
                lambda: yards(Ring(diameter_m=m("6 ft"), bare_m=m("1 ft")), "3 in"),
                "0.2545",
            ),
            "backfill, hole 2 times, cu ft": (lambda: hole("2") * 27, "12.566"),
            "backfill, hole 2 times, cu yd": (lambda: hole("2"), "0.465"),
            "backfill, hole 3 times, cu ft": (lambda: hole("3") * 27, "33.510"),
            "backfill, hole 3 times, cu yd": (lambda: hole("3"), "1.241"),
            "1 m³ at 5 cm, m²": (
                lambda: (
                    cover(
                        volume_m3=D(1), depth_m=m("5 cm"), display=Display("metric")
                    ).value
                ),
                "20",
            ),
            "a cubic yard in m³": (
                lambda: convert(D(1), unit="cu yd", to="m³"),
                "0.764555",
            ),
        },
    ),
    *table(
        "3",
        PAPER,
        {
            "15 ft 6 in x 5 ft, sq ft": (
                lambda: area(bed("15 ft 6 in", "5 ft"), display=US).value,
                "77.5",
            ),
            "the same, 2 cu ft bags at 2 in": (
                lambda: bagged("15 ft 6 in", "5 ft", "2 in"),
                "7",
            ),
            "12 ft 6 in x 5 ft, sq ft": (
                lambda: area(bed("12 ft 6 in", "5 ft"), display=US).value,
                "62.5",
            ),
            "the same, 2 cu ft bags at 2 in ": (
                lambda: bagged("12 ft 6 in", "5 ft", "2 in"),
                "6",
            ),
            "10 ft 6 in x 4 ft at 8 in, ordered": (
                lambda: grid("42", "8 in", SQUARE),
                "95",
            ),
        },
    ),
    *table(
        "3",
        PAPER + "; it takes 2 in as .17 ft",
        {
            "15 ft 6 in x 5 ft at 2 in, cu ft": (
                lambda: layer("15 ft 6 in", "5 ft", "2 in"),
                "13.2",
            ),
            "12 ft 6 in x 5 ft at 2 in, cu ft": (
                lambda: layer("12 ft 6 in", "5 ft", "2 in"),
                "10.6",
            ),
        },
        within="0.3",
    ),
    *table(
        "3",
        ARITH,
        {
            "15 ft 6 in x 5 ft at 2 in, exactly": (
                lambda: layer("15 ft 6 in", "5 ft", "2 in"),
                "12.92",
            ),
            "12 ft 6 in x 5 ft at 2 in, exactly": (
                lambda: layer("12 ft 6 in", "5 ft", "2 in"),
                "10.42",
            ),
            "42 sq ft of plants at 8 in, exactly": (
                lambda: grid("42", "8 in", SQUARE),
                "94.5",
            ),
        },
    ),
]
