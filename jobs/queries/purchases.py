"""What a week's planting jobs need, by supplier, all jobs together."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Q

from firm.money import to_cents
from firm.queries import firm_or_blank
from jobs.enums import JobKind, JobState, LineKind, OfferState
from jobs.models import Job, JobPlant, QuoteLine, Supplier, SupplierItem
from jobs.queries.quote_prices import COUNTED
from jobs.queries.week import monday_of
from plants.models import Plant

BOUGHT = (LineKind.SOIL, LineKind.MULCH, LineKind.OTHER)
DAYS = 7


@dataclass(frozen=True, kw_only=True)
class Need:
    """So much of one thing for one job."""

    job: Job
    quantity: Decimal


@dataclass(frozen=True, kw_only=True)
class Purchase:
    """One thing to buy for the week: how much, in which size, at which price.

    ITEM is what its supplier sells; without one the cost of the quote stands.
    """

    name: str
    botanical: str
    size_text: str
    unit: str
    item: SupplierItem | None
    needs: Sequence[Need]
    unit_cost: Decimal
    priced_on: dt.date | None

    @property
    def quantity(self) -> Decimal:
        """What all jobs need together."""
        return sum((need.quantity for need in self.needs), Decimal(0))

    @property
    def packs(self) -> int:
        """Whole packs to order; 0 where it is sold singly."""
        if self.item is None or self.item.pack_quantity == 1:
            return 0
        return self.item.packs_for(self.quantity)

    @property
    def ordered(self) -> Decimal:
        """What is ordered: the need, filled up to whole packs."""
        if self.item is None or not self.packs:
            return self.quantity
        return Decimal(self.packs * self.item.pack_quantity)

    @property
    def each(self) -> Decimal:
        """What one costs, at the break that all jobs together reach."""
        if self.item is None:
            return self.unit_cost
        return self.item.price_each(self.ordered)

    @property
    def cost(self) -> Decimal:
        """What the order comes to."""
        return to_cents(self.ordered * self.each)

    @property
    def is_short(self) -> bool:
        """Whether the supplier's list says that there are fewer."""
        known = self.item.available if self.item else None
        return known is not None and known < self.ordered

    @property
    def is_unlisted(self) -> bool:
        """Whether the latest list no longer has it."""
        return self.item is not None and not self.item.is_listed


@dataclass(frozen=True, kw_only=True)
class Order:
    """What is bought of one supplier; None: nobody chose where to buy it."""

    supplier: Supplier | None
    rows: Sequence[Purchase]

    @property
    def cost(self) -> Decimal:
        """What all of it comes to, deliveries apart."""
        return sum((row.cost for row in self.rows), Decimal(0))


@dataclass(frozen=True, kw_only=True)
class PurchasePage:
    """The week's orders, the jobs they are for, and how old a price may be."""

    monday: dt.date
    jobs: Sequence[Job]
    orders: Sequence[Order]
    oldest: dt.date

    @property
    def sunday(self) -> dt.date:
        """The week's last day."""
        return self.monday + dt.timedelta(days=DAYS - 1)

    @property
    def before(self) -> dt.date:
        """The Monday before."""
        return self.monday - dt.timedelta(days=DAYS)

    @property
    def after(self) -> dt.date:
        """The Monday after."""
        return self.monday + dt.timedelta(days=DAYS)

    @property
    def cost(self) -> Decimal:
        """What all orders come to."""
        return sum((order.cost for order in self.orders), Decimal(0))


