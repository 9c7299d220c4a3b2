"""The page that makes a bed's soil right, and sizes on lines of quotes."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from firm.models import Entry
from jobs.queries.work.cautions import cautions_on
from plants.models import Bed
from tests import factories
from tests.conftest import StrictClient

pytestmark = pytest.mark.django_db

MIX = "native soil 60\ncompost 25\nsand 15"


def ask(client: StrictClient, bed: Bed, **asked: str) -> Any:
    return client.get(reverse("bed-soil", args=[bed.pk]), {"asked": "1", **asked})


def said(page: Any) -> str:
    return " ".join(page.content.decode().replace("&#x27;", "'").split())


def errors(page: Any) -> dict[str, list[str]]:
    return {name: list(told) for name, told in page.context["form"].errors.items()}


def test_the_page_begins_with_what_is_known_and_asks_for_the_rest(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(ph=Decimal("6.2"), texture="clay loam")
    factories.PlantingFactory(garden=bed.garden, bed=bed, count=3)
    page = owner_client.get(reverse("bed-soil", args=[bed.pk]))
    form = page.context["form"]
    assert [form[name].value() for name in ("soil", "texture", "stems")] == [
        "6.2",
        "clay loam",
        "3",
    ]
    assert form.missing == ["A plant, or the pH that is wanted."]
    assert form.ph is None
    unknown = owner_client.get(reverse("bed-soil", args=[factories.BedFactory().pk]))
    assert len(unknown.context["form"].missing) == 3


def test_a_plant_brings_the_ph_it_wants(owner_client: StrictClient) -> None:
    # 30 ft x 8 ft of loam from 7.5 to 6.5: 15 lb per 1,000 sq ft (handbook, page
    # read) on 240 sq ft are 3.6 lb.
    bed = factories.BedFactory(ph=Decimal("7.5"), texture="loam", is_lime_tested=True)
    factories.PlantFactory(key="sour-one", common="Sour one")
    url = reverse("bed-soil", args=[bed.pk])
    page = owner_client.get(url, {"plant": "sour-one"})
    answer = page.context["form"].ph
    assert (answer.wanted.words, answer.change.start, answer.change.target) == (
        "pH 5 to 6.5",
        Decimal("7.5"),
        Decimal("6.5"),
    )
    words = said(page)
    assert "For Sour one: pH 5 to 6.5" in words
    assert page.context["form"]["plant"].value().startswith("Sour one (")
    assert "3.6 lb of elemental sulfur" in words
    # Eight times as much iron sulfate (Royal Horticultural Society, page read).
    assert answer.iron == "28.8 lb"
    assert "The label on the bag comes first" in words


def test_a_range_off_a_strip_is_dosed_with_care_and_the_page_says_what_it_assumed(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory()
    page = ask(owner_client, bed, soil="about 7 and a half", wanted="5.5 to 6.5")
    change = page.context["form"].ph.change
    assert (change.start, change.target) == (Decimal("7.0"), Decimal("6.5"))
    assumed = " ".join(change.assumed)
    assert "reckoned as sand" in assumed
    assert "known as pH 7 to 8 only" in assumed
    assert "drop vinegar" in assumed
    assert "Assumed:" in said(page)


def test_a_soil_that_fizzes_is_refused_in_words(owner_client: StrictClient) -> None:
    page = ask(
        owner_client,
        factories.BedFactory(),
        soil="7.2",
        wanted="6",
        vinegar="fizzes",
        texture="loam",
    )
    assert "Not with a dose:" in said(page)
    assert page.context["form"].ph.change.doses == ()


def test_a_mix_of_any_parts_is_bought_in_the_cheaper_way(
    owner_client: StrictClient,
) -> None:
    # 160 cu ft; a quarter and 15 % more are 1.704 cu yd: 2 by halves, 90.00; 23 bags
    # of 2 cu ft cost 114.77.
    page = ask(
        owner_client,
        factories.BedFactory(),
        depth="8 in",
        parts="native soil 40\nleaf mould 25\ngrit 20\nloam: 15 %",
        settling="15",
        buys="Leaf mould",
        bag_size="2",
        bag_price="4.99",
        bulk_price="45",
        material="compost",
        payload="1500",
    )
    mix = page.context["form"].mix
    assert [part.portion.name for part in mix.parts] == [
        "native soil",
        "leaf mould",
        "grit",
        "loam",
    ]
    assert [(each.how, each.quantity, each.cost) for each in mix.buying.offers] == [
        ("bulk", Decimal("2.0"), Decimal("90.00")),
        ("bagged", Decimal(23), Decimal("114.77")),
    ]
    # Up to 1,600 lb a cubic yard (common practice): 2,726 lb, two loads of 1,500.
    assert mix.load.loads == 2
    assert "In bulk 2 cu yd, $90.00" in said(page)


def test_mulch_keeps_off_the_stems_and_above_four_inches_is_refused(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory()
    page = ask(owner_client, bed, mulch="3 in", stems="10", gap="3 in")
    assert round(page.context["form"].mulched.in_unit("cu ft"), 3) == Decimal("59.509")
    refused = ask(owner_client, bed, mulch="5 in")
    assert errors(refused) == {"mulch": ["Mulch deeper than 4 in smothers the roots."]}


def test_fertiliser_stops_at_the_years_ceiling_and_tells_of_the_law(
    owner_client: StrictClient,
) -> None:
    # 3 lb N of 10-10-10 are 30 lb per 1,000 sq ft, 7.2 lb on 240.
    bed = factories.BedFactory()
    page = ask(
        owner_client,
        bed,
        analysis="10-10-10",
        fed="evergreen",
        nitrogen="3",
        is_young="on",
    )
    assert page.context["form"].feeding.words.startswith("7.2 lb of 10-10-10 in all")
    assert "fertiliser law of the state" in said(page)
    assert "In the first season after planting" in said(page)
    refused = ask(
        owner_client, bed, analysis="10-10-10", fed="evergreen", nitrogen="3.5"
    )
    assert "more than the 3 lb per 1,000 sq ft" in errors(refused)["nitrogen"][0]


def test_a_metric_firm_types_and_reads_its_own_units(
    owner_client: StrictClient,
) -> None:
    factories.FirmFactory().__class__.objects.update(units="metric")
    page = ask(
        owner_client,
        factories.BedFactory(),
        analysis="10-10-10",
        nitrogen="4.88",
        liquid="1.2",
        fed="deciduous",
    )
    feeding = page.context["form"].feeding
    # 4.88 g N on a square metre are about one pound on 1,000 sq ft (arithmetic).
    assert round(feeding.n_lb_per_1000_sq_ft, 2) == Decimal("1.00")
    assert "L (" in feeding.words and "g per m²" in feeding.words


@pytest.mark.parametrize(
    ("asked", "field", "told"),
    [
        ({"soil": "sour"}, "soil", "is not read as a pH"),
        ({"soil": "6", "wanted": "15"}, "wanted", "between 3 and 10"),
        ({"plant": "no such thing"}, "plant", "not in the catalogue"),
        ({"depth": "8 in", "parts": "compost"}, "parts", "Line 1: write a name"),
        ({"depth": "8 in", "parts": "a 50\nb 40"}, "parts", "make 90 %, not 100 %"),
        ({"depth": "8 in", "parts": "a 50\na 50"}, "parts", "the same name"),
        ({"depth": "8 in", "parts": "a 100", "buys": "b"}, "parts", "no part of"),
        ({"depth": "-1 in", "parts": "a 100"}, "depth", "cannot be negative"),
        ({"analysis": "ten", "nitrogen": "1"}, "nitrogen", "not read as an analysis"),
        ({"cce": "5"}, "cce", "at least 20"),
        ({"bag_price": "-1"}, "bag_price", "at least 0"),
        ({"mulch": "3 in", "gap": "9 in", "stems": "1"}, "mulch", "between 1 in"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(
    asked: dict[str, str], field: str, told: str, owner_client: StrictClient
) -> None:
    page = ask(owner_client, factories.BedFactory(), **asked)
    assert page.status_code == 200
    assert list(errors(page)) == [field]
    assert told in errors(page)[field][0]


def test_the_page_writes_nothing(owner_client: StrictClient) -> None:
    bed = factories.BedFactory()
    before = Entry.objects.count()
    ask(owner_client, bed, soil="6", wanted="5", texture="loam")
    assert owner_client.post(reverse("bed-soil", args=[bed.pk])).status_code == 405
    bed.refresh_from_db()
    assert (Entry.objects.count(), bed.ph, bed.version) == (before, None, 1)


# --- sizes on quotes and in booking ------------------------------------------------


def test_a_size_on_the_line_decides_when_it_may_be_planted() -> None:
    # In May a container may go in, bare roots in leaf may not.
    garden = factories.GardenFactory()
    plant = factories.PlantFactory()
    line = factories.QuoteLineFactory(
        quote=factories.QuoteFactory(garden=garden),
        kind="plants",
        plant=plant,
        count_rule="typed",
        size_text="bare root",
    )
    job = factories.JobFactory(garden=garden, quote=line.quote, kind="planting")
    row = job.plants.create(plant=plant, count=1, quote_line=line)
    day = dt.date(2026, 5, 25)
    (caution,) = cautions_on(job=job, day=day)
    assert caution.needs_reason
    assert caution.words.startswith(f"{plant.common} (bare root): Bare roots cannot")
    type(line).objects.filter(pk=line.pk).update(size_text="#3")
    row.refresh_from_db()
    assert cautions_on(job=job, day=day) == []


@pytest.mark.parametrize(
    ("size", "description"),
    [("2 in balled", "{plant}, 2 in balled"), ("", "{plant}")],
)
def test_a_line_is_written_with_the_size_it_is_sold_in(
    size: str, description: str, owner_client: StrictClient
) -> None:
    quote = factories.QuoteFactory()
    plant = factories.PlantFactory()
    url = reverse("quote-line-new", args=[quote.pk, "plants"])
    sent = {
        "version": "1",
        "plant": str(plant),
        "size": size,
        "rule": "typed",
        "count": "2",
        "unit_cost": "10",
    }
    assert owner_client.post(url, sent).status_code == 302
    line = quote.lines.get()
    assert (line.size_text, line.description) == (
        size,
        description.format(plant=plant),
    )


def test_a_size_that_says_nothing_is_refused(owner_client: StrictClient) -> None:
    quote = factories.QuoteFactory()
    url = reverse("quote-line-new", args=[quote.pk, "plants"])
    page = owner_client.post(
        url,
        {
            "version": "1",
            "plant": str(factories.PlantFactory()),
            "size": "large",
            "rule": "typed",
            "count": "2",
            "unit_cost": "10",
        },
    )
    assert list(errors(page)) == ["size"]
    assert quote.lines.count() == 0
