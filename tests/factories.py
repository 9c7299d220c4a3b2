"""Rows for tests, the least of each."""

import datetime as dt
import zlib
from decimal import Decimal
from typing import Any

import factory
from factory.django import DjangoModelFactory

from firm import models as firm
from jobs import models as jobs
from plants import models as plants

NOW = dt.datetime(2026, 3, 2, 15, 0, tzinfo=dt.UTC)
TODAY = dt.date(2026, 3, 2)
# An invented place in the hills; figures made up, in the range of such places.
HILL_FIGURES: dict[str, Any] = {
    "tmin_c": [-5, -4, 0, 5, 10, 15, 18, 17, 13, 7, 2, -3],
    "tmax_c": [6, 8, 13, 19, 24, 28, 30, 29, 26, 20, 14, 8],
    "rain_mm": [75, 70, 90, 90, 110, 105, 110, 95, 100, 85, 80, 85],
    "last_spring_frost": {"10": [5, 6], "50": [4, 22], "90": [4, 6]},
    "first_autumn_frost": {"10": [10, 6], "50": [10, 22], "90": [11, 6]},
    "lowest_c": -17.0,
    "method": "typed",
}


class FirmFactory(DjangoModelFactory):
    """The firm; the same row however often it is asked for."""

    class Meta:
        model = firm.Firm
        django_get_or_create = ("id",)

    id = 1
    name = "Fernhollow Gardens"
    address = "4 Mill Lane\nFernhollow"
    phone = "555 0100"
    email = "office@fernhollow.example"
    time_zone = "America/New_York"
    hour_price = Decimal("60.00")
    hour_cost = Decimal("38.00")
    set_up_at = NOW


class PersonFactory(DjangoModelFactory):
    """Somebody of the firm."""

    class Meta:
        model = firm.Person
        skip_postgeneration_save = True

    name = factory.Sequence(lambda n: f"Person {n:05d}")
    email = factory.Sequence(lambda n: f"person{n}@fernhollow.example")
    role = "owner"
    hour_cost = Decimal("30.00")
    password = "!"


class CrewFactory(DjangoModelFactory):
    """A crew."""

    class Meta:
        model = firm.Crew

    name = factory.Sequence(lambda n: f"Crew {n:05d}")


class CrewMemberFactory(DjangoModelFactory):
    """Somebody in a crew, since 2000."""

    class Meta:
        model = firm.CrewMember

    crew = factory.SubFactory(CrewFactory)
    person = factory.SubFactory(PersonFactory, role="crew")
    starts_on = dt.date(2000, 1, 1)


class ClientFactory(DjangoModelFactory):
    """A client."""

    class Meta:
        model = firm.Client

    name = factory.Sequence(lambda n: f"Client {n:05d}")
    billing_address = "9 Orchard Row\nFernhollow"


class ContactFactory(DjangoModelFactory):
    """The main contact of a client."""

    class Meta:
        model = firm.Contact

    client = factory.SubFactory(ClientFactory)
    name = "Dana Quill"
    email = "dana@quill.example"
    is_main = True


class TaxRateFactory(DjangoModelFactory):
    """A sales tax of 6 % since 2020."""

    class Meta:
        model = firm.TaxRate

    name = "Sales tax"
    percent = Decimal("6.000")
    valid_from = dt.date(2020, 1, 1)


class StationFactory(DjangoModelFactory):
    """The invented climate of Fernhollow."""

    class Meta:
        model = plants.Station
        django_get_or_create = ("name",)

    name = "Fernhollow"
    latitude = Decimal("38.60000")
    longitude = Decimal("-77.80000")
    figures = factory.LazyFunction(lambda: dict(HILL_FIGURES))


class GardenFactory(DjangoModelFactory):
    """A garden of a client."""

    class Meta:
        model = plants.Garden

    client = factory.SubFactory(ClientFactory)
    name = factory.Sequence(lambda n: f"Garden {n:05d}")
    address = "9 Orchard Row, Fernhollow"
    station = factory.SubFactory(StationFactory)


class BedFactory(DjangoModelFactory):
    """A bed of 30 ft by 8 ft, 8 in deep."""

    class Meta:
        model = plants.Bed

    garden = factory.SubFactory(GardenFactory)
    name = factory.Sequence(lambda n: f"Bed {n:05d}")
    shape = "rectangle"
    length_text = "30 ft"
    width_text = "8 ft"
    length_m = Decimal("9.144")
    width_m = Decimal("2.4384")
    depth_text = "8 in"
    depth_m = Decimal("0.2032")


