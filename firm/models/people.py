"""People of the firm and how they are asked in."""

from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from firm.enums import Role
from firm.permissions import ROLES, Permission


class PersonManager(BaseUserManager["Person"]):
    """Finds people by the address they log in with."""

    def get_by_natural_key(self, username: str | None) -> "Person":
        """The person whose mail address is USERNAME, whatever its case."""
        return self.get(email__iexact=username)


class Person(AbstractBaseUser):
    """Somebody who works for the firm; without a mail address they cannot log in."""

    # Null, not empty, for people who do not log in: the address is unique.
    email = models.EmailField(_("mail address"), null=True, blank=True, unique=True)
    name = models.CharField(_("name"), max_length=120)
    role = models.CharField(_("role"), max_length=20, choices=Role)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    language = models.CharField(_("language"), max_length=8, default="en")
    hour_cost = models.DecimalField(
        _("cost of an hour"), max_digits=8, decimal_places=2, default=0
    )
    is_active = models.BooleanField(_("may log in"), default=True)
    created_at = models.DateTimeField(auto_now_add=True)

    objects: ClassVar[PersonManager] = PersonManager()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        constraints = [
            models.UniqueConstraint(
                Lower("email"),
                name="one_person_per_mail_address",
                violation_error_message=_("Somebody already uses this mail address."),
            ),
            models.CheckConstraint(
                condition=Q(hour_cost__gte=0), name="person_hour_cost_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(role__in=Role.values), name="person_role_is_known"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def may(self, permission: Permission) -> bool:
        """True if this person's role holds PERMISSION."""
        return self.is_active and permission in ROLES[self.role]


class Invitation(models.Model):
    """A link by which one person comes in once; only the hash of its key is kept."""

    email = models.EmailField(_("mail address"))
    name = models.CharField(_("name"), max_length=120)
    role = models.CharField(_("role"), max_length=20, choices=Role)
    key_hash = models.CharField(max_length=64, unique=True)
    invited_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, related_name="invitations_sent"
    )
    invited_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    person = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, related_name="invitations"
    )
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(used_at__isnull=True, person__isnull=True)
                | Q(used_at__isnull=False, person__isnull=False),
                name="invitation_used_at_with_person",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} <{self.email}>"
