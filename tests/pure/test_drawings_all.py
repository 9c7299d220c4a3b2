"""What every drawing keeps to: safe text, words for the blind, letters big enough."""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from xml.etree import ElementTree

import pytest

from jobs import takeoff
from jobs.drawings import (
    Compared,
    Load,
    hours_against_capacity,
    plan_svg,
    quoted_against_actual,
)
from plants.drawings import (
    CUTS,
    HABITS,
    Bloom,
    Circle,
    Opening,
    Outline,
    Pieces,
    PlanPlanting,
    Rectangle,
    RiskCurve,
    RiskPart,
    SketchThing,
    Span,
    SunMonth,
    WeatherMonths,
    Window,
    YearRow,
    bed_plan,
    bed_sketch,
    bloom_calendar,
    care_year,
    cut_drawing,
    frost_risk,
    garden_year,
    habit_drawing,
    planting_year,
    sun_chart,
    weather_year,
)
from plants.drawings.svg import LETTER_EM

SVG = "{http://www.w3.org/2000/svg}"
NASTY = "<b>&\"'</b> & Söhne"
Draw = Callable[[str], str]


def _care(prefix: str) -> str:
    return care_year(
        [
            Window(
                label=f"Prune {NASTY}",
                earliest=date(2026, 7, 1),
                best=date(2026, 7, 9),
                latest=date(2026, 8, 1),
            ),
            Window(
                label="Take out dead wood, look for deer, wind rock and lifted roots",
                earliest=date(2025, 11, 20),
                best=date(2026, 1, 20),
                latest=date(2026, 2, 28),
            ),
        ],
        start=date(2026, 1, 1),
        today=date(2026, 12, 31),
        closed=[
            Span(
                label="any cut, next year's flower buds are set",
                first=date(2026, 8, 15),
                last=date(2027, 3, 1),
            )
        ],
        bloom=[Span(label="In flower", first=date(2026, 6, 1), last=date(2026, 6, 30))],
        prefix=prefix,
    )


def _bloom(prefix: str) -> str:
    return bloom_calendar(
        [
            Bloom(
                label=NASTY,
                spans=((date(2026, 3, 1), date(2026, 4, 1)),),
                colour="#e0b83c",
            ),
            Bloom(label="Boxwood", spans=()),
        ],
        start=date(2026, 1, 1),
        today=date(2026, 1, 1),
        prefix=prefix,
    )


def _garden(prefix: str) -> str:
    best = Window(
        label=f"Prune {NASTY}",
        earliest=date(2025, 12, 1),
        best=date(2026, 1, 9),
        latest=date(2026, 2, 1),
    )
    return garden_year(
        [
            YearRow(
                label=f"12 A plant with a very long name that has to be broken {NASTY}",
                windows=[best],
                other=[best, best, best],
                closed=[Span(label="a", first=date(2026, 8, 1), last=date(2027, 3, 1))],
                bloom=[Span(label="b", first=date(2026, 6, 1), last=date(2026, 6, 2))],
            ),
            YearRow(label="13 Fern"),
        ],
        start=date(2026, 1, 1),
        today=date(2026, 12, 31),
        prefix=prefix,
        width=340,
    )


def _frost(prefix: str) -> str:
    first = date(2002, 3, 1)
    run = [(first + timedelta(days=at), max(1 - at / 60, 0)) for at in range(90)]
    curves = tuple(
        RiskCurve(label=f"{warmth} °F {NASTY}", days=tuple(run), told=f"10 % {NASTY}")
        for warmth in (36, 32, 28)
    )
    return frost_risk(
        [
            RiskPart(label=f"Spring {NASTY}", curves=curves),
            RiskPart(label="Autumn", curves=curves[:1]),
        ],
        prefix=prefix,
    )


def _weather(prefix: str) -> str:
    return weather_year(
        WeatherMonths(
            first_month=7,
            low=(-31.0, *range(-20, 2, 2)),
            high=(-20.0, *range(12, 34, 2)),
            rain=(0.0, *range(0, 220, 20)),
            warmth_unit="°C",
            rain_unit="mm",
        ),
        prefix=prefix,
    )


