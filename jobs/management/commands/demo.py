"""Prepares the invented firm and serves it on this machine."""

import hashlib
import logging
import os
import secrets
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from argparse import SUPPRESS
from contextlib import closing
from io import StringIO
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from firm import clock
from firm.actions.sending import send_next
from firm.apps import StaticFilesConfig
from firm.management.commands.serve import refuse_taken_port
from jobs.actions.demo import (
    LOGINS,
    build_firm,
    set_demo_passwords,
)
from jobs.actions.demo.story import ZONE
from jobs.documents import pdf_of
from jobs.enums import BillKind
from jobs.queries.papers import papers_waiting

logger = logging.getLogger(__name__)

DATABASE = "firm.sqlite3"
# A real firm's settings never reach the demo: it has its own everything.
NOT_OURS = (
    "ALLOWED_HOSTS",
    "BEHIND_PROXY",
    "CSRF_TRUSTED_ORIGINS",
    "DATABASE_URL",
    "DEBUG",
    "HASHED_STATIC",
    "MAIL_HOST",
    "MAIL_PASSWORD",
    "MAIL_PASSWORD_FILE",
    "MAIL_PORT",
    "MAIL_SECURITY",
    "MAIL_USER",
    "REDIS_URL",
    "SECRET_KEY",
    "SECRET_KEY_FILE",
    "SECURE",
)
REFUSED = 2
# No letters or figures that are taken for one another.
SIGNS = "abcdefghijkmnpqrstuvwxyz23456789"


class Command(BaseCommand):
    """The demo: an invented firm with a year of work around today."""

    help = (
        "Builds an invented firm in a folder of its own and serves it. A second start "
        "keeps what was done in it; --fresh builds it anew."
    )
    # Checked by `serve`, in the demo's own environment.
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the port and whether to begin anew."""
        parser.add_argument(
            "--fresh", action="store_true", help="throw the demo away and build it anew"
        )
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument(
            "--prepare-only",
            action="store_true",
            help="prepare and print the logins, but serve nothing",
        )
        parser.add_argument(
            "--folder",
            type=Path,
            default=settings.BASE_DIR / "var" / "demo",
            help="where the demo lives (default: var/demo)",
        )
        # The command calls itself with these, in the demo's own environment.
        parser.add_argument(
            "--part",
            choices=["whole", "build", "start"],
            default="whole",
            help=SUPPRESS,
        )
        parser.add_argument("--just-built", action="store_true", help=SUPPRESS)

    def handle(self, *args: Any, **options: Any) -> None:
        """Do the asked part."""
        parts = {"whole": self.whole, "build": self.build, "start": self.start}
        parts[options["part"]](options)

    def whole(self, options: dict[str, Any]) -> None:
        """Build the demo where it is missing, then go on in its own environment."""
        folder: Path = options["folder"].absolute()
        is_there = holds_a_demo(folder)
        words = ["--part", "start", "--port", str(options["port"])]
        if not options["prepare_only"]:
            refuse_taken_port("127.0.0.1", options["port"])
        if options["fresh"] or not is_there:
            self.say("Building the invented firm; this takes a moment.")
            build_aside(folder, options["port"])
            words.append("--just-built")
        if options["prepare_only"]:
            words.append("--prepare-only")
        self.stdout.flush()
        command = command_line(*words)
        os.execve(command[0], command, environment(folder, options["port"]))  # noqa: S606 - ourselves

    def build(self, options: dict[str, Any]) -> None:
        """Fill an empty database; run in a folder that nobody looks at yet."""
        refuse_other_databases()
        if (settings.VAR_DIR / DATABASE).exists():
            raise CommandError(
                "The folder to build in is not empty.", returncode=REFUSED
            )
        call_command("migrate", interactive=False, verbosity=0)
        with connection.cursor() as asked:
            # Nothing is lost should the machine stop: the folder is thrown away then.
            asked.execute("PRAGMA synchronous=OFF")
        call_command("load_catalogue", verbosity=0, stdout=StringIO())
        now = clock.now()
        build_firm(
            today=clock.today(time_zone=ZONE),
            now=now,
            passwords=new_passwords(),
            post=post,
        )
        post(now)

    def start(self, options: dict[str, Any]) -> None:
        """Bring the demo up to date, give it new passwords, print them, serve."""
        refuse_other_databases()
        if not holds_a_demo(settings.VAR_DIR):
            raise CommandError("There is no demo yet.", returncode=REFUSED)
        call_command("migrate", interactive=False, verbosity=0)
        if not options["just_built"]:
            call_command("load_catalogue", verbosity=0, stdout=StringIO())
        gather_static_files()
        passwords = new_passwords()
        set_demo_passwords(passwords=passwords, now=clock.now())
        self.say("")
        self.say(f"The demo of an invented firm: {settings.SITE_URL}/")
        for role, email in LOGINS.items():
            self.say(f"  {role:<11} {email:<28} {passwords[role]}")
        self.say("The passwords are new at each start; what was done in it is kept.")
        self.say("--fresh builds the firm anew, with a year of work around today.")
        self.say(f"Letters are written into {settings.MAIL_DIR}")
        if not options["prepare_only"]:
            self.say("Ctrl-C stops it.")
            call_command("serve", port=options["port"])

    def say(self, words: str) -> None:
        """Print a line at once."""
        self.stdout.write(words)
        self.stdout.flush()


def gather_static_files() -> None:
    """Gather and compress the static files, unless they are those of the last start."""
    files = sorted(
        f"{path} {storage.size(path)} {storage.get_modified_time(path):%s}"
        for finder in get_finders()
        for path, storage in finder.list(StaticFilesConfig.ignore_patterns)
    )
    found = hashlib.sha256("\n".join(files).encode()).hexdigest()
    stamp = settings.VAR_DIR / "static-files-gathered"
    if stamp.exists() and stamp.read_text(encoding="ascii") == found:
        return
    call_command("collectstatic", interactive=False, verbosity=0)
    stamp.write_text(found, encoding="ascii")


def refuse_other_databases() -> None:
    """Refuse to go on unless the database in use is the demo's own file."""
    used = Path(str(connection.settings_dict["NAME"]))
    if used != settings.VAR_DIR / DATABASE or connection.vendor != "sqlite":
        raise CommandError(
            "This part works on the demo's own database only. Nothing was touched.",
            returncode=REFUSED,
        )


