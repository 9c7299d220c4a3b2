"""A supplier's whole list, row by row: what it sells, and what could not be read."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, TypeVar

from django.utils.translation import gettext as _

from firm.imports import Row, Table
from jobs.enums import ItemKind
from jobs.queries.price_lists.cells import (
    CellError,
    Price,
    break_of_head,
    decimal_mark_of,
    read_amount,
    read_availability,
    read_breaks,
    read_pack,
    read_price,
    read_weight,
    refuse_a_formula,
    weight_unit_of_head,
)
from jobs.queries.price_lists.columns import Column
from jobs.queries.price_lists.names import Catalogue, Matched, plain_name
from jobs.queries.price_lists.sizes import kind_of_words, read_how_it_comes

Found = TypeVar("Found")

NOTE_EVERY = 1000
LONGEST = {"name": 200, "number": 60, "size": 60, "unit": 40}


@dataclass(kw_only=True)
class Read:
    """What was read: the lines to take, and the rows refused, each with its column."""

    lines: list[dict[str, Any]] = field(default_factory=list)
    refused: list[dict[str, Any]] = field(default_factory=list)
    rows: int = 0


@dataclass(frozen=True)
class _Bad(Exception):
    """A cell that spoils its row."""

    column: str
    words: str


def item_key(*, number: str, name: str, size: str) -> str:
    """By what a later list finds the same item: its number, else name and size."""
    if number:
        return f"n:{' '.join(number.casefold().split())}"
    return f"t:{plain_name(name)}|{' '.join(size.casefold().split())}"[:300]


def read_list(
    table: Table,
    *,
    columns: Sequence[str],
    kind: ItemKind,
    catalogue: Catalogue,
    answers: dict[str, int | None],
    note: Callable[[int], None] | None = None,
) -> Read:
    """The lines of TABLE by its COLUMNS; a bad row names its row and its column.

    ANSWERS says which plant the supplier meant by a name when it was asked before.
    """
    reader = _Reader(table, columns, kind, catalogue, answers)
    found = Read()
    seen: dict[str, int] = {}
    for row in table.rows:
        found.rows += 1
        if note is not None and found.rows % NOTE_EVERY == 0:
            note(found.rows)
        if sum(bool(cell) for cell in row.cells) == 1:
            # A heading between the rows, such as SHRUBS.
            continue
        key = ""
        try:
            line = reader.line(row)
            key = line["key"]
            if key in seen:
                raise _Bad(
                    _("row"),
                    _("the same item as in row %(row)d, which was read")
                    % {"row": seen[key]},
                )
            seen[key] = row.number
            found.lines.append(line)
        except _Bad as bad:
            found.refused.append(
                {
                    "row": row.number,
                    "column": bad.column,
                    "words": bad.words,
                    "key": key or reader.key_of(row),
                    "name": reader.text(row, Column.NAME)[:80],
                }
            )
    return found


class _Reader:
    """Reads one row after the other by the columns of the list."""

    def __init__(
        self,
        table: Table,
        columns: Sequence[str],
        kind: ItemKind,
        catalogue: Catalogue,
        answers: dict[str, int | None],
    ) -> None:
        self.heads = table.headers
        self.places = {
            name: place
            for place, name in enumerate(columns)
            if name and name != Column.BREAK
        }
        self.break_places = [
            (place, least)
            for place, name in enumerate(columns)
            if name == Column.BREAK
            and (least := break_of_head(table.headers[place])) is not None
        ]
        money = [
            self.places[name]
            for name in (Column.PRICE, Column.BREAKS)
            if name in self.places
        ]
        money += [place for place, _least in self.break_places]
        self.mark = decimal_mark_of(
            row.cells[place] for row in table.rows for place in money
        )
        weight = self.places.get(Column.WEIGHT)
        self.weight_unit = weight_unit_of_head(
            table.headers[weight] if weight is not None else ""
        )
        self.kind, self.catalogue, self.answers = kind, catalogue, answers
        self.matched: dict[tuple[str, str], Matched] = {}

    def text(self, row: Row, column: Column) -> str:
        """The cell of COLUMN, on one line."""
        place = self.places.get(column)
        return "" if place is None else " ".join(row.cells[place].split())

    def key_of(self, row: Row) -> str:
        """The key of a row that was refused, so that its item is not struck off."""
        name = self.text(row, Column.NAME)
        number = self.text(row, Column.NUMBER)
        return item_key(number=number, name=name, size=self.text(row, Column.SIZE))

    def line(self, row: Row) -> dict[str, Any]:
        """One line as plain values; _Bad names the column that cannot be read."""
        words = {
            column: self._words(row, column)
            for column in (Column.NUMBER, Column.NAME, Column.SIZE, Column.COMMON)
        }
        name = words[Column.NAME] or words[Column.COMMON]
        if not plain_name(name):
            raise self._bad(Column.NAME, _("empty") if not name else _("no words"))
        number, size = words[Column.NUMBER], words[Column.SIZE]
        price = self._price(row)
        pack = self._read(row, Column.PACK, read_pack)
        quantity = pack.quantity
        if quantity == 1:
            # “flat of 32” may stand in the size instead.
            with_size = _pack_in(size)
            if with_size is not None:
                quantity, pack = with_size.quantity, with_size
        per_pack = price.is_per_pack or (pack.is_named and quantity > 1)
        if self._says_each(row):
            per_pack = False
        availability, available = read_availability(
            self._words(row, Column.AVAILABILITY)
        )
        weight = self._read(
            row,
            Column.WEIGHT,
            lambda text: read_weight(text, unit=self.weight_unit),
        )
        kind, plant, candidates = self._meant(name, words[Column.COMMON], size)
        comes = read_how_it_comes(size or name, kind=kind)
        return {
            "row": row.number,
            "key": item_key(number=number, name=name, size=size),
            "kind": str(kind),
            "name": name,
            "number": number,
            "size": size,
            "class": str(comes.size_class),
            "volume": None if comes.volume_m3 is None else str(comes.volume_m3),
            "pack": quantity,
            "unit": pack.unit[: LONGEST["unit"]],
            "price": str(price.price),
            "per_pack": per_pack,
            "breaks": [
                {"from": least, "price": str(amount)} for least, amount in price.breaks
            ],
            "availability": availability,
            "available": available,
            "weight": None if weight is None else str(weight),
            "plant": plant,
            "candidates": list(candidates),
            "asked": plain_name(name)
            if candidates or self._is_open(plant, kind, name)
            else "",
        }

    def _is_open(self, plant: int | None, kind: ItemKind, name: str) -> bool:
        return (
            plant is None
            and kind == ItemKind.PLANT
            and plain_name(name) not in self.answers
        )

    def _words(self, row: Row, column: Column) -> str:
        said = self.text(row, column)
        try:
            refuse_a_formula(said)
        except CellError as error:
            raise self._bad(column, str(error)) from error
        most = LONGEST.get(str(column), LONGEST["name"])
        if len(said) > most:
            raise self._bad(column, _("longer than %(most)d letters") % {"most": most})
        return said

    def _price(self, row: Row) -> Price:
        price = self._read(
            row, Column.PRICE, lambda text: read_price(text, decimal_mark=self.mark)
        )
        breaks: dict[int, Decimal] = dict(price.breaks)
        if self.text(row, Column.BREAKS):
            breaks.update(
                self._read(
                    row, Column.BREAKS, lambda text: read_breaks(text, self.mark)
                )
            )
        for place, least in self.break_places:
            cell = " ".join(row.cells[place].split())
            if cell and cell not in {"-", "–"}:
                try:
                    refuse_a_formula(cell)
                    breaks[least] = read_amount(cell, decimal_mark=self.mark)
                except CellError as error:
                    raise _Bad(self.heads[place], str(error)) from error
        return Price(
            price=price.price,
            breaks=tuple(sorted((n, p) for n, p in breaks.items() if n > 1)),
            is_per_pack=price.is_per_pack,
        )

    def _says_each(self, row: Row) -> bool:
        head = self.heads[self.places[Column.PRICE]].casefold()
        cell = self.text(row, Column.PRICE).casefold()
        return any(word in f"{head} {cell}".split() for word in ("each", "ea", "ea."))

    def _meant(
        self, name: str, common: str, size: str
    ) -> tuple[ItemKind, int | None, Sequence[int]]:
        """What kind of thing it is, which plant, and those it might be."""
        if self.kind != ItemKind.PLANT:
            return kind_of_words(f"{name} {size}"), None, ()
        plain = plain_name(name)
        if plain in self.answers:
            return ItemKind.PLANT, self.answers[plain], ()
        asked = (plain, plain_name(common))
        if asked not in self.matched:
            matched = self.catalogue.match(name)
            if matched.plant_id is None and common:
                other = self.catalogue.match(common)
                if not matched.candidates and other.plant_id is not None:
                    # A common name alone is asked about: one may stand for many.
                    matched = Matched(plant_id=None, candidates=(other.plant_id,))
            self.matched[asked] = matched
        matched = self.matched[asked]
        if matched.plant_id is None and not matched.candidates:
            material = kind_of_words(name)
            if material != ItemKind.OTHER and _is_material(name):
                return material, None, ()
        return ItemKind.PLANT, matched.plant_id, matched.candidates

    def _read(self, row: Row, column: Column, read: Callable[[str], Found]) -> Found:
        try:
            return read(self.text(row, column))
        except CellError as error:
            raise self._bad(column, str(error)) from error

    def _bad(self, column: Column, words: str) -> _Bad:
        place = self.places.get(column)
        head = self.heads[place] if place is not None else str(column.label)
        return _Bad(head or str(column.label), words)


def _pack_in(size: str) -> Any:
    try:
        pack = read_pack(size)
    except CellError:
        return None
    return pack if pack.is_named and pack.quantity > 1 else None


_MATERIALS = frozenset(
    {"mulch", "compost", "topsoil", "soil", "fertilizer", "fertiliser", "stakes"}
)


def _is_material(name: str) -> bool:
    """Whether the words are a material's: a plant may have bark or sand in its name."""
    return bool(_MATERIALS & set(plain_name(name).split()))


def open_names(lines: Sequence[dict[str, Any]]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Each name nobody has said the meaning of, with the first line that has it."""
    seen: set[str] = set()
    for line in lines:
        name = line["asked"]
        if name and name not in seen:
            seen.add(name)
            yield name, line
