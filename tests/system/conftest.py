"""Installations of their own for tests that start processes."""

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection

from tests.system.processes import MANAGE, Installation, fresh


@pytest.fixture(scope="session")
def migrated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A migrated SQLite database that tests copy; made once a run."""
    folder = tmp_path_factory.mktemp("migrated")
    database = folder / "firm.sqlite3"
    empty = Installation(folder=folder, database_url=f"sqlite:///{database}")
    done = empty.run(sys.executable, MANAGE, "migrate", "-v0")
    assert done.returncode == 0, done.stderr
    # Nothing may stay behind in the -wal file, which a copy would miss.
    assert empty.python(
        "from django.db import connection\n"
        "with connection.cursor() as asked:\n"
        "    asked.execute('PRAGMA wal_checkpoint(TRUNCATE)')\n"
        "    print(asked.fetchone()[0])"
    ) == ["0"]
    return database


@pytest.fixture
def installation(tmp_path: Path, migrated: Path) -> Installation:
    """An empty, migrated installation on an SQLite file."""
    return fresh(tmp_path, migrated)


@pytest.fixture
def shared(
    transactional_db: None, request: pytest.FixtureRequest, tmp_path: Path
) -> Iterator[Installation]:
    """An installation on the kind of database that this test run uses.

    Rows of other processes are committed, so the database is emptied after each test.
    """
    if settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"):
        yield fresh(tmp_path, request.getfixturevalue("migrated"))
        return
    known = connection.settings_dict
    yield Installation(
        folder=tmp_path,
        database_url=(
            f"postgresql://{known['USER']}:{known['PASSWORD']}"
            f"@{known['HOST']}:{known['PORT']}/{known['NAME']}"
        ),
    )
