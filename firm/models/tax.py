"""Places with a tax and wording of their own, and the rates that hold there."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from firm.enums import TaxCategory

PERCENT = [MinValueValidator(0), MaxValueValidator(100)]
CHARGED = (TaxCategory.STANDARD, TaxCategory.REDUCED)


class TaxRegion(models.Model):
    """A place whose tax, deposit cap, notices and digging rules differ.

    A garden without one lies in the firm's own place: the rates without a region.
    """

    name = models.CharField(_("name"), max_length=80, unique=True)
    # What tax does with each kind of line there.
    plants_tax = models.CharField(
        _("plants"),
        max_length=16,
        choices=TaxCategory,
        default=TaxCategory.STANDARD,
    )
    materials_tax = models.CharField(
        _("soil, mulch and other materials"),
        max_length=16,
        choices=TaxCategory,
        default=TaxCategory.STANDARD,
    )
    labour_tax = models.CharField(
        _("labour"), max_length=16, choices=TaxCategory, default=TaxCategory.NOT_TAXED
    )
    delivery_tax = models.CharField(
        _("delivery"),
        max_length=16,
        choices=TaxCategory,
        default=TaxCategory.STANDARD,
    )
    # Null: no cap that the owner knows of. Both given: the lower one holds.
    deposit_cap_percent = models.DecimalField(
        _("largest deposit, of the whole"),
        max_digits=5,
        decimal_places=2,
        null=True,
        blank=True,
        validators=PERCENT,
    )
    deposit_cap_amount = models.DecimalField(
        _("largest deposit, as an amount"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
    )
    quote_words = models.TextField(_("wording that a quote must carry"), blank=True)
    cancellation_days = models.PositiveSmallIntegerField(
        _("business days to cancel what was signed at home"), default=0
    )
    cancellation_words = models.TextField(_("notice of cancellation"), blank=True)
    locate_days = models.PositiveSmallIntegerField(
        _("business days between the locate request and digging"), default=2
    )
    locate_call = models.CharField(
        _("whom to ask before digging"), max_length=120, blank=True
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(deposit_cap_percent__isnull=True)
                | Q(deposit_cap_percent__gte=0, deposit_cap_percent__lte=100),
                name="region_deposit_cap_from_0_to_100",
            ),
            models.CheckConstraint(
                condition=Q(deposit_cap_amount__isnull=True)
                | Q(deposit_cap_amount__gte=0),
                name="region_deposit_cap_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class TaxRate(models.Model):
    """A rate of the sales tax from a day on, everywhere or in one region."""

    region = models.ForeignKey(
        TaxRegion,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="rates",
        verbose_name=_("region"),
    )
    category = models.CharField(
        _("holds for what is"),
        max_length=16,
        choices=[(each.value, each.label) for each in CHARGED],
        default=TaxCategory.STANDARD,
    )
    name = models.CharField(_("name of the tax"), max_length=60)
    percent = models.DecimalField(
        _("rate"), max_digits=6, decimal_places=3, validators=PERCENT
    )
    valid_from = models.DateField(_("valid from"))
    # Null: until a later rate takes its place.
    valid_until = models.DateField(_("last day"), null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(percent__gte=0, percent__lte=100),
                name="tax_percent_from_0_to_100",
            ),
            models.CheckConstraint(
                condition=Q(category__in=[each.value for each in CHARGED]),
                name="tax_rate_of_a_charged_category",
            ),
            models.CheckConstraint(
                condition=Q(valid_until__isnull=True)
                | Q(valid_until__gte=F("valid_from")),
                name="tax_rate_ends_after_start",
            ),
            models.UniqueConstraint(
                fields=["category", "valid_from"],
                condition=Q(region__isnull=True),
                name="one_tax_rate_per_category_and_day",
                violation_error_message=_("A rate from that day is kept already."),
            ),
            models.UniqueConstraint(
                fields=["region", "category", "valid_from"],
                condition=Q(region__isnull=False),
                name="one_tax_rate_per_region_category_and_day",
                violation_error_message=_("A rate from that day is kept already."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.percent} %"
