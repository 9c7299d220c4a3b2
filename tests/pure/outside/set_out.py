"""Printed counts against plants set out inside beds, holes and outlines (2, 3, 5)."""

from decimal import Decimal
from math import sqrt

from firm.units import Display, convert
from jobs.takeoff import (
    Kind,
    Outline,
    Pattern,
    ground_of,
    lay_out,
)
from jobs.takeoff.digging import Ball, displaced, edging, holes
from jobs.takeoff.layout import Layout
from plants.sun.outline import outline_area_m2, read_outline
from tests.pure.outside.rows import Check, D
from tests.pure.outside.soil_areas import ARITH, GROWERS, bed, m

US = Display("us")
SHOELACE = "shoelace formula; arithmetic"


def set_out(length: str, width: str, spacing: str, pattern: Pattern) -> Layout:
    kind = Kind(key="", label="", spacing_m=float(m(spacing)))
    edge = 0.0 if pattern == Pattern.HEDGE else None
    return lay_out(ground_of(bed(length, width)), [kind], pattern=pattern, edge_m=edge)


def places(length: str, width: str, spacing: str, pattern: Pattern) -> Decimal:
    return D(len(set_out(length, width, spacing, pattern).places))


def row_gap() -> float:
    found = set_out("10 ft", "10 ft", "12 in", Pattern.TRIANGULAR)
    rows = sorted({round(place.y, 9) for place in found.places})
    return (rows[1] - rows[0]) / 0.0254


def oak(count: int = 1) -> Ball:
    return Ball(label="Oak", count=count, across_m=m("24 in"), depth_m=m("16 in"))


def walked(text: str) -> Decimal:
    corners = read_outline(text, unit="ft", longest_m=D(500))
    return convert(outline_area_m2(corners), unit="m²", to="sq ft")


def around(text: str) -> Decimal:
    corners = read_outline(text, unit="ft", longest_m=D(500))
    return edging(Outline(corners=corners), waste_percent=D(0), display=US).value


CHECKS = (
    *(
        Check(
            "2",
            f"plants set out square, {length} x {width} at {spacing}",
            GROWERS,
            lambda length=length, width=width, spacing=spacing: places(  # type: ignore[misc]
                length, width, spacing, Pattern.SQUARE
            ),
            printed,
        )
        for length, width, spacing, printed in (
            ("10 ft", "10 ft", "4 in", "900"),
            ("10 ft", "10 ft", "6 in", "400"),
            ("10 ft", "10 ft", "8 in", "225"),
            ("10 ft", "10 ft", "10 in", "144"),
            ("10 ft", "10 ft", "12 in", "100"),
            ("10 ft", "10 ft", "15 in", "64"),
            ("10 ft", "10 ft", "24 in", "25"),
            ("50 ft", "20 ft", "24 in", "250"),
        )
    ),
    Check(
        "2",
        "plants set out by rows, 10 ft x 4 ft at 18 in",
        ARITH,
        lambda: places("10 ft", "4 ft", "18 in", Pattern.SQUARE),
        "12",
    ),
    Check(
        "2", "row gap of the triangle set out at 12 in, in", ARITH, row_gap, "10.392"
    ),
    Check(
        "2",
        "hedge line set out, 30 ft at 36 in",
        ARITH,
        lambda: places("30 ft", "2 ft", "36 in", Pattern.HEDGE),
        "11",
    ),
    Check(
        "2",
        "hedge line set out, 30 ft at 30 in",
        ARITH,
        lambda: places("30 ft", "2 ft", "30 in", Pattern.HEDGE),
        "13",
    ),
    Check(
        "3",
        "hole of a 24 in ball, 16 in deep, 2x wide, cu ft",
        ARITH,
        lambda: holes(oak(), hole_times=D(2), display=US).in_unit("cu ft"),
        "16.755",
    ),
    Check(
        "3",
        "same, 3x wide, cu ft",
        ARITH,
        lambda: holes(oak(), hole_times=D(3), display=US).in_unit("cu ft"),
        "37.699",
    ),
    Check(
        "3",
        "soil that the ball takes the place of, cu ft",
        ARITH,
        lambda: displaced(oak(), display=US).in_unit("cu ft"),
        "4.189",
    ),
    Check(
        "2",
        "outline of three sides of 10 ft, sq ft",
        SHOELACE,
        lambda: walked("10 left 120\n10 left 120\n10"),
        f"{sqrt(3) / 4 * 100:.3f}",
    ),
    Check(
        "2",
        "outline of an L, 20 x 10 less 10 x 5 ft, sq ft",
        SHOELACE,
        lambda: walked("20 left\n5 left\n10 right\n5 left\n10 left"),
        "150",
    ),
    Check(
        "3",
        "edging around the same, ft",
        ARITH,
        lambda: around("20 left\n5 left\n10 right\n5 left\n10 left"),
        "60",
    ),
)
