"""One of everything, and what fills each address."""

import importlib
import pkgutil
from types import SimpleNamespace
from typing import Any

from firm.models import Person
from tests import factories
from tests.system import access_rows


def build_world(*, people: dict[str, Person]) -> dict[str, dict[str, Any]]:
    """Sample name to the parts of an address; rows are made in the database.

    Each module of access_rows may add its own by `samples(base)`, where BASE holds the
    rows made here.
    """
    client = factories.ClientFactory()
    factories.ContactFactory(client=client)
    garden = factories.GardenFactory(client=client)
    bed = factories.BedFactory(garden=garden)
    rule = factories.RuleFactory()
    factories.ClosedSeasonFactory()
    plant = factories.PlantFactory()
    planting = factories.PlantingFactory(garden=garden, bed=bed, plant=plant)
    base = SimpleNamespace(
        people=people,
        client=client,
        garden=garden,
        bed=bed,
        plant=plant,
        planting=planting,
    )
    world: dict[str, dict[str, Any]] = {
        "": {},
        "client": {"pk": client.pk},
        "garden": {"pk": garden.pk},
        "bed": {"pk": bed.pk},
        "group": {"key": rule.group.key},
        "plant": {"key": plant.key},
        "planting": {"pk": planting.pk},
        "station": {"pk": garden.station_id},
    }
    for part in pkgutil.iter_modules(access_rows.__path__):
        module = importlib.import_module(f"{access_rows.__name__}.{part.name}")
        if hasattr(module, "samples"):
            world |= module.samples(base)
    return world
