"""Care contracts and their instalments."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from firm.enums import TaxRounding
from firm.models.constraints import net_and_tax_are_gross
from jobs.enums import ContractState, DeclineReason
from jobs.models.quotes import MONEY
from plants.models import Garden


class Contract(models.Model):
    """A year's care of a garden; PLAN holds its visits and tasks as computed."""

    garden = models.ForeignKey(
        Garden, on_delete=models.PROTECT, related_name="contracts"
    )
    number = models.CharField(max_length=20)
    revision = models.PositiveSmallIntegerField(default=1)
    title = models.CharField(_("title"), max_length=160)
    words = models.TextField(_("words to the client"), blank=True)
    terms = models.TextField(_("terms"), blank=True)
    state = models.CharField(
        max_length=10, choices=ContractState, default=ContractState.DRAFTING
    )
    starts_on = models.DateField(_("begins on"))
    ends_on = models.DateField(_("ends on"))
    plan = models.JSONField(default=dict)
    # Work that each visit takes whatever is done there: the drive, loading, set-up.
    visit_minutes = models.PositiveSmallIntegerField(
        _("travel and set-up per visit"), default=40
    )
    hours = models.DecimalField(
        _("hours a year"), max_digits=8, decimal_places=2, default=0
    )
    cost = models.DecimalField(default=0, **MONEY)
    net = models.DecimalField(_("price a year before tax"), default=0, **MONEY)
    tax = models.DecimalField(default=0, **MONEY)
    gross = models.DecimalField(default=0, **MONEY)
    price_is_typed = models.BooleanField(default=False)
    is_taxed = models.BooleanField(_("taxed"), default=True)
    margin_percent = models.DecimalField(
        _("margin"), max_digits=5, decimal_places=2, default=35
    )
    tax_name = models.CharField(max_length=60, blank=True)
    tax_percent = models.DecimalField(max_digits=6, decimal_places=3, default=0)
    tax_rounding = models.CharField(
        max_length=10, choices=TaxRounding, default=TaxRounding.DOCUMENT
    )
    instalment_count = models.PositiveSmallIntegerField(_("instalments"), default=12)
    instalment_months = models.PositiveSmallIntegerField(
        _("months between instalments"), default=1
    )
    valid_until = models.DateField(_("offer stands until"), null=True, blank=True)
    offered_at = models.DateTimeField(null=True, blank=True)
    decided_at = models.DateTimeField(null=True, blank=True)
    # "": it was not said.
    declined_as = models.CharField(max_length=12, choices=DeclineReason, blank=True)
    declined_reason = models.CharField(max_length=300, blank=True)
    paused_on = models.DateField(null=True, blank=True)
    ended_on = models.DateField(null=True, blank=True)
    ended_reason = models.CharField(max_length=300, blank=True)
    replaced_by = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="replaces"
    )
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(default=1)
    # Of the form that began it, so that one sent twice begins one contract.
    key = models.UUIDField(null=True, blank=True, unique=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["number", "revision"],
                name="one_contract_per_number_and_revision",
            ),
            models.UniqueConstraint(
                fields=["garden"],
                condition=Q(state=ContractState.RUNNING),
                name="one_running_contract_per_garden",
            ),
            models.CheckConstraint(
                condition=Q(ends_on__gt=F("starts_on")),
                name="contract_ends_after_start",
            ),
            net_and_tax_are_gross(name="contract_net_and_tax_are_gross"),
            models.CheckConstraint(
                condition=Q(instalment_count__gte=1, instalment_count__lte=24),
                name="contract_in_1_to_24_instalments",
            ),
            models.CheckConstraint(
                condition=Q(instalment_months__gte=1, instalment_months__lte=12),
                name="contract_instalments_1_to_12_months_apart",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number}.{self.revision}"


class Instalment(models.Model):
    """One part of a contract's price, due on a day."""

    contract = models.ForeignKey(
        Contract, on_delete=models.CASCADE, related_name="instalments"
    )
    position = models.PositiveSmallIntegerField()
    due_on = models.DateField()
    net = models.DecimalField(**MONEY)
    tax = models.DecimalField(**MONEY)
    gross = models.DecimalField(**MONEY)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["contract", "position"],
                name="one_instalment_per_contract_and_position",
            ),
            net_and_tax_are_gross(name="instalment_net_and_tax_are_gross"),
        ]

    def __str__(self) -> str:
        return f"{self.position}: {self.gross}"
