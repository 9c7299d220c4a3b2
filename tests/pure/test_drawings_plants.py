"""The cut, the habit, the year and the bed: what each picture really shows."""

import re
from datetime import date
from decimal import Decimal
from itertools import pairwise
from math import hypot
from xml.etree import ElementTree

import pytest

from firm.units import Display
from plants.drawings import (
    Bloom,
    Circle,
    Gap,
    Pieces,
    PlanPlanting,
    Rectangle,
    Span,
    Window,
    YearRow,
    bed_plan,
    bloom_calendar,
    bloom_gaps,
    care_year,
    cut_drawing,
    garden_year,
    habit_drawing,
    one_colour_of,
)
from plants.drawings.places import placed

SVG = "{http://www.w3.org/2000/svg}"
WARN = "#a04a2a"
LEAF = "#457338"
# Kansas State horticulture (W. Upham, page read): about 1/4 in above a bud, slanted
# at 45 degrees.
DISTANCE = "about 1/4\u00a0in (6\u00a0mm)"


def parsed(text: str) -> ElementTree.Element:
    return ElementTree.fromstring(text)  # noqa: S314


def texts(root: ElementTree.Element) -> str:
    return " ".join(each.text or "" for each in root.iter(f"{SVG}text"))


def description(root: ElementTree.Element) -> str:
    return root[1].text or ""


def cut_line(root: ElementTree.Element) -> tuple[float, float, float, float]:
    line = max(
        (each for each in root.iter(f"{SVG}line") if each.get("stroke") == WARN),
        key=lambda each: float(each.get("stroke-width") or 0),
    )
    x1, y1, x2, y2 = (float(line.get(key) or 0) for key in ("x1", "y1", "x2", "y2"))
    return x1, y1, x2, y2


@pytest.mark.parametrize("buds", ["opposite", "whorled"])
def test_the_cut_above_a_pair_or_ring_goes_straight_across(buds: str) -> None:
    root = parsed(cut_drawing("above-pair", buds=buds))
    _, y1, _, y2 = cut_line(root)
    assert abs(y1 - y2) < 1
    assert "straight across" in texts(root)
    assert DISTANCE in description(root)


def test_the_cut_above_a_single_bud_slants_high_on_the_buds_side() -> None:
    root = parsed(cut_drawing("above-bud"))
    x1, y1, x2, y2 = cut_line(root)
    # The bud sits at the right; smaller y is higher. About 45 degrees.
    assert x1 < x2
    assert 0.8 <= (y1 - y2) / (x2 - x1) <= 1.25
    assert "slanted away from the bud" in texts(root)


def test_a_close_up_follows_how_the_buds_sit() -> None:
    as_asked = cut_drawing("above-pair", buds="alternate", title="t", prefix="p")
    natural = cut_drawing("above-bud", title="t", prefix="p")
    assert as_asked == natural
    assert cut_drawing("above-pair", buds="basal") == cut_drawing("above-pair")


def test_the_height_left_is_said_in_the_picture_and_in_its_description() -> None:
    for kind in ("cut-down", "grass"):
        root = parsed(cut_drawing(kind, measure_words="12 in (30 cm)"))
        assert "12\u00a0in (30\u00a0cm)" in texts(root)
        assert "12 in (30 cm)" in description(root)
        _, y1, _, y2 = cut_line(root)
        assert y1 == y2


def test_thinning_takes_three_of_eight_stems_at_the_ground() -> None:
    root = parsed(cut_drawing("thin-base"))
    marks = [
        each
        for each in root.iter(f"{SVG}line")
        if each.get("stroke") == WARN and float(each.get("y1") or 0) < 214
    ]
    assert len(marks) == 3
    assert all(float(mark.get("y1") or 0) > 200 for mark in marks)
    assert "about a third of the stems" in description(root)


