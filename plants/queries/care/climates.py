"""Climates of gardens as the engine reads them."""

from plants.climate import Climate
from plants.models import Garden, Station


def climate_of_station(station: Station) -> Climate:
    """The climate of a station as the engine reads it."""
    return Climate.from_figures(station.figures, lat=float(station.latitude))


def climate_of(garden: Garden) -> Climate:
    """The climate of GARDEN; no query when its station was selected with it."""
    return climate_of_station(garden.station)


def firm_climate() -> tuple[Station, Climate] | None:
    """The station that was written down first, with its climate; None without one."""
    station = Station.objects.order_by("id").first()
    return (station, climate_of_station(station)) if station else None
