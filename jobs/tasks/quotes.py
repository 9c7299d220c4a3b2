"""Offers that nobody answered are reminded of, and run out."""

from celery import shared_task

from firm.clock import now
from firm.tasks import sweep
from jobs.actions.quotes import lapse_offers as lapse
from jobs.actions.quotes import remind_of_offers as remind


@shared_task(name="jobs.lapse_offers")
@sweep("lapse offers")
def lapse_offers(**_: object) -> None:
    """Let the offers lapse whose last day is over."""
    lapse(now=now())


@shared_task(name="jobs.remind_of_offers")
@sweep("remind of offers")
def remind_of_offers(**_: object) -> None:
    """Remind the clients whose offers soon run out."""
    remind(now=now())
