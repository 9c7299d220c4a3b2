"""Issued documents and the private links that open them."""

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q

from jobs.enums import DocumentKind, LinkPurpose
from jobs.models.bills import Bill
from jobs.models.contracts import Contract
from jobs.models.quotes import Quote
from jobs.models.work import Job
from plants.models import Garden


class DocumentIsFixed(Exception):
    """An issued document was about to be changed or deleted."""


def plain(snapshot: Mapping[str, Any]) -> dict[str, Any]:
    """SNAPSHOT as JSON has it: days and decimals as text, so that it never shifts."""
    loaded: dict[str, Any] = json.loads(json.dumps(snapshot, cls=DjangoJSONEncoder))
    return loaded


def fingerprint(snapshot: Mapping[str, Any]) -> str:
    """The SHA-256 of a snapshot, whatever the order of its keys."""
    text = json.dumps(
        plain(snapshot), sort_keys=True, ensure_ascii=False, separators=(",", ":")
    )
    return hashlib.sha256(text.encode()).hexdigest()


class Document(models.Model):
    """All that an issued paper says; the PDF is drawn from it once, off the request."""

    kind = models.CharField(max_length=12, choices=DocumentKind)
    number = models.CharField(max_length=40)
    garden = models.ForeignKey(
        Garden, on_delete=models.PROTECT, related_name="documents"
    )
    quote = models.OneToOneField(
        Quote, on_delete=models.PROTECT, null=True, related_name="document"
    )
    contract = models.OneToOneField(
        Contract, on_delete=models.PROTECT, null=True, related_name="document"
    )
    bill = models.OneToOneField(
        Bill, on_delete=models.PROTECT, null=True, related_name="document"
    )
    job = models.ForeignKey(
        Job, on_delete=models.PROTECT, null=True, related_name="documents"
    )
    language = models.CharField(max_length=8, default="en")
    snapshot = models.JSONField()
    sha256 = models.CharField(max_length=64)
    issued_at = models.DateTimeField()
    pdf = models.CharField(max_length=200, blank=True)
    pdf_sha256 = models.CharField(max_length=64, blank=True)
    pdf_drawn_at = models.DateTimeField(null=True)
    pdf_error = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "number"], name="one_document_per_kind_and_number"
            ),
            models.CheckConstraint(
                condition=Q(pdf="", pdf_drawn_at__isnull=True)
                | (~Q(pdf="") & Q(pdf_drawn_at__isnull=False)),
                name="document_pdf_with_pdf_drawn_at",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.number}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Store a new document; a stored one is never saved over."""
        if self.pk is not None and not kwargs.get("force_insert"):
            raise DocumentIsFixed(str(self))
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse: a document is corrected by another one."""
        raise DocumentIsFixed(str(self))


class PrivateLink(models.Model):
    """A link that opens one document without an account, until it is withdrawn.

    The key is made from NONCE and the installation's secret and is never stored.
    """

    purpose = models.CharField(max_length=12, choices=LinkPurpose)
    nonce = models.CharField(max_length=32, unique=True)
    key_hash = models.CharField(max_length=64, unique=True)
    document = models.ForeignKey(
        Document, on_delete=models.PROTECT, related_name="links"
    )
    recipient = models.CharField(max_length=254, blank=True)
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    opened_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.purpose} {self.pk}"
