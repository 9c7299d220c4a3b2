"""Lengths as people write them, exact conversions and what a page shows."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.units import (
    Display,
    UnitError,
    celsius,
    convert,
    fahrenheit,
    parse_length,
    plain,
    round_figure,
    tabular,
)

D = Decimal
US, METRIC = Display("us"), Display("metric")


@pytest.mark.parametrize(
    ("text", "metres"),
    # Arithmetic on 1 in = 0.0254 m, exact since the agreement of 1959.
    [
        ("12 ft 6 in", "3.81"),
        ("12'6\"", "3.81"),
        ("12′ 6″", "3.81"),
        ("12’6”", "3.81"),
        ("12 ft. 6 in.", "3.81"),
        ("12 feet, 6 inches", "3.81"),
        ("12' 6", "3.81"),
        ("12FT6IN", "3.81"),
        ("12.5", "3.81"),
        ("12 1/2", "3.81"),
        ("12½ ft", "3.81"),
        ("7 1/2 in", "0.1905"),
        ("7-1/2 in", "0.1905"),
        ("1/64 in", "0.000396875"),
        ("12 ft 6 1/2 in", "3.8227"),
        ("1/3 yd", "0.3048"),
        ("2 yards 1 foot", "2.1336"),
        ("3.5 m", "3.5"),
        ("3,5 m", "3.5"),
        ("3.5 metres", "3.5"),
        ("3 m 20 cm", "3.2"),
        ("250 cm", "2.5"),
        ("1,234.5 ft", "376.2756"),
        ("1.234,5 cm", "12.345"),
        ("2,500.0 mm", "2.5"),
        ("0,125 m", "0.125"),
        ("1.234 m", "1.234"),
        (".5 m", "0.5"),
        ("0", "0"),
    ],
)
def test_a_length_is_read_as_written(text, metres):
    assert parse_length(text, default_unit="ft") == D(metres)


def test_a_bare_number_is_in_the_unit_of_its_field():
    found = [parse_length("8", default_unit=unit) for unit in ("in", "ft", "cm", "m")]
    assert found == [D("0.2032"), D("2.4384"), D("0.08"), D(8)]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "Write a length, like 12 ft."),
        ("banana", "write a number and a unit, like 12 ft 6 in or 3.5 m."),
        ("5 apples", "“apples” is not a unit of length."),
        ("5 minutes", "“minutes” is not a unit of length."),
        ("1e5 ft", "“e5 ft” is not a unit of length."),
        ("-3 ft", "a length cannot be negative."),
        ("−3 ft", "a length cannot be negative."),
        ("6 in 12 ft", "write the larger unit first and each unit once."),
        ("1 ft 2 ft", "write the larger unit first and each unit once."),
        ("3 m 20", "the last number has no unit."),
        ("3/0 in", "a fraction cannot be over zero."),
        ("1 3/2 in", "the fraction after a whole number must be below one."),
        ("1,234 ft", "1,234 can mean two numbers; write 1234 or 1.234."),
        ("1.2.3 ft", "1.2.3 is not a number."),
        ("9" * 61, "it is too long."),
        ("1001 m", "it must be at most 3,280.84 ft."),
    ],
)
def test_an_unreadable_length_says_what_is_wrong(text, message):
    with pytest.raises(UnitError) as caught:
        parse_length(text, default_unit="ft")
    assert message in str(caught.value)


def test_bounds_are_told_in_the_unit_of_the_field():
    bounds = {"minimum_m": D("0.0254"), "maximum_m": D("0.1016")}
    assert parse_length("4", default_unit="in", **bounds) == D("0.1016")
    with pytest.raises(UnitError, match="it must be at most 4 in"):
        parse_length("4.01", default_unit="in", **bounds)
    with pytest.raises(UnitError, match="it must be at least 1 in"):
        parse_length("0.99", default_unit="in", **bounds)
    with pytest.raises(UnitError, match="read from text"):
        parse_length(4, default_unit="in")
    with pytest.raises(UnitError, match="furlong is not a unit of length"):
        parse_length("4", default_unit="furlong")


@given(st.text(max_size=70) | st.text("0123456789.,/'\"-½ ftincmyd", max_size=20))
def test_any_text_is_read_or_refused_kindly(text):
    try:
        metres = parse_length(text, default_unit="ft")
    except UnitError as refusal:
        assert str(refusal)
    else:
        assert 0 <= metres <= 1000


@given(st.integers(0, 3000), st.integers(0, 11), st.integers(0, 63))
def test_feet_inches_and_parts_add_up_exactly(feet, inches, parts):
    text = f"{feet} ft {inches} {parts}/64 in"
    exact = feet * D("0.3048") + inches * D("0.0254") + parts * D("0.000396875")
    assert parse_length(text, default_unit="m") == exact


@pytest.mark.parametrize(
    ("value", "unit", "to", "found"),
    # Exact definitions: yard 0.9144 m, pound 0.45359237 kg, gallon 231 cu in.
    [
        ("1", "ft", "in", "12"),
        ("1", "mi", "m", "1609.344"),
        ("1", "acre", "sq ft", "43560"),
        ("1", "sq yd", "sq ft", "9"),
        ("1", "cu yd", "cu ft", "27"),
        ("1", "cu yd", "m³", "0.764554857984"),
        ("231", "cu in", "gal", "1"),
        ("1", "gal", "L", "3.785411784"),
        ("1", "lb", "oz", "16"),
        ("1", "short ton", "lb", "2000"),
        ("1", "t", "kg", "1000"),
        ("1", "ha", "m²", "10000"),
    ],
)
def test_units_turn_into_each_other_exactly(value, unit, to, found):
    assert convert(D(value), unit=unit, to=to) == D(found)


def test_an_area_does_not_turn_into_a_volume():
    with pytest.raises(UnitError, match="sq ft cannot be turned into cu ft"):
        convert(D(1), unit="sq ft", to="cu ft")


def test_temperatures_turn_both_ways():
    # Arithmetic: the scales meet at -40; water freezes at 32 and boils at 212.
    assert [celsius(D(f)) for f in (-40, 32, 212)] == [-40, 0, 100]
    assert [fahrenheit(D(c)) for c in (-40, 0, 100)] == [-40, 32, 212]


def test_figures_are_rounded_half_up():
    assert [tabular(D(value), places=2) for value in ("0.125", "1234.5", "-0.001")] == [
        "0.13",
        "1,234.50",
        "0.00",
    ]
    assert [plain(D(value), places=2) for value in ("12.50", "100", "0.125")] == [
        "12.5",
        "100",
        "0.13",
    ]
    with pytest.raises(UnitError):
        round_figure(D("NaN"), 2)


def test_the_same_bed_is_shown_in_both_systems():
    metres, area_m2, volume_m3 = D("9.144"), D("22.2967296"), D("4.53069554688")
    assert [US.length(metres), US.area(area_m2), US.volume(volume_m3)] == [
        "30.00 ft",
        "240.00 sq ft",
        "5.926 cu yd",
    ]
    assert [
        METRIC.length(metres),
        METRIC.area(area_m2),
        METRIC.volume(volume_m3),
    ] == ["9.14 m", "22.30 m²", "4.531 m³"]
    assert [US.depth(D("0.0762")), METRIC.depth(D("0.0762"))] == ["3 in", "7.6 cm"]
    assert [US.weight(D("100")), METRIC.weight(D("100"))] == ["220 lb", "100 kg"]
    assert [US.temperature(D("20")), METRIC.temperature(D("20"))] == ["68 °F", "20 °C"]


def test_a_firm_may_write_decimal_commas():
    display = Display("metric", decimal_mark=",", group_mark=".")
    assert display.area(D("1234.5")) == "1.234,50 m²"


def test_a_third_system_of_units_is_refused():
    with pytest.raises(UnitError, match="neither us nor metric"):
        Display("imperial")