@pytest.mark.parametrize(
    ("buds", "how"),
    [
        ("opposite", "straight across, about 6\u00a0mm above a pair of buds"),
        ("whorled", "straight across, about 6\u00a0mm above a ring of buds"),
        ("alternate", "on a slant, about 6\u00a0mm above an outward bud"),
        ("basal", "straight across, about 6\u00a0mm above a pair of buds"),
    ],
)
def test_taking_a_third_cuts_every_stem_at_two_thirds_of_its_height(
    buds: str, how: str
) -> None:
    root = parsed(
        cut_drawing(
            "take-a-third",
            buds=buds,
            measure_words="a third at most",
            distance_words="about 6\u00a0mm",
        )
    )
    marks = [
        tuple(float(each.get(key) or 0) for key in ("x1", "y1", "x2", "y2"))
        for each in root.iter(f"{SVG}line")
        if each.get("stroke") == WARN
        and each.get("stroke-width") == "2.8"
        and float(each.get("y1") or 0) < 214
    ]
    assert len(marks) == 7
    middle = marks[3]
    # From the ground at 214 to the top at 30 two thirds are at 91.
    assert (middle[1] + middle[3]) / 2 == pytest.approx(91, abs=5)
    slope = (middle[3] - middle[1]) / (middle[2] - middle[0])
    if buds == "alternate":
        # The bud points to the left there, and the high side is the bud's.
        assert slope == pytest.approx(1, abs=0.25)
    else:
        assert slope == pytest.approx(0, abs=0.1)
    assert "a third at most of its length" in description(root)
    assert how in description(root)
    assert "a third at" in texts(root)


def test_a_ring_of_buds_shows_three_and_a_pair_two() -> None:
    def filled(buds: str) -> int:
        root = parsed(cut_drawing("above-pair", buds=buds))
        return sum(
            each.get("fill") == LEAF and each.get("fill-opacity") is not None
            for each in root.iter(f"{SVG}path")
        )

    # The next node down has one bud of a pair in sight, two of a ring.
    assert (filled("opposite"), filled("whorled"), filled("alternate")) == (3, 5, 2)
    words = "three buds in a ring"
    assert words in description(parsed(cut_drawing("above-pair", buds="whorled")))


def test_a_sheared_shrub_is_wider_at_its_foot() -> None:
    root = parsed(cut_drawing("shear"))
    outline = next(
        each.get("d") or ""
        for each in root.iter(f"{SVG}path")
        if each.get("stroke") == WARN
    )
    points = [
        tuple(map(float, pair))
        for pair in re.findall(r"(-?[\d.]+) (-?[\d.]+)", outline)
    ]
    foot = [x for x, y in points if y > 200]
    head = [x for x, y in points if y < 95]
    assert max(foot) - min(foot) > 1.8 * (max(head) - min(head))
    assert "wider at its foot than at its top" in description(root)


def test_dead_tips_say_the_distance_in_the_units_they_are_given() -> None:
    root = parsed(cut_drawing("dead-tips", distance_words="about 6\u00a0mm"))
    assert "about 6\u00a0mm above the first live pair" in description(root)
    close = parsed(cut_drawing("above-bud", distance_words="about 6\u00a0mm"))
    assert "about 6\u00a0mm above the bud" in description(close)
    assert "1/4" not in texts(close)


@pytest.mark.parametrize(
    ("buds", "leaves", "first"),
    [("opposite", 12, "pair of buds"), ("alternate", 6, "bud")],
)
def test_dead_tips_have_leaves_as_the_buds_sit_and_flowers_only_on_old_wood(
    buds: str, leaves: int, first: str
) -> None:
    root = parsed(cut_drawing("dead-tips", buds=buds, in_flower_bud=False))
    green = [
        each for each in root.iter(f"{SVG}path") if each.get("fill-opacity") == "0.5"
    ]
    assert len(green) == leaves
    assert f"above the first live {first}." in description(root)
    assert "leave: alive" in texts(root)
    assert "flower" not in texts(root)
    assert "flower" not in description(root)
    assert "leave: flower bud" in texts(parsed(cut_drawing("dead-tips", buds=buds)))


