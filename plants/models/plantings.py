"""What grows in the gardens and what was seen of it."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from plants.enums import AgeKnown, BloomStage, Origin, PlantingState
from plants.models.catalogue import Plant
from plants.models.gardens import Bed, Garden


class Planting(models.Model):
    """So many of one plant in one place, with its number on the garden's sketch."""

    garden = models.ForeignKey(
        Garden, on_delete=models.CASCADE, related_name="plantings"
    )
    bed = models.ForeignKey(
        Bed, on_delete=models.PROTECT, null=True, blank=True, related_name="plantings"
    )
    # Null: unidentified; then only dead wood may be cut.
    plant = models.ForeignKey(
        Plant, on_delete=models.PROTECT, null=True, blank=True, related_name="plantings"
    )
    number = models.PositiveSmallIntegerField(_("number on the sketch"))
    count = models.PositiveIntegerField(_("how many"), default=1)
    what_it_looks_like = models.CharField(
        _("what it looks like"), max_length=200, blank=True
    )
    place = models.CharField(_("where"), max_length=200, blank=True)
    x_m = models.DecimalField(max_digits=14, decimal_places=9, null=True, blank=True)
    y_m = models.DecimalField(max_digits=14, decimal_places=9, null=True, blank=True)
    # As it was sold: #3, 2 in balled, bare root.
    size_text = models.CharField(_("came as"), max_length=60, blank=True)
    origin = models.CharField(max_length=10, choices=Origin, default=Origin.THERE)
    planted_on = models.DateField(_("planted on"), null=True, blank=True)
    age_known = models.CharField(
        _("age"), max_length=8, choices=AgeKnown, default=AgeKnown.UNKNOWN
    )
    age_years = models.PositiveSmallIntegerField(_("years old"), null=True, blank=True)
    # The day for which AGE_YEARS was given, so that the age grows.
    age_on = models.DateField(null=True, blank=True)
    state = models.CharField(
        max_length=12, choices=PlantingState, default=PlantingState.GROWING
    )
    photo = models.CharField(max_length=200, blank=True)
    notes = models.TextField(_("notes"), blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "number"], name="one_planting_per_garden_and_number"
            ),
            models.CheckConstraint(
                condition=Q(count__gte=1), name="planting_of_one_or_more"
            ),
            models.CheckConstraint(
                condition=Q(origin=Origin.THERE)
                | Q(
                    origin=Origin.PLANTED, planted_on__isnull=False, plant__isnull=False
                ),
                name="planting_by_the_firm_has_plant_and_day",
            ),
            models.CheckConstraint(
                condition=Q(age_years__isnull=True, age_on__isnull=True)
                | Q(age_years__isnull=False, age_on__isnull=False),
                name="planting_age_years_with_its_day",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number}"


class ObservedBloom(models.Model):
    """What was seen on a planting in a year; replaces the computed day."""

    planting = models.ForeignKey(
        Planting, on_delete=models.CASCADE, related_name="observations"
    )
    stage = models.CharField(max_length=12, choices=BloomStage)
    day = models.DateField()
    seen_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["planting", "stage", "day"], name="one_row_per_thing_seen"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stage} {self.day:%Y-%m-%d}"
