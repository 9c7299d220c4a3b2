"""Bagged or bulk, loads of a truck, and mulch that keeps off the stems."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.units import Display, convert, parse_length
from jobs.takeoff import (
    BagPrice,
    BulkPrice,
    Figure,
    Rectangle,
    TakeoffError,
    cheapest,
    load,
    mulch,
    soil_volume,
)

D = Decimal
US = Display("us")


def m(text: str) -> Decimal:
    return parse_length(text, default_unit="ft")


def border() -> Rectangle:
    return Rectangle(length_m=m("30 ft"), width_m=m("8 ft"))


def soil() -> Figure:
    """160 cu ft, 5.926 cu yd."""
    return soil_volume(border(), depth_m=m("8 in"), display=US)


BAG = BagPrice(size=D(2), unit="cu ft", price=D("4.49"))
BULK = BulkPrice(price=D(38), unit="cu yd", delivery=D(75))


def test_bulk_is_bought_in_steps_with_its_delivery() -> None:
    # 5.926 up to 6 by halves: 6 × 38 + 75 = 303; 80 bags at 4.49 are 359.20.
    found = cheapest(soil(), bag=BAG, bulk=BULK, display=US)
    assert [(each.how, each.quantity, each.cost) for each in found.offers] == [
        ("bulk", D("6.0"), D("303.00")),
        ("bagged", D(80), D("359.20")),
    ]
    assert found.saves == D("56.20")
    assert (
        found.best.formula
        == "5.926 cu yd, so 6 cu yd × 38.00 + 75.00 delivery = 303.00"
    )


def test_bags_are_cheaper_where_little_is_needed() -> None:
    # 240 sq ft at half an inch are 10 cu ft: 5 bags; bulk has a least amount of 3.
    little = soil_volume(border(), depth_m=m("1/2 in"), display=US)
    least = BulkPrice(price=D(38), unit="cu yd", minimum=D(3))
    found = cheapest(little, bag=BAG, bulk=least, display=US)
    assert [(each.how, each.quantity, each.cost) for each in found.offers] == [
        ("bagged", D(5), D("22.45")),
        ("bulk", D(3), D("114.00")),
    ]


def test_one_price_is_enough_and_none_is_refused() -> None:
    assert cheapest(soil(), bag=BAG, bulk=None, display=US).best.how == "bagged"
    only = cheapest(soil(), bag=None, bulk=BULK, display=US)
    assert (only.best.how, only.saves) == ("bulk", 0)
    with pytest.raises(TakeoffError, match="Give the price"):
        cheapest(soil(), bag=None, bulk=None, display=US)


@given(
    depth=st.decimals("0.01", "1", places=2),
    bag=st.decimals("0.5", "40", places=2),
    bulk=st.decimals("1", "300", places=2),
)
def test_what_is_bought_is_enough_and_the_first_is_never_dearer(
    depth: Decimal, bag: Decimal, bulk: Decimal
) -> None:
    needed = soil_volume(border(), depth_m=depth, display=US)
    found = cheapest(
        needed,
        bag=BagPrice(size=D(2), unit="cu ft", price=bag),
        bulk=BulkPrice(price=bulk, unit="cu yd"),
        display=US,
    )
    assert found.best.cost <= found.offers[-1].cost
    for each in found.offers:
        had = convert(each.quantity * 2, unit="cu ft", to="cu yd")
        had = had if each.how == "bagged" else each.quantity
        assert had + D("0.000001") >= needed.in_unit("cu yd")


def test_a_load_is_reckoned_by_the_heavier_figure() -> None:
    # Common practice: topsoil 2,000 to 2,700 lb a cubic yard; 160 cu ft weigh up to
    # 16,000 lb, four loads of 4,500 lb.
    found = load(
        soil(),
        material="topsoil",
        payload_kg=convert(D(4500), unit="lb", to="kg"),
        display=US,
    )
    assert round(convert(found.most_kg, unit="kg", to="lb")) == 16000
    assert found.loads == 4
    assert found.words.startswith("11,852 lb to 16,000 lb of topsoil: 4 loads")
    with pytest.raises(TakeoffError, match="not known"):
        load(soil(), material="feathers", payload_kg=D(1), display=US)
    with pytest.raises(TakeoffError, match="carry something"):
        load(soil(), material="sand", payload_kg=D(0), display=US)


def test_mulch_stays_off_the_stems() -> None:
    # 240 sq ft less 10 rings of π 0.25² = 1.963 sq ft, a quarter of a foot deep.
    whole = mulch(border(), depth_m=m("3 in"), display=US)
    kept = mulch(border(), depth_m=m("3 in"), stems=10, display=US)
    assert round(whole.in_unit("cu ft") - kept.in_unit("cu ft"), 3) == D("0.491")
    assert "10 × π × (3 in)²" in kept.formula
    for gap in ("1/2 in", "7 in"):
        with pytest.raises(TakeoffError, match="between 1 in and 6 in"):
            mulch(border(), depth_m=m("3 in"), stems=1, gap_m=m(gap), display=US)
    with pytest.raises(TakeoffError, match="no ground"):
        mulch(border(), depth_m=m("3 in"), stems=5000, display=US)
