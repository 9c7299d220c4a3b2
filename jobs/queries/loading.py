"""What a crew takes along to its stops, and whether its truck carries it."""

from collections.abc import Sequence
from decimal import Decimal

from django.utils.translation import gettext as _

from firm.models import Crew
from firm.queries import firm_or_blank
from firm.units import Display
from jobs.enums import TaskState, VisitKind
from jobs.models import JobPlant, QuoteLine, Visit
from jobs.rounds import LoadItem, Stop, tools_for
from jobs.takeoff.weights import (
    Truckload,
    Weight,
    material_weight,
    plant_weight,
    truckload,
)


def _plants_to_load(row: JobPlant) -> LoadItem:
    size = row.size_now
    each = plant_weight(size)
    whole = each.times(row.count) if each else None
    return LoadItem(
        what=f"{row.plant.common} {size}".strip(),
        quantity=Decimal(row.count),
        unit=_("plants"),
        least_kg=whole.least_kg if whole else None,
        most_kg=whole.most_kg if whole else None,
    )


def _material_to_load(row: QuoteLine) -> LoadItem:
    weight = material_weight(row.description, quantity=row.quantity, unit=row.unit)
    return LoadItem(
        what=row.description,
        quantity=row.quantity,
        unit=row.unit,
        least_kg=weight.least_kg if weight else None,
        most_kg=weight.most_kg if weight else None,
    )


def weighed(load: Sequence[LoadItem], *, crew: Crew) -> Truckload | None:
    """What is measured, against what the crew's truck carries; tools are left out."""
    return truckload(
        [
            (
                item.what,
                Weight(least_kg=item.least_kg, most_kg=item.most_kg)
                if item.least_kg is not None and item.most_kg is not None
                else None,
            )
            for item in load
            if item.quantity is not None
        ],
        payload_kg=crew.payload_kg,
        display=Display(firm_or_blank().units),
    )


def stop_of(visit: Visit) -> Stop:
    """The stop with what to take along; its rows were fetched with the visit."""
    load = [
        LoadItem(what=tool)
        for task in visit.tasks.all()
        if task.state in (TaskState.OPEN, TaskState.PART_DONE)
        for tool in tools_for(task.task)
    ]
    if visit.kind == VisitKind.PLANTING and visit.job:
        load += [_plants_to_load(row) for row in visit.job.plants.all()]
        if visit.job.quote:
            load += [_material_to_load(row) for row in visit.job.quote.lines.all()]
    return Stop(
        key=visit.pk,
        place=visit.position,
        planned_h=visit.planned_hours,
        load=tuple(load),
    )
