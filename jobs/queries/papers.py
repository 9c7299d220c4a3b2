"""Issued documents: which still wait for their PDF, and the PDFs that are there."""

from django.core.files.storage import default_storage

from jobs.models import Document


def papers_waiting(*, failed: bool, most: int = 20) -> list[Document]:
    """Documents whose PDF is not drawn yet, the oldest first; or those that failed."""
    rows = Document.objects.filter(pdf="")
    rows = rows.exclude(pdf_error="") if failed else rows.filter(pdf_error="")
    return list(rows.order_by("id")[:most])


def stored_pdf(document: Document) -> bytes | None:
    """The PDF of the document; None while it is still to be drawn."""
    if not document.pdf:
        return None
    with default_storage.open(document.pdf, "rb") as kept:
        content: bytes = kept.read()
    return content
