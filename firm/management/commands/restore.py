"""Puts an archive of the backup command back into an installation."""

import json
import shutil
import sqlite3
import tarfile
import tempfile
from contextlib import closing
from pathlib import Path, PurePosixPath
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from firm.management.commands.backup import ABOUT, DUMPS, FILES, run_tool

TELLING_TABLES = ("firm_firm", "firm_person", "firm_client")


class Command(BaseCommand):
    """Restore database and files; an installation in use is left alone."""

    help = "Restores database and files from an archive of the backup command."
    # Pages that are broken must not stand in the way of the data.
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Take which archive."""
        parser.add_argument("path", type=Path)
        parser.add_argument(
            "--overwrite",
            action="store_true",
            help="put the archive in the place of what is there now",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Check everything first, then put the database and the files in place."""
        path: Path = options["path"]
        if not path.is_file():
            raise CommandError(f"There is no file {path}.")
        if not options["overwrite"] and (what := in_use()):
            raise CommandError(
                f"This installation is not empty ({what}); nothing was restored. "
                "--overwrite puts the archive in its place."
            )
        files = Path(settings.MEDIA_ROOT)
        files.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=files.parent) as name:
            folder = Path(name)
            unpack(path, folder)
            about = read_about(folder)
            dump = folder / DUMPS[connection.vendor]
            if not dump.is_file():
                raise CommandError(
                    f"The archive holds a {about['database']} database, this "
                    f"installation keeps {connection.vendor}. Restore it there."
                )
            load_database(dump)
            put_files(folder / FILES, files)
        # An archive of an older version is brought up to this one's tables.
        call_command("migrate", interactive=False, verbosity=0)
        self.stdout.write(f"Restored the archive of {about['made_at']}.")


def in_use() -> str:
    """What already stands here, in words; "" for an empty installation."""
    tables = set(connection.introspection.table_names())
    for table in TELLING_TABLES:
        if table not in tables:
            continue
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT 1 FROM {table} LIMIT 1")  # noqa: S608 - our names
            if cursor.fetchone():
                return "its database has rows"
    files = Path(settings.MEDIA_ROOT)
    if files.is_dir() and any(path.is_file() for path in files.rglob("*")):
        return "its folder of files is not empty"
    return ""


def unpack(path: Path, folder: Path) -> None:
    """Unpack plain files only, and only those that lie inside FOLDER."""
    try:
        with tarfile.open(path) as archive:
            for member in archive:
                parts = PurePosixPath(member.name).parts
                if member.isdir():
                    continue
                if not member.isfile() or ".." in parts or member.name.startswith("/"):
                    raise CommandError(f"The archive holds {member.name!r}: refused.")
                target = folder.joinpath(*parts)
                target.parent.mkdir(parents=True, exist_ok=True)
                source = archive.extractfile(member)
                assert source is not None  # noqa: S101 - isfile() said so
                with source, target.open("wb") as out:
                    shutil.copyfileobj(source, out)
    except (tarfile.TarError, EOFError, OSError) as error:
        raise CommandError(f"{path} cannot be read: {error}") from error


def read_about(folder: Path) -> dict[str, Any]:
    """What the archive says of itself."""
    try:
        about: dict[str, Any] = json.loads((folder / ABOUT).read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise CommandError("This is not an archive of the backup command.") from error
    return about


def load_database(dump: Path) -> None:
    """Put the dumped database into the place of the settings' one, whole."""
    if connection.vendor != "sqlite":
        run_tool(
            [
                "pg_restore",
                "--clean",
                "--if-exists",
                "--no-owner",
                "--single-transaction",
                "--exit-on-error",
                f"--dbname={connection.settings_dict['NAME']}",
                str(dump),
            ]
        )
        connection.close()
        return
    with closing(sqlite3.connect(dump)) as source:
        verdict = source.execute("PRAGMA integrity_check").fetchone()[0]
        if verdict != "ok":
            raise CommandError(f"The archive's database is damaged: {verdict}")
        connection.ensure_connection()
        # Page by page under SQLite's own lock: other connections see the old
        # database or the new one, and no stale -wal file can be replayed over it.
        source.backup(connection.connection)
    connection.close()


def put_files(source: Path, files: Path) -> None:
    """Put the folder SOURCE into the place of the folder FILES."""
    old = files.with_name(files.name + ".old")
    shutil.rmtree(old, ignore_errors=True)
    if files.exists():
        files.rename(old)
    if source.is_dir():
        shutil.move(source, files)
    else:
        files.mkdir()
    shutil.rmtree(old, ignore_errors=True)