def test_a_branch_comes_off_in_three_cuts_the_last_outside_the_collar() -> None:
    root = parsed(cut_drawing("at-collar", measure_words="20 % at most"))
    cuts = [
        (float(each.get("x1") or 0) + float(each.get("x2") or 0)) / 2
        for each in root.iter(f"{SVG}line")
        if each.get("stroke") == WARN and float(each.get("y1") or 0) < 232
    ]
    third, first, second = cuts
    # The collar ends where the trunk's outline meets the branch, from 134 to 145.
    assert 134 < third < first < second
    assert "20 % at most of the crown" in texts(root).replace("\u00a0", " ")
    assert "just outside the swollen collar" in description(root)


def test_what_comes_off_is_dashed_and_what_stays_is_solid() -> None:
    for kind in (
        "take-a-third",
        "at-collar",
        "thin-base",
        "cut-down",
        "dead-tips",
        "shear",
        "grass",
    ):
        root = parsed(cut_drawing(kind))
        dashes = {each.get("stroke-dasharray") is not None for each in root.iter()}
        assert dashes == {True, False}
        assert "dashed: " in texts(root)


@pytest.mark.parametrize(
    ("kind", "buds", "why"),
    [("topping", None, "'topping' is no cut"), ("shear", "spiral", "'spiral' is no")],
)
def test_an_unknown_cut_or_bud_arrangement_is_refused(
    kind: str, buds: str | None, why: str
) -> None:
    with pytest.raises(ValueError, match=why):
        cut_drawing(kind, buds=buds)


def test_drawings_speak_the_language_they_are_given() -> None:
    spanish = {"Cut here, straight across": "Corte aquí, recto"}
    root = parsed(
        cut_drawing("above-pair", gettext=lambda words: spanish.get(words, words))
    )
    said = " ".join(texts(root).split())
    assert "Corte aquí, recto" in said
    assert "Cut here" not in said


# --- habits


def test_an_unknown_habit_is_refused() -> None:
    with pytest.raises(ValueError, match="'bushy' is no habit"):
        habit_drawing("bushy")


def test_a_bloom_colour_is_the_first_known_one_and_never_guessed() -> None:
    pink = habit_drawing("mound", bloom_colour="rosy pink, or white")
    odd = habit_drawing("mound", bloom_colour="glaucous")
    none = habit_drawing("mound")
    assert 'fill="#d98ba3"' in pink
    assert description(parsed(pink)) == "rounded mound, flowers rosy pink, or white"
    assert 'fill="#' not in odd.replace(f'fill="{LEAF}"', "")
    assert odd.count("<circle") > none.count("<circle") == 0


def test_leaves_in_winter_are_told_only_when_recorded() -> None:
    told = {
        value: description(parsed(habit_drawing("hedge", evergreen=value)))
        for value in (True, False, "semi", None)
    }
    assert told == {
        True: "clipped hedge, evergreen",
        False: "clipped hedge, loses its leaves in winter",
        "semi": "clipped hedge, keeps some leaves in mild winters",
        None: "clipped hedge",
    }
    with pytest.raises(ValueError, match="'maybe' is not yes, no or semi"):
        habit_drawing("hedge", evergreen="maybe")


def test_a_plant_without_wood_is_drawn_without_stems_of_wood() -> None:
    hosta = habit_drawing("mound", woody=False, evergreen="no", bloom_colour="white")
    shrub = habit_drawing("mound", evergreen="no", bloom_colour="white")
    assert description(parsed(hosta)) == (
        "rounded clump of leaves, dies down in winter, flowers white"
    )
    # Stems of wood are the ribbons filled with a quarter of the ink.
    assert shrub.count('fill-opacity="0.25"') == 3
    assert hosta.count('fill-opacity="0.25"') == 0
    assert description(parsed(habit_drawing("tuft", woody=False, evergreen=False))) == (
        "tuft of leaves, dies down in winter"
    )