class ShadeFactory(DjangoModelFactory):
    """A fence of 6 ft, 3 ft to the south of a bed."""

    class Meta:
        model = plants.Shade

    bed = factory.SubFactory(BedFactory)
    kind = "fence"
    side = "S"
    height_text = "6 ft"
    height_m = Decimal("1.8288")
    distance_text = "3 ft"
    distance_m = Decimal("0.9144")


class GroupFactory(DjangoModelFactory):
    """A group of the firm's own with the least the engine takes."""

    class Meta:
        model = plants.Group
        django_get_or_create = ("key",)

    key = "test-old-wood"
    name = "Old-wood shrub"
    kind = "shrub"
    layer = "firm"
    facts = factory.LazyAttribute(
        lambda group: {
            "key": group.key,
            "name": group.name,
            "kind": group.kind,
            "habit": "mound",
            "evergreen": "no",
            "buds": "opposite",
            "wood": "old",
            "bloom": {
                "months": [6, 7],
                "region": "mid-atlantic",
                "source": "common practice",
            },
            "light": {"best": ["part shade"], "bearable": ["part sun"]},
            "sun_hours": {"min": 3, "max": 6},
            "latest_sun": None,
            "ph": [5.0, 6.5],
            "moisture": ["moist"],
            "hardiness": [5, 9],
            "heat": None,
            "mature": {"height_m": 1.5, "width_m": 1.5},
            "spacing_m": 1.2,
            "growth": "medium",
            "toxicity": {
                "people": "unknown",
                "dogs": "toxic",
                "cats": "toxic",
                "horses": "unknown",
                "note": "",
                "source": "common practice",
            },
            "invasive": [],
            "planting": {},
            "sources": {},
        }
    )


class PlantFactory(DjangoModelFactory):
    """A plant of that group."""

    class Meta:
        model = plants.Plant

    key = factory.Sequence(lambda n: f"plant-{n:05d}")
    group = factory.SubFactory(GroupFactory)
    botanical = factory.Sequence(lambda n: f"Planta exempli {n:05d}")
    common = factory.Sequence(lambda n: f"Sample plant {n:05d}")
    layer = "firm"


def rule_spec(**changes: Any) -> dict[str, Any]:
    """The spec of a flower cut after bloom, with CHANGES."""
    return {
        "key": "cut-after-bloom",
        "task": "prune",
        "purpose": "flower",
        "window": {"anchor": "bloom_end", "earliest": -21, "best": -7, "latest": 7},
        "limits": {
            "share_removed_max": 0.33,
            "height_left_m": None,
            "cut": "just above a strong pair of buds",
        },
        "conditions": {"age_years_min": 2},
        "drawing": "above-pair",
        "minutes": 20,
        "how": "Shorten the stems that have flowered.",
        "where": "Just above a strong pair of buds.",
        "why": "Next year's flowers form on this year's wood.",
        "harm": "Cut later and the flowers of next year are lost.",
        "source": "common practice",
        **changes,
    }


class RuleFactory(DjangoModelFactory):
    """The flower cut after bloom."""

    class Meta:
        model = plants.Rule
        django_get_or_create = ("group", "layer", "key")

    group = factory.SubFactory(GroupFactory)
    layer = "firm"
    key = "cut-after-bloom"
    task = "prune"
    spec = factory.LazyFunction(rule_spec)


class ClosedSeasonFactory(DjangoModelFactory):
    """From bud set to bloom no shaping."""

    class Meta:
        model = plants.ClosedSeason
        django_get_or_create = ("group", "layer", "key")

    group = factory.SubFactory(GroupFactory)
    layer = "firm"
    key = "buds-are-set"
    spec = factory.LazyFunction(
        lambda: {
            "key": "buds-are-set",
            "tasks": ["prune", "shear", "thin", "cut down"],
            "from": {"anchor": "bud_set", "days": 0},
            "to": {"anchor": "bloom_start", "days": 0},
            "except_purposes": ["dead wood"],
            "why": "The flower buds of the coming bloom sit on the wood.",
            "source": "common practice",
        }
    )


class PlantingFactory(DjangoModelFactory):
    """Three of a plant, already in the ground."""

    class Meta:
        model = plants.Planting

    garden = factory.SubFactory(GardenFactory)
    plant = factory.SubFactory(PlantFactory)
    number = factory.Sequence(lambda n: n + 1)
    count = 3
    age_known = "known"
    age_years = 6
    age_on = TODAY


