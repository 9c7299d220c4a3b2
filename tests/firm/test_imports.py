"""Lists that people keep in spreadsheets, read as text row by row."""

import datetime as dt
import io
import zipfile
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from firm.imports import (
    MOST_BYTES,
    MOST_ROWS,
    Row,
    Table,
    UnreadableList,
    read_table,
)

HEADS = ("Client", "Address", "Telephone")


def read(content: bytes, name: str = "list.csv", **words: Any) -> Table:
    return read_table(SimpleUploadedFile(name, content), **words)


def workbook(*rows: list[Any], **sheets: list[list[Any]]) -> bytes:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    for title, lines in sheets.items():
        more = book.create_sheet(title)
        for row in lines:
            more.append(row)
    return saved(book)


def saved(book: Workbook) -> bytes:
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_csv_is_read_whatever_its_marks_and_encoding(
    mark: str, encoding: str, end: str
) -> None:
    lines = [mark.join(HEADS), mark.join(["Günther & Söhne", "Größe 3", "0133"]), ""]

    table = read(end.join(lines).encode(encoding))

    assert table == Table(HEADS, (Row(2, ("Günther & Söhne", "Größe 3", "0133")),))


def test_marks_and_line_breaks_inside_quotes_belong_to_the_cell() -> None:
    text = (
        'Client;Address\r\n"Quill, D.; L.";"9 Orchard Row\r\n Fernhollow"\r\nMoss;1\r\n'
    )

    table = read(text.encode())

    assert table.rows == (
        Row(2, ("Quill, D.; L.", "9 Orchard Row\nFernhollow")),
        # The row after a broken cell keeps the line number an editor shows.
        Row(4, ("Moss", "1")),
    )


def test_a_line_that_names_the_mark_is_not_a_row() -> None:
    assert read(b"sep=;\nClient;Address\nMoss, End;1 Lane\n") == Table(
        ("Client", "Address"), (Row(3, ("Moss, End", "1 Lane")),)
    )


def test_empty_lines_are_left_out_and_short_ones_filled() -> None:
    table = read(
        b"\n\nClient,Address,Telephone\n,,\nMoss,1 Lane\n   , ,\nQuill,2,3,4\n"
    )
    assert table.headers == HEADS
    assert table.rows == (
        Row(5, ("Moss", "1 Lane", "")),
        Row(7, ("Quill", "2", "3")),
    )


def test_a_title_above_the_heads_is_passed_over_when_heads_are_known() -> None:
    text = b"Our clients,,\nas of March,,\nClient,Address,Telephone\nMoss,1 Lane,\n"
    assert read(text, known_heads=["client", "address"]).headers == HEADS
    assert read(text).headers == ("Our clients",)


def test_a_workbook_is_read_as_text() -> None:
    content = workbook(
        ["Client", "Number", "Day", "Share", "Lead", "Text"],
        ["Moss", 5551234, dt.date(2026, 3, 2), 38.6, True, " two  blanks "],
        [None, 5551234.0, dt.time(7, 30), -0.5, False, None],
    )

    table = read(content, "list.xlsx")

    assert table.headers == ("Client", "Number", "Day", "Share", "Lead", "Text")
    assert table.rows == (
        Row(2, ("Moss", "5551234", "2026-03-02", "38.6", "yes", "two blanks")),
        Row(3, ("", "5551234", "07:30:00", "-0.5", "no", "")),
    )


def test_a_cell_merged_downward_counts_for_each_of_its_rows() -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (
        ["Our clients", None, None],
        ["Client", "Garden", "Address"],
        ["Moss", "Front", "1 Lane"],
        [None, "Back", "1 Lane"],
        ["Quill", "Yard", "2 Lane"],
    ):
        sheet.append(row)
    sheet.merge_cells("A1:C1")
    sheet.merge_cells("A3:A4")

    table = read(saved(book), "list.xlsx", known_heads=["Client", "Garden"])

    assert [row.cells for row in table.rows] == [
        ("Moss", "Front", "1 Lane"),
        ("Moss", "Back", "1 Lane"),
        ("Quill", "Yard", "2 Lane"),
    ]


def test_a_formula_gives_its_stored_value_or_else_its_own_text() -> None:
    # The library writes formulas without values, as a file that was never computed.
    content = workbook(["Client", "Sum"], ["Moss", "=1+1"])
    assert read(content, "list.xlsx").rows == (Row(2, ("Moss", "=1+1")),)

    computed = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(content)) as old,
        zipfile.ZipFile(computed, "w") as new,
    ):
        for name in old.namelist():
            part = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                assert b"<f>1+1</f><v" in part
                part = part.replace(b"<f>1+1</f><v />", b"<f>1+1</f><v>2</v>")
                part = part.replace(b"<f>1+1</f><v/>", b"<f>1+1</f><v>2</v>")
            new.writestr(name, part)
    assert read(computed.getvalue(), "list.xlsx").rows == (Row(2, ("Moss", "2")),)


