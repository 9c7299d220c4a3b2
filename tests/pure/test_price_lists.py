"""Cells, columns and names of suppliers' lists, as people really write them."""

import io
from decimal import Decimal

import pytest
from django.core.files.base import ContentFile
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from firm.imports import Table, read_table, read_top
from jobs.enums import ItemKind, SizeClass
from jobs.queries.price_lists.cells import (
    CellError,
    Price,
    break_of_head,
    decimal_mark_of,
    read_availability,
    read_breaks,
    read_pack,
    read_price,
    read_weight,
)
from jobs.queries.price_lists.columns import (
    ColumnsRefused,
    check_columns,
    guess_columns,
    known_heads,
)
from jobs.queries.price_lists.lists import Read, read_list
from jobs.queries.price_lists.names import Catalogue, Known, plain_name
from jobs.queries.price_lists.sizes import read_how_it_comes, read_measure

CATALOGUE = Catalogue(
    [
        Known(plant_id=1, names=("Hydrangea macrophylla 'Endless Summer'",)),
        Known(
            plant_id=2,
            names=("Hydrangea arborescens 'Annabelle'", "Annabelle hydrangea"),
        ),
        Known(plant_id=3, names=("Abelia × grandiflora", "Linnaea × grandiflora")),
        Known(plant_id=4, names=("Acer rubrum",)),
        Known(plant_id=5, names=("Spiraea japonica 'Goldflame'",)),
        Known(plant_id=6, names=("Sedum 'Autumn Joy'", "Hylotelephium 'Herbstfreude'")),
    ]
)


@pytest.mark.parametrize(
    ("text", "mark", "price", "breaks"),
    [
        ("9.00", None, "9.00", ()),
        ("$1,234.50", None, "1234.50", ()),
        ("8,50 €", ",", "8.50", ()),
        ("1.234,50", ",", "1234.50", ()),
        ("1.250", ".", "1.250", ()),
        ("USD 12.00 each", None, "12.00", ()),
        ("12.00/ea", None, "12.00", ()),
        ("9.00; 10+ 8.50; 50+ 7.25", None, "9.00", ((10, "8.50"), (50, "7.25"))),
        ("9.00 10-49 @ $8.50", None, "9.00", ((10, "8.50"),)),
        ("0", None, "0", ()),
    ],
)
def test_a_price_is_read_as_it_was_printed(
    text: str, mark: str | None, price: str, breaks: tuple[tuple[int, str], ...]
) -> None:
    read = read_price(text, decimal_mark=mark)
    assert read == Price(
        price=Decimal(price), breaks=tuple((n, Decimal(p)) for n, p in breaks)
    )


def test_a_price_of_a_flat_is_of_the_whole_flat() -> None:
    assert read_price("28.80/flat") == Price(price=Decimal("28.80"), is_per_pack=True)
    assert read_price("28.80 per tray").is_per_pack


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("=B2*1.1", "a formula without its result"),
        ("#REF!", "a formula that failed"),
        ("POA", "no price but “POA”"),
        ("call", "no price but “call”"),
        ("-3.00", "at least 0"),
        ("10+ 8.50", "what does one cost?"),
        ("about nine", "write digits"),
        ("1.250", "can mean two amounts"),
        ("9" * 40, "at most"),
        ("x" * 300, "too long"),
    ],
)
def test_a_price_that_cannot_be_read_says_why(text: str, words: str) -> None:
    with pytest.raises(CellError, match=words.replace("?", r"\?")):
        read_price(text)


@pytest.mark.parametrize(
    ("text", "quantity", "is_named"),
    [
        ("each", 1, False),
        ("", 1, False),
        ("flat of 32", 32, True),
        ("32/flat", 32, True),
        ("tray 50", 50, True),
        ("Bundle of 10", 10, True),
        ("dozen", 12, True),
        ("Two dozen", 24, True),
        ("half a dozen", 6, True),
        ("3 pairs", 6, True),
        ("ten", 10, False),
        ("flat of thirty-two", 32, True),
        ("tray of twenty four", 24, True),
        ("one gallon", 1, False),
        ("1,000", 1000, False),
        ("6.0", 6, False),
    ],
)
def test_quantities_in_words_are_read(text: str, quantity: int, is_named: bool) -> None:
    pack = read_pack(text)
    assert (pack.quantity, pack.is_named) == (quantity, is_named)


