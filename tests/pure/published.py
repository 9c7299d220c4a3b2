"""A printed figure, its source, and the figure computed beside it."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from firm.units import round_figure

D = Decimal
HEAD = (
    f"{'section':<8}{'what':<58}{'computed':>12}{'printed':>12}{'within':>10}  result"
)


@dataclass(frozen=True)
class Check:
    """One row of a published table; WITHIN empty: equal at the printed digits."""

    section: str
    what: str
    source: str
    computed: Callable[[], Decimal | int]
    printed: str
    within: str = ""

    def found(self) -> Decimal:
        """The computed figure at the digits that are printed."""
        value = D(self.computed())
        if self.within:
            return round_figure(value, 4)
        return round_figure(value, max(-int(D(self.printed).as_tuple().exponent), 0))

    def holds(self) -> bool:
        """Whether the figure is the printed one, or within its tolerance."""
        return abs(self.found() - D(self.printed)) <= D(self.within or 0)

    def line(self) -> str:
        """The row as it is printed."""
        found = f"{self.found():f}"
        return (
            f"{self.section:<8}{self.what[:57]:<58}{found:>12}{self.printed:>12}"
            f"{self.within or 'digits':>10}  {'holds' if self.holds() else 'FAILS'}"
            f"  [{self.source}]"
        )


def table(
    section: str,
    source: str,
    rows: dict[str, tuple[Callable[[], Decimal | int], str]],
    within: str = "",
) -> list[Check]:
    """Several rows of one source."""
    return [
        Check(section, what, source, computed, printed, within)
        for what, (computed, printed) in rows.items()
    ]