# --- the year


def window(first: date, best: date, last: date, label: str = "Prune") -> Window:
    return Window(label=label, earliest=first, best=best, latest=last)


def bars(root: ElementTree.Element, paint: str) -> list[tuple[float, float]]:
    """Left edge and width of the framed bars of one colour."""
    return [
        (float(each.get("x") or 0), float(each.get("width") or 0))
        for each in root.iter(f"{SVG}rect")
        if each.get("stroke") == paint
    ]


def test_a_window_stands_on_its_days() -> None:
    row = window(date(2026, 7, 1), date(2026, 7, 10), date(2026, 7, 31))
    root = parsed(care_year([row], start=date(2026, 1, 1), days=365, width=385))
    # 365 units for 365 days after a margin of ten; 1 July is day 181, 31 days.
    assert bars(root, LEAF) == [(10 + 181, 31)]
    best = [
        float(each.get("x1") or 0)
        for each in root.iter(f"{SVG}line")
        if each.get("stroke-width") == "2.4"
    ]
    assert best == [10 + 190.5]
    assert description(root) == "Prune: 1 Jul to 31 Jul, best 10 Jul."


def test_a_window_that_crosses_the_year_is_cut_with_an_arrow() -> None:
    row = window(date(2025, 12, 1), date(2026, 1, 15), date(2026, 2, 28))
    inside = window(date(2026, 1, 1), date(2026, 1, 15), date(2026, 2, 28))
    crossing = parsed(care_year([row], start=date(2026, 1, 1), width=385))
    whole = parsed(care_year([inside], start=date(2026, 1, 1), width=385))
    assert bars(crossing, LEAF) == bars(whole, LEAF) == [(10, 59)]
    arrows = [len(list(root.iter(f"{SVG}path"))) for root in (crossing, whole)]
    assert arrows == [1, 0]
    # Its true days stay in the words.
    assert description(crossing) == "Prune: 1 Dec to 28 Feb, best 15 Jan."


def test_a_strip_may_begin_in_autumn_and_shows_a_winter_whole() -> None:
    row = window(date(2026, 12, 1), date(2027, 1, 15), date(2027, 2, 28))
    root = parsed(care_year([row], start=date(2026, 9, 1), width=385))
    assert bars(root, LEAF) == [(10 + 91, 90)]


def test_two_windows_of_one_task_share_a_line() -> None:
    spring = window(date(2026, 3, 1), date(2026, 3, 5), date(2026, 3, 9), "Feed")
    summer = window(date(2026, 7, 1), date(2026, 7, 5), date(2026, 7, 9), "Feed")
    root = parsed(care_year([spring, summer], start=date(2026, 1, 1)))
    assert texts(root).count("Feed") == 1
    assert "best 5 Mar, best 5 Jul" in texts(root)


def test_a_closed_season_is_hatched_and_said_in_words() -> None:
    closed = [
        Span(label="buds are set", first=date(2026, 8, 1), last=date(2026, 12, 31))
    ]
    root = parsed(care_year([], start=date(2026, 1, 1), closed=closed, width=385))
    assert bars(root, WARN) == [(10 + 212, 153)]
    assert "Closed: buds are set" in texts(root)
    hatch = [each for each in root.iter(f"{SVG}path") if each.get("stroke") == WARN]
    assert len(hatch) == 1
    assert (hatch[0].get("d") or "").count("M") > 10


def test_today_is_shown_only_inside_the_strip() -> None:
    row = window(date(2026, 7, 1), date(2026, 7, 10), date(2026, 7, 31))
    inside = care_year([row], start=date(2026, 1, 1), today=date(2026, 6, 20))
    outside = care_year([row], start=date(2026, 1, 1), today=date(2027, 6, 20))
    assert "today, 20 Jun" in inside
    assert "today" not in outside


