"""Issuing documents and drawing their PDFs."""

import datetime as dt
import hashlib
from collections.abc import Mapping
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction

from firm.actions.record import record
from firm.models import Person
from jobs.enums import DocumentKind
from jobs.models import Bill, Contract, Document, Job, Quote
from jobs.models.documents import fingerprint, plain
from plants.models import Garden


@transaction.atomic
def issue(
    *,
    kind: DocumentKind,
    number: str,
    garden: Garden,
    snapshot: Mapping[str, Any],
    now: dt.datetime,
    by: Person | None,
    language: str = "en",
    quote: Quote | None = None,
    contract: Contract | None = None,
    bill: Bill | None = None,
    job: Job | None = None,
) -> Document:
    """The new document, fixed with its hash; its PDF is drawn off the request."""
    document = Document.objects.create(
        kind=kind,
        number=number,
        garden=garden,
        quote=quote,
        contract=contract,
        bill=bill,
        job=job,
        language=language,
        snapshot=plain(snapshot),
        sha256=fingerprint(snapshot),
        issued_at=now,
    )
    record(
        action="document issued",
        subject=document,
        summary=f"{document.get_kind_display()} {number} issued",
        now=now,
        by=by,
    )
    return document


def keep_pdf(*, document: Document, pdf: bytes, now: dt.datetime) -> Document:
    """The document with its PDF stored; a second drawing of it is thrown away."""
    name = default_storage.save(
        f"documents/{document.kind.replace(' ', '-')}-{document.pk}.pdf",
        ContentFile(pdf),
    )
    kept = Document.objects.filter(pk=document.pk, pdf="").update(
        pdf=name,
        pdf_sha256=hashlib.sha256(pdf).hexdigest(),
        pdf_drawn_at=now,
        pdf_error="",
    )
    if not kept:
        default_storage.delete(name)
    document.refresh_from_db()
    return document


def note_pdf_failure(*, document: Document, reason: str) -> None:
    """Keep on the document why its PDF could not be drawn."""
    Document.objects.filter(pk=document.pk, pdf="").update(pdf_error=reason[:300])
