"""The owner's own degree days of a group in one climate."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from firm.actions.record import record
from firm.models import Person
from firm.money import round_half_up
from firm.registry import registry
from plants import care
from plants.models import Group, Planting, Station, StationBloom
from plants.queries.care import IN_THE_GROUND, climate_of_station, engine_group_of
from plants.queries.seen import seen_groups, suggestion_of

# A total that leads farther off the computed day is a slip of the pen.
MOST_DAYS_OFF = 60


class BloomRefused(Exception):
    """Degree days that cannot be; FIELD is where they were typed."""

    def __init__(self, message: str, *, field: str | None = None) -> None:
        self.field = field
        super().__init__(message)


@dataclass(frozen=True, kw_only=True)
class Corrected:
    """The degree days in force, if any, and what moved in planned work, in words."""

    row: StationBloom | None
    said: tuple[str, ...]


@transaction.atomic
def correct_bloom(
    *,
    group: Group,
    station: Station,
    first: Decimal,
    last: Decimal | None,
    today: dt.date,
    now: dt.datetime,
    by: Person,
) -> Corrected:
    """The degree days by which GROUP flowers in the climate of STATION from now on.

    Those that the log suggests are kept with the number of observations behind them;
    any others count as typed. Sent twice they change nothing the second time.
    """
    first = round_half_up(first, 1)
    last = None if last is None else round_half_up(last, 1)
    _refuse_nonsense(group, station, first, last, today)
    seen = seen_groups(pairs=[(station.pk, group.pk)])
    found = suggestion_of(seen[0]) if seen else None
    totals: tuple[float, float | None] | None = None
    n_first = n_last = 0
    if found is not None:
        totals = found.first.middle, found.last.middle if found.last else None
        n_first, n_last = found.first.n, found.last.n if found.last else 0
    is_typed = totals != (float(first), None if last is None else float(last))
    values = {
        "gdd50_first": first,
        "gdd50_last": last,
        "n_first": 0 if is_typed else n_first,
        "n_last": 0 if is_typed else n_last,
        "is_typed": is_typed,
    }
    same = StationBloom.objects.filter(group=group, station=station, **values).first()
    if same is not None:
        return Corrected(row=same, said=())
    row, _is_new = StationBloom.objects.update_or_create(
        group=group,
        station=station,
        defaults={**values, "made_on": today, "made_by": by},
    )
    record(
        action="bloom corrected",
        subject=row,
        summary=(
            f"{group.name} at {station.name}: first flowers at {first} degree days"
            + (f", over at {last}" if last is not None else "")
        ),
        now=now,
        by=by,
    )
    return Corrected(
        row=row, said=_tell_of_moved_windows(group, station, today, now, by)
    )


@transaction.atomic
def take_back_bloom(
    *, group: Group, station: Station, today: dt.date, now: dt.datetime, by: Person
) -> Corrected | None:
    """What moved back in planned work; None where there were no own degree days."""
    gone, _kinds = StationBloom.objects.filter(group=group, station=station).delete()
    if not gone:
        return None
    record(
        action="bloom correction taken back",
        subject=group,
        summary=f"{group.name} at {station.name}: own degree days taken back",
        now=now,
        by=by,
    )
    return Corrected(
        row=None, said=_tell_of_moved_windows(group, station, today, now, by)
    )


def _tell_of_moved_windows(
    group: Group, station: Station, today: dt.date, now: dt.datetime, by: Person
) -> tuple[str, ...]:
    """Let planned work follow the windows of the group in the climate's gardens."""
    plantings = Planting.objects.filter(
        garden__station=station, plant__group=group, state__in=IN_THE_GROUND
    )
    return tuple(
        registry.tell(
            "windows moved",
            plantings=list(plantings.order_by("id").values_list("pk", flat=True)),
            day=today,
            now=now,
            by=by,
        )
    )


def _refuse_nonsense(
    group: Group, station: Station, first: Decimal, last: Decimal | None, today: dt.date
) -> None:
    climate = climate_of_station(station)
    engine = engine_group_of(group)
    year = climate.year_of(today)
    usual = care.anchors(climate=climate, group=engine, year=year)["bloom_start"]
    if usual is None:
        raise BloomRefused(
            "Nobody wrote down when this group flowers, so there is nothing to correct."
        )
    if last is not None and last <= first:
        raise BloomRefused(
            "Bloom is over after its first flowers, so at more degree days.",
            field="last",
        )
    for field, total in (("first", first), ("last", last)):
        if total is None:
            continue
        if climate.degree_days_reached(float(total), year) is None:
            most = climate.degree_days(climate.date_of(364, year))
            raise BloomRefused(
                f"A whole year at {station.name} has {most:.0f} degree days.",
                field=field,
            )
    day = climate.degree_days_reached(float(first), year)
    if day is not None and abs((day - usual).days) > MOST_DAYS_OFF:
        raise BloomRefused(
            f"So many degree days are reached on {day.day} {day:%b}, more than "
            f"{MOST_DAYS_OFF} days off the computed {usual.day} {usual:%b}: look at "
            "the figure again, or correct the months of the group.",
            field="first",
        )
