"""What happens off the request: run by the embedded runner and by Celery alike."""

from collections.abc import Callable
from functools import wraps

from celery import shared_task

from firm.actions.sending import send_next
from firm.actions.sweeps import sweep_finished, sweep_started
from firm.clock import now

# One run gives way to the other sweeps after so many; the next run goes on.
MOST_LETTERS_A_RUN = 200

Work = Callable[..., None]


def sweep(name: str) -> Callable[[Work], Work]:
    """A task's body that leaves a mark: when it began, when it ended, how it failed.

    NAME is the schedule entry's name, so that the messages page finds the mark.
    """

    def marked(work: Work) -> Work:
        @wraps(work)
        def run(**words: object) -> None:
            sweep_started(name=name, now=now())
            try:
                work(**words)
            except Exception as error:
                sweep_finished(
                    name=name,
                    now=now(),
                    error=f"{type(error).__name__}: {error}"[:500],
                )
                raise
            sweep_finished(name=name, now=now())

        return run

    return marked


@shared_task(name="firm.drain_messages")
@sweep("drain messages")
def drain_messages(**_: object) -> None:
    """Send what is due, one message at a time."""
    for _turn in range(MOST_LETTERS_A_RUN):
        if not send_next(now=now()):
            return
