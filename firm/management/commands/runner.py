"""The background work without a broker: walks the schedule, runs the same tasks."""

import logging
import signal
import threading
import time
from types import FrameType
from typing import Any

from celery import current_app
from django.core.management.base import BaseCommand, CommandParser
from django.db import close_old_connections, connections
from django.utils.module_loading import autodiscover_modules

from firm.clock import now
from firm.queries.messages import messages_due
from firm.registry import ScheduleEntry, registry

logger = logging.getLogger(__name__)

LOOK_EVERY_S = 1.0
DRAIN = "drain messages"


class Command(BaseCommand):
    """Run the scheduled work here, one piece after the other, until told to stop."""

    help = "Runs the scheduled background work without a broker."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take --once."""
        parser.add_argument(
            "--once", action="store_true", help="run every piece once, then leave"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Walk the schedule until SIGTERM or SIGINT, or once."""
        autodiscover_modules("tasks")
        if options["once"]:
            for entry in registry.schedule.values():
                run(entry)
            return
        stop = threading.Event()

        def stop_soon(number: int, frame: FrameType | None) -> None:
            stop.set()

        signal.signal(signal.SIGTERM, stop_soon)
        signal.signal(signal.SIGINT, stop_soon)
        walk(stop)


def walk(stop: threading.Event) -> None:
    """Run each entry when its time has come and the outbox as soon as it is due."""
    next_at = dict.fromkeys(registry.schedule, 0.0)
    while not stop.is_set():
        for entry in registry.schedule.values():
            # The monotonic clock: a clock set back must not stop the work.
            if stop.is_set() or time.monotonic() < next_at[entry.name]:
                continue
            next_at[entry.name] = time.monotonic() + entry.every_s
            run(entry)
        if not stop.is_set() and something_is_due():
            run(registry.schedule[DRAIN])
            next_at[DRAIN] = time.monotonic() + registry.schedule[DRAIN].every_s
        close_old_connections()
        stop.wait(LOOK_EVERY_S)


def run(entry: ScheduleEntry) -> None:
    """Run one piece of work; what it raises is logged, and the others go on."""
    try:
        current_app.tasks[entry.task]()
    except Exception:
        logger.exception("%s failed", entry.name)
        # A broken connection is not carried into the next piece.
        connections.close_all()


def something_is_due() -> bool:
    """True if the outbox has work; False while the database cannot be asked."""
    try:
        return messages_due(now=now())
    except Exception:
        logger.exception("the outbox could not be looked at")
        connections.close_all()
        return False
