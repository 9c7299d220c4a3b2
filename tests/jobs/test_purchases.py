"""What a week's planting jobs need, by supplier, all jobs together."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from jobs.actions.work import open_planting_job
from jobs.models import Job, JobPlant, Quote, Supplier, SupplierItem
from jobs.queries.purchases import PurchasePage, purchases
from plants.models import Plant
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW

pytestmark = pytest.mark.django_db
D = Decimal
# A Wednesday, and another day of its week.
DAY, SATURDAY = dt.date(2026, 4, 15), dt.date(2026, 4, 18)


@pytest.fixture
def aster() -> SupplierItem:
    """Plugs of an aster in flats of 32: 1.20 each, 0.90 from five flats."""
    plant = factories.PlantFactory(common="Wood aster")
    item: SupplierItem = SupplierItem.objects.create(
        supplier=Supplier.objects.create(name="Cold Spring Nursery", phone="555 0101"),
        key="aster",
        kind="plant",
        plant=plant,
        name="Wood aster",
        size_text="4 in pot",
        pack_quantity=32,
        unit="flat",
        price=D("38.40"),
        is_per_pack=True,
        breaks=[{"from": 5, "price": "28.80"}],
        available=150,
        priced_on=dt.date(2026, 1, 10),
    )
    return item


def booked(
    *lines: dict[str, Any], day: dt.date | None = DAY, addition_to: Job | None = None
) -> Job:
    """A booked planting job of an agreed quote with these lines."""
    quote: Quote = factories.QuoteFactory(
        state="agreed",
        offered_at=NOW,
        valid_until=dt.date(2026, 4, 30),
        addition_to=addition_to,
    )
    for line in lines:
        factories.QuoteLineFactory(quote=quote, **line)
    if addition_to is not None:
        return addition_to
    job = open_planting_job(quote=quote, now=NOW)
    Job.objects.filter(pk=job.pk).update(
        state="booked", day=day, crew=factories.CrewFactory()
    )
    return job


def plants(item: SupplierItem | None, plant: Plant, count: int) -> dict[str, Any]:
    return {
        "kind": "plants",
        "plant": plant,
        "count_rule": "typed",
        "description": plant.common,
        "quantity": D(count),
        "unit": "plants",
        "unit_cost": D("2.00"),
        "size_text": item.size_text if item else "#1",
        "supplier_item": item,
        "priced_on": item.priced_on if item else None,
    }


def week(day: dt.date = DAY) -> PurchasePage:
    return purchases(day=day, today=dt.date(2026, 4, 1))


def test_jobs_of_a_week_are_bought_together_in_whole_packs_at_their_break(
    aster: SupplierItem,
) -> None:
    assert aster.plant is not None
    first = booked(plants(aster, aster.plant, 70))
    second = booked(plants(aster, aster.plant, 69), day=SATURDAY)
    booked(plants(aster, aster.plant, 500), day=DAY + dt.timedelta(days=7))
    page = week()
    assert (page.monday, page.sunday) == (dt.date(2026, 4, 13), dt.date(2026, 4, 19))
    assert page.jobs == [first, second]
    (order,) = page.orders
    (row,) = order.rows
    assert order.supplier == aster.supplier
    assert [(need.job, need.quantity) for need in row.needs] == [
        (first, D(70)),
        (second, D(69)),
    ]
    # 139 plants are 5 flats of 32: 160, at 28.80 a flat.
    assert (row.quantity, row.packs, row.ordered) == (D(139), 5, D(160))
    assert row.cost == order.cost == page.cost == D("144.00")
    assert row.is_short
    assert row.priced_on is not None
    assert row.priced_on < page.oldest


def test_what_nobody_chose_a_supplier_for_stands_last_at_the_cost_of_the_quote(
    aster: SupplierItem,
) -> None:
    assert aster.plant is not None
    fern = factories.PlantFactory(common="Hay fern")
    mulch = {
        "kind": "mulch",
        "description": "Mulch for Bed A",
        "quantity": D("1.75"),
        "unit": "cu yd",
        "unit_cost": D("40.00"),
    }
    booked(plants(None, fern, 9), mulch, {"kind": "labour"}, {"kind": "delivery"})
    booked(plants(aster, aster.plant, 3))
    page = week()
    assert [order.supplier for order in page.orders] == [aster.supplier, None]
    assert [(row.name, row.quantity, row.cost) for row in page.orders[1].rows] == [
        ("Hay fern", D(9), D("18.00")),
        ("Mulch for Bed A", D("1.75"), D("70.00")),
    ]


def test_options_left_and_jobs_not_booked_are_not_bought(aster: SupplierItem) -> None:
    assert aster.plant is not None
    job = booked(plants(aster, aster.plant, 10))
    assert job.quote is not None
    option = job.quote.options.create(position=1, title="More", is_taken=False)
    factories.QuoteLineFactory(
        quote=job.quote,
        option=option,
        kind="other",
        description="A bench",
        quantity=1,
    )
    for state in ("to book", "finished", "called off"):
        other = booked(plants(aster, aster.plant, 99))
        Job.objects.filter(pk=other.pk).update(
            state=state, finished_at=NOW if state == "finished" else None
        )
    page = week()
    assert [row.quantity for order in page.orders for row in order.rows] == [D(10)]
    JobPlant.objects.filter(job=job).update(planting=factories.PlantingFactory())
    assert week().orders == []


def test_an_addition_and_another_plant_are_bought_as_they_stand(
    aster: SupplierItem,
) -> None:
    assert aster.plant is not None
    job = booked(plants(aster, aster.plant, 10))
    booked(
        {
            "kind": "other",
            "description": "Steel edging",
            "quantity": D(20),
            "unit": "ft",
            "unit_cost": D("3.00"),
        },
        addition_to=job,
    )
    row = job.plants.get()
    other = factories.PlantFactory(common="Foamflower")
    JobPlant.objects.filter(pk=row.pk).update(plant=other, size_text="#1", count=12)
    row.substitutions.create(
        job=job,
        from_plant=aster.plant,
        from_count=10,
        plant=other,
        count=12,
        unit_cost=D("7.00"),
        reason="not to be had",
        plants_cost=D("84.00"),
        plants_price=D("140.00"),
        cost=0,
        net=0,
        tax=0,
        gross=0,
        how="phone",
        name="Dana",
        agreed_on=DAY,
        recorded_by=factories.PersonFactory(),
        recorded_at=NOW,
    )
    (order,) = week().orders
    assert order.supplier is None
    assert [(each.name, each.size_text, each.cost) for each in order.rows] == [
        ("Foamflower", "#1", D("84.00")),
        ("Steel edging", "", D("60.00")),
    ]


@pytest.mark.parametrize("count", [1, 3])
def test_the_page_takes_the_same_queries_for_one_job_as_for_three(
    owner_client: StrictClient,
    django_assert_num_queries: Any,
    aster: SupplierItem,
    count: int,
) -> None:
    assert aster.plant is not None
    for _number in range(count):
        booked(plants(aster, aster.plant, 10))
    url = reverse("to-buy")
    with django_assert_num_queries(9):
        answer = owner_client.get(url, {"day": str(DAY)})
    assert len(answer.context["page"].jobs) == count
    assert b"Cold Spring Nursery" in answer.content
    assert b"needs anything" in owner_client.get(url).content
    assert owner_client.get(url, {"day": "0001-01-01"}).status_code == 404