@pytest.mark.parametrize("text", ["flat of 0", "0", "tray 200001", "1.5"])
def test_a_pack_of_nothing_or_of_parts_is_refused(text: str) -> None:
    with pytest.raises(CellError):
        read_pack(text)


def test_availability_weight_and_size_tell_what_they_can() -> None:
    assert read_availability("1,200+") == ("1,200+", 1200)
    assert read_availability("Twelve left") == ("Twelve left", 12)
    assert read_availability("sold out") == ("sold out", 0)
    assert read_availability("spring 2027") == ("spring 2027", None)
    assert read_weight("25 lb", unit="kg") == Decimal("11.340")
    assert read_weight("2,5", unit="kg") == Decimal("2.500")
    assert read_weight("", unit="kg") is None
    with pytest.raises(CellError):
        read_weight("heavy", unit="lb")
    three = read_how_it_comes("#3", kind=ItemKind.PLANT)
    # 2.4 gal is what one catalogue prints for a #3 (plants.soil.stock).
    assert three.size_class == SizeClass.CONTAINER
    assert three.volume_m3 == Decimal("0.009084988")
    bag = read_how_it_comes("2 cu ft bag", kind=ItemKind.MULCH)
    assert (bag.size_class, bag.volume_m3) == (SizeClass.BAG, Decimal("0.056633693"))
    assert read_how_it_comes("cu yd, loose", kind=ItemKind.MULCH).size_class == "bulk"
    assert read_measure("16 ft, steel", of="ft") == 16
    assert read_measure("2 m", of="ft") == Decimal(2) / Decimal("0.3048")
    assert read_measure("2 m3", of="m") is None
    assert read_measure("25 lb bag", of="lb") == 25
    assert read_measure("11,34 kg", of="kg") == Decimal("11.34")
    assert read_measure("16 ft", of="lb") is None
    assert read_measure("0 ft", of="ft") is None
    assert read_how_it_comes("50 cell tray", kind=ItemKind.PLANT).size_class == "plug"


def test_heads_tell_the_columns_and_breaks_their_number() -> None:
    heads = ["Item #", "Botanical Name", "Size", "Unit Price", "10+", "Qty 50", "Avail"]
    assert guess_columns(heads) == [
        "number", "name", "size", "price", "break", "break", "availability",
    ]  # fmt: skip
    assert [break_of_head(head) for head in ("10+", "Price 25-49", "each")] == [
        10, 25, None,
    ]  # fmt: skip
    assert guess_columns(
        ["Was", "Now"], remembered={"was": "name", "now": "price"}
    ) == [
        "name",
        "price",
    ]
    with pytest.raises(ColumnsRefused, match="price"):
        check_columns(["a", "b"], ["name", ""])
    with pytest.raises(ColumnsRefused, match="both be the size"):
        check_columns(["n", "p", "a", "b"], ["name", "price", "size", "size"])


@pytest.mark.parametrize(
    ("name", "plant"),
    [
        ("Hydrangea macrophylla ‘Endless Summer’®", 1),
        ("HYDRANGEA X MACROPHYLLA Endless Summer™ PP15,298", 1),
        ("Hydrangea arborescens 'Anabelle'", 2),
        ("Abelia x grandiflora", 3),
        ("Linnaea ×grandiflora", 3),
        ("Spirea japonica `Goldflame´", 5),
        ("Hylotelephium 'Herbstfreude'", 6),
    ],
)
def test_a_name_is_found_through_spelling_quotes_signs_and_synonyms(
    name: str, plant: int
) -> None:
    assert CATALOGUE.match(name).plant_id == plant


def test_an_unsure_name_is_asked_and_never_guessed() -> None:
    asked = CATALOGUE.match("Hydrangea arborescens Incrediball")
    assert asked.plant_id is None and 2 in asked.candidates
    # One letter parts two maples, and none may be taken for the other.
    assert CATALOGUE.match("Acer nigrum").plant_id is None
    assert CATALOGUE.match("Shovel, long handle").candidates == ()
    assert CATALOGUE.match("™").plant_id is None


def table_of(*rows: tuple[str, ...]) -> Table:
    text = "\n".join(";".join(row) for row in rows)
    return read_table(ContentFile(text.encode()), known_heads=known_heads())


def read(table: Table, **more: int | None) -> Read:
    return read_list(
        table,
        columns=guess_columns(table.headers),
        kind=ItemKind.PLANT,
        catalogue=CATALOGUE,
        answers=more,
    )


