"""What speaks against putting a visit on a day."""

import datetime as dt
from dataclasses import dataclass

from django.db.models import Prefetch
from django.utils.translation import gettext as _

from firm.models import Crew
from jobs.enums import TaskState
from jobs.models import Visit, VisitTask
from jobs.queries.week.slipping import day_said
from jobs.queries.work.cautions import closed_tasks_on

OPEN_TASKS = (TaskState.OPEN, TaskState.PART_DONE)


@dataclass(frozen=True, kw_only=True)
class Objection:
    """Which work a day is wrong for, and why."""

    what: str
    why: str
    is_closed: bool

    @property
    def words(self) -> str:
        """Both in a line."""
        return f"{self.what}: {self.why}"


def visit_to_place(*, visit_id: int) -> Visit | None:
    """The visit with its garden and its tasks' plantings; None without."""
    return (
        Visit.objects.select_related("garden__client", "crew", "job", "contract")
        .prefetch_related(
            Prefetch(
                "tasks",
                VisitTask.objects.select_related(
                    "planting__plant__group",
                    "planting__bed",
                    "planting__garden__station",
                ).order_by("position", "id"),
            )
        )
        .filter(pk=visit_id)
        .first()
    )


def crews_to_choose(*, day: dt.date) -> list[Crew]:
    """The crews that are not given up on DAY, by name."""
    return list(Crew.objects.exclude(retired_on__lte=day).order_by("name", "id"))


def objections(*, visit: Visit, day: dt.date) -> list[Objection]:
    """Which open tasks of VISIT fall outside their window or in a closed season on DAY.

    Closed seasons are asked of the plantings as they are now; windows are those that
    were agreed. The visit comes from visit_to_place.
    """
    tasks = [task for task in visit.tasks.all() if task.state in OPEN_TASKS]
    closed = [
        Objection(
            what=caution.what,
            why=" ".join(part for part in (caution.reason, caution.better) if part),
            is_closed=True,
        )
        for caution in closed_tasks_on(
            tasks=[
                (task.planting, task.task, task.purpose)
                for task in tasks
                if task.planting is not None
            ],
            day=day,
        )
    ]
    outside = [
        Objection(
            what=_task_words(task),
            why=_window_said(task.earliest_on, task.latest_on),
            is_closed=False,
        )
        for task in tasks
        if task.earliest_on is not None
        and task.latest_on is not None
        and not task.earliest_on <= day <= task.latest_on
    ]
    if (
        not outside
        and visit.earliest_on is not None
        and visit.latest_on is not None
        and not visit.earliest_on <= day <= visit.latest_on
        and not any(task.earliest_on for task in visit.tasks.all())
    ):
        outside = [
            Objection(
                what=visit.title,
                why=_window_said(visit.earliest_on, visit.latest_on),
                is_closed=False,
            )
        ]
    return [*closed, *outside]


def _task_words(task: VisitTask) -> str:
    if task.planting is None:
        return task.title
    plant = task.planting.plant
    return _("%(plant)s (number %(number)s), %(task)s") % {
        "plant": plant.common if plant else task.planting.what_it_looks_like,
        "number": task.planting.number,
        "task": task.title,
    }


def _window_said(first: dt.date, last: dt.date) -> str:
    return _("outside its window, %(first)s to %(last)s.") % {
        "first": day_said(first),
        "last": day_said(last),
    }
