"""PDFs are drawn off the request, soon after their document was issued."""

import logging

from celery import shared_task

from firm.clock import now
from firm.tasks import sweep
from jobs.documents import pdf_of
from jobs.queries.papers import papers_waiting

logger = logging.getLogger(__name__)


def draw_all(*, failed: bool) -> None:
    """Draw what waits; one that cannot be drawn keeps its reason and holds up none."""
    for document in papers_waiting(failed=failed):
        try:
            pdf_of(document=document, now=now())
        except Exception:
            logger.exception("document %s could not be drawn", document.pk)


@shared_task(name="jobs.draw_waiting_documents")
@sweep("draw waiting documents")
def draw_waiting_documents(**_: object) -> None:
    """Draw the PDFs of documents that were issued."""
    draw_all(failed=False)


@shared_task(name="jobs.draw_failed_documents")
@sweep("draw failed documents")
def draw_failed_documents(**_: object) -> None:
    """Try again where drawing failed, such as after a repair."""
    draw_all(failed=True)
