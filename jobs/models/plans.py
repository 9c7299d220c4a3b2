"""Planting plans of a quote's beds, and what was typed over its quantities."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from jobs.enums import PlanPattern, SeenFrom
from jobs.models.quotes import Quote
from plants.models import Bed


class BedPlan(models.Model):
    """Where every plant of a quote stands in one bed, laid out to scale."""

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="plans")
    bed = models.ForeignKey(Bed, on_delete=models.PROTECT, related_name="plans")
    pattern = models.CharField(
        _("how they stand"),
        max_length=12,
        choices=PlanPattern,
        default=PlanPattern.TRIANGULAR,
    )
    seen_from = models.CharField(
        _("seen from"), max_length=10, choices=SeenFrom, default=SeenFrom.FRONT
    )
    # Null: half of each kind's spacing.
    edge_text = models.CharField(_("distance to the edge"), max_length=40, blank=True)
    edge_m = models.DecimalField(max_digits=14, decimal_places=9, null=True, blank=True)
    row_gap_text = models.CharField(_("from row to row"), max_length=40, blank=True)
    row_gap_m = models.DecimalField(
        max_digits=14, decimal_places=9, null=True, blank=True
    )
    # Another number gives the drifts another order.
    arrangement = models.PositiveSmallIntegerField(_("arrangement"), default=0)
    # As jobs.takeoff.kept writes it: ground, kinds and places in metres.
    layout = models.JSONField()
    laid_out_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["quote", "bed"], name="one_plan_per_quote_and_bed"
            ),
            models.CheckConstraint(
                condition=(Q(edge_m__isnull=True) | Q(edge_m__gte=0))
                & (Q(row_gap_m__isnull=True) | Q(row_gap_m__gt=0)),
                name="plan_edge_and_row_gap_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quote} {self.bed}"


class TakeoffSetting(models.Model):
    """What the quantities of a quote are reckoned with, as it was typed."""

    quote = models.OneToOneField(
        Quote, on_delete=models.CASCADE, related_name="takeoff"
    )
    # {name of the form's field: text}.
    typed = models.JSONField(default=dict, blank=True)

    def __str__(self) -> str:
        return str(self.quote)


class Overruled(models.Model):
    """A quantity that was typed over the computed one, and why."""

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="overruled")
    # Names the figure: what it is and of which bed or line.
    figure = models.CharField(max_length=60)
    quantity = models.DecimalField(_("quantity"), max_digits=12, decimal_places=3)
    note = models.CharField(_("why"), max_length=300)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    overruled_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["quote", "figure"], name="one_overruling_per_quote_and_figure"
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=0) & ~Q(note=""),
                name="overruled_not_negative_and_with_a_note",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quote} {self.figure}"
