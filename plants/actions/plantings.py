"""Plantings already in the ground and what is seen of them."""

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import Max

from firm.actions.files import Prepared, store_photo
from firm.actions.record import record
from firm.models import Person
from firm.registry import registry
from plants.enums import AgeKnown, BloomStage, Origin, PlantingState
from plants.models import Bed, Garden, ObservedBloom, Plant, Planting

OLDEST_YEARS = 500
# Notes of earlier years may be written down too: they move no window of this year, but
# tell when the group flowers there.
LONGEST_LOG_YEARS = 30


class PlantingRefused(Exception):
    """Something that cannot be said of a planting; FIELD is where it was typed."""

    def __init__(self, message: str, *, field: str | None = None) -> None:
        self.field = field
        super().__init__(message)


@dataclass(frozen=True, kw_only=True)
class PlantingDetails:
    """What is written down about plants that stand in a garden.

    PLANT None means unidentified; then WHAT_IT_LOOKS_LIKE is needed.
    """

    plant: Plant | None
    count: int
    bed: Bed | None = None
    place: str = ""
    size_text: str = ""
    what_it_looks_like: str = ""
    age_known: str = AgeKnown.UNKNOWN
    age_years: int | None = None
    notes: str = ""
    # Only asked of a planting that the firm did not plant.
    number: int | None = None


@dataclass(frozen=True, kw_only=True)
class Logged:
    """Something written into the log, and what it moved in planned work, in words."""

    observed: ObservedBloom
    is_new: bool
    said: tuple[str, ...]


@transaction.atomic
def record_planting(
    *,
    garden: Garden,
    details: PlantingDetails,
    day: dt.date,
    now: dt.datetime,
    by: Person,
    photo: Prepared | None = None,
) -> Planting:
    """The planting that was found in GARDEN on DAY, with its number on the sketch."""
    _refuse_nonsense(garden, details, pk=None)
    number = details.number or next_number_on_sketch(garden=garden)
    planting = Planting.objects.create(
        garden=garden,
        origin=Origin.THERE,
        number=number,
        photo=store_photo(photo) if photo else "",
        **_columns(details, day),
    )
    record(
        action="planting recorded",
        subject=planting,
        summary=f"{garden.name}: planting {number} recorded",
        now=now,
        by=by,
    )
    return planting


@transaction.atomic
def change_planting(
    *,
    planting: Planting,
    details: PlantingDetails,
    day: dt.date,
    now: dt.datetime,
    by: Person,
    photo: Prepared | None = None,
) -> Planting:
    """The planting with its new DETAILS; ages are counted from DAY."""
    if planting.origin == Origin.PLANTED and details.plant is None:
        raise PlantingRefused(
            "The firm planted this one, so its plant is known.", field="plant"
        )
    _refuse_nonsense(planting.garden, details, pk=planting.pk)
    values = _columns(details, day)
    if (
        values["age_years"] == planting.age_years
        and values["age_known"] == planting.age_known
    ):
        # The age was not typed anew, so it goes on from the day it was given for.
        values.pop("age_on")
    for name, value in values.items():
        setattr(planting, name, value)
    fields = [*values]
    if details.number:
        planting.number = details.number
        fields.append("number")
    if photo:
        planting.photo = store_photo(photo)
        fields.append("photo")
    planting.save(update_fields=fields)
    record(
        action="planting changed",
        subject=planting,
        summary=f"Planting {planting.number} changed",
        now=now,
        by=by,
    )
    return planting


@transaction.atomic
def set_planting_state(
    *, planting: Planting, state: str, now: dt.datetime, by: Person
) -> Planting:
    """The planting in its new state: growing, struggling, lost or removed."""
    if state not in PlantingState.values:
        raise PlantingRefused(f"No such state: {state}.", field="state")
    changed = (
        Planting.objects.filter(pk=planting.pk).exclude(state=state).update(state=state)
    )
    planting.refresh_from_db()
    if changed:
        record(
            action="planting state said",
            subject=planting,
            summary=f"Planting {planting.number} is now {state}",
            now=now,
            by=by,
        )
    return planting


