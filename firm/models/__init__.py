"""Rows of the firm: itself, its people, its clients, its messages, its record."""

from firm.models.clients import Client, Contact
from firm.models.firm import (
    Counter,
    Crew,
    CrewMember,
    DayOff,
    Firm,
    LabourRate,
)
from firm.models.messages import Message, SweepMark
from firm.models.people import Invitation, Person
from firm.models.record import Entry, ListImport
from firm.models.tax import TaxRate, TaxRegion

__all__ = [
    "Client",
    "Contact",
    "Counter",
    "Crew",
    "CrewMember",
    "DayOff",
    "Entry",
    "Firm",
    "Invitation",
    "LabourRate",
    "ListImport",
    "Message",
    "Person",
    "SweepMark",
    "TaxRate",
    "TaxRegion",
]
