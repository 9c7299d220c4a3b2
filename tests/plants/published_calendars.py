"""The pruning calendars that Virginia and others print, held against what is shipped.

`python -m tests.plants.published_calendars` prints the table of agreement, with
`--write` it also puts it into DEVELOPERS.md. The climate is the Virginia Piedmont.

How a row is judged, the same for every row:

* The cut that counts is that of an established plant with the foremost purpose the
  group has: flower, else shape, else structure, else hygiene; of several the one that
  may take most (a cut down to a height takes all), then the earlier. Renovation,
  deadheading and dead wood do not count.
* The row agrees when the best day of that cut lies in a printed best month, in each of
  three years; where it prints several stretches (arborvitae, maple, wisteria) in any of
  them. A row that stands for several groups agrees when all of them do.
* No day of any cut for flowers, shape, structure or renovation may lie in a month in
  which the calendar says not to: those printed for oak, elm and birch; August to
  October for the shrubs of the Virginia calendar; August to February for ornamentals
  of old wood, where structure cuts, and renovation that says it costs the flowers, are
  exempt.
* Counted are rows that were read on their page or on a copy of it and name months.
  Rows from memory and rows without months are shown only.
"""

import sys
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import NamedTuple

from plants import care
from plants.care.regions import mid_atlantic
from plants.care.vocabulary import CUTS
from tests.plants.shipped import groups

DEVELOPERS = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"
STARTS = "<!-- agreement with the published calendars -->"
ENDS = "<!-- end of the agreement -->"

START, DAYS = date(2026, 1, 1), 1096
PURPOSES = ("flower", "shape", "structure", "hygiene")
MAY_HARM = ("flower", "shape", "structure", "renovation")

AUGUST_TO_OCTOBER = frozenset({8, 9, 10})
AUGUST_TO_FEBRUARY = frozenset({8, 9, 10, 11, 12, 1, 2})

# Where the rows stand; what was read, and what only as a copy, is marked at each row.
SOURCES = {
    "R70": "Virginia Cooperative Extension 430-462, shrubs",
    "R71": "Virginia Cooperative Extension 430-460, deciduous trees, a nursery's copy",
    "R72": "the same shrubs by month, Virginia horticulture association",
    "R73": "Hunnings, extension agent, Roanoke Times 1993",
    "R74": "shrub list after the University of Georgia, Atlanta 2003",
    "R75": "University of Maryland, Ask Extension 159612",
    "R76": "Kansas State, hybrid tea roses",
    "R77": "extension answers on hydrangeas, newspaper copies",
    "R78": "Franklin Soil and Water Conservation District, Ohio",
    "almanac": "a gardening almanac's table, reprinted 2009",
    "page": "a grower's, guild's or newspaper's page",
    "none": "nothing but memory",
}


class Row(NamedTuple):
    """A printed line: plant, shipped groups, best months or words, mark, sources."""

    plant: str
    groups: tuple[str, ...]
    printed: str
    mark: str
    sources: str
    never: frozenset[int] = frozenset()

    @property
    def best(self) -> frozenset[int]:
        """The printed best months; none where the row names none."""
        return months_in(self.printed)

    @property
    def is_counted(self) -> bool:
        """Whether the row was read or copied and names months."""
        return bool(self.best) and self.mark != "memory"


