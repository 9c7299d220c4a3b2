"""The firm's settings row, its tax, its crews and who is in them."""

import datetime as dt
from decimal import Decimal

from firm.enums import TaxCategory
from firm.models import Crew, CrewMember, Firm, Person, TaxRate


def the_firm() -> Firm | None:
    """The firm's settings row; None before the first run."""
    return Firm.objects.filter(pk=1).first()


def firm_or_blank() -> Firm:
    """The firm's settings row, or an unsaved one with the defaults."""
    return the_firm() or Firm(pk=1, name="")


def tax_on(*, day: dt.date) -> tuple[str, Decimal]:
    """Name and percent of the tax that is valid on DAY; ("", 0) without one."""
    rate = (
        TaxRate.objects.filter(
            region__isnull=True, category=TaxCategory.STANDARD, valid_from__lte=day
        )
        .order_by("-valid_from", "-id")
        .first()
    )
    return (rate.name, rate.percent) if rate else ("", Decimal(0))


def crews_on(*, day: dt.date) -> list[Crew]:
    """Crews that are not retired on DAY, by name."""
    return list(Crew.objects.exclude(retired_on__lte=day).order_by("name", "id"))


def crews_of(*, person: Person, day: dt.date) -> list[Crew]:
    """The crews PERSON is in on DAY, by name."""
    current = CrewMember.objects.filter(person=person, starts_on__lte=day).exclude(
        ends_on__lt=day
    )
    return list(
        Crew.objects.filter(pk__in=current.values("crew")).order_by("name", "id")
    )


def people_in(*, crew: Crew, day: dt.date) -> list[Person]:
    """The people in CREW on DAY, by name."""
    return list(
        Person.objects.filter(
            pk__in=crew.members.filter(starts_on__lte=day)
            .exclude(ends_on__lt=day)
            .values("person")
        ).order_by("name", "id")
    )
