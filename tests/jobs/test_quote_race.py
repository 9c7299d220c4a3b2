"""Of many who agree at once one is taken, whatever the database."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

from tests.jobs.race_to_agree import race

THREADS = 20
RACE = (
    "import django; django.setup();"
    f" from tests.jobs.race_to_agree import tell; tell({THREADS})"
)
ONE = {
    "answers": {"302": 1, "409": THREADS - 1},
    "agreements": 1,
    "jobs": 1,
    "messages": {"quote offered": 1, "quote agreed": 1, "quote agreed note": 1},
    "state": "agreed",
}


def test_twenty_who_agree_at_once_make_one_agreement_in_a_file(tmp_path: Path) -> None:
    env = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "firm.settings",
        "DATABASE_URL": f"sqlite:///{tmp_path / 'race.sqlite3'}",
        "SECRET_KEY": "race",
        "VAR_DIR": str(tmp_path),
        "HASHED_STATIC": "no",
        "ALLOWED_HOSTS": "testserver",
    }
    done = subprocess.run(
        [sys.executable, "-c", RACE],
        env=env,
        cwd=Path(__file__).resolve().parents[2],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == ONE


@pytest.mark.django_db(transaction=True)
@pytest.mark.skipif(
    "postgresql" not in os.environ.get("DATABASE_URL", ""),
    reason="threads cannot share a database in memory; the file stands for it",
)
def test_twenty_who_agree_at_once_make_one_agreement_on_the_server() -> None:
    assert connection.vendor == "postgresql"
    assert json.loads(json.dumps(race(THREADS))) == ONE
