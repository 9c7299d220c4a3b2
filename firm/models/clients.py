"""Clients and the people to speak to."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _


class Client(models.Model):
    """Somebody whose gardens the firm looks after."""

    name = models.CharField(_("name"), max_length=120)
    billing_address = models.TextField(_("billing address"), blank=True)
    language = models.CharField(_("language"), max_length=8, default="en")
    notes = models.TextField(_("notes"), blank=True)
    has_children = models.BooleanField(
        _("small children visit the garden"), default=False
    )
    has_dogs = models.BooleanField(_("dogs"), default=False)
    has_cats = models.BooleanField(_("cats"), default=False)
    has_horses = models.BooleanField(_("horses"), default=False)
    tax_exempt_certificate = models.CharField(
        _("certificate of tax exemption"), max_length=80, blank=True
    )
    # Null: it does not run out.
    tax_exempt_until = models.DateField(
        _("certificate good until"), null=True, blank=True
    )
    archived_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.name


class Contact(models.Model):
    """A person to speak to at a client's."""

    client = models.ForeignKey(
        Client, on_delete=models.CASCADE, related_name="contacts"
    )
    name = models.CharField(_("name"), max_length=120)
    part = models.CharField(
        _("who they are"),
        max_length=80,
        blank=True,
        help_text=_("owner, gardener, ..."),
    )
    email = models.EmailField(_("mail address"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    is_main = models.BooleanField(_("first to be asked"), default=False)
    wants_reminders = models.BooleanField(_("is told before a visit"), default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["client"],
                condition=Q(is_main=True),
                name="one_main_contact_per_client",
                violation_error_message=_("One contact is the first to be asked."),
            ),
        ]

    def __str__(self) -> str:
        return self.name