@transaction.atomic
def log_bloom(
    *,
    planting: Planting,
    stage: str,
    day: dt.date,
    today: dt.date,
    now: dt.datetime,
    by: Person,
) -> Logged:
    """What was seen on DAY; the same thing seen twice is one row."""
    if stage not in BloomStage.values:
        raise PlantingRefused(f"Nothing is known by the name {stage}.", field="stage")
    if day > today:
        raise PlantingRefused(
            "This day is still to come: write the day it was seen.", field="day"
        )
    if today.year - day.year > LONGEST_LOG_YEARS:
        raise PlantingRefused(
            f"This is more than {LONGEST_LOG_YEARS} years ago: look at the year again.",
            field="day",
        )
    if planting.plant_id is None:
        raise PlantingRefused(
            "This plant is unidentified: say what it is first.", field="stage"
        )
    observed, is_new = ObservedBloom.objects.get_or_create(
        planting=planting, stage=stage, day=day, defaults={"seen_by": by}
    )
    if is_new:
        record(
            action="bloom seen",
            subject=planting,
            summary=f"Planting {planting.number}: {stage} on {day:%Y-%m-%d}",
            now=now,
            by=by,
        )
    said = _tell_of_moved_windows(planting, today, now, by) if is_new else ()
    return Logged(observed=observed, is_new=is_new, said=said)


@transaction.atomic
def forget_bloom(
    *, observed: ObservedBloom, today: dt.date, now: dt.datetime, by: Person
) -> tuple[str, ...]:
    """What moved back in planned work when a mistake in the log was taken back."""
    record(
        action="bloom taken back",
        subject=observed.planting,
        summary=(
            f"Planting {observed.planting.number}: {observed.stage} on "
            f"{observed.day:%Y-%m-%d} taken back"
        ),
        now=now,
        by=by,
    )
    observed.delete()
    return _tell_of_moved_windows(observed.planting, today, now, by)


def _tell_of_moved_windows(
    planting: Planting, today: dt.date, now: dt.datetime, by: Person
) -> tuple[str, ...]:
    """Let planned work follow the planting's windows; what moved, in sentences."""
    return tuple(
        registry.tell(
            "windows moved", plantings=[planting.pk], day=today, now=now, by=by
        )
    )


def next_number_on_sketch(*, garden: Garden) -> int:
    """The first number behind all that were ever given in GARDEN.

    A lost plant's number is not given again: old papers would name another plant.
    """
    # Locks the garden's row where the database can, so that two never get the same.
    Garden.objects.select_for_update().get(pk=garden.pk)
    last = garden.plantings.aggregate(last=Max("number"))["last"]
    return (last or 0) + 1


def _refuse_nonsense(
    garden: Garden, details: PlantingDetails, *, pk: int | None
) -> None:
    if details.count < 1:
        raise PlantingRefused("At least one plant.", field="count")
    if details.plant is None and not details.what_it_looks_like.strip():
        raise PlantingRefused(
            "Say what an unidentified plant looks like, so that a crew finds it.",
            field="what_it_looks_like",
        )
    if details.bed is not None and details.bed.garden_id != garden.pk:
        raise PlantingRefused("This bed is in another garden.", field="bed")
    if details.age_known == AgeKnown.UNKNOWN and details.age_years is not None:
        raise PlantingRefused(
            "The age is unknown, yet years are given.", field="age_years"
        )
    if details.age_known != AgeKnown.UNKNOWN and details.age_years is None:
        raise PlantingRefused("How many years old?", field="age_years")
    if details.age_years is not None and details.age_years > OLDEST_YEARS:
        raise PlantingRefused(
            f"At most {OLDEST_YEARS} years are taken.", field="age_years"
        )
    if (
        details.number
        and garden.plantings.filter(number=details.number).exclude(pk=pk or 0).exists()
    ):
        raise PlantingRefused(
            f"Number {details.number} is already on this garden's sketch.",
            field="number",
        )


def _columns(details: PlantingDetails, day: dt.date) -> dict[str, Any]:
    return {
        "plant": details.plant,
        "bed": details.bed,
        "count": details.count,
        "place": details.place,
        "size_text": details.size_text,
        "what_it_looks_like": details.what_it_looks_like,
        "age_known": details.age_known,
        "age_years": details.age_years,
        "age_on": None if details.age_years is None else day,
        "notes": details.notes,
    }
