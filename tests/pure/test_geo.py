"""Positions and the distance between them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.geo import GeoError, Position, great_circle_km

D = Decimal
POSITIONS = st.builds(
    Position,
    lat=st.decimals(-90, 90, places=6),
    lon=st.decimals(-180, 180, places=6),
)


def at(lat: str, lon: str) -> Position:
    return Position(lat=D(lat), lon=D(lon))


@pytest.mark.parametrize(
    ("lat", "lon", "message"),
    [
        ("90.01", "0", "latitude lies between -90 and 90"),
        ("0", "-180.5", "longitude lies between -180 and 180"),
        ("NaN", "0", "latitude must be a decimal number"),
    ],
)
def test_a_position_off_the_globe_is_refused(lat, lon, message):
    assert at("-90", "180").lat == -90
    with pytest.raises(GeoError, match=message):
        at(lat, lon)


def test_pole_to_equator_is_a_quarter_of_the_meridian():
    # Arithmetic: pi / 2 times the IUGG mean radius 6371.0088 km.
    assert great_circle_km(at("90", "0"), at("0", "12")) == D("10007.557")


def test_a_published_flight_distance():
    # Aviation formulary (Williams), from memory: Los Angeles to New York
    # 33 57 N 118 24 W - 40 38 N 73 47 W is 0.623585 radians = 3972.865 km.
    start, end = at("33.95", "-118.4"), at("40.633333", "-73.783333")
    assert abs(great_circle_km(start, end) - D("3972.865")) < D("0.01")


def test_antipodes_are_half_the_globe_apart():
    assert great_circle_km(at("12", "0"), at("-12", "180")) == D("20015.114")


@given(POSITIONS, POSITIONS)
def test_the_way_back_is_as_long_as_the_way_there(start, end):
    there = great_circle_km(start, end)
    assert there == great_circle_km(end, start)
    assert 0 <= there <= D("20015.114")
    assert great_circle_km(start, start) == 0
