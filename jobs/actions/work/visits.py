"""Visits of jobs: put on a day, moved, and what their crew is told."""

import datetime as dt
from decimal import Decimal

from django.db.models import F, Max
from django.db.models.functions import Least

from firm.models import Crew
from jobs.enums import JobKind, VisitKind, VisitState
from jobs.models import Job, Visit, VisitTask
from jobs.queries.work.crew_words import TaskWords, planting_task_words
from jobs.queries.work.tasks import TaskChoice


def put_visit(
    *, job: Job, day: dt.date | None, crew: Crew | None, reason: str
) -> Visit:
    """The planned visit of JOB on DAY: moved there, or new with its tasks."""
    last = job.visits.exclude(state=VisitState.CALLED_OFF).order_by("-id").first()
    values = {
        "day": day,
        "crew": crew,
        "owners_reason": reason,
        "planned_hours": min(job.planned_hours, 9999),
        "title": job.title,
    }
    if last is not None and last.state == VisitState.PLANNED:
        if (last.day, last.crew_id) != (day, crew.pk if crew else None):
            values["position"] = next_stop(crew=crew, day=day)
        moved = Visit.objects.filter(pk=last.pk, state=VisitState.PLANNED).update(
            **values, version=F("version") + 1
        )
        if moved == 1:
            last.refresh_from_db()
            return last
    rained_off = last is not None and last.state == VisitState.RAINED_OFF
    visit = Visit.objects.create(
        kind=VisitKind.PLANTING if job.kind == JobKind.PLANTING else VisitKind.SINGLE,
        garden_id=job.garden_id,
        job=job,
        position=next_stop(crew=crew, day=day),
        instead_of=last if rained_off else None,
        **values,
    )
    if job.kind == JobKind.PLANTING:
        write_planting_tasks(visit=visit, job=job)
    elif last is not None:
        _copy_open_tasks(source=last, visit=visit)
    return visit


def next_stop(*, crew: Crew | None, day: dt.date | None) -> int:
    """The place behind the last stop of a crew's day."""
    if crew is None or day is None:
        return 1
    last = Visit.objects.filter(crew=crew, day=day).aggregate(last=Max("position"))
    return (last["last"] or 0) + 1


def write_planting_tasks(*, visit: Visit, job: Job) -> None:
    """Write what the crew reads: the lines in the ground, then each plant."""
    VisitTask.objects.bulk_create(
        _planting_task(visit, position, words)
        for position, words in enumerate(planting_task_words(job=job), start=1)
    )


def add_planting_tasks(*, visit: Visit, job: Job, more_hours: Decimal) -> None:
    """Write the tasks of plants that came to the job later, and their hours."""
    Visit.objects.filter(pk=visit.pk).update(
        planned_hours=Least(F("planned_hours") + more_hours, Decimal(9999)),
        version=F("version") + 1,
    )
    there = visit.tasks.order_by("position", "id")
    known = set(there.values_list("rule_key", flat=True))
    last = there.aggregate(last=Max("position"))["last"] or 0
    missing = [
        words for words in planting_task_words(job=job) if words.key not in known
    ]
    VisitTask.objects.bulk_create(
        _planting_task(visit, position, words)
        for position, words in enumerate(missing, start=last + 1)
    )


def rewrite_planting_task(*, visit: Visit, job: Job, job_plant_id: int) -> None:
    """Write anew what the crew reads of one plant that another took the place of."""
    found = [
        words
        for words in planting_task_words(job=job)
        if words.job_plant_id == job_plant_id
    ]
    for words in found:
        visit.tasks.filter(rule_key=words.key, settled_at__isnull=True).update(
            title=words.title[:160],
            how=words.how,
            where=words.where,
            why=words.why,
            harm=words.harm,
            source=words.source,
            minutes=words.minutes,
        )


def _planting_task(visit: Visit, position: int, words: TaskWords) -> VisitTask:
    return VisitTask(
        visit=visit,
        position=position,
        task=words.task,
        rule_key=words.key,
        title=words.title[:160],
        how=words.how,
        where=words.where,
        why=words.why,
        harm=words.harm,
        source=words.source,
        minutes=words.minutes,
    )


def write_chosen_tasks(
    *, visit: Visit, choices: list[TaskChoice], free: list[str]
) -> None:
    """Write the tasks chosen from care years, then those typed freely."""
    rows = [
        VisitTask(
            visit=visit,
            planting=choice.planting,
            task=choice.rule.task,
            purpose=choice.rule.purpose,
            rule_key=choice.rule.key,
            layer=choice.rule.layer,
            title=f"{choice.title}: {_named(choice)}"[:160],
            how=choice.rule.how,
            where=choice.rule.where,
            why=choice.rule.why,
            harm=choice.rule.harm,
            drawing=choice.rule.drawing,
            source=choice.source,
            earliest_on=choice.window.earliest,
            best_on=choice.window.best,
            latest_on=choice.window.latest,
            minutes=int(choice.rule.minutes * choice.planting.count),
        )
        for choice in choices
    ]
    rows.extend(VisitTask(visit=visit, task="other", title=text[:160]) for text in free)
    for position, row in enumerate(rows, start=1):
        row.position = position
    VisitTask.objects.bulk_create(rows)


def _named(choice: TaskChoice) -> str:
    plant = choice.planting.plant
    return plant.common if plant else choice.planting.what_it_looks_like


def _copy_open_tasks(*, source: Visit, visit: Visit) -> None:
    rows = list(source.tasks.filter(settled_at__isnull=True).order_by("position", "id"))
    for row in rows:
        row.pk = None
        row._state.adding = True
        row.visit = visit
    VisitTask.objects.bulk_create(rows)
