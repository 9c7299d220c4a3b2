"""Whether the firm is set up, and what its settings pages list."""

from firm.models import Counter, Firm, LabourRate, Person, TaxRate


def is_set_up() -> bool:
    """True once there is a firm or an owner; then no stranger may become the owner."""
    return (
        Firm.objects.filter(pk=1).exists()
        or Person.objects.filter(role="owner").exists()
    )


def tax_rates() -> list[TaxRate]:
    """Every rate of the sales tax, the latest first."""
    return list(TaxRate.objects.order_by("-valid_from", "id"))


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
