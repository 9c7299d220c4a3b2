"""Plants that took the place of agreed ones, with the client's consent."""

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from firm.models.constraints import net_and_tax_are_gross
from jobs.enums import ConsentHow
from jobs.models.quotes import MONEY
from jobs.models.suppliers import SupplierItem
from jobs.models.work import Job, JobPlant
from plants.models import Plant


class Substitution(models.Model):
    """What a job plants instead of an agreed plant, and what that changes.

    Net, tax and gross are the difference to what was agreed before, below nought where
    the client pays less; cost is the difference of the firm's.
    """

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="substitutions")
    job_plant = models.ForeignKey(
        JobPlant, on_delete=models.PROTECT, related_name="substitutions"
    )
    from_plant = models.ForeignKey(Plant, on_delete=models.PROTECT, related_name="+")
    from_size_text = models.CharField(max_length=60, blank=True)
    from_count = models.PositiveIntegerField()
    plant = models.ForeignKey(Plant, on_delete=models.PROTECT, related_name="+")
    size_text = models.CharField(_("size"), max_length=60, blank=True)
    count = models.PositiveIntegerField(_("how many"))
    unit_cost = models.DecimalField(_("cost each"), **MONEY)
    supplier_item = models.ForeignKey(
        SupplierItem, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    reason = models.CharField(_("why"), max_length=200)
    # What the plants of the row cost and sell at from here on.
    plants_cost = models.DecimalField(**MONEY)
    plants_price = models.DecimalField(**MONEY)
    cost = models.DecimalField(**MONEY)
    # [{"category", "name", "percent", "net", "tax"}], amounts and rates as text.
    taxes = models.JSONField(default=list, blank=True)
    net = models.DecimalField(**MONEY)
    tax = models.DecimalField(**MONEY)
    gross = models.DecimalField(**MONEY)
    how = models.CharField(_("how they said yes"), max_length=10, choices=ConsentHow)
    name = models.CharField(_("who said yes"), max_length=120)
    agreed_on = models.DateField(_("on"))
    note = models.CharField(_("note"), max_length=300, blank=True)
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()
    key = models.UUIDField(default=uuid.uuid4, unique=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(count__gte=1, from_count__gte=1, unit_cost__gte=0),
                name="substitution_of_one_or_more",
            ),
            models.CheckConstraint(
                condition=~Q(reason="") & ~Q(name=""),
                name="substitution_with_reason_and_consent",
            ),
            net_and_tax_are_gross(name="substitution_net_and_tax_are_gross"),
        ]

    def __str__(self) -> str:
        return f"{self.count} x {self.plant_id}"
