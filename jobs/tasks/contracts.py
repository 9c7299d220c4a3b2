"""Care contracts that run out: offers nobody answered, years that are over."""

from celery import shared_task

from firm.clock import now
from firm.tasks import sweep
from jobs.actions.contracts import end_contracts_over, lapse_contracts


@shared_task(name="jobs.close_contracts")
@sweep("close contracts")
def close_contracts(**_: object) -> None:
    """Let offers lapse and contracts end whose last day is over."""
    lapse_contracts(now=now())
    end_contracts_over(now=now())
