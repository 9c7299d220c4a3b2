"""Price lists of suppliers that are too long for a page to wait for."""

from celery import shared_task

from firm.clock import now
from firm.tasks import sweep
from jobs.imports import work_on_next

MOST_LISTS_A_RUN = 20


@shared_task(name="jobs.read_price_lists")
@sweep("read price lists")
def read_price_lists(**_: object) -> None:
    """Read the lists whose columns were named, and take those that were looked at."""
    for _turn in range(MOST_LISTS_A_RUN):
        if not work_on_next(now=now()):
            return
