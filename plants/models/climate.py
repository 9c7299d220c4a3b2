"""The climate of a place, as figures that the engine computes with."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from plants.enums import RecordFileState
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


class RecordYear(models.Model):
    """One year of a station's daily readings, in tenths of °C and of mm.

    DAYS holds a list by element, a place for every day of the year, null where
    nothing was read.
    """

    station = models.ForeignKey(
        Station, on_delete=models.CASCADE, related_name="record_years"
    )
    year = models.PositiveSmallIntegerField()
    days = models.JSONField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["station", "year"], name="one_record_per_station_and_year"
            ),
            models.CheckConstraint(
                condition=Q(year__gte=1700, year__lt=2200),
                name="record_year_1700_to_2199",
            ),
        ]

    def __str__(self) -> str:
        return str(self.year)


class StationRecords(models.Model):
    """What the daily records of a station give, beside the figures typed before.

    FIGURES is empty while the records do not suffice; WHY_NOT says why. TYPED are the
    figures typed by hand while those of the records are in use.
    """

    station = models.OneToOneField(
        Station, on_delete=models.CASCADE, related_name="records"
    )
    figures = models.JSONField(null=True, blank=True)
    why_not = models.TextField(blank=True)
    typed = models.JSONField(null=True, blank=True)
    keeps_typed = models.BooleanField(default=False)
    is_newest = models.BooleanField(_("newest thirty years"), default=False)
    is_coastal = models.BooleanField(_("at a coast"), default=False)

    def __str__(self) -> str:
        return f"records of station {self.station_id}"


class RecordFile(models.Model):
    """An uploaded file of daily weather: read, or waiting for its columns.

    CONTENT is the packed file while somebody still has to say what its columns are;
    PLACE are the name and position of a climate that the file is to open.
    """

    station = models.ForeignKey(
        Station,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="record_files",
    )
    place = models.JSONField(null=True, blank=True)
    file_name = models.CharField(max_length=200)
    content = models.BinaryField(null=True, blank=True)
    state = models.CharField(
        max_length=10, choices=RecordFileState, default=RecordFileState.WAITING
    )
    report = models.JSONField(null=True, blank=True)
    uploaded_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    uploaded_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(station__isnull=False) | Q(place__isnull=False),
                name="record_file_of_a_station_or_a_place",
            ),
            models.CheckConstraint(
                condition=Q(state="waiting", content__isnull=False)
                | Q(state="read", content__isnull=True, report__isnull=False)
                | Q(state="dropped", content__isnull=True),
                name="record_file_kept_only_while_it_waits",
            ),
        ]

    def __str__(self) -> str:
        return self.file_name
