"""The take-off of a quote: every figure with its sum, typed over, taken into lines."""

from decimal import Decimal

import pytest
from django.urls import reverse

from firm.models import Entry, Firm
from jobs.actions.quotes import LineDetails, keep_lines, revise
from jobs.models import Overruled, Quote, QuoteLine
from jobs.queries.takeoff import Amount, takeoff_page
from plants.models import Bed
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW

pytestmark = pytest.mark.django_db


@pytest.fixture
def bed(owner_client: StrictClient) -> Bed:
    """A bed of 15 ft 6 in by 5 ft, 8 in deep, of loam at pH 7.2."""
    made: Bed = factories.BedFactory(
        name="Bed A",
        length_m=Decimal("4.7244"),
        width_m=Decimal("1.524"),
        texture="loam",
        ph=Decimal("5.5"),
        is_lime_tested=True,
    )
    return made


@pytest.fixture
def quote(bed: Bed) -> Quote:
    """Three balled trees and sixty plugs."""
    made: Quote = factories.QuoteFactory(garden=bed.garden)
    tree, plug = (factories.PlantFactory(common=name) for name in ("Oak", "Plug"))
    tree.overrides = {"kind": "tree", "ph": [6.0, 7.0]}
    plug.overrides = {"kind": "perennial", "ph": [5.0, 7.5]}
    for plant in (tree, plug):
        plant.save()
    factories.plants_line(
        quote=made, bed=bed, plant=tree, quantity=3, size_text="2 in balled"
    )
    factories.plants_line(
        quote=made, bed=bed, plant=plug, quantity=60, size_text="2 in plug"
    )
    factories.RuleFactory(group=plug.group, key="ring", task="stake")
    return made


def figures(quote: Quote, bed: Bed) -> dict[str, Amount]:
    """The amounts by what they are."""
    page = takeoff_page(quote_id=quote.pk)
    assert page is not None
    return {amount.key.removesuffix(f"-{bed.pk}"): amount for amount in page.amounts}


def send(
    browser: StrictClient, quote: Quote, name: str, *args: str, **typed: str
) -> str:
    """The page that a form of the take-off led to."""
    quote.refresh_from_db()
    answer = browser.post(
        reverse(name, args=[quote.pk, *args]),
        {"version": str(quote.version), **typed},
        follow=True,
    )
    return answer.content.decode()


SETTINGS = {
    "mulch": "2 in",
    "mulch_settling_percent": "0",
    "native_percent": "60",
    "compost_percent": "25",
    "sand_percent": "15",
    "settling_percent": "15",
    "hole_times": "2",
    "bulking_percent": "25",
    "spare_percent": "5",
    "edging_waste_percent": "5",
    **dict.fromkeys(
        ("has_mulch", "has_mix", "is_carted_away", "has_edging", "corrects_ph"), "on"
    ),
    **dict.fromkeys(("has_stakes", "has_bags", "is_slow"), "on"),
    "analysis": "10-10-10",
    "nitrogen": "1",
    "payload": "3000",
}