def test_a_window_whose_best_day_lies_outside_is_refused() -> None:
    with pytest.raises(ValueError, match="best day outside its window"):
        window(date(2026, 7, 1), date(2026, 8, 10), date(2026, 7, 31))
    with pytest.raises(ValueError, match="ends before it begins"):
        Span(label="x", first=date(2026, 7, 2), last=date(2026, 7, 1))


def test_a_leap_day_has_its_place() -> None:
    row = window(date(2028, 2, 29), date(2028, 2, 29), date(2028, 2, 29))
    root = parsed(care_year([row], start=date(2028, 1, 1), days=366, width=386))
    assert bars(root, LEAF) == [(10 + 59, 1)]
    assert description(root) == "Prune: 29 Feb, best 29 Feb."


# --- bloom


def test_gaps_are_whole_weeks_in_which_nothing_flowers() -> None:
    rows = [
        Bloom(label="a", spans=((date(2026, 1, 8), date(2026, 1, 14)),)),
        Bloom(label="b", spans=((date(2026, 2, 4), date(2026, 2, 5)),)),
    ]
    # Weeks from 1 January: the second holds a, the fifth and sixth touch b.
    assert bloom_gaps(rows, start=date(2026, 1, 1), days=49) == [
        Gap(first=date(2026, 1, 1), last=date(2026, 1, 7), weeks=1),
        Gap(first=date(2026, 1, 15), last=date(2026, 1, 28), weeks=2),
        Gap(first=date(2026, 2, 12), last=date(2026, 2, 18), weeks=1),
    ]


def test_a_garden_in_flower_all_year_has_no_gap() -> None:
    row = Bloom(label="a", spans=((date(2026, 1, 1), date(2026, 12, 31)),))
    assert bloom_gaps([row], start=date(2026, 1, 1)) == []
    root = parsed(bloom_calendar([row], start=date(2026, 1, 1)))
    assert description(root).endswith("Something flowers every week.")


def test_only_weeks_inside_the_season_are_gaps() -> None:
    row = Bloom(label="a", spans=((date(2026, 5, 1), date(2026, 6, 30)),))
    season = (date(2026, 4, 5), date(2026, 7, 14))
    # Weeks from Thursday 1 January; 30 April holds 1 May, 25 June holds 30 June.
    assert bloom_gaps([row], start=date(2026, 1, 1), season=season) == [
        Gap(first=date(2026, 4, 9), last=date(2026, 4, 29), weeks=3),
        Gap(first=date(2026, 7, 2), last=date(2026, 7, 8), weeks=1),
    ]
    root = parsed(bloom_calendar([row], start=date(2026, 1, 1), season=season))
    assert description(root) == (
        "a: 1 May to 30 Jun. Nothing in flower: 9 Apr to 29 Apr, 2 Jul to 8 Jul."
    )
    short = (date(2026, 5, 1), date(2026, 6, 30))
    assert description(
        parsed(bloom_calendar([row], start=date(2026, 1, 1), season=short))
    ).endswith("Something flowers every week of the growing season.")


def test_a_wide_bloom_calendar_has_its_words_beside_the_bars() -> None:
    row = Bloom(label="a", spans=((date(2026, 1, 1), date(2026, 12, 31)),))
    root = parsed(bloom_calendar([row], start=date(2026, 1, 1), width=675, beside=True))
    # 290 for the words, a margin of ten on both sides, one unit a day.
    first = min(bars(root, "currentColor"))
    assert first == (300.6, 5.8)
    assert float(root.get("height") or 0) < 120


def test_a_part_of_a_garden_claims_no_gaps_and_can_leave_its_days_to_the_words() -> (
    None
):
    row = Bloom(label="a", spans=((date(2026, 5, 1), date(2026, 6, 30)),))
    root = parsed(
        bloom_calendar([row], start=date(2026, 1, 1), with_gaps=False, with_dates=False)
    )
    assert description(root) == "a: 1 May to 30 Jun."
    assert "Nothing in flower" not in texts(root)
    assert "1 May" not in texts(root)


