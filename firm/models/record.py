"""The firm's record of who did what, and lists being taken over."""

from django.db import models

from firm.enums import ImportState
from firm.models.people import Person


class Entry(models.Model):
    """One line of the record, written in the transaction of what it tells."""

    at = models.DateTimeField()
    by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, related_name="entries"
    )
    by_words = models.CharField(max_length=120, blank=True)
    action = models.CharField(max_length=60)
    subject_kind = models.CharField(max_length=40)
    subject_id = models.BigIntegerField()
    summary = models.CharField(max_length=300)
    details = models.JSONField(default=dict)

    class Meta:
        indexes = [
            models.Index(fields=["subject_kind", "subject_id"], name="entry_subject"),
            models.Index(fields=["at"], name="entry_at"),
        ]

    def __str__(self) -> str:
        return self.summary


class ListImport(models.Model):
    """An uploaded list, read and shown before anything of it is taken over."""

    kind = models.CharField(max_length=40)
    file_name = models.CharField(max_length=200)
    rows = models.JSONField(default=list)
    state = models.CharField(
        max_length=12, choices=ImportState, default=ImportState.PREVIEW
    )
    uploaded_by = models.ForeignKey(Person, on_delete=models.PROTECT)
    uploaded_at = models.DateTimeField()
    settled_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.file_name
