"""How bloom is known in a climate: by what was seen there, or by its region's table."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import F

from plants.models import BloomTableRow, Plant, Station, StationBloom


@dataclass(frozen=True, kw_only=True)
class LocalBlooms:
    """The degree days of groups and plants in some climates, as the engine reads them.

    The owner's own correction goes before the region's table.
    """

    corrected: dict[tuple[int, int], dict[str, Any]]
    of_group: dict[tuple[int, int], dict[str, Any]]
    of_plant: dict[tuple[int, int], dict[str, Any]]

    def of(self, station: int, plant: Plant) -> dict[str, Any] | None:
        """The degree days of PLANT in a climate; None where only months are known.

        A plant that flowers at a time of its own goes by its own row or by months.
        """
        own = self.of_plant.get((station, plant.pk))
        if "bloom" in plant.overrides:
            return own
        corrected = self.corrected.get((station, plant.group_id))
        return corrected or own or self.of_group.get((station, plant.group_id))

    def of_whole_group(self, station: int, group: int) -> dict[str, Any] | None:
        """The degree days of a group in a climate."""
        spot = station, group
        return self.corrected.get(spot) or self.of_group.get(spot)


def local_blooms(stations: Iterable[Station | int]) -> LocalBlooms:
    """What is known of bloom in each climate, in two queries for any number."""
    wanted = {one if isinstance(one, int) else one.pk for one in stations}
    corrected = {
        (row.station_id, row.group_id): corrected_spec(row)
        for row in StationBloom.objects.filter(station__in=wanted)
        .select_related("station")
        .order_by("id")
    }
    of_group: dict[tuple[int, int], dict[str, Any]] = {}
    of_plant: dict[tuple[int, int], dict[str, Any]] = {}
    # Filtered after the join is named, so that both speak of the same climate.
    for row in (
        BloomTableRow.objects.annotate(station_pk=F("table__stations"))
        .filter(station_pk__in=wanted)
        .select_related("table", "source")
        .order_by("id")
    ):
        spec = table_spec(row)
        if row.plant_id is not None:
            of_plant[row.station_pk, row.plant_id] = spec
        elif row.group_id is not None:
            of_group[row.station_pk, row.group_id] = spec
    return LocalBlooms(corrected=corrected, of_group=of_group, of_plant=of_plant)


def corrected_spec(row: StationBloom) -> dict[str, Any]:
    """The owner's degree days as the engine reads them."""
    return {
        "first": _figure(row.gdd50_first),
        "last": _figure(row.gdd50_last),
        "method": "average",
        "layer": "firm",
        "place": row.station.name,
        "source": "common practice",
        "seen": row.n_first,
    }


def table_spec(row: BloomTableRow) -> dict[str, Any]:
    """A row of a region's table as the engine reads it."""
    return {
        "first": _figure(row.gdd50_first),
        "last": None,
        "method": row.table.method,
        "layer": "shipped",
        "place": row.table.name,
        "source": row.source.key,
    }


def _figure(total: Decimal | None) -> float | None:
    return None if total is None else float(total)
