"""PDFs: a snapshot and a template in, bytes out; nothing is fetched from anywhere."""

import datetime as dt
import mimetypes
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from django.contrib.staticfiles import finders
from django.core.files.storage import default_storage
from django.template.loader import render_to_string
from django.utils import translation
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

from jobs.actions.documents import keep_pdf, note_pdf_failure
from jobs.enums import DocumentKind
from jobs.models import Document

TEMPLATES = {
    DocumentKind.QUOTE: "documents/quote.html",
    DocumentKind.CARE_GUIDE: "documents/care_guide.html",
    DocumentKind.CONTRACT: "documents/contract.html",
    DocumentKind.BILL: "documents/bill.html",
    DocumentKind.ROUND_SHEET: "documents/round_sheet.html",
}

# The address our templates and style sheets resolve against; it exists nowhere, and
# the fetcher answers it from our own static files without any network.
OWN_FILES = "https://own.invalid/static/"


class NotOurs(ValueError):
    """A document asked for something that is not one of our own files."""


class OwnFilesOnly(URLFetcher):
    """Hands out our static files and `data:` images, and refuses all else."""

    def fetch(
        self, url: str, headers: Mapping[str, str] | None = None
    ) -> URLFetcherResponse:
        """The bytes at URL; NotOurs for any address that leads elsewhere."""
        if url.startswith("data:image/"):
            return super().fetch(url, headers)
        if url.startswith(OWN_FILES):
            name = unquote(urlsplit(url).path).removeprefix("/static/")
            found = finders.find(name) if ".." not in name.split("/") else None
            if isinstance(found, str):
                kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
                return URLFetcherResponse(
                    url, body=Path(found).read_bytes(), headers={"Content-Type": kind}
                )
        raise NotOurs(f"a document may not fetch {url[:80]}")


def draw_pdf(
    *, template: str, context: Mapping[str, Any], language: str = "en"
) -> bytes:
    """The PDF of TEMPLATE filled with CONTEXT, fonts embedded, tagged for readers."""
    with translation.override(language):
        html = render_to_string(template, {"language": language, **context})
    fonts = FontConfiguration()
    fetcher = OwnFilesOnly(allowed_protocols={"data"}, allow_redirects=False)
    sheet = CSS(url=f"{OWN_FILES}print.css", url_fetcher=fetcher, font_config=fonts)
    drawn: bytes = HTML(string=html, base_url=OWN_FILES, url_fetcher=fetcher).write_pdf(
        stylesheets=[sheet],
        font_config=fonts,
        pdf_variant="pdf/ua-1",
        optimize_images=True,
        dpi=150,
        jpeg_quality=70,
    )
    return drawn


def pdf_of(*, document: Document, now: dt.datetime) -> bytes:
    """The PDF of DOCUMENT, drawn and kept now if it was not yet."""
    if not document.pdf:
        template = TEMPLATES[DocumentKind(document.kind)]
        try:
            drawn = draw_pdf(
                template=template,
                context={"paper": document.snapshot, "number": document.number},
                language=document.language,
            )
        except Exception as fault:
            note_pdf_failure(document=document, reason=str(fault))
            raise
        document = keep_pdf(document=document, pdf=drawn, now=now)
    with default_storage.open(document.pdf, "rb") as kept:
        stored: bytes = kept.read()
    return stored
