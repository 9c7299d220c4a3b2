"""All figures of a station out of its daily records, each with period and method."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

from plants.climate.records.frosts import CHANCES, Frosts
from plants.climate.zones import hardiness_zone, heat_zone

NORMALS = (1991, 2020)
"""The period of the present normals (WMO) and of the 2023 hardiness map (USDA)."""

PERIOD_YEARS = 30
WHOLE_YEARS = 25
"""A record with fewer good years of 30 is short and gives no zone."""

LEAST_YEARS = 10
"""Fewer good years give no climate to work with; common practice, no source."""

EDGE_F = 0.5
"""So near an edge the zone is shown with its neighbour."""

RecordFrost = tuple[int, tuple[int, int]]
"""The year of a record frost, its month and day."""


class Period(NamedTuple):
    """First and last year, both in it."""

    first: int
    last: int


class Extreme(NamedTuple):
    """A record of the whole file: the figure and its day."""

    value: float
    day: date


@dataclass(frozen=True, kw_only=True)
class StationFigures:
    """What thirty years of days say about a place.

    Degree days are in F over the base of 50 F: by method the running totals at the
    ends of twelve months, from the hemisphere's new year. Extremes and the span are
    those of the whole record. ETO_MEASURED names what of wind, humidity and sunshine
    the evapotranspiration beside the reduced set rests on.
    """

    period: Period
    good_years: int
    span: tuple[date, date]
    southern: bool
    tmin_c: tuple[float, ...]
    tmax_c: tuple[float, ...]
    rain_mm: tuple[float, ...]
    has_rain: bool
    spread_c: tuple[float, ...]
    frosts: Mapping[int, Frosts]
    lowest_c: float | None
    heat_days: float | None
    degree_days: Mapping[str, tuple[float, ...]]
    eto_reduced_mm: tuple[float, ...]
    eto_hargreaves_mm: tuple[float, ...]
    eto_measured_mm: tuple[float, ...]
    eto_measured: tuple[str, ...]
    k_rs: float
    elevation_m: float | None
    hottest: Extreme
    coldest: Extreme
    wettest: Extreme | None
    latest_spring: RecordFrost | None
    earliest_autumn: RecordFrost | None
    wet_days: float | None

    @property
    def is_short(self) -> bool:
        """Whether too few of the thirty years are good for a zone."""
        return self.good_years < WHOLE_YEARS

    @property
    def is_enough(self) -> bool:
        """Whether there are years enough for a climate to work with."""
        return self.good_years >= LEAST_YEARS

    def hardiness_zones(self) -> tuple[str, ...]:
        """The half-zone; both where the mean lowest lies within 0.5 F of an edge."""
        if self.lowest_c is None or self.is_short:
            return ()
        return zones_near(self.lowest_c * 1.8 + 32)

    def heat_zone(self) -> int | None:
        """The heat zone; None for a short record."""
        if self.heat_days is None or self.is_short:
            return None
        return heat_zone(self.heat_days)

    def climate_figures(self) -> dict[str, Any]:
        """The figures as `Climate.from_figures` reads them."""
        frost = self.frosts[32]
        return {
            "method": (
                f"daily records {self.period.first}-{self.period.last}, "
                f"{self.good_years} good years"
            ),
            "tmin_c": _rounded(self.tmin_c, 2),
            "tmax_c": _rounded(self.tmax_c, 2),
            "rain_mm": _rounded(self.rain_mm, 1),
            "spread_c": _rounded(self.spread_c, 2),
            "last_spring_frost": {
                str(chance): _listed(frost.spring_date(chance)) for chance in CHANCES
            },
            "first_autumn_frost": {
                str(chance): _listed(frost.autumn_date(chance)) for chance in CHANCES
            },
            "lowest_c": _zone_figure(self.lowest_c, self.is_short),
            "heat_days": _zone_figure(self.heat_days, self.is_short),
            "eto_mm": _rounded(self.eto_measured_mm, 1) or None,
            "eto_measured": list(self.eto_measured),
        }

    def as_json(self) -> dict[str, Any]:
        """Everything as plain values that can be kept."""
        return {
            "period": list(self.period),
            "good_years": self.good_years,
            "span": [day.isoformat() for day in self.span],
            "is_short": self.is_short,
            "is_enough": self.is_enough,
            "has_rain": self.has_rain,
            "zones": list(self.hardiness_zones()),
            "lowest_c": _rounded_or_none(self.lowest_c, 2),
            "heat_days": _rounded_or_none(self.heat_days, 1),
            "heat_zone": self.heat_zone(),
            "frost": {
                str(threshold): _frost_json(found)
                for threshold, found in self.frosts.items()
            },
            "degree_days": {
                method: _rounded(totals, 0)
                for method, totals in self.degree_days.items()
            },
            "eto": {
                "reduced_mm": _rounded(self.eto_reduced_mm, 1),
                "hargreaves_mm": _rounded(self.eto_hargreaves_mm, 1),
                "measured_mm": _rounded(self.eto_measured_mm, 1) or None,
                "measured": list(self.eto_measured),
                "k_rs": self.k_rs,
                "elevation_m": self.elevation_m,
            },
            "extremes": {
                "hottest": _extreme_json(self.hottest),
                "coldest": _extreme_json(self.coldest),
                "wettest": _extreme_json(self.wettest),
                "latest_spring": self.latest_spring,
                "earliest_autumn": self.earliest_autumn,
            },
            "wet_days": _rounded_or_none(self.wet_days, 0),
        }


def zones_near(lowest_f: float) -> tuple[str, ...]:
    """The half-zone of a mean yearly lowest, with its neighbour near an edge."""
    here = hardiness_zone(lowest_f)
    around = (
        hardiness_zone(lowest_f - EDGE_F),
        here,
        hardiness_zone(lowest_f + EDGE_F),
    )
    return tuple(dict.fromkeys(around))


def _frost_json(found: Frosts) -> dict[str, Any]:
    return {
        "spring": {str(one): _listed(found.spring_date(one)) for one in CHANCES},
        "autumn": {str(one): _listed(found.autumn_date(one)) for one in CHANCES},
        "season_days": {str(one): found.season_days(one) for one in CHANCES},
        "years": min(len(found.spring), len(found.autumn)),
        "spring_without": sum(not one.has_frost for one in found.spring),
        "autumn_without": sum(not one.has_frost for one in found.autumn),
        "springs": [int(one.place) if one.has_frost else None for one in found.spring],
        "autumns": [int(one.place) if one.has_frost else None for one in found.autumn],
    }


def _listed(day: tuple[int, int] | None) -> list[int] | None:
    return None if day is None else list(day)


def _extreme_json(extreme: Extreme | None) -> list[Any] | None:
    if extreme is None:
        return None
    return [round(extreme.value, 1), extreme.day.isoformat()]


def _rounded(values: Sequence[float], places: int) -> list[float]:
    return [round(value, places) for value in values]


def _rounded_or_none(value: float | None, places: int) -> float | None:
    return None if value is None else round(value, places)


def _zone_figure(value: float | None, is_short: bool) -> float | None:
    """A figure that a zone hangs on; a short record gives none."""
    return None if value is None or is_short else round(value, 2)
