"""The round as it is printed: the stops that are still gone to, numbered."""

import datetime as dt
from typing import Any

from firm.models import Person
from jobs.enums import VisitState
from jobs.queries.today import Round, stop_page


def sheet_of(round_: Round, *, person: Person, today: dt.date) -> dict[str, Any]:
    """One round for the sheet; the gate code only as PERSON may see it."""
    return {
        "round": round_,
        "stops": [
            {
                "number": number,
                "visit": visit,
                "page": stop_page(visit=visit, person=person, today=today),
            }
            for number, visit in enumerate(round_.stops, start=1)
            if visit.state not in (VisitState.RAINED_OFF, VisitState.CALLED_OFF)
        ],
    }
