"""Reads a list that somebody kept in a spreadsheet: CSV or XLSX, row by row as text."""

import csv
import datetime as dt
import io
import re
import unicodedata
import zipfile
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import repeat
from typing import Any

from django.core.files.base import File
from django.utils.translation import gettext as _
from openpyxl import load_workbook
from openpyxl.utils.cell import range_boundaries

MOST_BYTES = 5 * 1024 * 1024
# An XLSX file is packed: a small one may unfold into gigabytes.
MOST_UNPACKED_BYTES = 80 * 1024 * 1024
MOST_ROWS = 5000
MOST_COLUMNS = 60
# How far down the heads of the columns are looked for, below a title.
HEADS_WITHIN = 20
TOP_ROWS = 40
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


def read_table(
    upload: File, *, known_heads: Iterable[str] = (), most_rows: int = MOST_ROWS
) -> Table:
    """The list in UPLOAD; raises UnreadableList with what is wrong.

    The heads are the first row that is not empty or, with KNOWN_HEADS, the first of
    the top rows that holds two of them, so that a title above the heads does no harm.
    """
    content = _content(upload)
    lines = (
        _workbook_lines(content, most_rows=most_rows)
        if content[:2] == b"PK"
        else _text_lines(content, most_rows=most_rows)
    )
    return _table(lines, {plain_head(head) for head in known_heads}, most_rows)


def read_top(upload: File, *, known_heads: Iterable[str] = ()) -> Table:
    """The heads of the list in UPLOAD and the first rows below them, without the rest.

    A long workbook takes seconds to read, its first rows do not.
    """
    content = _content(upload)
    lines = (
        _workbook_lines(content, most_rows=TOP_ROWS, only_top=True)
        if content[:2] == b"PK"
        else _text_lines(content, most_rows=TOP_ROWS, only_top=True)
    )
    return _table(lines, {plain_head(head) for head in known_heads}, TOP_ROWS)


def _content(upload: File) -> bytes:
    size = upload.size
    if size > MOST_BYTES:
        raise UnreadableList(_("The file is larger than 5 MB."))
    upload.seek(0)
    content: bytes = upload.read()
    if not content.strip():
        raise UnreadableList(_("The file is empty."))
    return content


def _table(lines: list[Row], known: set[str], most_rows: int) -> Table:
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
    if len(body) > most_rows:
        raise UnreadableList(
            _("The list has more than %d rows. Split it into several files.")
            % most_rows
        )
    width = len(heads)
    return Table(
        headers=heads,
        rows=tuple(
            Row(line.number, (line.cells + ("",) * width)[:width]) for line in body
        ),
    )


# --- text ----------------------------------------------------------------------------


def _text_lines(content: bytes, *, most_rows: int, only_top: bool = False) -> list[Row]:
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
            if only_top and len(lines) == most_rows:
                break
            if len(lines) > 4 * most_rows:
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


def _workbook_lines(
    content: bytes, *, most_rows: int, only_top: bool = False
) -> list[Row]:
    """The rows of the first visible sheet that has any.

    It is read row by row, which takes a fifth of the room of a whole workbook.
    """
    _check(content)
    try:
        book = load_workbook(io.BytesIO(content), data_only=True, read_only=True)
        for place, sheet in enumerate(book.worksheets):
            if sheet.sheet_state != "visible":
                continue
            part = _part_of(sheet, content)
            formulas = None
            if re.search(rb"<(?:\w+:)?f[ >/]", part):
                written = load_workbook(io.BytesIO(content), read_only=True)
                formulas = _values(written.worksheets[place], only_top=only_top)
            lines = _sheet_lines(
                _values(sheet, only_top=only_top),
                formulas,
                _merged_downward(part),
                most_rows,
            )
            if lines:
                return lines
    except UnreadableList:
        raise
    # A damaged workbook fails in as many ways as there are parts in it.
    except Exception as error:
        raise _no_workbook() from error
    return []


def _check(content: bytes) -> None:
    """Raises UnreadableList where the file is no workbook, or too large a one."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            if "xl/workbook.xml" not in packed.namelist():
                raise _no_workbook()
            unpacked = sum(part.file_size for part in packed.infolist())
    except UnreadableList:
        raise
    except Exception as error:
        raise _no_workbook() from error
    if unpacked > MOST_UNPACKED_BYTES:
        raise UnreadableList(_("The workbook is too large when unpacked."))


def _no_workbook() -> UnreadableList:
    return UnreadableList(
        _("This is not a workbook that can be read. Save it as XLSX or CSV.")
    )


def _part_of(sheet: Any, content: bytes) -> bytes:
    """The sheet as it is stored."""
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        return packed.read(sheet._worksheet_path)


def _values(sheet: Any, *, only_top: bool) -> Iterator[tuple[Any, ...]]:
    """The stored values, row by row."""
    # A sheet may claim other measures than it has.
    sheet.reset_dimensions()
    rows: Iterator[tuple[Any, ...]] = sheet.iter_rows(
        max_row=TOP_ROWS if only_top else None, max_col=MOST_COLUMNS, values_only=True
    )
    return rows


def _merged_downward(part: bytes) -> dict[int, list[tuple[int, int]]]:
    """By the first row of cells merged downward: their column and their last row."""
    found: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for area in re.findall(rb"<(?:\w+:)?mergeCell\s[^>]*?ref=\"([A-Z0-9:$]+)\"", part):
        left, top, _right, bottom = range_boundaries(area.decode())
        if left and top and bottom and bottom > top and left <= MOST_COLUMNS:
            found[top].append((left, bottom))
    return found


def _sheet_lines(
    rows: Iterable[tuple[Any, ...]],
    formulas: Iterable[tuple[Any, ...]] | None,
    merged: Mapping[int, Sequence[tuple[int, int]]],
    most_rows: int,
) -> list[Row]:
    """The rows of one sheet; a cell merged downward counts for each of its rows."""
    lines: list[Row] = []
    # By column: the last row for which the text above counts, and that text.
    above: dict[int, tuple[int, str]] = {}
    both = zip(rows, repeat(()) if formulas is None else formulas, strict=False)
    for number, (values, written) in enumerate(both, start=1):
        cells = ["" if value is None else _text(value) for value in values]
        # A formula whose result was never stored is shown as it was written.
        for place, formula in enumerate(written[: len(cells)]):
            if values[place] is None and formula is not None:
                cells[place] = _text(formula)
        # Heads and titles are not rows: only below a filled row does it count.
        if above and any(cells):
            for column, (last, text) in list(above.items()):
                if number > last:
                    del above[column]
                    continue
                cells += [""] * (column - len(cells))
                cells[column - 1] = cells[column - 1] or text
        for column, last in merged.get(number, ()):
            if column <= len(cells) and cells[column - 1]:
                above[column] = (last, cells[column - 1])
        while cells and not cells[-1]:
            cells.pop()
        if cells:
            lines.append(Row(number, tuple(cells)))
        if len(lines) > 4 * most_rows:
            raise UnreadableList(_("The sheet has too many rows."))
    return lines


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
