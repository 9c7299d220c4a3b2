"""A printed figure, its source, and the figure computed beside it."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property

from firm.units import round_figure

D = Decimal
MonthDay = tuple[int, int]
Found = Decimal | float | str | datetime | MonthDay | None

HEAD = (
    f"{'row':<9}{'what':<62}{'printed':>16}{'ours':>16}{'tolerance':>10}  "
    "result   source"
)
NEEDS = {
    "REFERENCE_DATA": "REFERENCE_DATA names no folder with station files",
}
"""What some rows want of the environment, and why they are skipped without it."""


@dataclass(frozen=True)
class Check:
    """One row of a published table.

    PRINTED is a figure, "07:08:12.8" on the day of the moment that is found, a day of
    the year as "04-23", or a word. WITHIN is empty where the printed digits or the
    word must be met, else a figure, or one with its unit: "15 s", "2 d", "3 %".
    """

    section: str
    what: str
    source: str
    computed: Callable[[], Found]
    printed: str
    within: str = ""
    needs: str = ""

    @property
    def is_skipped(self) -> bool:
        """Whether the environment lacks what the row wants."""
        return bool(self.needs) and not os.environ.get(self.needs)

    @cached_property
    def value(self) -> Found:
        """What is computed here."""
        return self.computed()

    def found(self) -> str:
        """The computed figure at the digits that are printed."""
        value = self.value
        if value is None:
            return "never"
        if isinstance(value, str):
            return value
        if isinstance(value, datetime):
            return f"{value:%H:%M:%S}.{value.microsecond // 100_000}"
        if isinstance(value, tuple):
            return f"{value[0]:02}-{value[1]:02}"
        return f"{self._rounded(value):f}"

    def _rounded(self, value: Decimal | float) -> Decimal:
        places = max(-int(D(self.printed).as_tuple().exponent), 0)
        if self.within:
            tolerance = D(self.within.split()[0])
            places = max(places, 4, 1 - int(tolerance.as_tuple().exponent))
        return round_figure(D(str(value)), places)

    def off(self) -> Decimal:
        """How far the found figure is from the printed one, in the tolerance's unit."""
        value = self.value
        if value is None or isinstance(value, str):
            return D(0) if self.found() == self.printed else D("Infinity")
        if isinstance(value, datetime):
            wanted = datetime.fromisoformat(f"{value.date()}T{self.printed}")
            away = value - wanted.replace(tzinfo=value.tzinfo)
            return D(str(abs(away.total_seconds())))
        if isinstance(value, tuple):
            wanted_day = date.fromisoformat(f"2025-{self.printed}")
            return D(abs((date(2025, *value) - wanted_day).days))
        off = abs(self._rounded(value) - D(self.printed))
        return off / D(self.printed) * 100 if self.within.endswith("%") else off

    def holds(self) -> bool:
        """Whether the figure is the printed one, or within its tolerance."""
        return self.off() <= D(self.within.split()[0] if self.within else 0)

    def result(self) -> str:
        """One word for the row, with the reason where it is skipped."""
        if self.is_skipped:
            return f"skipped: {NEEDS[self.needs]}"
        return "holds" if self.holds() else "FAILS"

    def line(self) -> str:
        """The row as it is printed."""
        ours = "" if self.is_skipped else self.found()
        return (
            f"{self.section:<9}{self.what[:61]:<62}{self.printed:>16}{ours:>16}"
            f"{self.within or 'digits':>10}  {self.result():<8} [{self.source}]"
        )


def table(
    section: str,
    source: str,
    rows: dict[str, tuple[Callable[[], Found], str]],
    within: str = "",
    needs: str = "",
) -> list[Check]:
    """Several rows of one source."""
    return [
        Check(section, what, source, computed, printed, within, needs)
        for what, (computed, printed) in rows.items()
    ]