def test_every_figure_of_a_bed_stands_with_the_sum_that_made_it(
    owner_client: StrictClient, quote: Quote, bed: Bed
) -> None:
    send(owner_client, quote, "quote-takeoff", **SETTINGS)
    found = figures(quote, bed)
    # Botanic-garden column of a Chicago newspaper (2013, 2019, 2021; read): 77.5 sq ft,
    # 2 in: 12.92 cu ft exact. A ring of 3 in stays bare around each of three trunks.
    bare = 3 * Decimal("0.19635") * 2 / 12
    mulch = found["mulch"].figure
    assert mulch is not None
    assert round(mulch.in_unit("cu ft") + bare, 2) == Decimal("12.92")
    # Trunks of 2 in: balls of 24 in (ANSI Z60.1, memory), 60 % deep: 14.4 in. A hole
    # twice as wide: 3 x 15.080 cu ft (arithmetic), sixty plugs beside.
    holes = found["holes"].figure
    assert holes is not None
    assert holes.in_unit("cu ft") > Decimal("45.2")
    assert "3 × π × (24 in × 2 ÷ 2)² × 14.4 in deep" in found["holes"].steps[0]
    # 51.667 cu ft of mix, a quarter compost, ordered with 15 % more (arithmetic).
    compost = found["compost"].figure
    assert compost is not None
    assert round(compost.in_unit("cu ft"), 2) == Decimal("14.85")
    assert found["edging"].steps == ("41 ft around + 5 % = 43.05 ft",)
    # 1 lb of nitrogen from 10-10-10 is 10 lb per 1,000 sq ft (arithmetic).
    assert found["fertiliser"].computed == Decimal("0.775")
    assert any("first season" in note for note in found["fertiliser"].notes)
    assert [found[key].quantity for key in ("stakes", "ties", "bags", "rings")] == [
        6,
        6,
        3,
        60,
    ]
    plug = quote.lines.get(quantity=60).plant_id
    assert found[f"spares-{bed.pk}-{plug}"].quantity == 3
    assert "limestone" in found["ph"].steps[-1]
    assert found["disposal"].quantity == found["spoil"].quantity
    assert found["loads"].quantity == 2
    said = owner_client.get(reverse("quote-takeoff", args=[quote.pk])).content.decode()
    assert all(amount.title in said for amount in found.values())


def test_taking_twice_updates_and_never_doubles(
    owner_client: StrictClient, quote: Quote, bed: Bed
) -> None:
    send(owner_client, quote, "quote-takeoff", **SETTINGS)
    own = factories.QuoteLineFactory(quote=quote, position=40, description="My own")
    before = Entry.objects.count()
    send(owner_client, quote, "quote-takeoff-take")
    assert Entry.objects.count() == before + 1
    taken = quote.lines.filter(typed__has_key="takeoff")
    first = {line.typed["takeoff"]: line.pk for line in taken}
    assert {key.split("-")[0] for key in first} >= {"mulch", "compost", "sand", "ph"}
    mulch = quote.lines.get(kind="mulch")
    QuoteLine.objects.filter(pk=mulch.pk).update(unit_cost=Decimal(30))
    send(
        owner_client,
        quote,
        "quote-takeoff",
        **{**SETTINGS, "mulch": "4 in"},
    )
    send(
        owner_client,
        quote,
        "quote-takeoff",
        **{
            name: value
            for name, value in {**SETTINGS, "mulch": "4 in"}.items()
            if name != "has_edging"
        },
    )
    send(owner_client, quote, "quote-takeoff-take")
    again = {line.typed["takeoff"]: line.pk for line in taken.all()}
    assert set(first) - set(again) == {f"edging-{bed.pk}"}
    assert all(first[key] == pk for key, pk in again.items())
    doubled = quote.lines.get(pk=mulch.pk)
    assert doubled.quantity == pytest.approx(mulch.quantity * 2, abs=Decimal("0.002"))
    assert doubled.unit_cost == 30
    own_now = quote.lines.get(pk=own.pk)
    assert (own_now.description, own_now.quantity) == ("My own", 10)


def test_lines_written_or_changed_by_hand_are_left_alone(
    owner_client: StrictClient, quote: Quote, bed: Bed
) -> None:
    """Mulch that she wrote before is not doubled; sand that she changed stays hers."""
    factories.QuoteLineFactory(quote=quote, bed=bed, kind="mulch", position=50)
    send(owner_client, quote, "quote-takeoff-take")
    assert quote.lines.filter(kind="mulch").count() == 1
    line = quote.lines.get(typed__takeoff=f"stakes-{bed.pk}")
    quote.refresh_from_db()
    keep_lines(
        quote_id=quote.pk,
        version=quote.version,
        details=[
            LineDetails(
                kind="other",
                description="Long stakes",
                quantity=Decimal(9),
                unit="pieces",
                unit_cost=Decimal(4),
            )
        ],
        instead_of=[line.pk],
        by=factories.PersonFactory(),
        now=NOW,
    )
    send(owner_client, quote, "quote-takeoff-take")
    stakes = quote.lines.get(typed__takeoff=f"stakes-{bed.pk}")
    assert (stakes.description, stakes.quantity) == ("Long stakes", 9)
    assert "changed by hand" in figures(quote, bed)["stakes"].left_alone