MONTHS = tuple("Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split())


def months_in(text: str) -> frozenset[int]:
    """Months of "Nov-Mar, Jun"; none for a text that is not only months."""
    found: set[int] = set()
    for part in text.split(", "):
        ends = part.split("-")
        if not set(ends) <= set(MONTHS):
            return frozenset()
        first, last = MONTHS.index(ends[0]), MONTHS.index(ends[-1])
        found.update((first + step) % 12 + 1 for step in range((last - first) % 12 + 1))
    return frozenset(found)


def read(plant: str, keys: str, printed: str, sources: str) -> Row:
    return _row(plant, keys, printed, "read", sources)


def copy(plant: str, keys: str, printed: str, sources: str) -> Row:
    return _row(plant, keys, printed, "copy", sources)


def memory(plant: str, keys: str, printed: str, sources: str = "none") -> Row:
    return _row(plant, keys, printed, "memory", sources)


def _row(plant: str, keys: str, printed: str, mark: str, sources: str) -> Row:
    in_calendar = {"R70", "R72"} & set(sources.split(", "))
    never = AUGUST_TO_OCTOBER if in_calendar else frozenset()
    return Row(plant, tuple(keys.split()), printed, mark, sources, never)


ROWS = (
    read("Glossy abelia", "glossy-abelia", "Nov-Feb", "R70, R73, R74"),
    read("Flowering almond", "flowering-almond", "May-Jul", "R70"),
    read("Arborvitae", "arborvitae", "Nov-Mar, Jun-Jul", "R70"),
    read("Aucuba", "aucuba", "Jun-Jul", "R70"),
    read("Azalea, deciduous", "azalea", "May-Jul", "R70, R72"),
    read("Azalea, evergreen", "azalea", "May-Jul", "R70, R72"),
    read("Barberry, deciduous", "barberry", "May-Jul", "R70, R72"),
    read("Barberry, evergreen", "evergreen-barberry", "May-Jul", "R70"),
    read("Bayberry", "northern-bayberry", "Mar-Jun", "R70"),
    read("Beautyberry", "beautyberry", "Nov-Mar", "R70, R74"),
    read("Boxwood", "boxwood-hedge", "Nov-Jul", "R70, R72"),
    read("Broom", "broom", "Jun-Jul", "R70"),
    read("Butterfly bush", "butterfly-bush", "Nov-Mar", "R70, R73, R74"),
    read("Japanese camellia", "camellia", "Apr-Jun", "R70, R72"),
    read("Cherrylaurel", "cherrylaurel", "Nov-Jul", "R70, R72"),
    read("Summersweet", "summersweet", "Nov-Mar", "R70, R73, R78"),
    read("Crape myrtle", "crape-myrtle", "Jan-Mar", "R70, R71"),
    read("Daphne, winter", "winter-daphne", "Apr-Jul", "R70"),
    copy("Elaeagnus, thorny", "thorny-elaeagnus", "Nov-Jul", "R72"),
    copy("Euonymus, evergreen", "wintercreeper", "Nov-Jul", "R72"),
    copy("Forsythia", "forsythia", "Apr-Jul", "R72"),
    copy("Honeysuckle, shrub", "shrub-honeysuckle", "Apr-Jun", "R72"),
    copy("Indian hawthorn", "indian-hawthorn", "May-Jul", "R72"),
    copy("Juniper", "juniper", "Nov-Jul", "R72"),
    copy("Oregon grapeholly", "oregon-grape", "May-Jul", "R72"),
    copy("Mugo pine", "mugo-pine", "Apr-Jun, Dec-Jan", "R72"),
    copy("Pittosporum", "pittosporum", "Feb-May", "R72"),
    copy("Privet", "privet-hedge", "Nov-Jul", "R72"),
    copy("Serviceberry", "serviceberry", "Apr-Jun", "R72"),
    copy("Spirea, spring", "spring-spirea", "May-Jun", "R72"),
    read("Spirea, summer", "summer-spirea", "Feb-Mar", "R73"),
    copy("Viburnum, deciduous", "spring-viburnum", "May-Jul", "R72"),
    copy("Viburnum, evergreen", "evergreen-viburnum", "May-Jun", "R72"),
    memory("Bigleaf hydrangea", "bigleaf-hydrangea", "Jul", "R77"),
    memory("Mountain hydrangea", "mountain-hydrangea", "Jul", "page"),
    memory(
        "Bigleaf, repeat",
        "repeat-bigleaf-hydrangea",
        "only dead wood in spring",
        "page",
    ),
    copy("Oakleaf hydrangea", "oakleaf-hydrangea", "right after bloom", "R77"),
    copy("Climbing hydrangea", "climbing-hydrangea", "right after bloom", "R77"),
    read("Smooth hydrangea", "smooth-hydrangea", "Feb-Mar", "R73, R78"),
    read("Panicle hydrangea", "panicle-hydrangea", "Feb-Mar", "R73"),
    copy("Lilac (to mid June)", "lilac", "May-Jun", "R75, almanac"),
    copy("Weigela", "weigela", "May-Jun", "page"),
    copy("Mock orange", "mock-orange", "Jun", "page"),
    memory("Kerria", "kerria", "May-Jun"),
    read("Ninebark", "ninebark", "after bloom", "R78"),
    read("Sweetshrub", "sweetshrub", "late winter", "R78"),
    read("Redtwig dogwood", "redtwig-dogwood", "very early spring", "R73, R78"),
    read("Rose of Sharon", "rose-of-sharon", "Feb-Mar", "R73, R74, R75"),
    memory("Bluebeard", "bluebeard", "Mar-Apr"),
    copy("Shrubby cinquefoil", "shrubby-cinquefoil", "Mar", "page"),
    read("Falsespirea", "falsespirea", "Mar", "R73"),
    read("Tamarisk", "tamarisk", "Mar", "R73"),
    read("Bottlebrush buckeye", "bottlebrush-buckeye", "late winter, seldom", "R74"),
    copy("Red buckeye", "red-buckeye", "May-Jul", "R71"),
    copy("Flowering cherry", "flowering-cherry", "Jun-Jul", "R71"),
    copy("Crabapple", "crabapple", "May-Jul", "R71"),
    copy("Flowering dogwood", "flowering-dogwood", "Jun-Jul", "R71"),
    memory("Redbud", "redbud", "right after bloom"),
    copy("Maple", "red-maple japanese-maple", "May-Jul, Nov-Dec", "R71"),
    copy("Birch", "birch", "Nov-Jan", "R71")._replace(never=months_in("Feb-Jul")),
    copy("Elm", "elm", "Oct-Dec", "R71")._replace(never=months_in("Jan-Jun")),
    copy("Oak", "oak", "Nov-Dec", "R71")._replace(never=months_in("Mar-Aug")),
    copy("Beech", "beech", "Jul-Sep", "R71"),
    memory("Witch hazel", "witch-hazel", "after bloom"),
    copy("Mountain laurel", "mountain-laurel", "after bloom", "page"),
    memory("Rhododendron", "rhododendron", "after bloom"),
    memory("Holly", "evergreen-holly", "Dec-Mar"),
    memory("Yew", "yew", "Mar-Jul"),
    memory("Hemlock", "hemlock", "Mar-Jul"),
    memory("Spruce and fir", "spruce-and-fir dwarf-spruce", "Mar-Jun"),
    memory("False cypress", "false-cypress", "Mar-Jun"),
    read("Wisteria", "wisteria american-wisteria", "Feb-Mar, Jul-Aug", "R73, almanac"),
    copy("Trumpet vine", "trumpet-vine", "Feb-Mar", "almanac"),
    copy("Clematis, early", "clematis-early", "right after bloom", "page"),
    copy("Clematis, repeat", "clematis-repeat", "Feb-Mar", "page"),
    copy("Clematis, late", "clematis-late", "Feb-Mar", "page"),
    read("Rose, bush", "bush-rose", "after hard frost, before growth", "R76"),
    copy("Rose, landscape", "shrub-rose", "when forsythia blooms", "R76, R77"),
    copy("Rose, repeat climber", "climbing-rose", "early spring", "page"),
    copy("Rose, rambler", "rambler-rose", "right after bloom", "page"),
    memory("Lavender", "lavender", "as growth starts, or after bloom"),
    memory("Russian sage", "russian-sage", "Mar-Apr"),
    copy("Grasses, warm season", "warm-season-grass", "Feb-Apr", "page"),
    copy("Grasses, cool season", "cool-season-grass", "very early spring", "page"),
    copy("Sedge, evergreen", "evergreen-sedge", "not cut back", "page"),
    copy("Liriope", "liriope", "Feb-Mar", "page"),
    copy("Apple, pear", "apple pear", "Feb-Mar", "almanac"),
    copy("Peach", "peach", "early spring", "almanac"),
    copy(
        "Plum, sour cherry",
        "plum-and-sour-cherry",
        "early spring, or after harvest",
        "almanac",
    ),
    memory("Blueberry", "highbush-blueberry", "Feb-Mar"),
    memory("Grape", "grape", "Feb-Mar"),
    memory("Raspberry, on last year's canes", "summer-raspberry", "after fruiting"),
    memory("Raspberry, on new canes", "autumn-raspberry", "Feb-Mar"),
)

# Why a counted row does not agree.
REASONS: dict[str, str] = {}

COSTS_FLOWERS = "flowers are lost"
"""What a renovation in the flower buds' season says to be exempt."""


@cache
def windows_of(key: str) -> tuple[care.Window, ...]:
    """Three years of an established plant of the group in the Virginia Piedmont."""
    return tuple(
        care.care_year(
            group=groups()[key], climate=mid_atlantic(), start=START, days=DAYS
        )
    )


def main_cut(key: str) -> list[care.Window]:
    """The windows of the cut that counts, one or more a year."""
    found = [window for window in windows_of(key) if window.rule.task in CUTS]
    for purpose in PURPOSES:
        of_purpose = [window for window in found if window.rule.purpose == purpose]
        if of_purpose:
            first = min(of_purpose, key=_most_first)
            return [one for one in of_purpose if one.rule.key == first.rule.key]
    raise LookupError(f"{key} has no cut")


def _most_first(window: care.Window) -> tuple[float, date]:
    limits = window.rule.limits
    takes_all = limits.height_left_m is not None or window.rule.task == "cut down"
    share = 1.0 if takes_all else limits.share_removed_max or 0.0
    return -share, window.best


def agrees(row: Row) -> bool:
    """Whether each group's best day lies in a printed best month in every year."""
    return all(
        window.best.month in row.best for key in row.groups for window in main_cut(key)
    )


def cuts_outside(row: Row) -> list[str]:
    """Every other cut for flowers, shape or structure that lies in no best month."""
    found = {
        f"{key} / {window.rule.key} ({MONTHS[window.best.month - 1]})": None
        for key in row.groups
        for window in windows_of(key)
        if window.rule.task in CUTS
        and window.rule.purpose in ("flower", "shape", "structure")
        and window.best.month not in row.best
    }
    return list(found)


def touched(row: Row) -> list[tuple[str, str, int]]:
    """Group, rule and month of each cut that touches a do-not month of the row."""
    found = {
        (key, window.rule.key, day.month)
        for key in row.groups
        for window in windows_of(key)
        if window.rule.task in CUTS and window.rule.purpose in MAY_HARM
        for day in days_of(window)
        if day.month in do_not(row, key, window.rule)
    }
    return sorted(found)


def do_not(row: Row, key: str, rule: care.Rule) -> frozenset[int]:
    """The months in which the rule's work does harm by the calendars."""
    group = groups()[key]
    months = row.never
    exempt = rule.purpose == "structure" or (
        rule.purpose == "renovation" and COSTS_FLOWERS in " ".join(rule.how.split())
    )
    if group.wood == "old" and group.kind != "fruit" and not exempt:
        months |= AUGUST_TO_FEBRUARY
    return months - row.best


def days_of(window: care.Window) -> Iterator[date]:
    """Every day of a window."""
    for number in range((window.latest - window.earliest).days + 1):
        yield window.earliest + timedelta(days=number)


def day_words(day: date) -> str:
    """A day without its year: 4 Jun."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def cut_words(key: str) -> str:
    """The first year's best day with the window: 4 Jun (28 May to 30 Jun)."""
    window = main_cut(key)[0]
    return (
        f"{day_words(window.best)} ({day_words(window.earliest)} to "
        f"{day_words(window.latest)})"
    )


def verdict_words(row: Row) -> str:
    """What becomes of a row: agrees, differs, or why it is not counted."""
    if touched(row):
        return "touches a do-not month"
    if not row.best:
        return "no months printed"
    said = "agrees" if agrees(row) else "differs"
    return said if row.is_counted else f"{said}, not counted"


def row_words(row: Row) -> str:
    """One line of the table."""
    ours = "; ".join(cut_words(key) for key in row.groups)
    source = row.mark if row.sources == "none" else f"{row.mark}, {row.sources}"
    return f"| {row.plant} | {row.printed} | {ours} | {source} | {verdict_words(row)} |"


def share_words(rows: list[Row]) -> str:
    """How many of the rows agree: 40 of 41 (97.6 %)."""
    agree = sum(map(agrees, rows))
    return f"{agree} of {len(rows)} ({agree / len(rows):.1%})".replace("%", " %")


def table() -> str:
    """The table of agreement as it is printed and stands in DEVELOPERS.md."""
    counted = [row for row in ROWS if row.is_counted]
    harm = [row for row in ROWS if touched(row)]
    by_mark = {
        mark: [row for row in counted if row.mark == mark] for mark in ("read", "copy")
    }
    outside = {row.plant: cuts_outside(row) for row in counted if cuts_outside(row)}
    lines = [
        f"Of n = {len(counted)} rows that were read or copied and name months "
        f"{share_words(counted)} agree: {share_words(by_mark['read'])} of those read, "
        f"{share_words(by_mark['copy'])} of the copies. Rows that touch a do-not "
        f"month: {len(harm)}. With every cut of the group held to the printed months, "
        f"not only its foremost, {len(counted) - len(outside)} of {len(counted)} "
        "agree; the rest:",
        "",
        *(f"* {plant}: {', '.join(cuts)}" for plant, cuts in outside.items()),
    ]
    lines += [
        f"* {row.plant} differs: {REASONS.get(row.plant, 'no reason given')}"
        for row in counted
        if not agrees(row)
    ]
    lines += [f"* {row.plant} touches: {touched(row)}" for row in harm]
    lines += [
        "",
        "| plant | printed best | best day here (window) | mark, source | verdict |",
        "|---|---|---|---|---|",
        *map(row_words, ROWS),
        "",
        "; ".join(f"{key}: {words}" for key, words in SOURCES.items() if key[0] == "R")
        + ".",
    ]
    return "\n".join(lines).replace("\n\n\n", "\n\n")


def written() -> str:
    """The table that DEVELOPERS.md holds."""
    text = DEVELOPERS.read_text(encoding="utf-8")
    return text.partition(STARTS)[2].partition(ENDS)[0].strip()


def write() -> None:
    """Put the table into DEVELOPERS.md."""
    text = DEVELOPERS.read_text(encoding="utf-8")
    before, _, rest = text.partition(STARTS)
    after = rest.partition(ENDS)[2]
    DEVELOPERS.write_text(
        f"{before}{STARTS}\n\n{table()}\n\n{ENDS}{after}", encoding="utf-8"
    )


if __name__ == "__main__":
    if "--write" in sys.argv:
        write()
    print(table())  # noqa: T201 - this is what it is for
