"""What must go out once: a row each, written with its cause."""

from django.db import models
from django.db.models import Q

from firm.enums import Channel, MessageState


class Message(models.Model):
    """One message to one address; the row is the message, a broker only wakes us."""

    key = models.CharField(max_length=200, unique=True)
    kind = models.CharField(max_length=60)
    channel = models.CharField(max_length=10, choices=Channel, default=Channel.MAIL)
    recipient = models.CharField(max_length=254)
    language = models.CharField(max_length=8, default="en")
    payload = models.JSONField(default=dict)
    due_at = models.DateTimeField()
    too_late_at = models.DateTimeField(null=True, blank=True)
    state = models.CharField(
        max_length=10, choices=MessageState, default=MessageState.WAITING
    )
    token = models.CharField(max_length=32, blank=True)
    claimed_until = models.DateTimeField(null=True, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    message_id = models.CharField(max_length=200, unique=True)
    subject = models.CharField(max_length=250, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    last_error = models.TextField(blank=True)
    # Given up because nobody wanted it any more: nothing went wrong.
    is_unwanted = models.BooleanField(default=False)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes = [
            models.Index(
                fields=["due_at"],
                condition=Q(state="waiting"),
                name="message_due",
            ),
            models.Index(
                fields=["claimed_until"],
                condition=Q(state="taken"),
                name="message_claimed",
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(state=MessageState.SENT, sent_at__isnull=False)
                | (~Q(state=MessageState.SENT) & Q(sent_at__isnull=True)),
                name="message_sent_at_when_sent",
            ),
            models.CheckConstraint(
                condition=Q(state=MessageState.TAKEN, claimed_until__isnull=False)
                | (~Q(state=MessageState.TAKEN) & Q(claimed_until__isnull=True)),
                name="message_claimed_until_when_taken",
            ),
        ]

    def __str__(self) -> str:
        return self.key


class SweepMark(models.Model):
    """When a scheduled sweep last ran, so that a page can say that it stopped."""

    name = models.CharField(max_length=80, unique=True)
    last_started_at = models.DateTimeField(null=True, blank=True)
    last_finished_at = models.DateTimeField(null=True, blank=True)
    last_error = models.TextField(blank=True)

    def __str__(self) -> str:
        return self.name
