"""The planting plan of a bed in a quote."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from firm.actions.record import record
from firm.models import Person
from jobs.actions.quotes.lines import take_draft
from jobs.actions.quotes.refusals import NoSuchQuote
from jobs.models import BedPlan, Quote
from jobs.queries.takeoff.plans import layout_for
from jobs.takeoff import kept
from plants.models import Bed


@dataclass(frozen=True, kw_only=True)
class PlanDetails:
    """How the plants of a bed are to stand."""

    pattern: str
    seen_from: str
    edge_text: str = ""
    edge_m: Decimal | None = None
    row_gap_text: str = ""
    row_gap_m: Decimal | None = None
    arrangement: int = 0


@transaction.atomic
def lay_out_bed(
    *,
    quote_id: int,
    version: int,
    bed_id: int,
    details: PlanDetails,
    by: Person,
    now: dt.datetime,
) -> BedPlan:
    """The plan of the bed with the plants that the draft puts there, laid out anew.

    TakeoffError, when they cannot be set out, leaves the plan as it was.
    """
    quote = take_draft(quote_id=quote_id, version=version)
    bed = Bed.objects.filter(pk=bed_id, garden_id=quote.garden_id).first()
    if bed is None:
        raise NoSuchQuote
    layout = layout_for(
        quote=quote,
        bed=bed,
        pattern=details.pattern,
        seen_from=details.seen_from,
        edge_m=details.edge_m,
        row_gap_m=details.row_gap_m,
        arrangement=details.arrangement,
    )
    plan, _made = BedPlan.objects.update_or_create(
        quote=quote,
        bed=bed,
        defaults={**vars(details), "layout": kept(layout), "laid_out_at": now},
    )
    record(
        action="bed laid out",
        subject=quote,
        summary=f"{quote}: {bed.name}, {len(layout.places)} plants",
        now=now,
        by=by,
    )
    return plan


@transaction.atomic
def remove_plan(
    *, quote_id: int, version: int, bed_id: int, by: Person, now: dt.datetime
) -> Quote:
    """The draft without the plan of this bed."""
    quote = take_draft(quote_id=quote_id, version=version)
    plan = BedPlan.objects.filter(quote=quote, bed_id=bed_id).first()
    if plan is None:
        raise NoSuchQuote
    name = plan.bed.name
    plan.delete()
    record(
        action="plan of a bed removed",
        subject=quote,
        summary=f"{quote}: {name}",
        now=now,
        by=by,
    )
    return quote
