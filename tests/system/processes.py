"""Real processes of ours around a database of their own."""

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
MANAGE = str(ROOT / "manage.py")
# A kind that is held after a crash, beside the trial letter, which is sent again.
PRELUDE = """
import django; django.setup()
from firm.registry import Letter, MessageKind, registry
registry.add_message_kind(MessageKind(
    name="kind: hold", words="hold", after_crash="hold",
    write=lambda message: Letter(subject="Visit", text="We come."),
    still_wanted=lambda message, now: True,
))
"""
QUEUE = """
import datetime as dt, sys
from firm.actions.messages import queue
now = dt.datetime.fromisoformat(sys.argv[2])
for number in range(int(sys.argv[1])):
    print(queue(
        key=f"trial:{number}", kind=sys.argv[3],
        recipient=f"kit{number}@brook.example", payload={"name": "Kit"},
        due_at=now, language="en", now=now,
    ).message_id)
"""
STATES = """
from firm.models import Message
for row in Message.objects.order_by("id").values_list("state", "attempts"):
    print(*row)
"""


@dataclass
class Installation:
    """A database, a folder and an environment; commands run in processes."""

    folder: Path
    database_url: str
    words: dict[str, str] = field(default_factory=dict)

    @property
    def environment(self) -> dict[str, str]:
        kept = ("PATH", "HOME", "LANG", "TMPDIR")
        return {
            **{name: os.environ[name] for name in kept if name in os.environ},
            "DATABASE_URL": self.database_url,
            "VAR_DIR": str(self.folder / "var"),
            "SECRET_KEY": "a key for trials only, never for a firm's own data",
            "HASHED_STATIC": "0",
            "LOG_LEVEL": "WARNING",
            "DJANGO_SETTINGS_MODULE": "firm.settings",
            "PYTHONPATH": str(ROOT),
            **self.words,
        }

    def manage(self, *command: str) -> "subprocess.CompletedProcess[str]":
        """What `manage.py COMMAND` said, and its code."""
        return self.run(sys.executable, MANAGE, *command)

    def python(self, code: str, *arguments: str) -> list[str]:
        """The lines that CODE printed, with Django set up; it must succeed."""
        done = self.run(sys.executable, "-c", PRELUDE + code, *arguments)
        assert done.returncode == 0, done.stderr
        return done.stdout.splitlines()

    def run(self, *command: str) -> "subprocess.CompletedProcess[str]":
        return subprocess.run(
            command,
            env=self.environment,
            cwd=self.folder,
            capture_output=True,
            text=True,
            timeout=60,
        )

    @contextmanager
    def started(self, *command: str) -> Iterator["subprocess.Popen[str]"]:
        """A process that is ended (and waited for) at the end."""
        process = subprocess.Popen(
            command,
            env=self.environment,
            cwd=self.folder,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        try:
            yield process
        finally:
            if process.poll() is None:
                process.terminate()
                try:
                    process.wait(timeout=20)
                except subprocess.TimeoutExpired:
                    process.kill()
                    process.wait()
            for pipe in (process.stdin, process.stdout):
                if pipe is not None:
                    pipe.close()

    def queue(self, count: int, *, now: str, kind: str = "trial letter") -> list[str]:
        """The message numbers of COUNT messages that are due NOW."""
        return self.python(QUEUE, str(count), now, kind)

    def states(self) -> list[str]:
        """State and tries of each message, in the order of queueing."""
        return self.python(STATES)


def fresh(folder: Path, template: Path) -> Installation:
    """An installation on a copy of the migrated SQLite database TEMPLATE."""
    database = folder / "firm.sqlite3"
    shutil.copy(template, database)
    return Installation(folder=folder, database_url=f"sqlite:///{database}")


def eventually(
    true: Callable[[], object], *, within_s: float = 20.0, words: str = ""
) -> None:
    """Wait until TRUE() holds; fail with WORDS if it never does."""
    until = time.monotonic() + within_s
    while time.monotonic() < until:
        if true():
            return
        time.sleep(0.05)
    raise AssertionError(words or "it did not happen in time")


def children_of(pid: int) -> list[int]:
    """The processes whose parent is PID."""
    found = []
    for status in Path("/proc").glob("[0-9]*/status"):
        try:
            text = status.read_text()
        except OSError:
            continue
        if re.search(rf"^PPid:\s+{pid}$", text, re.MULTILINE):
            found.append(int(status.parent.name))
    return sorted(found)


def family_of(pid: int) -> list[int]:
    """All processes below PID."""
    found = []
    for child in children_of(pid):
        found += [child, *family_of(child)]
    return found


def alive(pid: int) -> bool:
    """True if PID runs and is not merely waiting to be buried."""
    try:
        text = Path(f"/proc/{pid}/status").read_text()
    except OSError:
        return False
    return not re.search(r"^State:\s+[ZX]", text, re.MULTILINE)


def command_line(pid: int) -> str:
    """The command line of PID, or "" if it is gone."""
    try:
        return Path(f"/proc/{pid}/cmdline").read_text().replace("\0", " ")
    except OSError:
        return ""


def kill_hard(pid: int) -> None:
    """End PID without a word."""
    os.kill(pid, signal.SIGKILL)
