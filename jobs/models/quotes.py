"""Quotes, their lines and how they were agreed."""

from typing import Any

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from firm.enums import OverheadWay, TaxCategory, TaxRounding
from firm.models import Person
from firm.models.constraints import net_and_tax_are_gross
from jobs.enums import (
    AgreedHow,
    CountRule,
    DeclineReason,
    LineKind,
    MilestoneWhen,
    OfferState,
    OptionKind,
)
from plants.models import Bed, Garden, Plant

MONEY: dict[str, Any] = {"max_digits": 12, "decimal_places": 2}
PERCENT: dict[str, Any] = {"max_digits": 5, "decimal_places": 2}


class Quote(models.Model):
    """One revision of an offer for a garden; once offered it never changes."""

    garden = models.ForeignKey(Garden, on_delete=models.PROTECT, related_name="quotes")
    number = models.CharField(_("number"), max_length=20)
    revision = models.PositiveSmallIntegerField(default=1)
    title = models.CharField(_("title"), max_length=160)
    words = models.TextField(_("words to the client"), blank=True)
    terms = models.TextField(_("terms"), blank=True)
    state = models.CharField(
        max_length=10, choices=OfferState, default=OfferState.DRAFTING
    )
    margin_percent = models.DecimalField(
        _("margin"), max_digits=5, decimal_places=2, default=35
    )
    tax_name = models.CharField(max_length=60, blank=True)
    tax_percent = models.DecimalField(max_digits=6, decimal_places=3, default=0)
    tax_rounding = models.CharField(
        max_length=10, choices=TaxRounding, default=TaxRounding.DOCUMENT
    )
    # How it is priced: the firm's settings when it was begun, the owner's since.
    overhead_way = models.CharField(
        _("overhead"),
        max_length=10,
        choices=OverheadWay,
        default=OverheadWay.IN_MARGIN,
    )
    overhead_per_hour = models.DecimalField(
        _("overhead of an hour of labour"), default=0, **MONEY
    )
    overhead_materials_percent = models.DecimalField(
        _("overhead on plants and materials"), default=0, **PERCENT
    )
    overhead_labour_percent = models.DecimalField(
        _("overhead on labour"), default=0, **PERCENT
    )
    contingency_percent = models.DecimalField(
        _("put by for surprises"), default=0, **PERCENT
    )
    warranty_percent = models.DecimalField(
        _("put by for plants under warranty"), default=0, **PERCENT
    )
    minimum_job = models.DecimalField(_("least price before tax"), default=0, **MONEY)
    # One or the other is zero.
    discount_percent = models.DecimalField(_("discount"), default=0, **PERCENT)
    discount_amount = models.DecimalField(_("discount"), default=0, **MONEY)
    discount_words = models.CharField(_("what it is for"), max_length=160, blank=True)
    deposit_percent = models.DecimalField(_("deposit"), default=0, **PERCENT)
    # The totals hold the lines that are no option; an agreement holds what was taken.
    cost = models.DecimalField(default=0, **MONEY)
    overhead = models.DecimalField(default=0, **MONEY)
    reserve = models.DecimalField(default=0, **MONEY)
    discount = models.DecimalField(default=0, **MONEY)
    # What was put on to reach the least price of a job.
    top_up = models.DecimalField(default=0, **MONEY)
    # [{"category", "name", "percent", "net", "tax"}], amounts and rates as text.
    taxes = models.JSONField(default=list, blank=True)
    net = models.DecimalField(default=0, **MONEY)
    tax = models.DecimalField(default=0, **MONEY)
    gross = models.DecimalField(default=0, **MONEY)
    valid_until = models.DateField(_("stands until"), null=True, blank=True)
    offered_at = models.DateTimeField(null=True, blank=True)
    decided_at = models.DateTimeField(null=True, blank=True)
    # "": it was not said.
    declined_as = models.CharField(max_length=12, choices=DeclineReason, blank=True)
    declined_reason = models.CharField(max_length=300, blank=True)
    replaced_by = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="replaces"
    )
    # Found while the job ran and agreed like any quote; null: a job of its own.
    addition_to = models.ForeignKey(
        "jobs.Job",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="additions",
    )
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(default=1)
    # Of the form that began it, so that one sent twice begins one quote.
    key = models.UUIDField(null=True, blank=True, unique=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["number", "revision"], name="one_quote_per_number_and_revision"
            ),
            net_and_tax_are_gross(name="quote_net_and_tax_are_gross"),
            models.CheckConstraint(
                condition=Q(state=OfferState.DRAFTING, offered_at__isnull=True)
                | Q(state=OfferState.REPLACED)
                | (
                    ~Q(state=OfferState.DRAFTING)
                    & Q(offered_at__isnull=False, valid_until__isnull=False)
                ),
                name="quote_offered_at_with_a_last_day",
            ),
            models.CheckConstraint(
                condition=Q(margin_percent__gte=0, margin_percent__lt=100),
                name="quote_margin_from_0_to_under_100",
            ),
            models.CheckConstraint(
                condition=Q(
                    overhead_per_hour__gte=0,
                    overhead_materials_percent__gte=0,
                    overhead_labour_percent__gte=0,
                    contingency_percent__gte=0,
                    contingency_percent__lte=100,
                    warranty_percent__gte=0,
                    warranty_percent__lte=100,
                    minimum_job__gte=0,
                    discount_percent__gte=0,
                    discount_percent__lte=100,
                    discount_amount__gte=0,
                    deposit_percent__gte=0,
                    deposit_percent__lte=100,
                ),
                name="quote_pricing_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(discount_percent=0) | Q(discount_amount=0),
                name="quote_discount_by_percent_or_by_amount",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number}.{self.revision}"


