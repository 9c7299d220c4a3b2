"""The invented place: its weather and its addresses. Nothing here exists."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

STATION = "Fernhollow mill"
LATITUDE = Decimal("38.60000")
LONGITUDE = Decimal("-77.80000")
# A real state, so that lists of invasive plants mean something.
REGION = "Virginia"
ELEVATION_M = Decimal("152.0")
# Invented, in the range of places of that latitude and height.
FIGURES: dict[str, Any] = {
    "tmin_c": [-4.6, -3.7, 0.2, 5.1, 10.4, 15.3, 17.9, 17.1, 13.2, 6.9, 1.8, -2.5],
    "tmax_c": [6.2, 8.1, 13.0, 19.2, 23.8, 28.3, 30.4, 29.4, 25.7, 19.8, 13.9, 8.2],
    "rain_mm": [76, 68, 92, 88, 112, 104, 109, 96, 99, 86, 82, 84],
    "last_spring_frost": {"10": [5, 6], "50": [4, 22], "90": [4, 6]},
    "first_autumn_frost": {"10": [10, 6], "50": [10, 22], "90": [11, 6]},
    "lowest_c": -17.0,
    "method": "typed",
}
# The numbers are published ones: American Association of Poison Control Centers'
# national line (from memory) and ASPCA Animal Poison Control (quoted, not read there).
POISON_LINE_PEOPLE = "1-800-222-1222"
POISON_LINE_ANIMALS = "888-426-4435"


@dataclass(frozen=True, kw_only=True)
class ContactOf:
    """Somebody to speak to at a client's."""

    name: str
    part: str
    mail: str
    phone: str


@dataclass(frozen=True, kw_only=True)
class ClientOf:
    """An invented client."""

    key: str
    name: str
    billing_address: str
    contacts: tuple[ContactOf, ...]
    notes: str = ""
    has_children: bool = False
    has_dogs: bool = False
    has_cats: bool = False
    certificate: str = ""


def reach(name: str, part: str, mail: str, last: int) -> ContactOf:
    """A contact; 555-01xx numbers are kept for invented people."""
    return ContactOf(name=name, part=part, mail=mail, phone=f"(555) 555-{last:04d}")


CLIENTS = (
    ClientOf(
        key="marchbank",
        name="Odile Marchbank",
        billing_address="12 Weir Lane\nFernhollow",
        contacts=(
            reach("Odile Marchbank", "owner", "odile@lanternhouse.example", 121),
            reach("Piers Marchbank", "son", "piers@lanternhouse.example", 122),
        ),
        has_cats=True,
    ),
    ClientOf(
        key="tolliver",
        name="Ned and Ruth Tolliver",
        billing_address="3 Mill Row\nFernhollow",
        contacts=(
            reach("Ruth Tolliver", "owner", "ruth@millrow.example", 131),
            reach("Ned Tolliver", "owner", "ned@millrow.example", 132),
        ),
        notes="Two small children and a young dog that digs and chews.",
        has_children=True,
        has_dogs=True,
    ),
    ClientOf(
        key="wynn",
        name="Perpetua Wynn",
        billing_address="Orchard Bank, Hill Road\nFernhollow",
        contacts=(reach("Perpetua Wynn", "owner", "perpetua@orchard.example", 141),),
        notes="Likes to be rung the evening before.",
    ),
    ClientOf(
        key="crake",
        name="Anselm Crake",
        billing_address="Station Villa, 40 Depot Street\nFernhollow",
        contacts=(
            reach("Anselm Crake", "owner", "anselm@villa.example", 151),
            reach("Dorcas Pim", "housekeeper", "", 152),
        ),
        has_dogs=True,
    ),
    ClientOf(
        key="farrow",
        name="Ottoline Farrow",
        billing_address="The Glebe\nUpper Fernhollow",
        contacts=(reach("Ottoline Farrow", "owner", "ottoline@glebe.example", 161),),
    ),
    ClientOf(
        key="hall",
        name="Fernhollow Hall Committee",
        billing_address="The Village Hall\n1 Green Street\nFernhollow",
        contacts=(
            reach("Clement Oakes", "treasurer", "treasurer@hall.example", 171),
            reach("Wilma Trask", "caretaker", "caretaker@hall.example", 172),
        ),
        notes="Bills go to the treasurer, keys are with the caretaker.",
        has_children=True,
        certificate="EX-00417 (invented)",
    ),
    ClientOf(
        key="moyle",
        name="Hester Moyle",
        billing_address="Ridge Cottage\nUpper Fernhollow",
        contacts=(reach("Hester Moyle", "owner", "hester@ridge.example", 181),),
        has_cats=True,
    ),
    ClientOf(
        key="ashgrove",
        name="Lucan Ashgrove",
        billing_address="Long Meadow, River Road\nFernhollow",
        contacts=(reach("Lucan Ashgrove", "owner", "lucan@longmeadow.example", 191),),
        notes="Away from June to August; the neighbour opens.",
    ),
    ClientOf(
        key="stroud",
        name="Mirabel Stroud",
        billing_address="9 Canal Walk\nFernhollow",
        contacts=(reach("Mirabel Stroud", "owner", "mirabel@canal.example", 199),),
    ),
)