def holds_a_demo(folder: Path) -> bool:
    """True if the demo lives in FOLDER, False if nothing does; else it is refused."""
    if not folder.exists() or not any(folder.iterdir()):
        return False
    database = folder / DATABASE
    if database.exists():
        with closing(sqlite3.connect(database)) as asked:
            try:
                row = asked.execute("SELECT is_demo FROM firm_firm").fetchone()
            except sqlite3.DatabaseError:
                row = None
        if row and row[0]:
            return True
    raise CommandError(
        f"{folder} holds something that is not marked as a demo. "
        "Nothing in it was touched.",
        returncode=REFUSED,
    )


def build_aside(folder: Path, port: int) -> None:
    """Build into a new folder beside FOLDER and move it there once it is whole."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    try:
        done = subprocess.run(  # noqa: S603 - ourselves
            command_line("--part", "build"), env=environment(aside, port), check=False
        )
        if done.returncode:
            raise CommandError("The demo could not be built; nothing was changed.")
        if folder.exists():
            old = aside.with_name(f"{aside.name}-old")
            folder.rename(old)
            aside.rename(folder)
            shutil.rmtree(old)
        else:
            aside.rename(folder)
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def command_line(*words: str) -> list[str]:
    """This command again, with WORDS."""
    return [sys.executable, str(settings.BASE_DIR / "manage.py"), "demo", *words]


def environment(folder: Path, port: int) -> dict[str, str]:
    """The environment in which FOLDER is the installation."""
    kept = {name: value for name, value in os.environ.items() if name not in NOT_OURS}
    return {
        **kept,
        "VAR_DIR": str(folder),
        "MAIL_DIR": str(folder / "outbox"),
        "SITE_URL": f"http://127.0.0.1:{port}",
        "LOG_LEVEL": os.environ.get("LOG_LEVEL", "WARNING"),
    }


def new_passwords() -> dict[str, str]:
    """A random password for each login, in four groups of four."""
    return {
        role: "-".join(
            "".join(secrets.choice(SIGNS) for _sign in range(4)) for _group in range(4)
        )
        for role in LOGINS
    }


def post(now: Any) -> None:
    """Draw the papers that wait and let the letters out that are due at NOW."""
    for document in papers_waiting(failed=False, most=100):
        if document.bill is not None and document.bill.kind == BillKind.INSTALMENT:
            # No letter waits for it; the runner draws it soon after the start.
            continue
        try:
            pdf_of(document=document, now=now)
        except Exception:
            # Kept on the document with its reason; the runner tries again later.
            logger.exception("document %s could not be drawn", document.pk)
    while send_next(now=now):
        pass
