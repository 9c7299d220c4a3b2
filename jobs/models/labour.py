"""The firm's rates of labour, what makes work slower, and the labour of a quote."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from jobs.enums import FactorTouch, RateMark
from jobs.models.quotes import Quote

OWN = (RateMark.FIRM, RateMark.LOGGED)


class Known(models.Model):
    """A figure with how it is known, as it was shipped, and who changed it."""

    key = models.SlugField(max_length=40, unique=True)
    position = models.PositiveSmallIntegerField()
    mark = models.CharField(max_length=10, choices=RateMark)
    source = models.CharField(_("source"), max_length=300, blank=True)
    # What the program brings along, beside what the firm reckons with.
    shipped = models.JSONField(default=dict, blank=True)
    note = models.CharField(_("why"), max_length=300, blank=True)
    changed_at = models.DateTimeField(null=True, blank=True)
    changed_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    # When what logged hours suggest was last left as it is.
    left_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        abstract = True

    @property
    def is_own(self) -> bool:
        """Whether the firm wrote the figure itself."""
        return self.mark in OWN


class ProductionRate(Known):
    """Hours for one of something, or so much of it an hour."""

    name = models.CharField(_("task"), max_length=120)
    unit = models.CharField(_("unit"), max_length=20)
    is_per_hour = models.BooleanField(_("so much an hour"), default=False)
    low = models.DecimalField(_("low"), max_digits=11, decimal_places=4)
    typical = models.DecimalField(_("typical"), max_digits=11, decimal_places=4)
    high = models.DecimalField(_("high"), max_digits=11, decimal_places=4)
    # Words of jobs.labour.Touch.
    touched_by = models.JSONField(default=list, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(low__gt=0, low__lte=F("typical"), typical__lte=F("high")),
                name="rate_low_typical_high_in_order",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class ConditionFactor(Known):
    """How many times as long work takes under one condition of the site."""

    touch = models.CharField(max_length=10, choices=FactorTouch)
    name = models.CharField(_("condition"), max_length=120)
    factor = models.DecimalField(_("times as long"), max_digits=6, decimal_places=3)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(factor__gt=0, factor__lte=10),
                name="factor_over_0_to_ten",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class LabourSetting(models.Model):
    """The site of a quote as its labour is reckoned, and what was written of it."""

    quote = models.OneToOneField(Quote, on_delete=models.CASCADE, related_name="labour")
    # {name of the form's field: text}.
    typed = models.JSONField(default=dict, blank=True)
    # [{"key", "task", "hours", "option"}] as it went into the lines, hours as text.
    written = models.JSONField(default=list, blank=True)
    written_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return str(self.quote)
