"""Bills, payments and receipts."""

import uuid
from decimal import Decimal

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from firm.models import Client, Person
from firm.models.constraints import net_and_tax_are_gross
from jobs.enums import BillKind, BillState, PaymentKind
from jobs.models.contracts import Contract, Instalment
from jobs.models.quotes import MONEY, Milestone, Quote
from jobs.models.work import Job

# Money that leaves the bill it was received for.
MONEY_OUT = (PaymentKind.PAID_BACK, PaymentKind.SET_AGAINST)


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
    # What was agreed on top of the job, billed by itself.
    addition = models.OneToOneField(
        Quote, on_delete=models.PROTECT, null=True, blank=True, related_name="bill"
    )
    day = models.DateField(_("date"))
    due_on = models.DateField(_("due on"))
    # [{"description", "net", "taxes"}], amounts as text; earlier bills have no taxes.
    lines = models.JSONField(default=list)
    net = models.DecimalField(**MONEY)
    tax = models.DecimalField(**MONEY)
    gross = models.DecimalField(**MONEY)
    # [{"category", "name", "percent", "net", "tax"}], amounts and rates as text.
    taxes = models.JSONField(default=list, blank=True)
    tax_name = models.CharField(max_length=60, blank=True)
    tax_percent = models.DecimalField(max_digits=6, decimal_places=3, default=0)
    state = models.CharField(max_length=10, choices=BillState, default=BillState.OPEN)
    credits = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="credited_by",
    )
    # Of a credit: the price goes down by it, so that it is not billed again.
    lowers_price = models.BooleanField(default=False)
    issued_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True)
    # Counts the payments and credits, so that no two are reckoned from the same state.
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(lowers_price=False) | Q(credits__isnull=False),
                name="only_a_credit_lowers_the_price",
            ),
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
    """Money that moved for a bill; one entered wrongly is struck out, never deleted."""

    bill = models.ForeignKey(Bill, on_delete=models.PROTECT, related_name="payments")
    kind = models.CharField(
        max_length=12, choices=PaymentKind, default=PaymentKind.RECEIVED
    )
    # Of what was set against another bill: the row on that bill.
    moved_to = models.OneToOneField(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="moved_from",
    )
    day = models.DateField(_("received on"))
    amount = models.DecimalField(_("amount"), **MONEY)
    how = models.CharField(_("how"), max_length=60, blank=True)
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT)
    struck_out_at = models.DateTimeField(null=True, blank=True)
    struck_out_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    struck_out_reason = models.CharField(_("why"), max_length=200, blank=True)
    key = models.UUIDField(default=uuid.uuid4, unique=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(amount__gt=0), name="payment_over_0"),
            models.CheckConstraint(
                condition=Q(kind=PaymentKind.SET_AGAINST, moved_to__isnull=False)
                | (~Q(kind=PaymentKind.SET_AGAINST) & Q(moved_to__isnull=True)),
                name="payment_set_against_has_the_other_bill",
            ),
            models.CheckConstraint(
                condition=Q(
                    struck_out_at__isnull=True,
                    struck_out_by__isnull=True,
                    struck_out_reason="",
                )
                | (
                    Q(struck_out_at__isnull=False, struck_out_by__isnull=False)
                    & ~Q(struck_out_reason="")
                ),
                name="payment_struck_out_by_somebody_for_a_reason",
            ),
        ]

    def __str__(self) -> str:
        return str(self.amount)

    @property
    def counts(self) -> Decimal:
        """What it adds to what the bill has; nothing once it is struck out."""
        if self.struck_out_at is not None:
            return Decimal("0.00")
        return -self.amount if self.kind in MONEY_OUT else self.amount


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
