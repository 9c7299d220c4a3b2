"""Planting jobs and single visits: lists, pages, what speaks against a day."""

from jobs.queries.work.cautions import (
    Caution,
    CrewDay,
    cautions_on,
    crew_day,
    firm_day,
)
from jobs.queries.work.crew_words import TaskWords, plant_key, planting_task_words
from jobs.queries.work.pages import (
    JobPage,
    JobsPage,
    PlantRow,
    booking_plants,
    crew_notes,
    job,
    job_page,
    job_plant,
    jobs_page,
    next_numbers,
)
from jobs.queries.work.tasks import (
    PlantingTasks,
    TaskChoice,
    chosen_tasks,
    task_choices,
)

__all__ = [
    "Caution",
    "CrewDay",
    "JobPage",
    "JobsPage",
    "PlantRow",
    "PlantingTasks",
    "TaskChoice",
    "TaskWords",
    "booking_plants",
    "cautions_on",
    "chosen_tasks",
    "crew_day",
    "crew_notes",
    "firm_day",
    "job",
    "job_page",
    "job_plant",
    "jobs_page",
    "next_numbers",
    "plant_key",
    "planting_task_words",
    "task_choices",
]
