"""Bills, payments and receipts."""

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from firm.models import Client, Person
from firm.models.constraints import net_and_tax_are_gross
from jobs.enums import BillKind, BillState
from jobs.models.contracts import Contract, Instalment
from jobs.models.quotes import MONEY, Milestone
from jobs.models.work import Job


class Bill(models.Model):
    """A numbered bill; a snapshot that is corrected only by a credit."""

    number = models.CharField(max_length=20, unique=True)
    kind = models.CharField(max_length=12, choices=BillKind)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="bills")
    job = models.ForeignKey(
        Job, on_delete=models.PROTECT, null=True, blank=True, related_name="bills"
    )
    contract = models.ForeignKey(
        Contract, on_delete=models.PROTECT, null=True, blank=True, related_name="bills"
    )
    instalment = models.OneToOneField(
        Instalment, on_delete=models.PROTECT, null=True, blank=True, related_name="bill"
    )
    milestone = models.OneToOneField(
        Milestone, on_delete=models.PROTECT, null=True, blank=True, related_name="bill"
    )
    day = models.DateField(_("date"))
    due_on = models.DateField(_("due on"))
    # [{"description", "quantity", "unit", "unit_price", "net", "is_taxed"}] as text.
    lines = models.JSONField(default=list)
    net = models.DecimalField(**MONEY)
    tax = models.DecimalField(**MONEY)
    gross = models.DecimalField(**MONEY)
    # [{"category", "name", "percent", "net", "tax"}], amounts and rates as text.
    taxes = models.JSONField(default=list, blank=True)
    tax_name = models.CharField(max_length=60, blank=True)
    tax_percent = models.DecimalField(max_digits=6, decimal_places=3, default=0)
    state = models.CharField(max_length=10, choices=BillState, default=BillState.OPEN)
    credits = models.OneToOneField(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="credited_by",
    )
    issued_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(job__isnull=True, contract__isnull=False)
                | Q(job__isnull=False, contract__isnull=True),
                name="bill_of_a_job_or_of_a_contract",
            ),
            net_and_tax_are_gross(name="bill_net_and_tax_are_gross"),
        ]

    def __str__(self) -> str:
        return self.number


class Payment(models.Model):
    """Money received for a bill."""

    bill = models.ForeignKey(Bill, on_delete=models.PROTECT, related_name="payments")
    day = models.DateField(_("received on"))
    amount = models.DecimalField(_("amount"), **MONEY)
    how = models.CharField(_("how"), max_length=60, blank=True)
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT)
    key = models.UUIDField(default=uuid.uuid4, unique=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(amount__gt=0), name="payment_over_0"),
        ]

    def __str__(self) -> str:
        return str(self.amount)


class Receipt(models.Model):
    """What a supplier charged."""

    supplier = models.CharField(_("supplier"), max_length=120)
    number = models.CharField(_("their number"), max_length=60, blank=True)
    day = models.DateField(_("date"))
    net = models.DecimalField(_("before tax"), **MONEY)
    tax = models.DecimalField(_("tax"), default=0, **MONEY)
    gross = models.DecimalField(_("total"), **MONEY)
    note = models.CharField(_("note"), max_length=200, blank=True)
    scan = models.CharField(max_length=200, blank=True)
    entered_by = models.ForeignKey(Person, on_delete=models.PROTECT)
    entered_at = models.DateTimeField()
    struck_out_at = models.DateTimeField(null=True, blank=True)
    key = models.UUIDField(default=uuid.uuid4, unique=True)

    class Meta:
        constraints = [
            net_and_tax_are_gross(name="receipt_net_and_tax_are_gross"),
            models.UniqueConstraint(
                fields=["supplier", "number"],
                condition=~Q(number="") & Q(struck_out_at__isnull=True),
                name="one_receipt_per_supplier_and_number",
                violation_error_message=_(
                    "A receipt of this supplier with this number is already entered."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.supplier} {self.number}"


class ReceiptShare(models.Model):
    """The part of a receipt that belongs to a job or a contract; else to the firm."""

    receipt = models.ForeignKey(
        Receipt, on_delete=models.CASCADE, related_name="shares"
    )
    job = models.ForeignKey(
        Job,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="receipt_shares",
    )
    contract = models.ForeignKey(
        Contract,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="receipt_shares",
    )
    net = models.DecimalField(_("before tax"), **MONEY)
    tax = models.DecimalField(_("tax"), default=0, **MONEY)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(job__isnull=True) | Q(contract__isnull=True),
                name="receipt_share_of_at_most_one",
            ),
        ]

    def __str__(self) -> str:
        return str(self.net)