def test_a_figure_is_typed_over_with_a_note_and_the_computed_one_stays(
    owner_client: StrictClient, quote: Quote, bed: Bed
) -> None:
    key = f"stakes-{bed.pk}"
    said = send(owner_client, quote, "quote-takeoff-figure", key, quantity="4", note="")
    assert "This field is required" in said
    assert not Overruled.objects.exists()
    send(
        owner_client,
        quote,
        "quote-takeoff-figure",
        key,
        quantity="4",
        note="one stands",
    )
    amount = figures(quote, bed)["stakes"]
    assert (amount.quantity, amount.computed) == (4, 6)
    send(owner_client, quote, "quote-takeoff-take")
    line = quote.lines.get(typed__takeoff=key)
    assert (line.quantity, line.computed_quantity) == (4, 6)
    assert "one stands" in line.formula
    Quote.objects.filter(pk=quote.pk).update(
        state="declined", offered_at=NOW, valid_until=NOW.date()
    )
    new = revise(quote_id=quote.pk, by=factories.PersonFactory(), now=NOW)
    assert figures(new, bed)["stakes"].quantity == 4
    send(owner_client, new, "quote-takeoff-figure", key, back="1")
    assert figures(new, bed)["stakes"].quantity == 6
    assert figures(quote, bed)["stakes"].quantity == 4
    refused = send(owner_client, quote, "quote-takeoff-take")
    assert "no longer a draft" in refused


def test_settings_that_cannot_be_stand_beside_their_fields(
    owner_client: StrictClient, quote: Quote
) -> None:
    said = send(
        owner_client,
        quote,
        "quote-takeoff",
        **{
            **SETTINGS,
            "mulch": "6 in",
            "sand_percent": "20",
            "hole_times": "9",
            "analysis": "ten",
        },
    )
    assert "it must be at most 4 in" in said
    assert "The parts of the mix make 105 %, not 100 %." in said
    assert "This must be at most 5." in said
    assert 'value="ten"' in said
    quote.refresh_from_db()
    assert quote.version == 1
    send(owner_client, quote, "quote-takeoff", **{**SETTINGS, "nitrogen": "9"})
    page = takeoff_page(quote_id=quote.pk)
    assert page is not None
    (feed,) = [each for each in page.amounts if each.key.startswith("fertiliser")]
    assert feed.figure is None
    assert "more than" in feed.refused


def test_a_metric_firm_reads_its_take_off_and_plan_in_metres(
    owner_client: StrictClient, quote: Quote, bed: Bed
) -> None:
    """4.7244 x 1.524 m at 7.5 cm: 0.540 m³, with a tenth more 0.592 (arithmetic)."""
    Firm.objects.update(units="metric")
    mulch = figures(quote, bed)["mulch"]
    assert mulch.unit == "m³"
    bare = 3 * Decimal("0.01824") * Decimal("0.075")
    assert mulch.figure is not None
    assert round(mulch.figure.value / Decimal("1.1") + bare, 3) == Decimal("0.540")
    assert "60.96 cm × 2 ÷ 2" in figures(quote, bed)["holes"].steps[0]
    said = send(
        owner_client,
        quote,
        "quote-plan",
        str(bed.pk),
        pattern="triangular",
        seen_from="front",
        arrangement="0",
        edge="20",
    )
    assert "A bed 4.72 m long and 1.52 m deep." in said
    assert quote.plans.get().edge_text == "20 cm"
