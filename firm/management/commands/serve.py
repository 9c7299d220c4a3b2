"""The web server and the background work under one small parent."""

import ctypes
import os
import signal
import socket
import subprocess
import sys
import time
from contextlib import suppress
from dataclasses import dataclass
from io import StringIO
from types import FrameType
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from firm.registry import registry

PR_SET_PDEATHSIG = 1
FIRST_PAUSE_S = 0.5
LONGEST_PAUSE_S = 30.0
# A child that lived so long was well; its next fall starts from the shortest pause.
WELL_AFTER_S = 30.0
PATIENCE_AT_STOP_S = 10.0
LOOK_EVERY_S = 0.1


@dataclass
class Child:
    """A process that is kept running."""

    name: str
    command: list[str]
    process: "subprocess.Popen[bytes] | None" = None
    started_at_s: float = 0.0
    pause_s: float = FIRST_PAUSE_S
    next_start_s: float = 0.0

    def start(self) -> None:
        """Start it; the kernel ends it should this parent die (Linux)."""
        parent = os.getpid()

        def die_with_parent() -> None:
            ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGTERM)
            if os.getppid() != parent:
                os._exit(1)

        self.started_at_s = time.monotonic()
        self.process = subprocess.Popen(  # noqa: S603 - our own command line
            self.command,
            preexec_fn=die_with_parent if sys.platform == "linux" else None,
            # Ctrl-C reaches the parent alone, which then stops its children in order.
            start_new_session=True,
        )

    def look(self) -> str:
        """What happened to it, in words; starts it again after a pause."""
        now_s = time.monotonic()
        if self.process is not None:
            if (code := self.process.poll()) is None:
                return ""
            if now_s - self.started_at_s >= WELL_AFTER_S:
                self.pause_s = FIRST_PAUSE_S
            self.process = None
            self.next_start_s = now_s + self.pause_s
            words = f"{self.name} ended ({code}); again in {self.pause_s:g} s"
            self.pause_s = min(2 * self.pause_s, LONGEST_PAUSE_S)
            return words
        if now_s >= self.next_start_s:
            self.start()
        return ""


class Command(BaseCommand):
    """Serve the pages and do the background work until told to stop."""

    help = "Starts the web server and the background work, and keeps both running."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take where to listen and what to prepare."""
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--workers", type=int, default=2)
        parser.add_argument(
            "--migrate", action="store_true", help="bring the database up to date first"
        )
        parser.add_argument(
            "--collectstatic", action="store_true", help="gather static files first"
        )
        parser.add_argument(
            "--web-only",
            action="store_true",
            help="leave the background work to a Celery worker and beat",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Prepare, start, watch, stop."""
        if options["workers"] < 1:
            raise CommandError("--workers: at least one is needed.")
        host, port = options["host"], options["port"]
        refuse_taken_port(host, port)
        if options["migrate"]:
            call_command("migrate", interactive=False, verbosity=0)
        elif behind := unapplied_migrations():
            raise CommandError(
                f"The database is {behind} migrations behind. Run this command "
                "with --migrate, or `manage.py migrate` first."
            )
        if options["collectstatic"]:
            call_command("collectstatic", interactive=False, verbosity=0)
        for name in registry.start_commands:
            try:
                call_command(name, verbosity=0, stdout=StringIO())
            except CommandError as error:
                # What was there before still serves.
                self.stderr.write(str(error))
        connection.close()
        children = [Child("the web server", web_command(host, port, options))]
        if not options["web_only"]:
            children.append(
                Child("the background work", [sys.executable, manage_py(), "runner"])
            )
        self.watch(children, host, port)

    def watch(self, children: list[Child], host: str, port: int) -> None:
        """Keep the children running until SIGTERM or SIGINT, then stop them."""
        stopping = False

        def stop_soon(number: int, frame: FrameType | None) -> None:
            nonlocal stopping
            stopping = True

        signal.signal(signal.SIGTERM, stop_soon)
        signal.signal(signal.SIGINT, stop_soon)
        said = False
        try:
            while not stopping:
                for child in children:
                    if words := child.look():
                        self.stderr.write(words)
                if not said and answers(host, port):
                    self.stdout.write(f"Open http://{in_url(host)}:{port}/")
                    self.stdout.flush()
                    said = True
                time.sleep(LOOK_EVERY_S)
        finally:
            stop(children)


def stop(children: list[Child]) -> None:
    """End all children: SIGTERM, and SIGKILL for one that does not go in time."""
    running = [child.process for child in children if child.process is not None]
    for process in running:
        process.terminate()
    until_s = time.monotonic() + PATIENCE_AT_STOP_S
    for process in running:
        try:
            process.wait(timeout=max(0.0, until_s - time.monotonic()))
        except subprocess.TimeoutExpired:
            # Its whole session, so that no web worker stays behind.
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def web_command(host: str, port: int, options: dict[str, Any]) -> list[str]:
    """The command line of the web server."""
    return [
        sys.executable,
        "-m",
        "gunicorn",
        "firm.wsgi:application",
        "--chdir",
        str(settings.BASE_DIR),
        "--bind",
        f"{in_url(host)}:{port}",
        "--workers",
        str(options["workers"]),
        "--threads",
        "4",
        "--graceful-timeout",
        "8",
        "--no-control-socket",
        "--log-level",
        "warning",
    ]


def manage_py() -> str:
    """The path of manage.py."""
    return str(settings.BASE_DIR / "manage.py")


def in_url(host: str) -> str:
    """The host as an address bar takes it."""
    return f"[{host}]" if ":" in host else host


def refuse_taken_port(host: str, port: int) -> None:
    """Refuse at once when something else listens there, rather than restart forever."""
    if answers(host, port):
        raise CommandError(
            f"Something already listens on {host}:{port}. Choose another --port."
        )


def answers(host: str, port: int) -> bool:
    """True if something accepts connections there."""
    address = "127.0.0.1" if host == "0.0.0.0" else host  # noqa: S104 - only compared
    with suppress(OSError), socket.create_connection((address, port), timeout=1):
        return True
    return False


def unapplied_migrations() -> int:
    """How many migrations the database lacks."""
    executor = MigrationExecutor(connection)
    return len(executor.migration_plan(executor.loader.graph.leaf_nodes()))
