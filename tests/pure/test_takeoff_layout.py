"""Plants set out inside beds, against the counts of the closed form and of charts.

R20 Landscape Architect's Pocket Book (2021), planting distances: area divided by the
square of the spacing (abstract of the chapter, read). R21 growers' groundcover spacing
chart, gloverperennials.com/?p=2150 (read). Rows, triangle and hedge: plain arithmetic.
"""

import random
from decimal import Decimal
from itertools import combinations, pairwise
from math import cos, hypot, pi, sin

import pytest

from firm.units import Display
from jobs.takeoff import (
    Circle,
    Kind,
    Layout,
    Outline,
    Pattern,
    Rectangle,
    Ring,
    SeenFrom,
    TakeoffError,
    area,
    ground_of,
    hedge,
    kept,
    lay_out,
    pieces_of,
    plants_in_rows,
    read_kept,
)
from jobs.takeoff.drifts import drifts_of, odd_parts, tiers
from jobs.takeoff.layout import ALONG, ground_m2
from jobs.takeoff.outline import Ground, Point, holds, sides, to_the_edge, turn

US = Display("us")
FOOT = Decimal("0.3048")
INCH = Decimal("0.0254")
# Positions are floats; a tenth of a micrometre is nothing in a bed.
NOTHING_M = 1e-7


def kind(
    spacing_m: float, wanted: int | None = None, height_m: float | None = None
) -> Kind:
    return Kind(
        key=f"{spacing_m} {height_m}",
        label="Plant",
        spacing_m=spacing_m,
        wanted=wanted,
        height_m=height_m,
    )


def in_feet(length: str, width: str) -> Rectangle:
    return Rectangle(length_m=Decimal(length) * FOOT, width_m=Decimal(width) * FOOT)


def random_outline(draw: random.Random) -> Ground:
    """A simple polygon, mostly concave: corners in order around a point."""
    corners = draw.randint(3, 14)
    slice_of = 2 * pi / corners
    ring = []
    for step in range(corners):
        angle = (step + draw.uniform(0.1, 0.9)) * slice_of
        far = draw.uniform(0.8, 6.0)
        ring.append((far * cos(angle), far * sin(angle) * draw.choice((0.5, 1.0))))
    return (tuple(ring),)


def check_places(layout: Layout, *, edge_m: float | None) -> None:
    """No two nearer than half the sum of their spacings, none off the edge."""
    for one, other in combinations(layout.places, 2):
        both = layout.kinds[one.kind].spacing_m + layout.kinds[other.kind].spacing_m
        assert hypot(one.x - other.x, one.y - other.y) >= both / 2 - NOTHING_M
    for place in layout.places:
        edge = layout.kinds[place.kind].spacing_m / 2 if edge_m is None else edge_m
        assert holds(layout.ground, (place.x, place.y))
        assert to_the_edge(layout.ground, (place.x, place.y)) >= edge - NOTHING_M


def test_in_200_random_beds_every_plant_keeps_its_spacing_and_the_edge() -> None:
    draw = random.Random(5)  # noqa: S311 - repeatable
    together = 0
    for number in range(200):
        ground = random_outline(draw)
        edge_m = draw.choice((None, None, 0.0, 0.3))
        seen_from = list(SeenFrom)[number % len(SeenFrom)]
        if number % 2:
            kinds = [
                kind(draw.uniform(0.3, 1.2), draw.randint(1, 12), draw.uniform(0.1, 3))
                for _ in range(draw.randint(2, 5))
            ]
            pattern = draw.choice((Pattern.SQUARE, Pattern.TRIANGULAR))
        else:
            kinds = [kind(draw.uniform(0.25, 0.9), draw.choice((None, 5, 40)))]
            pattern = draw.choice((Pattern.SQUARE, Pattern.TRIANGULAR, Pattern.ROWS))
        layout = lay_out(
            ground,
            kinds,
            pattern=pattern,
            seen_from=seen_from,
            edge_m=edge_m,
            seed=number,
        )
        check_places(layout, edge_m=edge_m)
        for index, each in enumerate(kinds):
            assert each.wanted is None or layout.count(index) <= each.wanted
        together += len(layout.places)
    # So that the loop cannot pass by placing nothing.
    assert together > 4_000


