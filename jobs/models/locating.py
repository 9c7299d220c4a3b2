"""Asking for underground lines to be marked before anybody digs."""

import uuid

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from jobs.models.work import Job


class LocateRequest(models.Model):
    """One request to mark underground lines, or why local law asks for none."""

    job = models.ForeignKey(
        Job, on_delete=models.CASCADE, related_name="locate_requests"
    )
    # Given: nobody is asked, and this is why.
    not_needed_reason = models.CharField(
        _("why none is needed"), max_length=300, blank=True
    )
    number = models.CharField(_("request number"), max_length=60, blank=True)
    asked_on = models.DateField(_("asked on"), null=True, blank=True)
    # First day on which digging may begin, by the business days of the place.
    digs_from = models.DateField(_("digging from"), null=True, blank=True)
    # Last day on which the marks hold; null: not said.
    good_until = models.DateField(_("marks hold until"), null=True, blank=True)
    marks_noted_at = models.DateTimeField(null=True, blank=True)
    marks_noted_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    marks_note = models.CharField(_("what was marked"), max_length=300, blank=True)
    written_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField()
    key = models.UUIDField(default=uuid.uuid4, unique=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=(
                    Q(number="", asked_on__isnull=True, digs_from__isnull=True)
                    & ~Q(not_needed_reason="")
                )
                | (
                    Q(
                        not_needed_reason="",
                        asked_on__isnull=False,
                        digs_from__isnull=False,
                    )
                    & ~Q(number="")
                ),
                name="locate_request_with_number_and_days_or_a_reason",
            ),
            models.CheckConstraint(
                condition=Q(asked_on__isnull=True) | Q(digs_from__gte=F("asked_on")),
                name="locate_digging_not_before_asking",
            ),
            models.CheckConstraint(
                condition=Q(good_until__isnull=True)
                | Q(good_until__gte=F("digs_from")),
                name="locate_marks_hold_some_day",
            ),
            models.CheckConstraint(
                condition=Q(marks_noted_at__isnull=True, marks_noted_by__isnull=True)
                | Q(marks_noted_at__isnull=False, marks_noted_by__isnull=False),
                name="locate_marks_noted_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return self.number or self.not_needed_reason
