"""What plants and materials weigh, and the trips a truck makes of them."""

from decimal import Decimal

import pytest

from firm.units import Display, convert
from jobs.takeoff import TakeoffError
from jobs.takeoff.weights import (
    Weight,
    material_weight,
    plant_weight,
    truckload,
)

D = Decimal
US, METRIC = Display("us"), Display("metric")


def pounds(kilograms: Decimal) -> Decimal:
    return convert(kilograms, unit="kg", to="lb").quantize(D(1))


@pytest.mark.parametrize(
    ("size", "catalogue_lb"),
    [
        # Balls of a nursery's catalogue, lift planning only (copy): 24 in across 325,
        # 28 in 550, 32 in 750. Their depth is not printed; the standard's 60 % is used.
        ("24 in ball", 325),
        ("28 in ball", 550),
        ("32 in ball", 750),
    ],
)
def test_what_a_catalogue_prints_for_a_ball_lies_between_least_and_most(
    size: str, catalogue_lb: int
) -> None:
    weight = plant_weight(size)
    assert weight is not None
    assert pounds(weight.least_kg) < catalogue_lb < pounds(weight.most_kg)


def test_a_ball_of_24_inches_by_14_4_weighs_the_cylinder_at_100_pounds() -> None:
    # π / 4 x 2 ft x 2 ft x 1.2 ft = 3.770 cu ft (arithmetic).
    weight = plant_weight("24 in ball")
    assert weight is not None
    assert pounds(weight.most_kg) == 377
    assert pounds(weight.least_kg) == 294


def test_a_container_weighs_between_dry_bark_and_wet_loam() -> None:
    # 9.0 litres are 0.0091 m3 as one catalogue prints #3 (2.4 gal, copy).
    weight = plant_weight("#3")
    assert weight is not None
    assert (round(weight.least_kg, 2), round(weight.most_kg, 2)) == (
        D("5.45"),
        D("11.81"),
    )
    assert weight.times(10).most_kg == weight.most_kg * 10


@pytest.mark.parametrize("size", ["", "bare root", "a big one", "#4", "\0", "#99"])
def test_what_does_not_say_its_size_is_not_weighed(size: str) -> None:
    assert plant_weight(size) is None


@pytest.mark.parametrize(
    ("words", "least_lb", "most_lb"),
    [
        ("Mulch for North bed", 800, 1600),
        ("Wood chips", 1600, 1600),
        ("Compost for North bed", 2000, 3200),
        ("Sand for North bed", 5200, 6000),
        ("Soil mix", 2000, 5400),
        ("Topsoil, screened", 4000, 5400),
        ("Soil", 4000, 5400),
    ],
)
def test_two_cubic_yards_of_what_the_words_name(
    words: str, least_lb: int, most_lb: int
) -> None:
    weight = material_weight(words, quantity=D(2), unit="cu yd")
    assert weight is not None
    assert (pounds(weight.least_kg), pounds(weight.most_kg)) == (least_lb, most_lb)


def test_bags_and_unknown_things_are_not_weighed() -> None:
    assert material_weight("Mulch", quantity=D(8), unit="bags") is None
    assert material_weight("Edging of steel", quantity=D(8), unit="m³") is None


def test_a_load_over_the_payload_says_how_many_trips() -> None:
    items = [
        ("Mulch", Weight(least_kg=D(400), most_kg=D(800))),
        ("Bare roots", None),
        ("Tree", Weight(least_kg=D(200), most_kg=D(300))),
    ]
    found = truckload(items, payload_kg=D(1000), display=METRIC)
    assert found is not None
    assert found.trips == 2
    assert found.is_too_much
    assert found.unweighed == ("Bare roots",)
    assert found.words == (
        "About 600 kg to 1,100 kg, dry to wet: more than the 1,000 kg that the truck"
        " carries. Make 2 trips or have it delivered."
    )


def test_a_load_that_just_fits_is_one_trip() -> None:
    items = [("Mulch", Weight(least_kg=D(900), most_kg=D(1000)))]
    found = truckload(items, payload_kg=D(1000), display=METRIC)
    assert found is not None
    assert not found.is_too_much
    assert found.words == (
        "About 900 kg to 1,000 kg, dry to wet: one trip of a truck that carries"
        " 1,000 kg."
    )


def test_without_a_payload_only_the_weight_is_said() -> None:
    items = [("Mulch", Weight(least_kg=D(900), most_kg=D(1000)))]
    found = truckload(items, payload_kg=None, display=US)
    assert found is not None
    assert found.trips is None
    assert found.words == "About 1,984 lb to 2,205 lb, dry to wet."
    assert truckload([], payload_kg=None, display=US) is None
    with pytest.raises(TakeoffError):
        truckload(items, payload_kg=D(0), display=US)