class QuoteOption(models.Model):
    """Lines that the client may take or leave, or take instead of another line."""

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="options")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=8, choices=OptionKind, default=OptionKind.EXTRA)
    title = models.CharField(_("what it is"), max_length=120)
    words = models.TextField(_("words to the client"), blank=True)
    instead_of = models.ForeignKey(
        "jobs.QuoteLine",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="alternates",
        verbose_name=_("instead of"),
    )
    # Null until the quote is agreed.
    is_taken = models.BooleanField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["quote", "position"], name="one_option_per_quote_and_position"
            ),
            models.CheckConstraint(
                condition=Q(kind=OptionKind.EXTRA, instead_of__isnull=True)
                | Q(kind=OptionKind.INSTEAD, instead_of__isnull=False),
                name="option_instead_of_a_line_or_extra",
            ),
            models.UniqueConstraint(
                fields=["instead_of"],
                condition=Q(is_taken=True),
                name="one_alternate_taken_per_line",
            ),
        ]

    def __str__(self) -> str:
        return self.title


class Milestone(models.Model):
    """A part of a quote's price and when it falls due; the first may be a deposit."""

    quote = models.ForeignKey(
        Quote, on_delete=models.CASCADE, related_name="milestones"
    )
    position = models.PositiveSmallIntegerField()
    title = models.CharField(_("what for"), max_length=120)
    when = models.CharField(_("due"), max_length=10, choices=MilestoneWhen)
    due_on = models.DateField(_("day"), null=True, blank=True)
    percent = models.DecimalField(_("share"), **PERCENT)
    is_deposit = models.BooleanField(_("deposit"), default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["quote", "position"],
                name="one_milestone_per_quote_and_position",
            ),
            models.UniqueConstraint(
                fields=["quote"],
                condition=Q(is_deposit=True),
                name="one_deposit_per_quote",
            ),
            models.CheckConstraint(
                condition=Q(percent__gt=0, percent__lte=100),
                name="milestone_share_over_0_to_100",
            ),
            models.CheckConstraint(
                condition=Q(when=MilestoneWhen.DAY, due_on__isnull=False)
                | (~Q(when=MilestoneWhen.DAY) & Q(due_on__isnull=True)),
                name="milestone_day_with_its_date",
            ),
        ]

    def __str__(self) -> str:
        return self.title