def test_a_bad_row_names_its_row_and_column_and_the_rest_is_taken() -> None:
    found = read(
        table_of(
            ("Willow Bank Nursery, spring list", "", "", ""),
            ("No", "Botanical name", "Size", "Price"),
            ("SHRUBS", "", "", ""),
            ("A1", "Acer rubrum", "#3", "1.234,50"),
            ("A2", "Acer rubrum", "#5", "=D3*2"),
            ("A3", "", "#5", "9,00"),
            ("a1", "Acer rubrum", "#3", "11,00"),
            ("A4", "Acer rubrum", "flat of 32", "28,80"),
        )
    )
    assert [(line["row"], line["price"], line["plant"]) for line in found.lines] == [
        (4, "1234.5000", 4),
        (8, "28.8000", 4),
    ]
    assert (found.lines[1]["pack"], found.lines[1]["per_pack"]) == (32, True)
    assert [(bad["row"], bad["column"]) for bad in found.refused] == [
        (5, "Price"),
        (6, "Botanical name"),
        (7, "row"),
    ]
    assert "row 4" in found.refused[2]["words"]
    assert found.refused[0]["key"] == "n:a2"


def test_an_answer_that_was_given_before_is_not_asked_again() -> None:
    table = table_of(
        ("Name", "Price"), ("Garden gloves", "4.00"), ("Acer rubra", "5.00")
    )
    first = read(table)
    assert [line["asked"] for line in first.lines] == ["garden gloves", "acer rubra"]
    again = read(table, **{"garden gloves": None, "acer rubra": 4})
    assert [(line["asked"], line["plant"]) for line in again.lines] == [
        ("", None),
        ("", 4),
    ]


def test_a_workbook_with_titles_merged_cells_and_formulas_is_read() -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet["A1"] = "Prices 2026"
    sheet.merge_cells("A1:C1")
    for row in (
        ("Botanical name", "Size", "Price"),
        ("Acer rubrum", "#1", 9.5),
        (None, "#3", "=C3*2"),
        ("Abelia × grandiflora", "#3", 24),
    ):
        sheet.append(row)
    sheet.merge_cells("A3:A4")
    stream = io.BytesIO()
    book.save(stream)
    content = ContentFile(stream.getvalue())
    top = read_top(content, known_heads=known_heads())
    assert top.headers == ("Botanical name", "Size", "Price")
    found = read(read_table(content, known_heads=known_heads()))
    assert [(line["name"], line["price"]) for line in found.lines] == [
        ("Acer rubrum", "9.5000"),
        ("Abelia × grandiflora", "24.0000"),
    ]
    assert [(bad["row"], bad["column"]) for bad in found.refused] == [(4, "Price")]


cells = st.text(max_size=60) | st.from_regex(
    r"[$€]?[0-9.,' ]{0,12}( ?(each|/flat|10\+ ?[0-9.,]{1,6}))?", fullmatch=True
)


@given(text=cells, mark=st.sampled_from([None, ".", ","]))
def test_any_cell_is_read_or_refused_with_words(text: str, mark: str | None) -> None:
    for reader in (
        lambda: read_price(text, decimal_mark=mark),
        lambda: read_breaks(text, mark),
        lambda: read_pack(text),
        lambda: read_weight(text, unit="lb"),
    ):
        try:
            found = reader()
        except CellError as error:
            assert str(error)
        else:
            if isinstance(found, Price):
                assert 0 <= found.price <= 1_000_000
    words, number = read_availability(text)
    assert len(words) <= 60 and (number is None or number >= 0)
    for kind in ItemKind:
        volume = read_how_it_comes(text, kind=kind).volume_m3
        assert volume is None or 0 < volume < 1000
    assert decimal_mark_of([text]) in (None, ".", ",")


@given(
    cents=st.integers(0, 99_999_999),
    sign=st.sampled_from(["", "$", "€ "]),
    mark=st.sampled_from([".", ","]),
)
def test_every_amount_comes_back_as_it_was_written(
    cents: int, sign: str, mark: str
) -> None:
    group = "," if mark == "." else "."
    whole = f"{cents // 100:,}".replace(",", group)
    text = f"{sign}{whole}{mark}{cents % 100:02d}"
    assert read_price(text, decimal_mark=mark).price == Decimal(cents) / 100


@given(st.text(max_size=120))
def test_a_plain_name_is_plain_and_stays_so(text: str) -> None:
    plain = plain_name(text)
    assert len(plain) <= 200
    assert plain == plain.strip()
    CATALOGUE.match(text)