@pytest.mark.parametrize("layout", ["square", "triangular"])
def test_rectangles_hold_as_many_as_the_closed_form_says(layout: str) -> None:
    draw = random.Random(7)  # noqa: S311 - repeatable
    for _ in range(300):
        spacing = Decimal(draw.choice((4, 6, 8, 9, 12, 18, 24, 36))) * INCH
        # Every second length is a whole number of spacings: the case that floats miss.
        length = spacing * draw.randint(1, 25)
        width = Decimal(draw.randint(10, 500)) / 100
        if draw.random() < 0.5:
            length += Decimal(draw.randint(1, 9)) / 1000
        shape = Rectangle(length_m=length, width_m=width)
        rows = plants_in_rows(shape, spacing_m=spacing, layout=layout, display=US)
        found = lay_out(
            ground_of(shape), [kind(float(spacing))], pattern=Pattern(layout)
        )
        assert len(found.places) == rows.figure.count, (length, width, spacing)


@pytest.mark.parametrize(
    ("length", "width", "spacing_in", "count"),
    [
        # R21, 100 sq ft.
        ("10", "10", 4, 900),
        ("10", "10", 6, 400),
        ("10", "10", 8, 225),
        ("10", "10", 10, 144),
        ("10", "10", 12, 100),
        ("10", "10", 15, 64),
        ("10", "10", 24, 25),
        # R21, 1,000 sq ft.
        ("50", "20", 24, 250),
        # Arithmetic: by rows 6 x 2, by area 17.8; and the count that floats made 61.
        ("10", "4", 18, 12),
        ("30", "8", 24, 60),
    ],
)
def test_square_grids_hold_what_the_charts_print(
    length: str, width: str, spacing_in: int, count: int
) -> None:
    found = lay_out(
        ground_of(in_feet(length, width)),
        [kind(float(spacing_in * INCH))],
        pattern=Pattern.SQUARE,
    )
    assert len(found.places) == count == found.room


def test_a_triangle_grid_comes_near_two_over_the_root_of_three_in_a_large_bed() -> None:
    found = lay_out(ground_of(in_feet("60", "60")), [kind(float(12 * INCH))])
    assert len(found.places) / 3600 == pytest.approx(1.1547, rel=0.02)


@pytest.mark.parametrize(("spacing_in", "count"), [(36, 11), (30, 13), (34, 12)])
def test_a_hedge_line_is_planted_at_both_ends(spacing_in: int, count: int) -> None:
    spacing = spacing_in * INCH
    found = lay_out(
        ground_of(in_feet("30", "3")),
        [kind(float(spacing))],
        pattern=Pattern.HEDGE,
        edge_m=0,
    )
    assert hedge(length_m=30 * FOOT, spacing_m=spacing, display=US).count == count
    assert len(found.places) == count
    xs = sorted(place.x for place in found.places)
    assert (xs[0], xs[-1]) == (0, pytest.approx(30 * 0.3048))
    gaps = {round(b - a, 6) for a, b in pairwise(xs)}
    assert gaps == {round(30 * 0.3048 / (count - 1), 6)}
    assert {round(place.y, 6) for place in found.places} == {round(1.5 * 0.3048, 6)}


THREE = [
    kind(1.2, 4, 2.0),
    kind(0.6, 9, 1.0),
    kind(0.3, 20, 0.3),
]


def sight(layout: Layout, along: Point) -> list[tuple[int, float, float]]:
    return [(place.kind, *turn((place.x, place.y), along)) for place in layout.places]


@pytest.mark.parametrize(
    "seen_from", [each for each in SeenFrom if each != "all sides"]
)
@pytest.mark.parametrize("turned", [False, True])
def test_nothing_low_stands_behind_something_taller_as_seen(
    seen_from: SeenFrom, *, turned: bool
) -> None:
    draw = random.Random(11)  # noqa: S311 - repeatable
    ground = random_outline(draw) if turned else ground_of(in_feet("30", "10"))
    layout = lay_out(ground, THREE, seen_from=seen_from)
    assert turned or not layout.short
    assert len(layout.places) > 20
    for one, other in combinations(sight(layout, ALONG[seen_from]), 2):
        tall, low = sorted((one, other), key=lambda each: each[0])
        if tall[0] == low[0]:
            continue
        overlap = (THREE[tall[0]].spacing_m + THREE[low[0]].spacing_m) / 2
        if abs(tall[1] - low[1]) < overlap - NOTHING_M:
            assert tall[2] > low[2]


