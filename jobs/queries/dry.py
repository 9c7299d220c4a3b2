"""Which gardens' young plantings want a watering visit now."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Max

from jobs.enums import TaskState, VisitState
from jobs.models import Visit, VisitTask
from plants.enums import Origin, PlantingState
from plants.models import Garden, Planting
from plants.queries.water import TWO_SEASONS_DAYS, DryPlanting, thirsty

WATERING = ("water check", "plant")
COMING_DAYS = 7


@dataclass(frozen=True, kw_only=True)
class DryGarden:
    """A garden with young plantings that are dry, the driest first.

    WATERED_ON is the last visit that looked after their water, COMING the next that is
    planned within a week.
    """

    garden: Garden
    plantings: Sequence[DryPlanting]
    watered_on: dt.date | None
    coming: Visit | None

    @property
    def dry_days(self) -> int:
        """For how long the driest of them has been dry."""
        return max(each.thirst.dry_days for each in self.plantings)

    @property
    def litres(self) -> float:
        """What all of them lack together."""
        return float(sum(each.litres for each in self.plantings))


@dataclass(frozen=True, kw_only=True)
class DryPage:
    """The gardens that want water, and how far the weather was recorded."""

    gardens: Sequence[DryGarden]
    looked_at: int
    recorded: Sequence[tuple[str, dt.date | None]]


def dry_page(*, day: dt.date) -> DryPage:
    """The gardens whose young plantings are dry on the evening of DAY.

    Reckoned as if nobody watered since the firm last did: what the client pours is not
    known. Irrigated beds count as watered.
    """
    young = list(
        Planting.objects.filter(
            origin=Origin.PLANTED,
            planted_on__gt=day - dt.timedelta(days=TWO_SEASONS_DAYS),
            planted_on__lt=day,
            state__in=[PlantingState.GROWING, PlantingState.STRUGGLING],
            garden__left_at__isnull=True,
        )
        .exclude(bed__is_irrigated=True)
        .select_related("plant__group", "bed", "garden__client", "garden__station")
        .order_by("garden_id", "number", "id")
    )
    gardens = {planting.garden_id: planting.garden for planting in young}
    soaked: dict[int, dt.date] = dict(
        VisitTask.objects.filter(
            visit__garden__in=gardens,
            visit__day__lte=day,
            task__in=WATERING,
            state=TaskState.DONE,
        )
        .values("visit__garden")
        .annotate(last=Max("visit__day"))
        .values_list("visit__garden", "last")
    )
    coming: dict[int, Visit] = {}
    for visit in (
        Visit.objects.filter(
            garden__in=gardens,
            state=VisitState.PLANNED,
            day__gte=day,
            day__lte=day + dt.timedelta(days=COMING_DAYS),
        )
        .select_related("crew")
        .order_by("day", "id")
    ):
        coming.setdefault(visit.garden_id, visit)
    dry, recorded = thirsty(plantings=young, soaked_on=soaked, day=day)
    by_garden: dict[int, list[DryPlanting]] = {}
    for each in dry:
        by_garden.setdefault(each.planting.garden_id, []).append(each)
    names = {garden.station_id: garden.station.name for garden in gardens.values()}
    return DryPage(
        gardens=sorted(
            (
                DryGarden(
                    garden=gardens[pk],
                    plantings=rows,
                    watered_on=soaked.get(pk),
                    coming=coming.get(pk),
                )
                for pk, rows in by_garden.items()
            ),
            key=lambda each: (-each.dry_days, each.garden.name, each.garden.pk),
        ),
        looked_at=len(young),
        recorded=sorted((names[pk], until) for pk, until in recorded.items()),
    )
