"""What happens to work and money off the request."""

from jobs.tasks.documents import draw_failed_documents, draw_waiting_documents
from jobs.tasks.quotes import lapse_offers

__all__ = [
    "draw_failed_documents",
    "draw_waiting_documents",
    "lapse_offers",
]
