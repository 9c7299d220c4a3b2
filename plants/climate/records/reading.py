"""Reading any file of daily weather that is known here."""

from plants.climate.records import ghcn
from plants.climate.records.columns import Columns
from plants.climate.records.days import DailyRecords
from plants.climate.records.opening import MOST_BYTES, plain_content
from plants.climate.records.sifting import Report
from plants.climate.records.tables import read_table


def read_records(
    content: bytes, *, columns: Columns | None = None, most_bytes: int = MOST_BYTES
) -> tuple[DailyRecords, Report]:
    """The daily record in a file, with the account of what was not kept.

    RecordError says why a file is none; ColumnsNeeded asks for the columns of a table.
    """
    plain = plain_content(content, most=most_bytes)
    first = next(
        (line for line in plain[:8192].splitlines() if line.strip()), b""
    ).removeprefix(b"\xef\xbb\xbf")
    if ghcn.is_fixed(first):
        return ghcn.read_fixed(plain)
    if ghcn.is_csv(first):
        return ghcn.read_csv(plain)
    return read_table(plain, columns=columns)
