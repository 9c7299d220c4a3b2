"""The firm's settings row, its crews and who is in them."""

import datetime as dt

from firm.models import Crew, CrewMember, Firm, Person


def the_firm() -> Firm | None:
    """The firm's settings row; None before the first run."""
    return Firm.objects.filter(pk=1).first()


def firm_or_blank() -> Firm:
    """The firm's settings row, or an unsaved one with the defaults."""
    return the_firm() or Firm(pk=1, name="")


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