def purchases(*, day: dt.date, today: dt.date) -> PurchasePage:
    """What the planting jobs booked in the week of DAY need, in six queries.

    Plants as they stand in the jobs, substitutions and additions among them; materials
    as they were agreed to.
    """
    monday = monday_of(day)
    jobs = list(
        Job.objects.filter(
            kind=JobKind.PLANTING,
            state__in=[JobState.BOOKED, JobState.UNDER_WAY],
            day__gte=monday,
            day__lt=monday + dt.timedelta(days=DAYS),
        )
        .select_related("garden")
        .order_by("day", "id")
    )
    by_pk = {job.pk: job for job in jobs}
    found: dict[tuple[object, ...], _Gathered] = {}
    for plant in (
        JobPlant.objects.filter(job__in=by_pk, planting__isnull=True)
        .select_related(
            "plant", "supplier_item__supplier", "quote_line__supplier_item__supplier"
        )
        .prefetch_related("substitutions")
        .order_by("job__day", "id")
    ):
        _take_plant(found, plant, by_pk[plant.job_id])
    for line in (
        QuoteLine.objects.filter(COUNTED, kind__in=BOUGHT)
        .filter(
            Q(quote__job__in=by_pk)
            | Q(quote__addition_to__in=by_pk, quote__state=OfferState.AGREED)
        )
        .select_related("quote__job", "supplier_item__supplier")
        .order_by("quote_id", "position", "id")
    ):
        job_id = line.quote.addition_to_id or line.quote.job.pk
        _take_line(found, line, by_pk[job_id])
    orders: dict[int | None, list[Purchase]] = {}
    suppliers: dict[int | None, Supplier | None] = {None: None}
    for gathered in found.values():
        row = gathered.row()
        supplier = row.item.supplier if row.item else None
        key = supplier.pk if supplier else None
        suppliers[key] = supplier
        orders.setdefault(key, []).append(row)
    age = dt.timedelta(days=firm_or_blank().price_age_days)
    return PurchasePage(
        monday=monday,
        jobs=jobs,
        orders=[
            Order(
                supplier=suppliers[key],
                rows=sorted(rows, key=lambda row: (row.name.casefold(), row.size_text)),
            )
            for key, rows in sorted(
                orders.items(),
                key=lambda pair: (
                    pair[0] is None,
                    str(suppliers[pair[0]]).casefold(),
                ),
            )
        ],
        oldest=today - age,
    )


@dataclass(kw_only=True)
class _Gathered:
    """One thing while its needs are gathered."""

    name: str
    botanical: str
    size_text: str
    unit: str
    item: SupplierItem | None
    unit_cost: Decimal
    priced_on: dt.date | None
    needs: list[Need]

    def row(self) -> Purchase:
        return Purchase(**vars(self))


def _take_plant(
    found: dict[tuple[object, ...], _Gathered], row: JobPlant, job: Job
) -> None:
    line = row.quote_line
    item = row.supplier_item
    if item is None and line is not None and not row.substitutions.all():
        item = line.supplier_item
    plant: Plant = row.plant
    changes = sorted(row.substitutions.all(), key=lambda each: each.pk)
    if changes:
        cost = changes[-1].unit_cost
    else:
        cost = line.unit_cost if line else Decimal(0)
    key = ("plant", item.pk if item else None, plant.pk, row.size_now, cost)
    gathered = found.setdefault(
        key,
        _Gathered(
            name=plant.common,
            botanical=plant.botanical,
            size_text=row.size_now,
            unit="plants",
            item=item,
            unit_cost=cost,
            priced_on=item.priced_on if item else None,
            needs=[],
        ),
    )
    gathered.needs.append(Need(job=job, quantity=Decimal(row.count)))


def _take_line(
    found: dict[tuple[object, ...], _Gathered], line: QuoteLine, job: Job
) -> None:
    item = line.supplier_item
    # What no supplier sells is bought as its line says; a bed's name in it keeps two
    # beds apart, which the yard has to know.
    key = ("line", item.pk if item else line.description, line.unit, line.unit_cost)
    gathered = found.setdefault(
        key,
        _Gathered(
            name=item.name if item else line.description,
            botanical="",
            size_text=item.size_text if item else line.size_text,
            unit=line.unit,
            item=item,
            unit_cost=line.unit_cost,
            priced_on=item.priced_on if item else None,
            needs=[],
        ),
    )
    gathered.needs.append(Need(job=job, quantity=line.quantity))