def test_seen_from_all_sides_the_tallest_stand_deepest_in_the_bed() -> None:
    ground = ground_of(Circle(diameter_m=Decimal(6)))
    layout = lay_out(ground, THREE, seen_from=SeenFrom.ALL)
    assert not layout.short
    depths = [
        [
            to_the_edge(ground, (place.x, place.y))
            for place in layout.places
            if place.kind == index
        ]
        for index in range(3)
    ]
    assert min(depths[0]) >= max(depths[1])
    assert min(depths[1]) >= max(depths[2])


def test_the_same_call_gives_the_same_places_and_another_seed_other_drifts() -> None:
    ground = ground_of(in_feet("30", "10"))
    kinds = [kind(0.5, 15, 0.6), kind(0.45, 15, 0.6), kind(0.4, 15, 0.55)]
    first, again, other = (lay_out(ground, kinds, seed=seed) for seed in (3, 3, 4))
    assert first == again
    assert first.places != other.places
    assert read_kept(kept(first)).count(1) == 15
    for place, read in zip(first.places, read_kept(kept(first)).places, strict=True):
        assert hypot(place.x - read.x, place.y - read.y) < 1e-5


def test_drifts_are_odd_and_come_to_the_number_wanted() -> None:
    for count in range(1, 400):
        parts = odd_parts(count)
        assert sum(parts) == count
        assert all(part % 2 for part in parts)
        assert max(parts) <= max(8, count // 5 + 3)
    kinds = [kind(0.5, 15, 1.0), kind(0.5, 12, 0.9), kind(0.3, 30, 0.2)]
    assert tiers(kinds) == [[0, 1], [2]]
    drifts = drifts_of(kinds, [0, 1], seed=2)
    assert sum(drift.count for drift in drifts if drift.kind == 0) == 15
    assert sum(drift.count for drift in drifts if drift.kind == 1) == 12
    assert all(a.kind != b.kind for a, b in pairwise(drifts))


def test_the_plants_of_a_drift_stand_together() -> None:
    """Of two kinds of one height, most have one of their own kind as the nearest."""
    layout = lay_out(
        ground_of(in_feet("40", "6")), [kind(0.5, 25, 0.6), kind(0.5, 25, 0.6)]
    )
    alike = 0
    for place in layout.places:
        others = [other for other in layout.places if other is not place]
        nearest = min(
            others, key=lambda each: hypot(each.x - place.x, each.y - place.y)
        )
        alike += nearest.kind == place.kind
    assert len(layout.places) == 50
    assert alike >= 35


def test_fewer_than_wanted_are_told_and_the_others_have_their_place() -> None:
    layout = lay_out(ground_of(in_feet("10", "4")), [kind(float(18 * INCH), 30)])
    assert [(short.wanted, short.fit) for short in layout.short] == [(30, 12)]
    narrow = lay_out(ground_of(in_feet("10", "1")), [kind(float(18 * INCH), 3)])
    assert [(short.wanted, short.fit) for short in narrow.short] == [(3, 0)]
    wide = lay_out(ground_of(in_feet("10", "4")), [kind(float(18 * INCH), 6)])
    assert (wide.short, len(wide.places), wide.room) == ((), 6, 12)
    assert 1 < wide.wider <= 1.5


def test_one_of_several_kinds_fills_what_the_others_leave() -> None:
    layout = lay_out(
        ground_of(in_feet("30", "10")), [kind(1.2, 4, 2.0), kind(0.3, None, 0.2)]
    )
    area = 300 * 0.3048**2
    left = int((area - 4 * 1.2**2 * 3**0.5 / 2) / (0.3**2 * 3**0.5 / 2))
    assert layout.kinds[1].wanted == left
    assert layout.count(0) == 4
    assert left * 0.75 < layout.count(1) <= left


def test_pieces_and_rings_are_grounds_of_their_own() -> None:
    """Each piece holds its closed form; nothing stands around a trunk."""
    pieces = pieces_of([(Decimal(3), Decimal(1)), (Decimal("2.5"), Decimal(2))])
    rows = plants_in_rows(
        pieces, spacing_m=Decimal("0.5"), layout="triangular", display=US
    )
    found = lay_out(ground_of(pieces), [kind(0.5)])
    assert len(found.places) == rows.figure.count
    ring = ground_of(Ring(diameter_m=Decimal(4), bare_m=Decimal(2)))
    assert ground_m2(ring) == pytest.approx(pi * 3, rel=0.001)
    around = lay_out(ring, [kind(0.4)])
    assert len(around.places) > 20
    assert min(hypot(each.x - 2, each.y - 2) for each in around.places) >= 1.199


def test_an_outline_has_the_area_of_the_shoelace_formula() -> None:
    """An L of 6 x 4 less 3 x 2, and the triangle of sides 3, 4 and 5 (arithmetic)."""
    corners = [(0, 0), (6, 0), (6, 2), (3, 2), (3, 4), (0, 4)]
    ell = Outline(corners=tuple((Decimal(x), Decimal(y)) for x, y in corners))
    assert ell.area_m2 == 18
    assert ground_m2(ground_of(ell)) == 18
    assert area(ell, display=Display("metric")).formula == (
        "outline of 6 corners, ½ × |Σ (x × next y - next x × y)| of"
        " (0; 0) (6; 0) (6; 2) (3; 2) (3; 4) (0; 4) m = 18.00 m²"
    )
    triangle = [(Decimal(0), Decimal(0)), (Decimal(4), Decimal(0)), (Decimal(0), 3)]
    assert Outline(corners=tuple((x, Decimal(y)) for x, y in triangle)).area_m2 == 6
    assert len(sides(ground_of(ell)[0])) == 6


@pytest.mark.parametrize(
    ("corners", "why"),
    [
        ([(0, 0), (1, 1)], "at least three"),
        ([(0, 0), (2, 0), (0, 2), (2, 2)], "Side 2 crosses or touches side 4"),
        ([(0, 0), (4, 0), (2, 0), (0, 3)], "Side 1 crosses or touches side 2"),
        ([(0, 0), (0, 0), (2, 0), (0, 2)], "Corner 1 and the next"),
        ([(0, 0), (4, 0), (4, 4), (2, 0), (0, 4)], "Side 1 crosses or touches"),
        ([(0, 0), (1, 0), (2, 0)], "crosses or touches"),
    ],
)
def test_outlines_that_cross_themselves_are_refused(
    corners: list[tuple[int, int]], why: str
) -> None:
    with pytest.raises(TakeoffError, match=why):
        Outline(corners=tuple((Decimal(x), Decimal(y)) for x, y in corners))


@pytest.mark.parametrize(
    ("kinds", "options", "why"),
    [
        ([], {}, "Nothing to set out"),
        ([kind(0.01)], {}, "between 2 cm and 50 m"),
        ([kind(0.5, 0)], {}, "at least one"),
        ([kind(0.5), kind(0.4)], {}, "Only one kind"),
        ([kind(0.5)], {"edge_m": -1}, "distance to the edge"),
        ([kind(0.5)], {"row_gap_m": 0.4, "pattern": Pattern.ROWS}, "Rows stand no"),
        ([kind(0.5, 1), kind(0.4, 1)], {"pattern": Pattern.HEDGE}, "of one kind"),
        ([kind(0.02)], {}, "counted by area"),
        ([kind(0.1, 9_000), kind(0.1, 1)], {}, "at most 5,000"),
    ],
)
def test_what_cannot_be_set_out_is_refused_in_words(
    kinds: list[Kind], options: dict[str, object], why: str
) -> None:
    with pytest.raises(TakeoffError, match=why):
        lay_out(ground_of(in_feet("60", "20")), kinds, **options)  # type: ignore[arg-type]


def test_rows_stand_as_far_apart_as_asked() -> None:
    found = lay_out(
        ground_of(in_feet("20", "10")),
        [kind(float(12 * INCH))],
        pattern=Pattern.ROWS,
        row_gap_m=float(30 * INCH),
    )
    rows = sorted({round(place.y, 6) for place in found.places})
    assert len(found.places) == 4 * 20
    assert {round(b - a, 6) for a, b in pairwise(rows)} == {0.762}
