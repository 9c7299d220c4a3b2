"""What happens to work and money off the request."""

from jobs.tasks.contracts import close_contracts
from jobs.tasks.documents import draw_failed_documents, draw_waiting_documents
from jobs.tasks.quotes import lapse_offers
from jobs.tasks.reminders import queue_reminders
from jobs.tasks.suppliers import read_price_lists

__all__ = [
    "close_contracts",
    "draw_failed_documents",
    "draw_waiting_documents",
    "lapse_offers",
    "queue_reminders",
    "read_price_lists",
]
