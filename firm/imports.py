"""Reads a list that somebody kept in a spreadsheet: CSV or XLSX, row by row as text."""

import csv
import datetime as dt
import io
import unicodedata
import zipfile
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.core.files.base import File
from django.utils.translation import gettext as _
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

MOST_BYTES = 5 * 1024 * 1024
# An XLSX file is packed: a small one may unfold into gigabytes.
MOST_UNPACKED_BYTES = 80 * 1024 * 1024
MOST_ROWS = 5000
MOST_COLUMNS = 60
# How far down the heads of the columns are looked for, below a title.
HEADS_WITHIN = 20
DELIMITERS = (",", ";", "\t")


class UnreadableList(Exception):
    """A file that is no list; says why and what to do."""


@dataclass(frozen=True)
class Row:
    """One line of the list; NUMBER is the one the spreadsheet shows."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """The heads of the columns and the rows below them; empty rows are left out."""

    headers: tuple[str, ...]
    rows: tuple[Row, ...]

    def columns(self, names: Mapping[str, Collection[str]]) -> dict[str, int]:
        """Where the column of each key of NAMES is; one that is missing is left out.

        NAMES gives for each key the heads by which it may be called.
        """
        places: dict[str, int] = {}
        plain = [plain_head(head) for head in self.headers]
        for key, heads in names.items():
            called = {plain_head(head) for head in heads} | {plain_head(key)}
            found = [place for place, head in enumerate(plain) if head in called]
            if len(found) > 1:
                raise UnreadableList(
                    _("Two columns could be %(key)s: “%(first)s” and “%(second)s”.")
                    % {
                        "key": key,
                        "first": self.headers[found[0]],
                        "second": self.headers[found[1]],
                    }
                )
            if found:
                places[key] = found[0]
        return places


def plain_head(head: str) -> str:
    """The head of a column without case, accents, marks and blanks."""
    bare = unicodedata.normalize("NFKD", head.casefold())
    return "".join(sign for sign in bare if sign.isalnum())


def read_table(upload: File, *, known_heads: Iterable[str] = ()) -> Table:
    """The list in UPLOAD; raises UnreadableList with what is wrong.

    The heads are the first row that is not empty or, with KNOWN_HEADS, the first of
    the top rows that holds two of them, so that a title above the heads does no harm.
    """
    size = upload.size
    if size > MOST_BYTES:
        raise UnreadableList(_("The file is larger than 5 MB."))
    upload.seek(0)
    content: bytes = upload.read()
    if not content.strip():
        raise UnreadableList(_("The file is empty."))
    lines = _workbook_lines(content) if content[:2] == b"PK" else _text_lines(content)
    return _table(lines, {plain_head(head) for head in known_heads})


def _table(lines: list[Row], known: set[str]) -> Table:
    filled = [line for line in lines if any(line.cells)]
    if not filled:
        raise UnreadableList(_("The file holds no rows."))
    place = 0
    for index, line in enumerate(filled[:HEADS_WITHIN]):
        if len({plain_head(cell) for cell in line.cells} & known) >= 2:
            place = index
            break
    heads = filled[place].cells
    while heads and not heads[-1]:
        heads = heads[:-1]
    if len(heads) > MOST_COLUMNS:
        raise UnreadableList(_("The list has more than %d columns.") % MOST_COLUMNS)
    body = filled[place + 1 :]
    if not body:
        raise UnreadableList(_("Below the heads of the columns there are no rows."))
    if len(body) > MOST_ROWS:
        raise UnreadableList(
            _("The list has more than %d rows. Split it into several files.")
            % MOST_ROWS
        )
    width = len(heads)
    return Table(
        headers=heads,
        rows=tuple(
            Row(line.number, (line.cells + ("",) * width)[:width]) for line in body
        ),
    )


# --- text ----------------------------------------------------------------------------


def _text_lines(content: bytes) -> list[Row]:
    text = _decoded(content)
    if text[:4].lower() == "sep=" and text[4:5]:
        # A first line by which spreadsheets name the mark between columns.
        first, _end, rest = text.partition("\n")
        delimiter, text, skipped = first[4], rest, 1
    else:
        delimiter, skipped = _delimiter(text), 0
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    lines: list[Row] = []
    begins = 1
    try:
        for cells in reader:
            lines.append(Row(begins + skipped, tuple(_tidy(cell) for cell in cells)))
            # A cell may hold line breaks: a row is numbered by the line it begins on.
            begins = reader.line_num + 1
            if len(lines) > 4 * MOST_ROWS:
                raise UnreadableList(_("The file has too many lines."))
    except csv.Error as error:
        raise UnreadableList(
            _("From line %(line)d on the file cannot be read as a list: %(why)s.")
            % {"line": begins + skipped, "why": error}
        ) from error
    return lines


def _decoded(content: bytes) -> str:
    not_a_list = UnreadableList(
        _("This is not a list that can be read. Save it as CSV or XLSX.")
    )
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings: tuple[str, ...] = ("utf-16",)
    else:
        if b"\0" in content or content.startswith((b"%PDF", b"{\\rtf", b"<")):
            raise not_a_list
        if content.startswith(b"\xd0\xcf\x11\xe0"):
            raise not_a_list
        encodings = ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if any(ord(sign) < 32 and sign not in "\t\r\n\f\v" for sign in text):
            raise not_a_list
        return text
    raise not_a_list


def _delimiter(text: str) -> str:
    """The mark that parts most columns in the first line with any of them."""
    for line in text.splitlines()[:HEADS_WITHIN]:
        inside = False
        counts = dict.fromkeys(DELIMITERS, 0)
        for sign in line:
            if sign == '"':
                inside = not inside
            elif sign in counts and not inside:
                counts[sign] += 1
        best = max(DELIMITERS, key=lambda mark: counts[mark])
        if counts[best]:
            return best
    return ","


# --- workbooks -----------------------------------------------------------------------


def _workbook_lines(content: bytes) -> list[Row]:
    refusal = UnreadableList(
        _("This is not a workbook that can be read. Save it as XLSX or CSV.")
    )
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            if "xl/workbook.xml" not in packed.namelist():
                raise refusal
            unpacked = sum(part.file_size for part in packed.infolist())
        if unpacked > MOST_UNPACKED_BYTES:
            raise UnreadableList(_("The workbook is too large when unpacked."))
        computed = load_workbook(io.BytesIO(content), data_only=True)
        written = load_workbook(io.BytesIO(content), data_only=False)
    except UnreadableList:
        raise
    # A damaged workbook fails in as many ways as there are parts in it.
    except Exception as error:
        raise refusal from error
    sheets = [
        sheet
        for sheet in computed.worksheets
        if sheet.sheet_state == "visible" and sheet.max_row
    ]
    for sheet in sheets:
        lines = _sheet_lines(sheet, written[sheet.title])
        if any(any(line.cells) for line in lines):
            return lines
    return []


def _sheet_lines(sheet: Worksheet, formulas: Worksheet) -> list[Row]:
    """The rows of one sheet; a cell merged downward counts for each of its rows."""
    merged: dict[tuple[int, int], tuple[int, int]] = {}
    for area in sheet.merged_cells.ranges:
        for row in range(area.min_row + 1, min(area.max_row, 4 * MOST_ROWS) + 1):
            merged[row, area.min_col] = (area.min_row, area.min_col)
    grid: dict[int, dict[int, str]] = {}
    # Only cells that are there: a sheet may claim a million empty rows.
    for (row, column), cell in sorted(sheet._cells.items()):
        if column > MOST_COLUMNS:
            continue
        value = cell.value
        if value is None:
            # A formula whose result was never stored is shown as it was written.
            value = formulas.cell(row, column).value
        if value is not None:
            grid.setdefault(row, {})[column] = _text(value)
        if len(grid) > 4 * MOST_ROWS:
            raise UnreadableList(_("The sheet has too many rows."))
    for (row, column), (top, left) in merged.items():
        text = grid.get(top, {}).get(left, "")
        # Heads and titles are not rows: only below a filled row does it count.
        if text and row in grid:
            grid[row].setdefault(column, text)
    return [
        Row(
            number,
            tuple(grid[number].get(column, "") for column in range(1, width + 1)),
        )
        for number in sorted(grid)
        for width in [max(grid[number])]
    ]


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        # 5551234.0 was typed as 5551234.
        exact = Decimal(repr(value))
        whole = exact == exact.to_integral_value()
        return str(int(exact)) if whole else format(exact, "f")
    if isinstance(value, dt.datetime):
        return value.date().isoformat() if value.time() == dt.time() else str(value)
    return _tidy(str(value))


def _tidy(text: str) -> str:
    """The text without the blanks around its lines or a mark against formulas."""
    # Files of ours put a quotation mark before what a spreadsheet would compute.
    if text[:1] == "'" and text[1:2] in set("=+-@"):
        text = text[1:]
    lines = [" ".join(line.split()) for line in text.splitlines()]
    return "\n".join(line for line in lines if line)
