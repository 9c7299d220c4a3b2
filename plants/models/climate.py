"""The climate of a place, as figures that the engine computes with."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from plants.models.blooms import BloomTable


class Station(models.Model):
    """A weather station or a typed climate: FIGURES is what plants.climate reads."""

    name = models.CharField(_("name"), max_length=120, unique=True)
    latitude = models.DecimalField(_("latitude"), max_digits=8, decimal_places=5)
    longitude = models.DecimalField(_("longitude"), max_digits=8, decimal_places=5)
    elevation_m = models.DecimalField(
        _("height above the sea"), max_digits=6, decimal_places=1, null=True, blank=True
    )
    # tmin_c, tmax_c, rain_mm: twelve each; last_spring_frost, first_autumn_frost:
    # "10", "50", "90" to [month, day] or null; lowest_c; method.
    figures = models.JSONField()
    is_typed = models.BooleanField(_("typed, not computed from records"), default=True)
    # The region whose published degree days of bloom hold here; the owner says which.
    bloom_table = models.ForeignKey(
        BloomTable,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="stations",
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(latitude__gte=-90, latitude__lte=90),
                name="station_latitude_on_earth",
            ),
            models.CheckConstraint(
                condition=Q(longitude__gte=-180, longitude__lte=180),
                name="station_longitude_on_earth",
            ),
        ]

    def __str__(self) -> str:
        return self.name
