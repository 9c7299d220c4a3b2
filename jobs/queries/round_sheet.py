"""The round as it is printed: plain words and figures for the sheet."""

import datetime as dt
from typing import Any

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from firm.models import Person
from jobs.enums import VisitState
from jobs.queries.today import Round, stop_page
from plants.drawings import habit_drawing


def habit_of(facts: dict[str, Any] | None, *, title: str, prefix: str) -> str:
    """The small drawing of a plant's shape, nothing for an unidentified one."""
    if not facts or "habit" not in facts:
        return ""
    return mark_safe(  # noqa: S308 - our own drawing, texts escaped there
        habit_drawing(
            facts["habit"],
            evergreen=facts.get("evergreen"),
            title=title,
            prefix=prefix,
            gettext=_,
        )
    )


def sheet_of(round_: Round, *, person: Person, today: dt.date) -> dict[str, Any]:
    """One round for the sheet; the gate code only as PERSON may see it."""
    stops = []
    for number, visit in enumerate(round_.stops, start=1):
        if visit.state in (VisitState.RAINED_OFF, VisitState.CALLED_OFF):
            continue
        page = stop_page(visit=visit, person=person, today=today)
        stops.append(
            {
                "number": number,
                "page": page,
                "visit": visit,
                "tasks": [
                    {
                        "task": task,
                        "drawing": habit_of(
                            task.planting.plant.group.facts
                            if task.planting and task.planting.plant
                            else None,
                            title=task.title,
                            prefix=f"h{task.pk}",
                        ),
                    }
                    for task in page.tasks
                ],
            }
        )
    return {"round": round_, "stops": stops}
