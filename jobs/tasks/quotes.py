"""Offers that nobody answered run out."""

from celery import shared_task

from firm.clock import now
from firm.tasks import sweep
from jobs.actions.quotes import lapse_offers as lapse


@shared_task(name="jobs.lapse_offers")
@sweep("lapse offers")
def lapse_offers(**_: object) -> None:
    """Let the offers lapse whose last day is over."""
    lapse(now=now())