@pytest.mark.parametrize(
    ("said", "drawn"),
    [
        ("rosy pink", "#d98ba3"),
        ("yellow, scented; blue berries", "#e0b83c"),
        ("white, pink, red, orange or purple", None),
        ("glaucous", None),
        ("", None),
        ("#102030", "#102030"),
    ],
)
def test_a_colour_is_drawn_only_where_one_is_named(
    said: str, drawn: str | None
) -> None:
    assert one_colour_of(said) == drawn


def test_a_plant_without_recorded_bloom_says_so() -> None:
    root = parsed(
        bloom_calendar([Bloom(label="Boxwood", spans=())], start=date(2026, 1, 1))
    )
    assert "bloom not recorded" in texts(root)
    assert "Nothing in flower: 1 Jan to 31 Dec." in description(root)


# --- the garden


def test_a_gardens_year_gives_each_sort_a_lane_and_says_it_in_words() -> None:
    rows = [
        YearRow(
            label="1 Azalea",
            windows=[window(date(2026, 7, 1), date(2026, 7, 10), date(2026, 7, 31))],
            other=[
                window(date(2026, 3, 1), date(2026, 3, 5), date(2026, 3, 9), "Feed"),
                window(date(2026, 6, 1), date(2026, 6, 5), date(2026, 6, 9), "Feed"),
            ],
            closed=[
                Span(label="cuts", first=date(2026, 8, 1), last=date(2026, 12, 31))
            ],
            bloom=[Span(label="b", first=date(2026, 5, 1), last=date(2026, 5, 31))],
        ),
        YearRow(label="2 Fern"),
    ]
    root = parsed(
        garden_year(rows, start=date(2026, 1, 1), width=385, today=date(2026, 6, 20))
    )
    # One unit a day after a margin of ten; the first bar of each sort is the key's.
    assert bars(root, LEAF)[1:] == [(10 + 181, 31)]
    assert bars(root, WARN)[1:] == [(10 + 212, 153)]
    strokes = [
        (float(each.get("x1") or 0), each.get("stroke-width"))
        for each in root.iter(f"{SVG}line")
    ]
    assert (10 + 190.5, "2.2") in strokes
    assert [x for x, wide in strokes if wide == "1.6"][3:] == [10 + 63.5, 10 + 155.5]
    assert description(root) == (
        "1 Azalea: in flower 1 May to 31 May; Prune best 10 Jul; "
        "closed: cuts 1 Aug to 31 Dec; Feed best 5 Mar and 5 Jun. "
        "2 Fern: nothing falls in these months. Today is 20 Jun."
    )
    assert "cuts, the stroke is the best day" in texts(root)


# --- the bed


def plant(number: int, quantity: int, **more: object) -> PlanPlanting:
    return PlanPlanting(
        number=number,
        label=f"Plant {number}",
        quantity=quantity,
        **more,  # type: ignore[arg-type]
    )


def test_plants_without_places_are_all_drawn_inside_a_rectangle() -> None:
    bed = Rectangle(length_m=Decimal(9), width_m=Decimal("2.5"))
    standing = placed(bed, [plant(1, 3, spread_m=Decimal("1.5")), plant(2, 60)])
    assert [len(points) for _, points in standing] == [3, 60]
    for _, points in standing:
        assert all(0 < x < 9 and 0 < y < 2.5 for x, y in points)
    # Slices follow each other, so no two plantings are mixed.
    assert max(x for x, _ in standing[0][1]) < min(x for x, _ in standing[1][1])


