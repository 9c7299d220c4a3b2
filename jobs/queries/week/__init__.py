"""The week board: crews by days, visits to place, and those slipping away."""

from jobs.queries.week.board import (
    Board,
    Cell,
    CrewRow,
    ToPlace,
    monday_of,
    week_board,
)
from jobs.queries.week.moved import MovedOut, VisitMove, moved_out, visits_to_move
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
    "MovedOut",
    "Objection",
    "Slipping",
    "ToPlace",
    "VisitMove",
    "VisitPage",
    "crews_to_choose",
    "day_said",
    "monday_of",
    "moved_out",
    "objections",
    "slipping",
    "stops_of",
    "visit_page",
    "visit_to_place",
    "visits_to_move",
    "week_board",
]
