"""Degree days at which groups flower: of a region's table, and of one climate."""

from decimal import Decimal

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from plants.enums import DegreeDayMethod
from plants.models.catalogue import Group, Plant, Source


class BloomTable(models.Model):
    """A published table of bloom by degree days, base 50 F from the new year.

    The four sides bound the region that it was made for.
    """

    key = models.SlugField(max_length=40, unique=True)
    name = models.CharField(_("region"), max_length=80)
    method = models.CharField(max_length=10, choices=DegreeDayMethod)
    south = models.DecimalField(max_digits=8, decimal_places=5)
    north = models.DecimalField(max_digits=8, decimal_places=5)
    west = models.DecimalField(max_digits=8, decimal_places=5)
    east = models.DecimalField(max_digits=8, decimal_places=5)
    note = models.TextField(blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(south__lt=F("north"), west__lt=F("east")),
                name="bloom_table_sides_in_order",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def holds(self, *, latitude: Decimal, longitude: Decimal) -> bool:
        """Whether a place lies between its sides."""
        return (
            self.south <= latitude <= self.north and self.west <= longitude <= self.east
        )


class BloomTableRow(models.Model):
    """The degree days at which a group, or one plant of it, flowers in the region."""

    table = models.ForeignKey(BloomTable, on_delete=models.CASCADE, related_name="rows")
    group = models.ForeignKey(
        Group, on_delete=models.CASCADE, null=True, blank=True, related_name="+"
    )
    plant = models.ForeignKey(
        Plant, on_delete=models.CASCADE, null=True, blank=True, related_name="+"
    )
    # The plant as the table names it.
    named = models.CharField(max_length=120)
    gdd50_first = models.DecimalField(max_digits=6, decimal_places=1)
    gdd50_full = models.DecimalField(
        max_digits=6, decimal_places=1, null=True, blank=True
    )
    source = models.ForeignKey(Source, on_delete=models.PROTECT, related_name="+")
    how_read = models.CharField(max_length=40)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(group__isnull=True, plant__isnull=False)
                | Q(group__isnull=False, plant__isnull=True),
                name="bloom_row_of_a_group_or_of_a_plant",
            ),
            models.UniqueConstraint(
                fields=["table", "group"], name="one_bloom_row_per_table_and_group"
            ),
            models.UniqueConstraint(
                fields=["table", "plant"], name="one_bloom_row_per_table_and_plant"
            ),
            models.CheckConstraint(
                condition=Q(gdd50_full__isnull=True)
                | Q(gdd50_full__gt=F("gdd50_first")),
                name="bloom_row_full_after_first",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.named} {self.gdd50_first}"


class StationBloom(models.Model):
    """A group's degree days in one climate, put down by the owner from what was seen.

    N_FIRST and N_LAST count the observations of first flowers and of bloom over.
    """

    group = models.ForeignKey(
        Group, on_delete=models.CASCADE, related_name="station_blooms"
    )
    station = models.ForeignKey(
        "plants.Station", on_delete=models.CASCADE, related_name="blooms"
    )
    gdd50_first = models.DecimalField(max_digits=6, decimal_places=1)
    gdd50_last = models.DecimalField(
        max_digits=6, decimal_places=1, null=True, blank=True
    )
    n_first = models.PositiveIntegerField(default=0)
    n_last = models.PositiveIntegerField(default=0)
    is_typed = models.BooleanField(default=False)
    made_on = models.DateField()
    made_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["group", "station"], name="one_bloom_per_group_and_station"
            ),
            models.CheckConstraint(
                condition=Q(gdd50_first__gte=0, gdd50_first__lte=6000),
                name="station_bloom_0_to_6000",
            ),
            models.CheckConstraint(
                condition=Q(gdd50_last__isnull=True)
                | Q(gdd50_last__gt=F("gdd50_first")),
                name="station_bloom_last_after_first",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.gdd50_first}"