def test_plants_without_places_are_all_drawn_inside_a_circle() -> None:
    standing = placed(Circle(diameter_m=Decimal(4)), [plant(1, 5), plant(2, 12)])
    points = [point for _, some in standing for point in some]
    assert len(points) == 17
    assert all(hypot(x - 2, y - 2) < 2 for x, y in points)
    gaps = [hypot(a[0] - b[0], a[1] - b[1]) for a in points for b in points if a != b]
    assert min(gaps) > 0.35


def test_pieces_get_plants_by_their_area() -> None:
    bed = Pieces(pieces=((Decimal(4), Decimal(2)), (Decimal(2), Decimal(1))))
    ((_, points),) = placed(bed, [plant(1, 10)])
    assert [sum(x < 4 for x, _ in points), sum(x > 4 for x, _ in points)] == [8, 2]


def test_places_that_were_measured_are_kept() -> None:
    spots = ((Decimal("1.0"), Decimal("0.5")), (Decimal("2.0"), Decimal("1.5")))
    bed = Rectangle(length_m=Decimal(3), width_m=Decimal(2))
    standing = placed(bed, [plant(1, 2, positions=spots), plant(2, 4)])
    assert standing[0][1] == [(1.0, 0.5), (2.0, 1.5)]
    assert len(standing[1][1]) == 4


def test_the_plan_is_to_scale() -> None:
    bed = Rectangle(length_m=Decimal("9.144"), width_m=Decimal("2.4384"))
    root = parsed(bed_plan(bed, [plant(1, 5)]))
    frames = [
        (float(each.get("width") or 0), float(each.get("height") or 0))
        for each in root.iter(f"{SVG}rect")
        if each.get("stroke") == "currentColor"
    ]
    (long, deep), (bar, _) = frames
    # 30 ft x 8 ft with a scale bar of 10 ft.
    assert long / deep == pytest.approx(30 / 8, rel=1e-3)
    assert long / bar == pytest.approx(3, rel=1e-3)
    assert {"30 ft", "8 ft", "10 ft"} <= {each.text for each in root.iter(f"{SVG}text")}
    assert description(root) == (
        "A bed 30 ft long and 8 ft wide. 1: Plant 1, 5. Scale bar: 10 ft."
    )


def test_a_metric_plan_has_a_metric_bar() -> None:
    root = parsed(
        bed_plan(Circle(diameter_m=Decimal("3.60")), [], display=Display("metric"))
    )
    assert description(root) == (
        "A round bed 3.6 m across. Nothing is planted yet. Scale bar: 1 m."
    )


def test_feet_and_inches_are_written_as_people_say_them() -> None:
    bed = Rectangle(length_m=Decimal("3.81"), width_m=Decimal("0.2286"))
    assert "A bed 12 ft 6 in long and 9 in wide." in description(
        parsed(bed_plan(bed, []))
    )


def test_north_turns_clockwise_from_the_top() -> None:
    bed = Rectangle(length_m=Decimal(3), width_m=Decimal(2))

    def letter(north: float | None) -> ElementTree.Element | None:
        root = parsed(bed_plan(bed, [], north=north))
        found = [each for each in root.iter(f"{SVG}text") if each.text == "N"]
        return found[0] if found else None

    up, right = letter(0), letter(90)
    assert up is not None
    assert right is not None
    assert float(right.get("x") or 0) > float(up.get("x") or 0) + 10
    assert float(right.get("y") or 0) > float(up.get("y") or 0) + 10
    assert letter(None) is None


def test_crowded_plants_become_dots_with_one_number() -> None:
    bed = Rectangle(length_m=Decimal("9.144"), width_m=Decimal("2.4384"))
    few = parsed(bed_plan(bed, [plant(7, 6)], key=False))
    many = parsed(bed_plan(bed, [plant(7, 200)], key=False))
    assert [each.text for each in few.iter(f"{SVG}text")].count("7") == 6
    assert [each.text for each in many.iter(f"{SVG}text")].count("7") == 1
    assert len(list(many.iter(f"{SVG}circle"))) > 150


