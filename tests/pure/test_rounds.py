"""A crew's day: order, load and hours against capacity."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.rounds import (
    Hours,
    LoadItem,
    RoundError,
    Stop,
    capacity_words,
    in_order,
    load_list,
    planned_hours,
)

D = Decimal


def test_stops_stand_in_the_order_typed_and_the_rest_after():
    stops = [
        Stop(key=4, place=None),
        Stop(key=3, place=2),
        Stop(key=1, place=None),
        Stop(key=9, place=1),
        Stop(key=2, place=2),
        Stop(key=8, place=0),
    ]
    assert [stop.key for stop in in_order(stops)] == [8, 9, 2, 3, 1, 4]


@given(st.permutations([Stop(key=n, place=n % 3 or None) for n in range(8)]))
def test_the_order_does_not_depend_on_how_the_rows_came(stops):
    assert [stop.key for stop in in_order(stops)] == [1, 4, 7, 2, 5, 0, 3, 6]


def test_the_load_is_added_up_and_tools_are_named_once():
    stops = [
        Stop(
            key=1,
            place=1,
            load=(
                LoadItem(what="Mulch", quantity=D("1.5"), unit="cu yd"),
                LoadItem(what="shears"),
            ),
        ),
        Stop(
            key=2,
            place=2,
            load=(
                LoadItem(what="shears"),
                LoadItem(what="Mulch", quantity=D("0.75"), unit="cu yd"),
                LoadItem(what="Mulch", quantity=D(4), unit="bags"),
                LoadItem(what="compost", quantity=D(2), unit="bags"),
            ),
        ),
    ]
    assert load_list(stops) == (
        LoadItem(what="compost", quantity=D(2), unit="bags"),
        LoadItem(what="Mulch", quantity=D(4), unit="bags"),
        LoadItem(what="Mulch", quantity=D("2.25"), unit="cu yd"),
        LoadItem(what="shears"),
    )
    assert load_list([]) == ()


def test_an_item_once_without_and_once_with_a_quantity_keeps_the_quantity():
    plain = Stop(key=1, place=1, load=(LoadItem(what="stakes"),))
    counted = Stop(key=2, place=2, load=(LoadItem(what="stakes", quantity=D(3)),))
    expected = (LoadItem(what="stakes", quantity=D(3)),)
    assert load_list([plain, counted]) == load_list([counted, plain]) == expected


@pytest.mark.parametrize(
    ("planned", "capacity", "words"),
    [
        ("7.5", "16", "7.5 of 16 h"),
        ("16.00", "16", "16 of 16 h"),
        ("17.5", "16", "17.5 of 16 h, over-full by 1.5 h"),
        ("0", "0", "0 of 0 h"),
        ("2.25", "0", "2.25 of 0 h, over-full by 2.25 h"),
    ],
)
def test_hours_against_capacity_are_said_in_words(planned, capacity, words):
    assert capacity_words(planned_h=D(planned), capacity_h=D(capacity)) == words


def test_hours_know_what_is_over_and_what_is_free():
    full = Hours(planned_h=D("17.5"), capacity_h=D(16))
    assert (full.over_h, full.free_h) == (D("1.5"), 0)
    loose = Hours(planned_h=D("7.5"), capacity_h=D(16))
    assert (loose.over_h, loose.free_h) == (0, D("8.5"))
    with pytest.raises(RoundError, match="Hours cannot be negative"):
        Hours(planned_h=D(-1), capacity_h=D(8))


def test_the_hours_of_a_round_are_those_of_its_stops():
    stops = [Stop(key=1, place=1, planned_h=D("1.25")), Stop(key=2, place=2)]
    assert planned_hours(stops) == D("1.25")


def test_weights_are_summed_and_one_unknown_weight_leaves_the_sum_unknown() -> None:
    mulch = LoadItem(
        what="Mulch", quantity=D(1), unit="cu yd", least_kg=D(180), most_kg=D(360)
    )
    blind = LoadItem(what="Mulch", quantity=D(2), unit="cu yd")
    first, second = (
        Stop(key=key, place=key, load=(item,)) for key, item in ((1, mulch), (2, mulch))
    )
    assert load_list([first, second]) == (
        LoadItem(
            what="Mulch", quantity=D(2), unit="cu yd", least_kg=D(360), most_kg=D(720)
        ),
    )
    third = Stop(key=3, place=3, load=(blind,))
    assert load_list([first, third]) == load_list([third, first])
    assert load_list([first, third]) == (
        LoadItem(what="Mulch", quantity=D(3), unit="cu yd"),
    )
