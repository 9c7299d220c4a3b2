"""The week board: crews by days, visits to place, and those slipping away."""

from jobs.queries.week.board import (
    Board,
    Cell,
    CrewRow,
    ToPlace,
    monday_of,
    week_board,
)
from jobs.queries.week.objections import (
    Objection,
    crews_to_choose,
    objections,
    visit_to_place,
)
from jobs.queries.week.pages import VisitPage, stops_of, visit_page
from jobs.queries.week.slipping import SLIPPING_DAYS, Slipping, day_said, slipping

__all__ = [
    "SLIPPING_DAYS",
    "Board",
    "Cell",
    "CrewRow",
    "Objection",
    "Slipping",
    "ToPlace",
    "VisitPage",
    "crews_to_choose",
    "day_said",
    "monday_of",
    "objections",
    "slipping",
    "stops_of",
    "visit_page",
    "visit_to_place",
    "week_board",
]
