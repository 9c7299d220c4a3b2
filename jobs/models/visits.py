"""Visits, their tasks, the hours spent and the problems found."""

import uuid

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from firm.models import Crew, Person
from jobs.enums import HourKind, TaskState, VisitKind, VisitState
from jobs.models.contracts import Contract
from jobs.models.work import Job
from plants.models import Garden, Planting


class Visit(models.Model):
    """One stop of a crew at a garden, planned or done."""

    kind = models.CharField(max_length=10, choices=VisitKind)
    garden = models.ForeignKey(Garden, on_delete=models.PROTECT, related_name="visits")
    job = models.ForeignKey(
        Job, on_delete=models.PROTECT, null=True, blank=True, related_name="visits"
    )
    contract = models.ForeignKey(
        Contract, on_delete=models.PROTECT, null=True, blank=True, related_name="visits"
    )
    title = models.CharField(_("what for"), max_length=160)
    crew = models.ForeignKey(
        Crew, on_delete=models.PROTECT, null=True, blank=True, related_name="visits"
    )
    day = models.DateField(_("day"), null=True, blank=True)
    position = models.PositiveSmallIntegerField(_("stop"), default=1)
    earliest_on = models.DateField(null=True, blank=True)
    best_on = models.DateField(null=True, blank=True)
    latest_on = models.DateField(null=True, blank=True)
    planned_hours = models.DecimalField(max_digits=6, decimal_places=2, default=0)
    state = models.CharField(
        max_length=12, choices=VisitState, default=VisitState.PLANNED
    )
    notes = models.TextField(_("notes for the crew"), blank=True)
    # Written when it is put into a closed season or outside its window.
    owners_reason = models.CharField(max_length=300, blank=True)
    # The visit that took the place of a rained-off one points back to it.
    instead_of = models.OneToOneField(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="replaced_by",
    )
    started_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        indexes = [models.Index(fields=["day", "crew"], name="visit_day_crew")]
        constraints = [
            models.CheckConstraint(
                condition=Q(job__isnull=True, contract__isnull=False)
                | Q(job__isnull=False, contract__isnull=True),
                name="visit_of_a_job_or_of_a_contract",
            ),
            models.CheckConstraint(
                condition=Q(earliest_on__isnull=True)
                | Q(earliest_on__lte=F("best_on"), best_on__lte=F("latest_on")),
                name="visit_window_in_order",
            ),
            models.CheckConstraint(
                condition=Q(planned_hours__gte=0), name="visit_hours_not_negative"
            ),
        ]

    def __str__(self) -> str:
        return self.title


class VisitTask(models.Model):
    """One task of a visit with the words a crew needs, copied when it was planned."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="tasks")
    planting = models.ForeignKey(
        Planting, on_delete=models.PROTECT, null=True, blank=True, related_name="tasks"
    )
    position = models.PositiveSmallIntegerField(default=1)
    task = models.CharField(max_length=30)
    purpose = models.CharField(max_length=20, blank=True)
    rule_key = models.CharField(max_length=80, blank=True)
    layer = models.CharField(max_length=20, blank=True)
    title = models.CharField(max_length=160)
    how = models.TextField(blank=True)
    where = models.TextField(blank=True)
    why = models.TextField(blank=True)
    harm = models.TextField(blank=True)
    drawing = models.CharField(max_length=20, blank=True)
    source = models.CharField(max_length=300, blank=True)
    earliest_on = models.DateField(null=True, blank=True)
    best_on = models.DateField(null=True, blank=True)
    latest_on = models.DateField(null=True, blank=True)
    # Its days as they were agreed, once what was seen of the plant has moved them.
    agreed_earliest_on = models.DateField(null=True, blank=True)
    agreed_best_on = models.DateField(null=True, blank=True)
    agreed_latest_on = models.DateField(null=True, blank=True)
    minutes = models.PositiveIntegerField(default=0)
    state = models.CharField(max_length=10, choices=TaskState, default=TaskState.OPEN)
    left_out_reason = models.CharField(max_length=300, blank=True)
    note = models.TextField(blank=True)
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, related_name="tasks_settled"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(settled_at__isnull=True, settled_by__isnull=True)
                | Q(settled_at__isnull=False, settled_by__isnull=False),
                name="task_settled_at_with_settled_by",
            ),
            models.CheckConstraint(
                condition=~Q(state=TaskState.LEFT_OUT) | ~Q(left_out_reason=""),
                name="task_left_out_with_reason",
            ),
            models.CheckConstraint(
                condition=Q(
                    agreed_earliest_on__isnull=True,
                    agreed_best_on__isnull=True,
                    agreed_latest_on__isnull=True,
                )
                | Q(
                    agreed_earliest_on__isnull=False,
                    agreed_best_on__isnull=False,
                    agreed_latest_on__isnull=False,
                ),
                name="task_agreed_days_all_or_none",
            ),
        ]

    def __str__(self) -> str:
        return self.title


class HourEntry(models.Model):
    """Hours of one person on one day, with what an hour cost then."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="hours")
    day = models.DateField(_("day"))
    kind = models.CharField(_("for"), max_length=10, choices=HourKind)
    hours = models.DecimalField(_("hours"), max_digits=4, decimal_places=2)
    hour_cost = models.DecimalField(max_digits=8, decimal_places=2)
    visit = models.ForeignKey(
        Visit, on_delete=models.PROTECT, null=True, blank=True, related_name="hours"
    )
    crew = models.ForeignKey(
        Crew, on_delete=models.PROTECT, null=True, blank=True, related_name="hours"
    )
    note = models.CharField(_("note"), max_length=200, blank=True)
    logged_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, related_name="hours_logged"
    )
    logged_at = models.DateTimeField()
    # Sent with the form: a second sending finds the first row.
    key = models.UUIDField(default=uuid.uuid4, unique=True)

    class Meta:
        indexes = [models.Index(fields=["day"], name="hours_day")]
        constraints = [
            models.CheckConstraint(
                condition=Q(hours__gt=0, hours__lte=24), name="hours_over_0_to_24"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.hours} h"


class Problem(models.Model):
    """Something wrong that a crew or a client reported."""

    garden = models.ForeignKey(
        Garden, on_delete=models.CASCADE, related_name="problems"
    )
    visit = models.ForeignKey(
        Visit, on_delete=models.PROTECT, null=True, blank=True, related_name="problems"
    )
    planting = models.ForeignKey(
        Planting,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="problems",
    )
    text = models.TextField(_("what is wrong"))
    photo = models.CharField(max_length=200, blank=True)
    raised_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, related_name="problems_raised"
    )
    raised_at = models.DateTimeField()
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, related_name="problems_settled"
    )
    settled_note = models.CharField(max_length=300, blank=True)
    key = models.UUIDField(default=uuid.uuid4, unique=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(settled_at__isnull=True, settled_by__isnull=True)
                | Q(settled_at__isnull=False, settled_by__isnull=False),
                name="problem_settled_at_with_settled_by",
            ),
        ]

    def __str__(self) -> str:
        return self.text[:60]
