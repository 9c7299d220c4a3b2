"""What a client asks about a quote, and what the firm answers."""

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from jobs.models.documents import PrivateLink
from jobs.models.quotes import Quote


class QuoteQuestion(models.Model):
    """One question that was asked on the private page of a quote."""

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="questions")
    # By which it was asked, and to whose address the answer goes.
    link = models.ForeignKey(PrivateLink, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(_("who asks"), max_length=120)
    words = models.TextField(_("question"))
    asked_at = models.DateTimeField()
    answer = models.TextField(_("answer"), blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    key = models.UUIDField(default=uuid.uuid4, unique=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(
                    answered_at__isnull=True, answered_by__isnull=True, answer=""
                )
                | (
                    Q(answered_at__isnull=False, answered_by__isnull=False)
                    & ~Q(answer="")
                ),
                name="question_answered_by_somebody_in_words",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quote}: {self.words[:60]}"
