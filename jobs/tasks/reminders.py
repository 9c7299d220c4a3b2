"""The sweep that puts the reminders of the coming days into the outbox."""

from celery import shared_task

from firm.clock import now
from firm.tasks import sweep
from jobs.actions.reminders import queue_reminders as put_into_outbox


@shared_task(name="jobs.queue_reminders")
@sweep("queue reminders")
def queue_reminders(**_: object) -> None:
    """Queue rounds, clients' reminders and morning lists; each of them once."""
    put_into_outbox(now=now())