def test_ten_thousand_plants_are_drawn_as_some_dots_and_said_so() -> None:
    bed = Circle(diameter_m=Decimal(20))
    text = bed_plan(bed, [plant(1, 10_000)])
    assert len(text) < 100_000
    assert "The dots show where, not how many" in text
    assert "1: Plant 1, 10000." in description(parsed(text))
    assert "not how many" not in bed_plan(bed, [plant(1, 600)])


def test_a_bed_without_a_size_is_refused() -> None:
    with pytest.raises(ValueError, match="sizes above nothing"):
        bed_plan(Rectangle(length_m=Decimal(0), width_m=Decimal(2)), [])
    with pytest.raises(ValueError, match="sizes above nothing"):
        bed_plan(Pieces(pieces=()), [])


def test_evenly_spread_rows_keep_their_distance() -> None:
    bed = Rectangle(length_m=Decimal(6), width_m=Decimal(1))
    ((_, points),) = placed(bed, [plant(1, 6)])
    steps = [b[0] - a[0] for a, b in pairwise(points)]
    assert steps == pytest.approx([1.0] * 5)


def test_a_hedge_stands_in_one_even_row_along_the_long_side() -> None:
    bed = Rectangle(length_m=Decimal("15.24"), width_m=Decimal("1.2192"))
    hedge = plant(4, 30, spread_m=Decimal("1.3"), hedge=True)
    ((_, points),) = placed(bed, [hedge])
    assert len(points) == 30
    assert {round(y, 4) for _, y in points} == {0.6096}
    steps = [b[0] - a[0] for a, b in pairwise(points)]
    assert steps == pytest.approx([0.508] * 29)
    # Crowns of one hedge only just touch, all alike.
    drawn = parsed(bed_plan(bed, [hedge], key=False))
    crowns = [
        float(each.get("r") or 0)
        for each in drawn.iter(f"{SVG}circle")
        if each.get("fill-opacity") == "0.16"
    ]
    assert len(crowns) == 30
    assert len(set(crowns)) == 1


def test_a_crowded_hedge_stands_in_two_staggered_rows() -> None:
    bed = Rectangle(length_m=Decimal(1), width_m=Decimal(6))
    ((_, points),) = placed(bed, [plant(4, 30, spread_m=Decimal("1.3"), hedge=True)])
    rows = sorted({round(x, 4) for x, _ in points})
    assert rows == [0.25, 0.75]
    first = [y for x, y in points if x < 0.5]
    second = [y for x, y in points if x > 0.5]
    assert (len(first), len(second)) == (15, 15)
    assert second[0] - first[0] == pytest.approx(6 / 15.5 / 2)
    assert all(0 < y < 6 for _, y in points)


def test_a_grid_is_even_where_the_number_allows_it() -> None:
    bed = Rectangle(length_m=Decimal("15.24"), width_m=Decimal("1.2192"))
    ((_, points),) = placed(bed, [plant(1, 30)])
    columns = [round(x, 4) for x, _ in points]
    assert {columns.count(x) for x in columns} == {2}


def test_many_best_days_and_the_same_closed_days_are_said_in_short() -> None:
    looks = [
        Window(
            label="Look for blight",
            earliest=date(2027, month, 1),
            best=date(2027, month, 5),
            latest=date(2027, month, 9),
        )
        for month in (1, 4, 6, 7, 8)
    ]
    shut = [
        Span(label="cutting", first=date(year, 8, 1), last=date(year, 11, 4))
        for year in (2026, 2027)
    ]
    for beside in (False, True):
        root = parsed(
            care_year(
                looks,
                start=date(2026, 10, 1),
                closed=shut,
                width=720 if beside else 340,
                beside=beside,
            )
        )
        said = texts(root)
        assert "best 5 Jan and 4 more days" in said
        assert said.count("1 Aug to 4 Nov") == 1
