"""One of everything, and what fills each address."""

from typing import Any

from firm.models import Person
from tests import factories


def build_world(*, people: dict[str, Person]) -> dict[str, dict[str, Any]]:
    """Sample name to the parts of an address; rows are made in the database."""
    client = factories.ClientFactory()
    factories.ContactFactory(client=client)
    garden = factories.GardenFactory(client=client)
    bed = factories.BedFactory(garden=garden)
    rule = factories.RuleFactory()
    factories.ClosedSeasonFactory()
    plant = factories.PlantFactory()
    planting = factories.PlantingFactory(garden=garden, bed=bed, plant=plant)
    return {
        "": {},
        "client": {"pk": client.pk},
        "garden": {"pk": garden.pk},
        "bed": {"pk": bed.pk},
        "group": {"key": rule.group.key},
        "plant": {"key": plant.key},
        "planting": {"pk": planting.pk},
        "station": {"pk": garden.station_id},
    }
