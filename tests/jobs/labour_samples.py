"""Finished jobs whose labour was reckoned and whose hours were logged."""

import datetime as dt
from decimal import Decimal
from typing import Any

from jobs.models import HourEntry, Job, LabourSetting
from plants.models import Garden
from tests import factories
from tests.factories import NOW, TODAY


def finished(
    *,
    quoted: dict[str, str],
    logged: dict[str, str],
    garden: Garden | None = None,
    by_hand: str = "",
    reckoned_at: dt.datetime | None = None,
    at: dt.datetime = NOW,
) -> Job:
    """A finished planting job with hours quoted by task and logged by kind."""
    place: Any = garden or factories.GardenFactory()
    quote = factories.QuoteFactory(
        garden=place, state="agreed", offered_at=at, valid_until=TODAY
    )
    if quoted:
        LabourSetting.objects.create(
            quote=quote,
            written_at=reckoned_at or at,
            written=[
                {"key": task, "task": task, "hours": hours, "option": ""}
                for task, hours in quoted.items()
            ],
        )
    if by_hand:
        factories.QuoteLineFactory(quote=quote, quantity=Decimal(by_hand))
    job: Job = factories.JobFactory(
        kind="planting", quote=quote, garden=place, state="finished", finished_at=at
    )
    visit = factories.VisitFactory(job=job, kind="planting", state="done")
    person = factories.PersonFactory()
    for kind, hours in logged.items():
        HourEntry.objects.create(
            person=person,
            day=TODAY,
            kind=kind,
            hours=Decimal(hours),
            hour_cost=Decimal(38),
            visit=visit,
            logged_by=person,
            logged_at=at,
        )
    return job
