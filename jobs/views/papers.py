"""Handing out the PDF of an issued document; it is never drawn while somebody waits."""

from typing import TYPE_CHECKING

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.queries.papers import stored_pdf

if TYPE_CHECKING:
    from jobs.models import Document

SECONDS_TO_LOOK_AGAIN = 5


def pdf_answer(
    request: HttpRequest, document: "Document", *, file_name: str
) -> HttpResponse:
    """The PDF, or while it is still to be drawn a page (202) that looks again."""
    content = stored_pdf(document)
    if content is None:
        answer = render(
            request, "jobs/paper_waits.html", {"document": document}, status=202
        )
        answer["Refresh"] = str(SECONDS_TO_LOOK_AGAIN)
        answer["Cache-Control"] = "no-store"
        return answer
    answer = HttpResponse(content, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{file_name}.pdf"'
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = "private, no-store"
    return answer
