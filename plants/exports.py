"""Files that people take away: rows of a list that were left out."""

import io
from collections.abc import Iterable

from defusedcsv import csv

from plants.queries.take_over import COLUMNS, Judged


def rows_left_out(rows: Iterable[Judged]) -> bytes:
    """A CSV with the rows that were not good, to be mended and uploaded again."""
    target = io.StringIO(newline="")
    writer = csv.writer(target)
    writer.writerow(["Row", *(str(words) for words, _more in COLUMNS.values()), "Why"])
    for row in rows:
        why = "; ".join(f"{fault.column}: {fault.why}" for fault in row.faults)
        writer.writerow([row.number, *(row.cell(key) for key in COLUMNS), why])
    # The mark at the start tells spreadsheets that it is UTF-8.
    return b"\xef\xbb\xbf" + target.getvalue().encode("utf-8")
