"""Suppliers, what they sell at which price, and the lists that said so."""

import math
from decimal import Decimal
from typing import Any

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from jobs.enums import ItemKind, PriceListState, SizeClass
from plants.models import Plant

MONEY: dict[str, Any] = {"max_digits": 12, "decimal_places": 2}
# Plugs and bulk goods are priced in parts of a cent.
PRICE: dict[str, Any] = {"max_digits": 12, "decimal_places": 4}


class Supplier(models.Model):
    """A nursery or a yard that the firm buys from."""

    name = models.CharField(_("name"), max_length=120, unique=True)
    contact = models.CharField(_("whom to ask for"), max_length=120, blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("mail"), blank=True)
    note = models.TextField(_("note"), blank=True)
    delivery_cost = models.DecimalField(
        _("usual cost of a delivery"), null=True, blank=True, **MONEY
    )
    # {what it is: head of the column}, as the last list was read.
    columns = models.JSONField(default=dict, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(delivery_cost__isnull=True) | Q(delivery_cost__gte=0),
                name="supplier_delivery_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class SupplierName(models.Model):
    """Which plant a supplier means by a name; plant None: none of the catalogue's."""

    supplier = models.ForeignKey(
        Supplier, on_delete=models.CASCADE, related_name="names"
    )
    # As jobs.queries.price_lists.names.plain_name writes it.
    name = models.CharField(max_length=200)
    plant = models.ForeignKey(
        Plant, on_delete=models.CASCADE, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["supplier", "name"], name="one_answer_per_supplier_and_name"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class PriceList(models.Model):
    """One uploaded list of a supplier, from its file to the items taken from it."""

    supplier = models.ForeignKey(
        Supplier, on_delete=models.PROTECT, related_name="lists"
    )
    file_name = models.CharField(max_length=200)
    # Packed; emptied once the list is taken or dropped.
    content = models.BinaryField(null=True, blank=True)
    priced_on = models.DateField(_("prices are of"))
    kind = models.CharField(
        _("what is in it"), max_length=12, choices=ItemKind, default=ItemKind.PLANT
    )
    # Whole: what is not in it is no longer sold.
    is_whole = models.BooleanField(_("it is the supplier's whole list"), default=True)
    columns = models.JSONField(default=dict, blank=True)
    state = models.CharField(
        max_length=10, choices=PriceListState, default=PriceListState.COLUMNS
    )
    # What was read, line by line, until the list is taken.
    lines = models.JSONField(default=list, blank=True)
    # [{"row", "column", "words"}]: what was not taken, and why.
    refused = models.JSONField(default=list, blank=True)
    rows_read = models.PositiveIntegerField(default=0)
    rows_done = models.PositiveIntegerField(default=0)
    rows_new = models.PositiveIntegerField(default=0)
    rows_changed = models.PositiveIntegerField(default=0)
    rows_same = models.PositiveIntegerField(default=0)
    rows_refused = models.PositiveIntegerField(default=0)
    rows_unlisted = models.PositiveIntegerField(default=0)
    why_not = models.CharField(max_length=300, blank=True)
    uploaded_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    uploaded_at = models.DateTimeField()
    claimed_at = models.DateTimeField(null=True, blank=True)
    settled_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.file_name


class SupplierItem(models.Model):
    """One thing a supplier sells in one size, at its latest known price."""

    supplier = models.ForeignKey(
        Supplier, on_delete=models.PROTECT, related_name="items"
    )
    # The item number, else name and size: what a later list finds it by.
    key = models.CharField(max_length=300)
    kind = models.CharField(_("what it is"), max_length=12, choices=ItemKind)
    plant = models.ForeignKey(
        Plant,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="supplier_items",
    )
    name = models.CharField(_("name on the list"), max_length=200)
    item_number = models.CharField(_("item number"), max_length=60, blank=True)
    size_text = models.CharField(_("size"), max_length=60, blank=True)
    size_class = models.CharField(
        _("how it comes"), max_length=10, choices=SizeClass, default=SizeClass.UNKNOWN
    )
    # Of a pot, a root ball or a bag, where it is known.
    volume_m3 = models.DecimalField(
        max_digits=14, decimal_places=9, null=True, blank=True
    )
    # Sold only in whole packs of so many.
    pack_quantity = models.PositiveIntegerField(_("in a pack"), default=1)
    unit = models.CharField(_("unit"), max_length=40, blank=True)
    price = models.DecimalField(_("price"), **PRICE)
    # The price is that of a whole pack, not of one piece in it.
    is_per_pack = models.BooleanField(_("price of a whole pack"), default=False)
    # [{"from": whole number, "price": "8.50"}], rising; of pieces, or of packs where
    # the price is that of a pack.
    breaks = models.JSONField(_("prices for more"), default=list, blank=True)
    availability = models.CharField(_("availability"), max_length=60, blank=True)
    # What the availability comes to in pieces; null: not said.
    available = models.PositiveIntegerField(null=True, blank=True)
    priced_on = models.DateField(_("price of"))
    weight_kg = models.DecimalField(
        _("weight"), max_digits=10, decimal_places=3, null=True, blank=True
    )
    is_listed = models.BooleanField(_("on the latest list"), default=True)
    last_list = models.ForeignKey(
        PriceList,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="items",
    )
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["supplier", "key"], name="one_item_per_supplier_and_key"
            ),
            models.CheckConstraint(
                condition=Q(price__gte=0, pack_quantity__gte=1),
                name="item_price_not_negative_and_pack_over_0",
            ),
            models.CheckConstraint(
                condition=Q(plant__isnull=True) | Q(kind=ItemKind.PLANT),
                name="item_of_a_plant_is_a_plant",
            ),
        ]
        indexes = [models.Index(fields=["supplier", "name"], name="item_by_name")]

    def __str__(self) -> str:
        return f"{self.name}, {self.size_text}" if self.size_text else self.name

    def packs_for(self, count: Decimal) -> int:
        """Whole packs that hold COUNT pieces."""
        return math.ceil(count / self.pack_quantity)

    def price_for(self, count: Decimal) -> Decimal:
        """The printed price that holds for COUNT pieces: the highest break reached."""
        bought = Decimal(self.packs_for(count)) if self.is_per_pack else count
        price: Decimal = self.price
        for step in self.breaks:
            if bought >= step["from"]:
                price = Decimal(step["price"])
        return price

    def price_each(self, count: Decimal) -> Decimal:
        """What one piece costs when COUNT are bought, not rounded."""
        price = self.price_for(count)
        return price / self.pack_quantity if self.is_per_pack else price


class ItemPrice(models.Model):
    """A price that an item had from a day on."""

    item = models.ForeignKey(
        SupplierItem, on_delete=models.CASCADE, related_name="prices"
    )
    priced_on = models.DateField()
    price = models.DecimalField(**PRICE)
    is_per_pack = models.BooleanField(default=False)
    pack_quantity = models.PositiveIntegerField(default=1)
    breaks = models.JSONField(default=list, blank=True)
    price_list = models.ForeignKey(
        PriceList, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    kept_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.price} {self.priced_on:%Y-%m-%d}"
