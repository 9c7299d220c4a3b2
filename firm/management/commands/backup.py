"""One archive with everything the firm wrote: the database and the uploaded files."""

import json
import os
import subprocess
import tarfile
import tempfile
from io import BytesIO
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from firm.clock import now

ABOUT = "about.json"
FILES = "files"
DUMPS = {"sqlite": "database.sqlite3", "postgresql": "database.dump"}


class Command(BaseCommand):
    """Write the archive; safe while the firm is at work."""

    help = "Writes database and files into one tar archive."
    # Pages that are broken must not stand in the way of the data.
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Take where to write."""
        parser.add_argument("path", type=Path)
        parser.add_argument(
            "--overwrite", action="store_true", help="replace an archive of that name"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Write into a file beside PATH first, so that PATH is whole or not there."""
        path: Path = options["path"]
        if path.exists() and not options["overwrite"]:
            raise CommandError(f"{path} is there already; nothing was written.")
        if not path.parent.is_dir():
            raise CommandError(f"There is no folder {path.parent}.")
        unfinished = path.with_name(path.name + ".part")
        try:
            with (
                tempfile.TemporaryDirectory(dir=path.parent) as folder,
                # The archive holds addresses and gate codes: nobody else reads it.
                os.fdopen(
                    os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600),
                    "wb",
                ) as out,
                tarfile.open(
                    fileobj=out, mode="w:gz" if path.suffix in {".gz", ".tgz"} else "w"
                ) as archive,
            ):
                # The database first: every file it names is then already there.
                dump = Path(folder) / DUMPS[connection.vendor]
                dump_database(dump)
                add_text(archive, ABOUT, json.dumps(about(), indent=1))
                archive.add(dump, dump.name)
                files = Path(settings.MEDIA_ROOT)
                if files.is_dir():
                    archive.add(files, FILES)
            os.replace(unfinished, path)
        finally:
            unfinished.unlink(missing_ok=True)
        self.stdout.write(f"Wrote {path} ({path.stat().st_size / 1e6:.1f} MB).")
        self.stdout.write(
            "The secret key is not in it. Keep a copy of it apart from this archive: "
            "links that were sent and the mail password need it."
        )


def dump_database(target: Path) -> None:
    """Write a copy of the database as of one moment to TARGET."""
    if connection.vendor == "sqlite":
        # A plain copy of the file would lack what still stands in the -wal file.
        with connection.cursor() as cursor:
            cursor.execute("VACUUM INTO %s", [str(target)])
        return
    run_tool(["pg_dump", "--format=custom", "--no-owner", f"--file={target}"])


def run_tool(command: list[str]) -> None:
    """Run a PostgreSQL tool against the settings' database."""
    wanted = {
        "PGHOST": "HOST",
        "PGPORT": "PORT",
        "PGUSER": "USER",
        "PGPASSWORD": "PASSWORD",
        "PGDATABASE": "NAME",
    }
    known = connection.settings_dict
    # By the environment: a command line can be read by every user of the machine.
    environment = os.environ | {
        name: str(known[column]) for name, column in wanted.items() if known[column]
    }
    try:
        subprocess.run(  # noqa: S603 - our own command line
            command, env=environment, check=True, capture_output=True, text=True
        )
    except FileNotFoundError as error:
        raise CommandError(
            f"{command[0]} is not installed; it comes with postgresql-client."
        ) from error
    except subprocess.CalledProcessError as error:
        raise CommandError(f"{command[0]}: {error.stderr.strip()}") from error


def about() -> dict[str, Any]:
    """What the archive is: its moment, its kind of database, its migrations."""
    applied = MigrationRecorder(connection).applied_migrations()
    return {
        "made_at": now().isoformat(timespec="seconds"),
        "database": connection.vendor,
        "migrations": sorted(f"{app}.{name}" for app, name in applied),
    }


def add_text(archive: tarfile.TarFile, name: str, text: str) -> None:
    """Add TEXT to the archive as the file NAME."""
    content = text.encode()
    member = tarfile.TarInfo(name)
    member.size = len(content)
    member.mtime = int(now().timestamp())
    archive.addfile(member, BytesIO(content))
