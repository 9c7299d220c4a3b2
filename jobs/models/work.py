"""Planting jobs and single visits as jobs, and the plants a job sets."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from firm.models import Crew
from jobs.enums import JobKind, JobState
from jobs.models.quotes import MONEY, Quote, QuoteLine
from jobs.models.suppliers import SupplierItem
from plants.models import Bed, Garden, Plant, Planting


class Job(models.Model):
    """Work that is costed as one: a planting or a single visit."""

    kind = models.CharField(max_length=10, choices=JobKind)
    number = models.CharField(max_length=20, unique=True)
    garden = models.ForeignKey(Garden, on_delete=models.PROTECT, related_name="jobs")
    quote = models.OneToOneField(
        Quote, on_delete=models.PROTECT, null=True, blank=True, related_name="job"
    )
    title = models.CharField(_("title"), max_length=160)
    state = models.CharField(max_length=12, choices=JobState, default=JobState.TO_BOOK)
    day = models.DateField(_("day"), null=True, blank=True)
    crew = models.ForeignKey(
        Crew, on_delete=models.PROTECT, null=True, blank=True, related_name="jobs"
    )
    planned_hours = models.DecimalField(
        _("planned hours"), max_digits=7, decimal_places=2, default=0
    )
    planned_cost = models.DecimalField(default=0, **MONEY)
    # Net; null: by the hour.
    price = models.DecimalField(_("price before tax"), null=True, blank=True, **MONEY)
    hour_price = models.DecimalField(
        _("price of an hour"), null=True, blank=True, **MONEY
    )
    is_taxed = models.BooleanField(_("taxed"), default=True)
    out_of_window_reason = models.CharField(
        _("why outside the planting window"), max_length=300, blank=True
    )
    out_of_window_words = models.TextField(blank=True)
    called_off_reason = models.CharField(max_length=300, blank=True)
    started_at = models.DateTimeField(null=True, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(default=1)
    # Of the form that opened it, so that one sent twice opens one job.
    key = models.UUIDField(null=True, blank=True, unique=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(state=JobState.BOOKED)
                | Q(day__isnull=False, crew__isnull=False),
                name="booked_job_has_day_and_crew",
            ),
            models.CheckConstraint(
                condition=Q(price__isnull=False) | Q(hour_price__isnull=False),
                name="job_is_priced_or_by_the_hour",
            ),
            models.CheckConstraint(
                condition=~Q(kind=JobKind.PLANTING) | Q(quote__isnull=False),
                name="planting_job_has_a_quote",
            ),
            models.CheckConstraint(
                condition=Q(state=JobState.FINISHED, finished_at__isnull=False)
                | ~Q(state=JobState.FINISHED),
                name="finished_job_has_finished_at",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"


class JobPlant(models.Model):
    """So many of one plant that a job sets, and the planting that came of it."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="plants")
    quote_line = models.ForeignKey(
        QuoteLine, on_delete=models.PROTECT, null=True, blank=True
    )
    plant = models.ForeignKey(
        Plant, on_delete=models.PROTECT, related_name="job_plants"
    )
    bed = models.ForeignKey(Bed, on_delete=models.PROTECT, null=True, blank=True)
    count = models.PositiveIntegerField()
    # Of what took the agreed plant's place; empty: as the quote's line says.
    size_text = models.CharField(max_length=60, blank=True)
    supplier_item = models.ForeignKey(
        SupplierItem, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    planting = models.OneToOneField(
        Planting,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="job_plant",
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(count__gte=1), name="job_plant_of_one_or_more"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} x {self.plant_id}"

    @property
    def size_now(self) -> str:
        """How it is sold now; the quote's line was selected with it."""
        agreed = self.quote_line.size_text if self.quote_line else ""
        return self.size_text or agreed
