"""How long a supplier's list of twenty thousand rows takes, and how much memory.

`.venv/bin/python -m tests.bench.prices` prints the figures beside their bounds and ends
with 1 where a bound is missed. It is no test: a busy machine would fail it. The list is
read and taken into a database of its own, in a process of its own.
"""

import csv
import io
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from openpyxl import Workbook

ROWS = 20_000
MOST_S = 20.0
MOST_MB = 300.0
HEADS = ("Item no", "Botanical name", "Size", "Price", "10+", "Available", "Weight")

WORK = """
import datetime as dt, os, resource, sys, time
from pathlib import Path
import django
django.setup()
from django.core.files.base import ContentFile
from django.core.management import call_command
call_command("migrate", verbosity=0)
from firm.models import Firm, Person
from jobs.actions.suppliers import (
    ListDetails, SupplierDetails, choose_columns, create_supplier, order_taking,
    upload_list,
)
from jobs.imports import work_on_next
from jobs.queries.price_lists.columns import guess_columns, known_heads
from jobs.models import SupplierItem
from firm.imports import read_top
from plants.models import Group, Plant
now = dt.datetime.now(dt.UTC)
person = Person.objects.create(name="Wren", role="owner")
group = Group.objects.create(key="g", name="G", kind="shrub", facts={})
Plant.objects.bulk_create(
    Plant(key=f"p{n}", group=group, common=f"Plant {n}",
          botanical=f"Genus{n % 90} species{n} 'Cultivar {n}'") for n in range(700)
)
content = Path(sys.argv[1]).read_bytes()
supplier = create_supplier(details=SupplierDetails(name="N"), by=person, now=now)
began = time.perf_counter()
for turn in range(2):
    top = read_top(ContentFile(content), known_heads=known_heads())
    chosen = guess_columns(top.headers)
    kept = upload_list(
        supplier_id=supplier.pk,
        details=ListDetails(
            file_name="list", content=content, priced_on=now.date(), kind="plant",
            is_whole=True,
            columns={"heads": list(top.headers), "sample": [], "chosen": chosen},
        ),
        by=person, now=now,
    )
    choose_columns(list_id=kept.pk, chosen=chosen, remembered={}, by=person, now=now)
    assert work_on_next(now=now)
    read_s = time.perf_counter() - began
    order_taking(list_id=kept.pk, by=person, now=now)
    assert work_on_next(now=now)
    whole_s = time.perf_counter() - began
    room = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    count = SupplierItem.objects.count()
    print(count, round(read_s, 2), round(whole_s, 2), round(room))
    began = time.perf_counter()
"""


def rows() -> list[tuple[object, ...]]:
    """Invented rows: a third of the names are the catalogue's, some are misspelt."""
    found = []
    for n in range(ROWS):
        name = f"Genus{n % 90} species{n % 2100} 'Cultivar {n % 2100}'"
        if n % 7 == 0:
            name = name.replace("species", "speces")
        price = 5 + n % 400 / 4
        found.append(
            (f"B{n}", name, f"#{(1, 3, 5)[n % 3]}", price, price - 1, n % 300, "20 lb")
        )
    return found


def as_csv(file: Path) -> None:
    """The rows as CSV."""
    text = io.StringIO()
    csv.writer(text).writerows([HEADS, *rows()])
    file.write_text(text.getvalue())


def as_workbook(file: Path) -> None:
    """The rows as XLSX, below a title."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet()
    for row in [("Spring list",), HEADS, *rows()]:
        sheet.append(row)
    book.save(file)


def as_merged_workbook(file: Path) -> None:
    """The rows as XLSX with merged cells, which are not read row by row."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in [("Spring list",), HEADS, *rows()]:
        sheet.append(row)
    sheet.merge_cells("A1:G1")
    book.save(file)


def main() -> int:
    """Print every figure; 1 when one of them is over its bound."""
    is_missed = False
    ways = (
        ("csv", as_csv),
        ("xlsx", as_workbook),
        ("xlsx with merged cells", as_merged_workbook),
    )
    for words, write in ways:
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "list"
            write(file)
            done = subprocess.run(
                [sys.executable, "-c", WORK, str(file)],
                capture_output=True,
                text=True,
                check=False,
                cwd=Path(__file__).parents[2],
                env={
                    **os.environ,
                    "DJANGO_SETTINGS_MODULE": "firm.settings",
                    "DATABASE_URL": f"sqlite:///{folder}/bench.sqlite3",
                    "SECRET_KEY": "for-the-bench-only-" * 4,
                },
            )
        if done.returncode:
            print(done.stderr)  # noqa: T201
            return 1
        for turn, line in zip(("new", "again"), done.stdout.splitlines(), strict=True):
            items, read_s, whole_s, room = (float(word) for word in line.split())
            print(  # noqa: T201
                f"{words}, {turn}: {items:.0f} items, read {read_s:.1f} s, taken "
                f"{whole_s:.1f} s (most {MOST_S:.0f}), {room:.0f} MB (most "
                f"{MOST_MB:.0f})"
            )
            is_missed |= items != ROWS or whole_s > MOST_S or room > MOST_MB
    return int(is_missed)


if __name__ == "__main__":
    raise SystemExit(main())
