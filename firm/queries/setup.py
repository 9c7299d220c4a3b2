"""Whether the firm is set up, and what its settings pages list."""

from dataclasses import dataclass

from django.conf import settings
from django.db.models import F
from django_stubs_ext import StrOrPromise

from firm.models import (
    Counter,
    CrewMember,
    Firm,
    LabourRate,
    Person,
    TaxRate,
    TaxRegion,
)
from firm.registry import registry


@dataclass(frozen=True)
class Step:
    """One of the first steps of a new firm, done or not."""

    words: StrOrPromise
    url_name: str
    is_done: bool


def is_set_up() -> bool:
    """True once there is a firm or an owner; then no stranger may become the owner."""
    return (
        Firm.objects.filter(pk=1).exists()
        or Person.objects.filter(role="owner").exists()
    )


def tax_rates() -> list[TaxRate]:
    """Every rate of the sales tax by place and category, the latest first."""
    return list(
        TaxRate.objects.select_related("region").order_by(
            F("region__name").asc(nulls_first=True), "-category", "-valid_from", "id"
        )
    )


def tax_rate(*, rate_id: int) -> TaxRate | None:
    """One rate; None if there is none."""
    return TaxRate.objects.select_related("region").filter(pk=rate_id).first()


def tax_regions() -> list[TaxRegion]:
    """The places with a tax of their own, by name."""
    return list(TaxRegion.objects.order_by("name", "id"))


def tax_region(*, region_id: int) -> TaxRegion | None:
    """One of these places; None if there is none."""
    return TaxRegion.objects.filter(pk=region_id).first()


def labour_rates() -> list[LabourRate]:
    """What an hour of each kind of work costs, by name."""
    return list(LabourRate.objects.order_by("name", "id"))


def labour_rate(*, rate_id: int) -> LabourRate | None:
    """One labour rate; None if there is none."""
    return LabourRate.objects.filter(pk=rate_id).first()


def last_numbers() -> list[Counter]:
    """The last number given to each kind of document, the latest year first."""
    return list(Counter.objects.order_by("-year", "kind", "id"))


def first_owner() -> Person | None:
    """The owner who set the firm up."""
    return Person.objects.filter(role="owner").order_by("id").first()


def mail_leaves() -> bool:
    """True if letters have a way out: a server of the firm's or of the machine's."""
    return bool(
        settings.MAIL_HOST
        or settings.MAIL_DIR
        or Firm.objects.exclude(mail_host="").exists()
    )


def crews_have_people() -> bool:
    """True once anybody was put into a crew."""
    return CrewMember.objects.exists()


def first_steps() -> list[Step]:
    """What a new firm does first, in order; empty once all of it is done."""
    steps = [
        Step(step.words, step.url_name, step.is_done()) for step in registry.first_steps
    ]
    return [] if all(step.is_done for step in steps) else steps