def _plan(prefix: str, seen_from: takeoff.SeenFrom, spacing_m: float) -> str:
    """Thirteen kinds, so that every sign is drawn and the first comes again."""
    layout = takeoff.lay_out(
        ((*((0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (2.0, 3.0), (2.0, 7.0), (0.0, 7.0)),),),
        [
            takeoff.Kind(
                key=str(number),
                label=f"{NASTY} {number}",
                spacing_m=spacing_m,
                height_m=2 / (number + 1),
                wanted=3,
            )
            for number in range(13)
        ],
        seen_from=seen_from,
    )
    return plan_svg(layout, seen_from=seen_from, north=30, prefix=prefix)


PLANTINGS = (
    PlanPlanting(number=1, label=NASTY, quantity=3, spread_m=Decimal("1.5")),
    PlanPlanting(number=12, label="Catmint", quantity=40),
)
DRAWINGS: dict[str, Draw] = {
    **{
        f"cut {kind} {buds}": lambda prefix, kind=kind, buds=buds: cut_drawing(
            kind, buds=buds, measure_words="12 in (30 cm)", prefix=prefix
        )
        for kind in CUTS
        for buds in (None, "opposite", "alternate", "whorled", "basal")
    },
    **{
        f"habit {habit} {evergreen}": lambda prefix, habit=habit, evergreen=evergreen: (
            habit_drawing(
                habit, evergreen=evergreen, bloom_colour="pink", prefix=prefix
            )
        )
        for habit in HABITS
        for evergreen in ("yes", "no", "semi", None)
    },
    **{
        f"habit {habit} without wood": lambda prefix, habit=habit: habit_drawing(
            habit, woody=False, evergreen="no", bloom_colour="blue", prefix=prefix
        )
        for habit in HABITS
    },
    "care year": _care,
    "care year, nothing": lambda prefix: care_year(
        [], start=date(2026, 1, 1), prefix=prefix
    ),
    "bloom": _bloom,
    "planting year": lambda prefix: planting_year(
        [
            Opening(verdict="wrong", first=date(2025, 12, 1), last=date(2026, 3, 9)),
            Opening(verdict="right", first=date(2026, 3, 10), last=date(2026, 5, 31)),
            Opening(verdict="bearable", first=date(2026, 6, 1), last=date(2026, 6, 2)),
            Opening(verdict="wrong", first=date(2026, 6, 3), last=date(2027, 2, 1)),
        ],
        start=date(2026, 1, 1),
        today=date(2026, 1, 1),
        prefix=prefix,
    ),
    "bloom, nothing": lambda prefix: bloom_calendar(
        [],
        start=date(2026, 1, 1),
        season=(date(2026, 3, 1), date(2026, 10, 31)),
        prefix=prefix,
    ),
    "garden year": _garden,
    "frost risk": _frost,
    "frost risk, nothing": lambda prefix: frost_risk(
        [RiskPart(label="Spring", curves=())], prefix=prefix
    ),
    "weather": _weather,
    "bed, rectangle": lambda prefix: bed_plan(
        Rectangle(length_m=Decimal("9.144"), width_m=Decimal("2.4384")),
        PLANTINGS,
        north=30,
        scale_words=NASTY,
        prefix=prefix,
    ),
    "bed, circle": lambda prefix: bed_plan(
        Circle(diameter_m=Decimal("3.6576")), PLANTINGS, prefix=prefix
    ),
    "bed, pieces": lambda prefix: bed_plan(
        Pieces(pieces=((Decimal(4), Decimal(2)), (Decimal("2.5"), Decimal("1.2")))),
        PLANTINGS,
        prefix=prefix,
    ),
    "bed, outline": lambda prefix: bed_plan(
        Outline(
            corners=tuple(
                (Decimal(x), Decimal(y))
                for x, y in ((0, 0), (6, 0), (6, 2), (3, 2), (3, 4), (0, 4))
            )
        ),
        PLANTINGS,
        prefix=prefix,
    ),
    "bed, long and empty": lambda prefix: bed_plan(
        Rectangle(length_m=Decimal(30), width_m=Decimal("0.5")), [], prefix=prefix
    ),
    **{
        f"planting plan from {side}, {spacing_m} m": (
            lambda prefix, side=side, spacing_m=spacing_m: _plan(
                prefix, side, spacing_m
            )
        )
        for side in takeoff.SeenFrom
        for spacing_m in (0.3, 1.1)
    },
    "sun": lambda prefix: sun_chart(
        [
            SunMonth(
                label="Jan",
                before_noon_h=4.6,
                after_noon_h=0.25,
                up_h=9.4,
                first_h=7.4,
                last_h=12.5,
            ),
            SunMonth(
                label="Feb",
                before_noon_h=0,
                after_noon_h=0,
                up_h=0,
                first_h=None,
                last_h=None,
            ),
            # Far in the north the sun sets after midnight.
            SunMonth(
                label="Jun",
                before_noon_h=12,
                after_noon_h=12,
                up_h=24,
                first_h=1.0,
                last_h=25.0,
            ),
        ],
        title=NASTY,
        prefix=prefix,
    ),
    "sketch": lambda prefix: bed_sketch(
        [((-3, -1), (3, -1), (3, 1), (-3, 1))],
        [
            SketchThing(letter="A", label=NASTY, points=((-1e6, 2), (1e6, 2))),
            SketchThing(letter="B", label="tree", points=((5, 5),), spread_m=4),
            SketchThing(letter="C", label="far tree", points=((90, 0),), spread_m=4),
        ],
        reach_m=9,
        shadows=[((4, 4), (6, 4), (60, 60)), ()],
        spots=[((0, 0), True), ((1, 0), False)],
        sun_from_deg=225,
        said=NASTY,
        prefix=prefix,
    ),
    "sketch, nothing around": lambda prefix: bed_sketch(
        [], [], reach_m=4, prefix=prefix
    ),
    "hours": lambda prefix: hours_against_capacity(
        [
            Load(label=NASTY, planned_h=Decimal("28.5"), capacity_h=Decimal(24)),
            Load(label="Tuesday", planned_h=Decimal(0), capacity_h=Decimal(0)),
        ],
        prefix=prefix,
    ),
    "quoted": lambda prefix: quoted_against_actual(
        [
            Compared(label=NASTY, quoted=Decimal(2500), actual=Decimal(3120)),
            Compared(label="Delivery", quoted=Decimal(120), actual=None),
        ],
        prefix=prefix,
    ),
}
every_drawing = pytest.mark.parametrize("name", sorted(DRAWINGS))


def drawn(name: str, prefix: str = "p") -> ElementTree.Element:
    return ElementTree.fromstring(DRAWINGS[name](prefix))  # noqa: S314


@every_drawing
def test_a_drawing_has_a_role_a_title_and_a_description(name: str) -> None:
    root = drawn(name)
    assert root.tag == f"{SVG}svg"
    assert root.get("role") == "img"
    title, desc = root[0], root[1]
    assert (title.tag, desc.tag) == (f"{SVG}title", f"{SVG}desc")
    assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert len((title.text or "").strip()) > 3
    assert len((desc.text or "").strip()) > 3


@every_drawing
def test_a_drawing_holds_no_style_script_link_or_handler(name: str) -> None:
    plain = {
        "svg", "title", "desc", "path", "line", "circle", "rect", "text",
    }  # fmt: skip
    for each in drawn(name).iter():
        assert each.tag.removeprefix(SVG) in plain
        for key in each.attrib:
            assert key != "style"
            assert "href" not in key
            assert not key.startswith("on")


@every_drawing
def test_colours_are_the_house_palette_and_each_carries_its_class(name: str) -> None:
    by_class = {"ink": "currentColor", "leaf": "#457338", "warn": "#a04a2a"}
    for each in drawn(name).iter():
        if each.tag == f"{SVG}svg":
            continue
        for part in ("line", "fill"):
            attribute = "stroke" if part == "line" else "fill"
            for colour, value in by_class.items():
                if each.get(attribute) == value:
                    assert each.get("class") == f"{colour}-{part}"


@every_drawing
def test_letters_stay_readable_at_the_width_of_a_phone(name: str) -> None:
    root = drawn(name)
    width = float((root.get("viewBox") or "").split()[2])
    for each in root.iter(f"{SVG}text"):
        size = float(each.get("font-size") or 0)
        assert size * min(1.0, 320 / width) >= 11


@every_drawing
def test_words_stay_inside_the_drawing(name: str) -> None:
    root = drawn(name)
    _, _, width, height = (float(n) for n in (root.get("viewBox") or "").split())
    for each in root.iter(f"{SVG}text"):
        size = float(each.get("font-size") or 0)
        long = len(each.text or "") * size * LETTER_EM
        x, y = float(each.get("x") or 0), float(each.get("y") or 0)
        left = x - {"middle": long / 2, "end": long}.get(
            each.get("text-anchor") or "", 0
        )
        assert left >= 0, each.text
        assert left + long <= width + 1, each.text
        assert size * 0.7 <= y <= height - size * 0.2, each.text


@every_drawing
def test_the_same_drawing_comes_out_the_same_each_time(name: str) -> None:
    assert DRAWINGS[name]("p") == DRAWINGS[name]("p")


@every_drawing
def test_two_prefixes_share_no_id(name: str) -> None:
    first = {each.get("id") for each in drawn(name, "a").iter()} - {None}
    second = {each.get("id") for each in drawn(name, "b").iter()} - {None}
    assert first == {"a-title", "a-desc"}
    assert second == {"b-title", "b-desc"}


def test_a_prefix_cannot_break_out_of_its_id() -> None:
    root = ElementTree.fromstring(  # noqa: S314
        habit_drawing("mound", prefix='7" onload="x')
    )
    assert root[0].get("id") == "d-7-onload-x-title"
    assert root.get("onload") is None


def test_words_from_people_are_escaped() -> None:
    text = DRAWINGS["hours"]("p")
    assert "<b>" not in text
    assert "&lt;b&gt;&amp;" in text
