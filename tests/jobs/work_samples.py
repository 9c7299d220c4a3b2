"""A planting job as an agreed quote leaves it: two plants in a dry and a wet bed."""

import datetime as dt
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from firm.models import Crew, Person
from jobs.actions.work import open_planting_job
from jobs.models import Job, JobPlant, LocateRequest
from plants.models import Bed, Garden, Plant
from tests import factories
from tests.factories import NOW

# In the invented climate planting is right from 11 March to 6 June and again from 10
# September; in between it is too hot without irrigation.
RIGHT_DAY = dt.date(2026, 4, 14)
HOT_DAY = dt.date(2026, 7, 8)


@dataclass
class PlantingSample:
    """The job with what it hangs on."""

    job: Job
    garden: Garden
    dry: Bed
    irrigated: Bed
    shrub: Plant
    evergreen: Plant
    crew: Crew
    person: Person
    rows: list[JobPlant] = field(default_factory=list)


def planting_sample(**changes: Any) -> PlantingSample:
    """A job to book: 12 of a shrub in a dry bed, 3 evergreens in an irrigated one."""
    client = changes.pop("client", None) or factories.ClientFactory()
    garden = factories.GardenFactory(client=client)
    dry = factories.BedFactory(garden=garden, name="Long border")
    irrigated = factories.BedFactory(garden=garden, name="Door bed", is_irrigated=True)
    shrub = factories.PlantFactory(common="Blue mophead")
    group = factories.GroupFactory(key="test-evergreen", name="Evergreen shrub")
    group.facts = {
        **group.facts,
        "key": group.key,
        "evergreen": "yes",
        "wood": "none",
        "bloom": None,
    }
    group.save()
    evergreen = factories.PlantFactory(common="Dark yew", group=group)
    quote = factories.QuoteFactory(
        garden=garden,
        state="agreed",
        offered_at=NOW,
        valid_until=dt.date(2026, 4, 1),
        cost=Decimal("900.00"),
        net=Decimal("1500.00"),
        tax=Decimal("90.00"),
        gross=Decimal("1590.00"),
    )
    for count, plant, bed in ((12, shrub, dry), (3, evergreen, irrigated)):
        factories.QuoteLineFactory(
            quote=quote,
            kind="plants",
            plant=plant,
            bed=bed,
            description=plant.common,
            count_rule="typed",
            quantity=Decimal(count),
            unit="plants",
            spacing_text="24 in",
            spacing_m=Decimal("0.6096"),
        )
    factories.QuoteLineFactory(quote=quote)
    person = factories.PersonFactory(role="crew")
    crew = factories.CrewFactory(name="North")
    factories.CrewMemberFactory(crew=crew, person=person)
    job = open_planting_job(quote=quote, now=NOW)
    return PlantingSample(
        job=job,
        garden=garden,
        dry=dry,
        irrigated=irrigated,
        shrub=shrub,
        evergreen=evergreen,
        crew=crew,
        person=person,
        rows=list(job.plants.order_by("id")),
    )


def marked_lines(job: Job, *, by: Person) -> LocateRequest:
    """The request of the job with its marks noted, good for the whole year."""
    made: LocateRequest = LocateRequest.objects.create(
        job=job,
        number="L-1",
        asked_on=dt.date(2026, 1, 5),
        digs_from=dt.date(2026, 1, 9),
        written_by=by,
        written_at=NOW,
        marks_noted_at=NOW,
        marks_noted_by=by,
        marks_note="Yellow flags along the drive",
    )
    return made