class QuoteLine(models.Model):
    """One line of a quote, with its cost, its price and the sum that made it."""

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="lines")
    # Null: in the quote whatever the client takes.
    option = models.ForeignKey(
        QuoteOption,
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="lines",
    )
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=10, choices=LineKind)
    bed = models.ForeignKey(
        Bed, on_delete=models.PROTECT, null=True, blank=True, related_name="quote_lines"
    )
    plant = models.ForeignKey(
        Plant,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="quote_lines",
    )
    description = models.CharField(_("description"), max_length=250)
    count_rule = models.CharField(max_length=10, choices=CountRule, blank=True)
    # As it is sold: #3, 2 in balled, bare root.
    size_text = models.CharField(_("size"), max_length=60, blank=True)
    spacing_text = models.CharField(_("spacing"), max_length=40, blank=True)
    spacing_m = models.DecimalField(
        max_digits=14, decimal_places=9, null=True, blank=True
    )
    quantity = models.DecimalField(_("quantity"), max_digits=12, decimal_places=3)
    unit = models.CharField(_("unit"), max_length=20)
    # What the measurements give, kept beside a quantity that was typed over it.
    computed_quantity = models.DecimalField(
        max_digits=12, decimal_places=3, null=True, blank=True
    )
    formula = models.TextField(_("how it was computed"), blank=True)
    # What was typed into the line's form, so that the line can be worked out again.
    typed = models.JSONField(default=dict, blank=True)
    unit_cost = models.DecimalField(_("cost each"), **MONEY)
    unit_price = models.DecimalField(_("price each"), **MONEY)
    price_is_typed = models.BooleanField(default=False)
    is_taxed = models.BooleanField(_("taxed"), default=True)
    tax_category = models.CharField(
        _("tax"),
        max_length=16,
        choices=TaxCategory,
        default=TaxCategory.STANDARD,
    )
    # Chosen by hand; else what the garden's place does with such a line.
    tax_is_typed = models.BooleanField(default=False)
    # The tax that is charged on it; without a name none is.
    tax_name = models.CharField(max_length=60, blank=True)
    tax_percent = models.DecimalField(max_digits=6, decimal_places=3, default=0)
    # Hours of labour in it, which carry overhead by the hour.
    hours = models.DecimalField(
        _("hours of labour"), max_digits=8, decimal_places=2, default=0
    )
    cost = models.DecimalField(**MONEY)
    # What the line carries beside its cost, before the margin.
    overhead = models.DecimalField(default=0, **MONEY)
    reserve = models.DecimalField(default=0, **MONEY)
    price = models.DecimalField(**MONEY)
    # Whose price the cost is (null: typed), and the day it was printed or typed.
    supplier_item = models.ForeignKey(
        "jobs.SupplierItem",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="quote_lines",
    )
    priced_on = models.DateField(null=True, blank=True)
    # An old or missing price that somebody looked at and lets stand.
    price_looked_at = models.DateTimeField(null=True, blank=True)
    price_looked_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    price_look_note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["quote", "position"],
                name="one_line_per_quote_and_position",
            ),
            models.CheckConstraint(
                condition=Q(price_looked_at__isnull=True, price_looked_by__isnull=True)
                | Q(price_looked_at__isnull=False, price_looked_by__isnull=False),
                name="price_looked_at_by_somebody",
            ),
            models.CheckConstraint(
                condition=Q(supplier_item__isnull=True) | Q(priced_on__isnull=False),
                name="suppliers_price_has_its_day",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gt=0), name="quote_line_quantity_over_0"
            ),
            models.CheckConstraint(
                condition=Q(
                    unit_cost__gte=0,
                    unit_price__gte=0,
                    hours__gte=0,
                    overhead__gte=0,
                    reserve__gte=0,
                ),
                name="quote_line_money_not_negative",
            ),
            models.CheckConstraint(
                condition=~Q(kind=LineKind.PLANTS)
                | Q(plant__isnull=False, count_rule__in=CountRule.values),
                name="plant_line_has_a_plant_and_a_count_rule",
            ),
        ]

    def __str__(self) -> str:
        return self.description


class Agreement(models.Model):
    """The one yes to a quote or a care contract."""

    quote = models.OneToOneField(
        Quote, on_delete=models.PROTECT, null=True, related_name="agreement"
    )
    contract = models.OneToOneField(
        "jobs.Contract", on_delete=models.PROTECT, null=True, related_name="agreement"
    )
    how = models.CharField(max_length=10, choices=AgreedHow)
    name = models.CharField(_("who agreed"), max_length=120)
    agreed_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, related_name="agreements_recorded"
    )
    recorded_at = models.DateTimeField()
    note = models.CharField(max_length=300, blank=True)
    scan = models.CharField(max_length=200, blank=True)
    # Of a quote: what was agreed to with the options that were taken.
    cost = models.DecimalField(null=True, blank=True, **MONEY)
    taxes = models.JSONField(default=list, blank=True)
    net = models.DecimalField(null=True, blank=True, **MONEY)
    tax = models.DecimalField(null=True, blank=True, **MONEY)
    gross = models.DecimalField(null=True, blank=True, **MONEY)
    document_sha256 = models.CharField(max_length=64)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(quote__isnull=True, contract__isnull=False)
                | Q(quote__isnull=False, contract__isnull=True),
                name="agreement_to_a_quote_or_to_a_contract",
            ),
            models.CheckConstraint(
                condition=Q(how=AgreedHow.LINK, recorded_by__isnull=True)
                | (~Q(how=AgreedHow.LINK) & Q(recorded_by__isnull=False)),
                name="agreement_recorded_by_when_not_by_link",
            ),
            net_and_tax_are_gross(name="agreement_net_and_tax_are_gross"),
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.agreed_at:%Y-%m-%d}"