class QuoteFactory(DjangoModelFactory):
    """A quote being drafted."""

    class Meta:
        model = jobs.Quote

    garden = factory.SubFactory(GardenFactory)
    number = factory.Sequence(lambda n: f"Q-2026-{n + 5001:04d}")
    title = "New border"
    tax_name = "Sales tax"
    tax_percent = Decimal("6.000")


class QuoteLineFactory(DjangoModelFactory):
    """A line of a quote: ten hours at 60."""

    class Meta:
        model = jobs.QuoteLine

    quote = factory.SubFactory(QuoteFactory)
    position = factory.Sequence(lambda n: n + 1)
    kind = "labour"
    hours = factory.LazyAttribute(
        lambda row: row.quantity if row.kind == "labour" else Decimal(0)
    )
    description = "Planting"
    quantity = Decimal("10.000")
    unit = "h"
    unit_cost = Decimal("38.00")
    unit_price = Decimal("60.00")
    cost = Decimal("380.00")
    price = Decimal("600.00")


def somebody() -> Any:
    """The first person there is, else a new one."""
    return firm.Person.objects.order_by("id").first() or PersonFactory()


class SupplierFactory(DjangoModelFactory):
    """A nursery."""

    class Meta:
        model = jobs.Supplier

    name = factory.Sequence(lambda n: f"Alder Bank Nursery {n:04d}")


class SupplierItemFactory(DjangoModelFactory):
    """A shrub in a #3 container at 24.00, 21.50 from ten on."""

    class Meta:
        model = jobs.SupplierItem

    supplier = factory.SubFactory(SupplierFactory)
    key = factory.Sequence(lambda n: f"n:{n:04d}")
    kind = "plant"
    name = "Test shrub"
    size_text = "#3"
    size_class = "container"
    price = Decimal("24.00")
    breaks = factory.LazyFunction(lambda: [{"from": 10, "price": "21.50"}])
    priced_on = TODAY


class PriceListFactory(DjangoModelFactory):
    """A list that was read and waits to be taken: one item."""

    class Meta:
        model = jobs.PriceList

    supplier = factory.SubFactory(SupplierFactory)
    file_name = "spring.csv"
    content = zlib.compress(b"Name,Price\nTest shrub,24.00\n")
    priced_on = TODAY
    columns = factory.LazyFunction(
        lambda: {
            "heads": ["Name", "Price"],
            "sample": [["Test shrub", "24.00"]],
            "chosen": ["name", "price"],
        }
    )
    state = "preview"
    rows_read = 1
    uploaded_by = factory.LazyFunction(lambda: somebody())
    uploaded_at = NOW


def plants_line(*, quote: Any, bed: Any, **facts: Any) -> Any:
    """A line of ten plants, two feet apart, in a bed of the quote."""
    return QuoteLineFactory(
        quote=quote,
        bed=bed,
        **{
            "kind": "plants",
            "plant": facts.pop("plant", None) or PlantFactory(),
            "description": "Plants",
            "count_rule": "typed",
            "quantity": Decimal(10),
            "unit": "plants",
            "size_text": "#3",
            "spacing_text": "2 ft",
            "spacing_m": Decimal("0.6096"),
            **facts,
        },
    )


class JobFactory(DjangoModelFactory):
    """A single visit to book, at a fixed price."""

    class Meta:
        model = jobs.Job

    kind = "single"
    number = factory.Sequence(lambda n: f"J-2026-{n + 5001:04d}")
    garden = factory.SubFactory(GardenFactory)
    title = "Pruning call"
    price = Decimal("200.00")


class ContractFactory(DjangoModelFactory):
    """A care contract being drafted."""

    class Meta:
        model = jobs.Contract

    garden = factory.SubFactory(GardenFactory)
    number = factory.Sequence(lambda n: f"C-2026-{n + 5001:04d}")
    title = "Care of the garden"
    starts_on = dt.date(2026, 4, 1)
    ends_on = dt.date(2027, 3, 31)


class VisitFactory(DjangoModelFactory):
    """A planned visit of a single job."""

    class Meta:
        model = jobs.Visit

    kind = "single"
    job = factory.SubFactory(JobFactory)
    garden = factory.SelfAttribute("job.garden")
    title = "Pruning call"


class VisitTaskFactory(DjangoModelFactory):
    """An open task."""

    class Meta:
        model = jobs.VisitTask

    visit = factory.SubFactory(VisitFactory)
    task = "prune"
    title = "Prune"
    minutes = 30
