"""Backup and restore: a drill that looks for a row known to be committed."""

import io
import subprocess
import sys
import tarfile
import threading
from pathlib import Path

import pytest
from django.conf import settings

from tests.system.processes import Installation

WRITE = """
import sys
from firm.models import Client, Firm
Firm.objects.get_or_create(pk=1, defaults={"name": "Fernhollow Gardens"})
for name in sys.argv[1:]:
    print(Client.objects.create(name=name).name)
"""
# Commits without end, and says after each that it is committed.
WRITE_ON = """
from firm.models import Client
number = 0
while True:
    Client.objects.create(name=f"client {number}")
    print(number, flush=True)
    number += 1
"""
NAMES = """
from firm.models import Client
for name in Client.objects.order_by("id").values_list("name", flat=True):
    print(name)
"""
on_sqlite = pytest.mark.skipif(
    not settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"),
    reason="SQLite files are tried in the SQLite run",
)


def empty(folder: Path) -> Installation:
    folder.mkdir()
    return Installation(
        folder=folder, database_url=f"sqlite:///{folder / 'firm.sqlite3'}"
    )


def keep_file(installation: Installation, name: str, content: bytes) -> Path:
    path = installation.folder / "var" / "files" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    return path


def test_a_restored_installation_holds_the_rows_and_the_files(installation, tmp_path):
    installation.python(WRITE, "Brook House", "Ash Cottage")
    keep_file(installation, "photos/a1.jpg", b"a photo")
    archive = tmp_path / "firm.tar"

    made = installation.manage("backup", str(archive))
    other = empty(tmp_path / "other")
    restored = other.manage("restore", str(archive))

    assert made.returncode == 0, made.stderr
    assert "The secret key is not in it." in made.stdout
    assert restored.returncode == 0, restored.stderr
    assert other.python(NAMES) == ["Brook House", "Ash Cottage"]
    photo = other.folder / "var" / "files" / "photos" / "a1.jpg"
    assert photo.read_bytes() == b"a photo"
    with tarfile.open(archive) as inside:
        assert sorted(name for name in inside.getnames() if "." in name) == [
            "about.json",
            "database.sqlite3",
            "files/photos/a1.jpg",
        ]
    assert archive.stat().st_mode & 0o777 == 0o600


@on_sqlite
def test_a_backup_under_load_lacks_no_commit_that_was_acknowledged(
    installation, tmp_path
):
    """A plain copy of the file passes every integrity check and fails this."""
    committed: list[int] = []
    enough = threading.Event()

    def read(process: "subprocess.Popen[str]") -> None:
        for line in process.stdout:
            committed.append(int(line))
            if len(committed) >= 50:
                enough.set()

    command = (sys.executable, "-c", f"import django; django.setup()\n{WRITE_ON}")
    with installation.started(*command) as writer:
        reader = threading.Thread(target=read, args=(writer,))
        reader.start()
        assert enough.wait(30)
        known = committed[-1]
        archive = tmp_path / "firm.tar.gz"
        made = installation.manage("backup", str(archive))
        writer.terminate()
        reader.join()
    assert made.returncode == 0, made.stderr
    assert committed[-1] > known  # it went on writing meanwhile

    other = empty(tmp_path / "other")
    assert other.manage("restore", str(archive)).returncode == 0
    names = other.python(NAMES)
    assert names == [f"client {number}" for number in range(len(names))]
    assert len(names) > known


def test_an_installation_in_use_is_left_alone_unless_told(installation, tmp_path):
    installation.python(WRITE, "Brook House")
    archive = tmp_path / "firm.tar"
    installation.manage("backup", str(archive))
    installation.python(WRITE, "Written since")

    refused = installation.manage("restore", str(archive))
    assert refused.returncode == 1
    assert "This installation is not empty (its database has rows)" in refused.stderr
    assert installation.python(NAMES) == ["Brook House", "Written since"]

    told = installation.manage("restore", str(archive), "--overwrite")
    assert told.returncode == 0, told.stderr
    assert installation.python(NAMES) == ["Brook House"]


def test_a_folder_of_files_that_is_not_empty_is_left_alone(installation, tmp_path):
    archive = tmp_path / "firm.tar"
    installation.manage("backup", str(archive))
    photo = keep_file(installation, "a1.jpg", b"a photo")

    refused = installation.manage("restore", str(archive))

    assert refused.returncode == 1
    assert "its folder of files is not empty" in refused.stderr
    assert photo.read_bytes() == b"a photo"


def test_an_archive_that_is_there_already_is_not_overwritten(installation, tmp_path):
    archive = tmp_path / "firm.tar"
    archive.write_text("last year's")

    refused = installation.manage("backup", str(archive))
    assert refused.returncode == 1
    assert archive.read_text() == "last year's"

    assert installation.manage("backup", str(archive), "--overwrite").returncode == 0
    assert tarfile.is_tarfile(archive)
    left = sorted(p.name for p in tmp_path.iterdir() if ".part" in p.name)
    assert left == []


@pytest.mark.parametrize("name", ["../escaped.txt", "/escaped.txt", "files/../../x"])
def test_an_archive_that_reaches_outside_is_refused(installation, tmp_path, name):
    archive = tmp_path / "evil.tar"
    with tarfile.open(archive, "w") as inside:
        member = tarfile.TarInfo(name)
        member.size = 1
        inside.addfile(member, io.BytesIO(b"x"))

    refused = installation.manage("restore", str(archive))

    assert refused.returncode == 1
    assert f"The archive holds {name!r}: refused." in refused.stderr
    assert sorted(tmp_path.rglob("escaped.txt")) == []


@pytest.mark.parametrize("content", [b"", b"no archive at all"])
def test_something_that_is_no_archive_is_refused_in_words(
    installation, tmp_path, content
):
    path = tmp_path / "x.tar"
    path.write_bytes(content)

    refused = installation.manage("restore", str(path))

    assert refused.returncode == 1
    assert "Traceback" not in refused.stderr


@pytest.mark.services
def test_postgresql_is_dumped_and_restored_whole(shared, tmp_path):
    if shared.database_url.startswith("sqlite"):
        pytest.skip("this run is on SQLite")
    shared.python(WRITE, "Brook House", "Ash Cottage")
    archive = tmp_path / "firm.tar"
    made = shared.manage("backup", str(archive))
    assert made.returncode == 0, made.stderr
    shared.python(WRITE, "Written since")

    refused = shared.manage("restore", str(archive))
    assert refused.returncode == 1
    assert shared.python(NAMES) == ["Brook House", "Ash Cottage", "Written since"]

    told = shared.manage("restore", str(archive), "--overwrite")
    assert told.returncode == 0, told.stderr
    assert shared.python(NAMES) == ["Brook House", "Ash Cottage"]
