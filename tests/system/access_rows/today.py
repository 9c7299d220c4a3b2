"""Addresses of rounds, tasks, hours, problems."""

import uuid
from types import SimpleNamespace
from typing import Any

from firm import clock
from jobs.actions.today import raise_problem
from jobs.models import HourEntry, LocateRequest
from tests import factories
from tests.factories import NOW
from tests.system.access_rows import Permission, Row

SEE = Permission.SEE_TODAY
WORK = Permission.WORK_ROUND
OWN = Permission.EDIT_GARDENS

ROWS: dict[str, Row] = {
    "today": Row(SEE),
    "round-sheet": Row(SEE),
    "work-in-heat": Row(SEE),
    "stop": Row(SEE, sample="own stop"),
    "stop-start": Row(WORK, get=None, post=302, sample="own stop"),
    "stop-marks": Row(WORK, get=None, post=302, sample="own planting stop"),
    "stop-end": Row(WORK, get=None, post=200, sample="own stop"),
    "stop-rain": Row(WORK, get=None, post=200, sample="own stop"),
    "stop-seen": Row(
        WORK,
        get=None,
        post=404,
        sample="own stop",
        data={"stage": "first bloom", "day": "2026-06-01"},
    ),
    "task": Row(WORK, post=200, sample="own task"),
    "hours-new": Row(WORK, post=200),
    "hours-back": Row(WORK, get=None, post=302, sample="own hours"),
    "problem-new": Row(WORK, post=200, sample="own stop"),
    "ask": Row(SEE),
    "problems": Row(OWN),
    "problem-settle": Row(OWN, post=200, sample="problem"),
}


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """A stop of the crew member's own crew today, a task there and a problem."""
    crew = base.people["crew"].memberships.get().crew
    today = clock.today(time_zone="America/New_York")
    visit = factories.VisitFactory(
        job=factories.JobFactory(garden=base.garden), crew=crew, day=today
    )
    task = factories.VisitTaskFactory(visit=visit, planting=base.planting)
    problem = raise_problem(
        garden=base.garden,
        visit=visit,
        planting=None,
        text="A broken branch",
        photo="",
        key=uuid.uuid4(),
        by=base.people["crew"],
        now=NOW,
    )
    hours = HourEntry.objects.create(
        person=base.people["crew"],
        day=today,
        kind="work",
        hours=1,
        hour_cost=38,
        visit=visit,
        crew=crew,
        logged_by=base.people["crew"],
        logged_at=NOW,
    )
    planting = factories.JobFactory(
        number="J-2026-9301",
        kind="planting",
        garden=base.garden,
        quote=factories.QuoteFactory(garden=base.garden, number="Q-2026-9301"),
    )
    digging = factories.VisitFactory(
        job=planting, kind="planting", garden=planting.garden, crew=crew, day=today
    )
    lines = LocateRequest.objects.create(
        job=planting,
        number="L-2",
        asked_on=today,
        digs_from=today,
        written_by=base.people["owner"],
        written_at=NOW,
    )
    LocateRequest.objects.create(
        job=factories.JobFactory(
            number="J-2026-9302",
            kind="planting",
            garden=base.garden,
            quote=factories.QuoteFactory(garden=base.garden, number="Q-2026-9302"),
        ),
        not_needed_reason="Raised beds",
        written_by=base.people["owner"],
        written_at=NOW,
    )
    return {
        "digging stop": {"pk": digging.pk},
        "own planting stop": {"pk": digging.pk, "row": lines.pk},
        "own hours": {"pk": hours.pk},
        "own stop": {"pk": visit.pk},
        "own task": {"pk": task.pk},
        "problem": {"pk": problem.pk},
    }
