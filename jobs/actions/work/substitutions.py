"""Another plant, size or number than was agreed, with the client's consent."""

import datetime as dt
import uuid
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Person
from firm.money import to_cents
from jobs.actions.work.booking import OPEN, refusal
from jobs.actions.work.refusals import NoSuchJob, WorkRefused
from jobs.actions.work.visits import rewrite_planting_task
from jobs.enums import ConsentHow, LineKind, VisitState
from jobs.models import Job, JobPlant, QuoteLine, Substitution, SupplierItem, Visit
from jobs.pricing import PricingError, price_line
from jobs.queries.quote_prices import money_places, way_of
from jobs.queries.work.cautions import firm_day
from plants.models import Plant

LARGEST = Decimal(1_000_000_000)


class PlantedAlready(WorkRefused):
    """The plant is in the ground, so nothing takes its place any more."""

    def __init__(self) -> None:
        super().__init__(_("This plant is already recorded as planted."))


class NothingChanges(WorkRefused):
    """Plant, size, number and cost are what they were."""

    field = "plant"

    def __init__(self) -> None:
        super().__init__(_("Nothing is different from what is planned."))


class ConsentToCome(WorkRefused):
    """The day of the yes lies in the future."""

    field = "agreed_on"

    def __init__(self) -> None:
        super().__init__(_("The client cannot have said yes on a day to come."))


class DoesNotPrice(WorkRefused):
    """The cost comes to no price that can be kept."""

    field = "unit_cost"


@dataclass(frozen=True, kw_only=True)
class Instead:
    """What is planted instead, at which cost; KEEPS_PRICE: the client pays the same."""

    plant: Plant
    size_text: str
    count: int
    unit_cost: Decimal
    supplier_item: SupplierItem | None
    reason: str
    keeps_price: bool


@dataclass(frozen=True, kw_only=True)
class Consent:
    """Who said yes to it, how and when."""

    how: ConsentHow
    name: str
    agreed_on: dt.date
    note: str


@dataclass(frozen=True, kw_only=True)
class Repriced:
    """What a row's plants cost and sell at, and what that changes for both sides."""

    cost: Decimal
    price: Decimal
    cost_change: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    line: QuoteLine


def reprice(*, row: JobPlant, instead: Instead) -> Repriced:
    """INSTEAD priced in the way of the agreed quote; nothing is written.

    The tax of the difference is that of the agreed line, in its rate.
    """
    line = row.quote_line
    if line is None:
        raise NoSuchJob
    last = row.substitutions.order_by("-id").first()
    before_cost, before_price = (
        (last.plants_cost, last.plants_price) if last else (line.cost, line.price)
    )
    places = money_places()
    try:
        figures = price_line(
            kind=LineKind.PLANTS,
            quantity=Decimal(instead.count),
            unit_cost=instead.unit_cost,
            way=way_of(line.quote),
            places=places,
        )
    except PricingError as error:
        raise DoesNotPrice(str(error)) from error
    price = before_price if instead.keeps_price else figures.price
    if max(price, figures.cost) >= LARGEST:
        raise DoesNotPrice(_("This comes to more than a job can hold."))
    net = price - before_price
    tax = to_cents(net * line.tax_percent / 100, places=places)
    return Repriced(
        cost=figures.cost,
        price=price,
        cost_change=figures.cost - before_cost,
        net=net,
        tax=tax,
        gross=net + tax,
        line=line,
    )


@transaction.atomic
def substitute(
    *,
    job_plant_id: int,
    version: int,
    instead: Instead,
    consent: Consent,
    key: uuid.UUID,
    by: Person,
    now: dt.datetime,
) -> Substitution:
    """The job with another plant in its row, repriced, as the client agreed to it.

    The same KEY finds what was kept before.
    """
    there = Substitution.objects.filter(key=key).first()
    if there is not None:
        return there
    if consent.agreed_on > firm_day(now):
        raise ConsentToCome
    row = (
        JobPlant.objects.select_related("plant", "quote_line__quote", "job")
        .filter(pk=job_plant_id, quote_line__isnull=False)
        .first()
    )
    if row is None:
        raise NoSuchJob
    if row.planting_id is not None:
        raise PlantedAlready
    new = reprice(row=row, instead=instead)
    if (
        row.plant_id == instead.plant.pk
        and row.size_now == instead.size_text
        and row.count == instead.count
        and not new.cost_change
        and not new.net
    ):
        raise NothingChanges
    changed = Job.objects.filter(
        pk=row.job_id, version=version, state__in=OPEN, price__isnull=False
    ).update(
        planned_cost=F("planned_cost") + new.cost_change,
        price=F("price") + new.net,
        version=F("version") + 1,
    )
    if changed != 1:
        raise refusal(job_id=row.job_id, states=OPEN)
    kept = Substitution.objects.create(
        job_id=row.job_id,
        job_plant=row,
        from_plant=row.plant,
        from_size_text=row.size_now,
        from_count=row.count,
        plant=instead.plant,
        size_text=instead.size_text,
        count=instead.count,
        unit_cost=instead.unit_cost,
        supplier_item=instead.supplier_item,
        reason=instead.reason,
        plants_cost=new.cost,
        plants_price=new.price,
        cost=new.cost_change,
        taxes=[
            {
                "category": new.line.tax_category,
                "name": new.line.tax_name,
                "percent": str(new.line.tax_percent),
                "net": str(new.net),
                "tax": str(new.tax),
            }
        ],
        net=new.net,
        tax=new.tax,
        gross=new.gross,
        how=consent.how,
        name=consent.name,
        agreed_on=consent.agreed_on,
        note=consent.note,
        recorded_by=by,
        recorded_at=now,
        key=key,
    )
    moved = JobPlant.objects.filter(pk=row.pk, planting__isnull=True).update(
        plant=instead.plant,
        count=instead.count,
        size_text=instead.size_text,
        supplier_item=instead.supplier_item,
    )
    if moved != 1:
        raise PlantedAlready
    for visit in Visit.objects.filter(
        job_id=row.job_id, state__in=[VisitState.PLANNED, VisitState.UNDER_WAY]
    ).order_by("id"):
        rewrite_planting_task(visit=visit, job=row.job, job_plant_id=row.pk)
    record(
        action="plant substituted",
        subject=row.job,
        summary=(
            f"{row.job}: {instead.count} x {instead.plant.common} instead of"
            f" {kept.from_count} x {kept.from_plant.common}, agreed by {consent.name}"
        ),
        now=now,
        by=by,
    )
    return kept