def test_a_sheet_that_claims_to_be_smaller_than_it_is_is_read_whole() -> None:
    content = workbook(["Client", "Address"], ["Moss", "1 Lane"], ["Quill", "2 Lane"])
    claimed = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(content)) as old,
        zipfile.ZipFile(claimed, "w") as new,
    ):
        for name in old.namelist():
            part = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                assert b'ref="A1:B3"' in part
                part = part.replace(b'ref="A1:B3"', b'ref="A1"')
            new.writestr(name, part)
    assert read(claimed.getvalue(), "list.xlsx").rows == (
        Row(2, ("Moss", "1 Lane")),
        Row(3, ("Quill", "2 Lane")),
    )


def test_the_first_sheet_with_rows_is_read_and_hidden_ones_are_not() -> None:
    book = Workbook()
    first = book.active
    assert first is not None
    first.append(["Secret", "x"])
    first.sheet_state = "hidden"
    book.create_sheet("Empty")
    third = book.create_sheet("Third")
    third.append(["Client", "Address"])
    third.append(["Moss", "1 Lane"])
    assert read(saved(book), "list.xlsx").headers == ("Client", "Address")


def test_a_workbook_is_known_by_its_content_not_by_its_name() -> None:
    content = workbook(["Client", "Address"], ["Moss", "1 Lane"])
    assert read(content, "list.csv").rows == (Row(2, ("Moss", "1 Lane")),)


def zipped(**parts: bytes) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in parts.items():
            packed.writestr(name.replace("__", "/"), content)
    return target.getvalue()


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "The file is empty."),
        (b" \n \n", "The file is empty."),
        (b",,\n,,\n", "The file holds no rows."),
        (b"Client,Address\n", "Below the heads of the columns there are no rows."),
        (b"%PDF-1.7\n...", "Save it as CSV or XLSX."),
        (b"\x89PNG\r\n\x1a\n\0\0", "Save it as CSV or XLSX."),
        (b"\xd0\xcf\x11\xe0\xa1\xb1 an old workbook", "Save it as CSV or XLSX."),
        (b"<html><table></table></html>", "Save it as CSV or XLSX."),
        (b"Client,\x07Address\nMoss,1\n", "Save it as CSV or XLSX."),
        (b'Client,Address\n"Moss,1\nQuill,2\n', "From line 2 on"),
        (zipped(word__document=b"x"), "Save it as XLSX or CSV."),
        (b"PK\x03\x04 cut off", "Save it as XLSX or CSV."),
        (zipped(**{"xl__workbook.xml": b"<broken"}), "Save it as XLSX or CSV."),
        (b"a,b\n" + b"1,2\n" * (MOST_ROWS + 1), "more than 5000 rows"),
        (b",".join([b"h"] * 61) + b"\n1\n", "more than 60 columns"),
    ],
)
def test_what_is_no_list_is_refused_with_what_to_do(content: bytes, words: str) -> None:
    with pytest.raises(UnreadableList) as refusal:
        read(content)
    assert words in str(refusal.value)


@settings(max_examples=60, deadline=None)
@given(place=st.integers(0, 10**6), size=st.integers(1, 40), new=st.binary(max_size=40))
def test_a_damaged_workbook_is_read_or_refused_with_words(
    place: int, size: int, new: bytes
) -> None:
    whole = workbook(["Client", "Sum"], ["Moss", "=1+1"], ["Quill", 2.5])
    start = place % len(whole)
    damaged = whole[:start] + new + whole[start + size :]
    try:
        table = read(damaged)
    except UnreadableList as refused:
        assert str(refused)
    else:
        assert all(len(row.cells) == len(table.headers) for row in table.rows)


def test_five_thousand_rows_are_read() -> None:
    assert len(read(b"a,b\n" + b"1,2\n" * MOST_ROWS).rows) == MOST_ROWS


def test_large_files_are_refused_by_size_before_and_after_unpacking() -> None:
    with pytest.raises(UnreadableList, match="larger than 5 MB"):
        read(b"a" * (MOST_BYTES + 1))
    bomb = zipped(
        **{"xl__workbook.xml": b"<x/>", "xl__sheet.xml": b" " * 90 * 1024 * 1024}
    )
    assert len(bomb) < MOST_BYTES
    with pytest.raises(UnreadableList, match="too large when unpacked"):
        read(bomb)


def test_columns_are_found_by_any_of_their_heads() -> None:
    table = Table(("E-Mail ", "Gate_Code", "Téléphone", "Other"), ())
    names = {
        "mail": ("email", "mail address"),
        "gate code": ("gate",),
        "telephone": ("phone",),
        "address": ("street",),
    }
    assert table.columns(names) == {"mail": 0, "gate code": 1, "telephone": 2}


def test_two_columns_for_one_thing_are_refused() -> None:
    table = Table(("Phone", "Client", "Telephone"), ())
    with pytest.raises(UnreadableList) as refusal:
        table.columns({"telephone": ("phone",)})
    assert str(refusal.value) == (
        "Two columns could be telephone: “Phone” and “Telephone”."
    )
