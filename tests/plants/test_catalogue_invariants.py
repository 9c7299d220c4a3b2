"""What must hold for every shipped group, in four climates.

The rules checked are those of horticulture.md's section 7 as extension services print
them: old wood is cut after its flowers and left alone from late summer to bloom
(Virginia Cooperative Extension 430-462), new wood in late winter and not while its
flowering shoots grow (the same; Hunnings 1993). Tenderness at the last frost and the
lengths in days are common practice, no source.
"""

import dataclasses
import re
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache

import pytest

from plants import care
from plants.care.vocabulary import CUTS, SHAPING
from plants.climate import Climate
from tests.plants.shipped import groups
from tests.pure.care_gardens import mirrored, virginia, warmer

ONE_DAY = timedelta(days=1)
YEAR = 2026

CLIMATES = {
    "virginia": virginia(),
    "colder": warmer(virginia(), -3, -12),
    "warmer": warmer(virginia(), 3, 12),
    # The Virginia year half a year later, at 35 degrees south.
    "south": dataclasses.replace(mirrored(virginia()), lat=-35.0),
}

BLOOM = {"bloom_start", "bloom_end", "bud_set"}
SPRING = {
    "late_winter",
    "bud_swell",
    "leaf_out",
    "last_spring_frost",
    "last_spring_frost_early",
}
AUTUMN = {"first_autumn_frost", "leaf_fall", "dormancy"}

# Cuts of old-wood ornamentals that may fall between bud set and bloom.
SUCKERS = "takes shoots from the root or the rootstock, which carry no flowers"
WHOLE_STEMS = "structure: whole stems come out, the tips of all others stay"
COSTS_A_YEAR = "renovation; its own words say that a year's flowers are lost"
EXEMPT = {
    ("deciduous-magnolia", "remove-suckers"): SUCKERS,
    ("flowering-cherry", "remove-suckers"): SUCKERS,
    ("serviceberry", "pull-suckers"): SUCKERS,
    ("sweetspire", "dig-suckers"): SUCKERS,
    ("witch-hazel", "pull-rootstock-suckers"): SUCKERS,
    ("cotoneaster", "thin-in-winter"): WHOLE_STEMS,
    ("rough-hydrangea", "thin-oldest-stems"): WHOLE_STEMS,
    ("ninebark", "renew-in-winter"): COSTS_A_YEAR,
    ("sweetspire", "renew-in-late-winter"): COSTS_A_YEAR,
}

# New wood that waits for frost or growth: soft plants and roses die back from a cut
# that is followed by hard frost.
AT_GROWTH = {
    "autumn-camellia": "evergreen that flowers into the frost; cut as growth starts",
    "bluebeard": "subshrub whose winter-killed wood shows as the buds swell",
    "bush-rose": "pruned after hard frost as growth starts (Kansas State)",
    "lavender": "subshrub that does not break from bare wood after frost",
    "russian-sage": "subshrub that winter kills to live wood",
}

# Ornamentals that are thinned now and then and never cut for shape or flowers.
NEVER_SHAPED = {
    "bottlebrush-buckeye": "keeps its shape by itself; old stems come out at the base",
    "rough-hydrangea": "flower buds sit at all tips; old stems come out at the base",
}

DISEASE = {
    "elm": "bark beetles bring Dutch elm disease to any fresh cut (430-460)",
    "oak": "sap beetles bring oak wilt to any fresh cut (430-460)",
}

# Windows after bloom whose end a season that bloom does not move cuts off.
HELD_BACK = {
    ("lavender", "trim-after-bloom"): "no cut within seven weeks of frost",
    ("repeat-bigleaf-hydrangea", "shorten-after-first-flush"): "late soft growth",
    ("repeat-bigleaf-hydrangea", "thin-weak-stems"): "late soft growth",
    ("cherrylaurel", "shape-after-bloom"): "late soft growth",
}


def keys_of(*, wood: str) -> list[str]:
    """Ornamental groups of the wood whose flowers matter."""
    return [
        key
        for key, group in groups().items()
        if group.wood == wood and group.kind != "fruit" and group.bloom is not None
    ]


def blooming() -> list[str]:
    return [key for key, group in groups().items() if group.bloom is not None]


def anchors(key: str, climate: Climate, year: int = YEAR) -> dict[str, date]:
    found = care.anchors(climate=climate, group=groups()[key], year=year)
    return {name: day for name, day in found.items() if day is not None}


def care_year(key: str, climate: Climate, **known: object) -> list[care.Window]:
    """The growing year of an established plant."""
    return care.care_year(
        group=groups()[key],
        climate=climate,
        start=climate.date_of(0, YEAR),
        **known,  # type: ignore[arg-type]
    )


def cuts(found: list[care.Window]) -> list[care.Window]:
    return [window for window in found if window.rule.task in CUTS]


def shaping(found: list[care.Window]) -> list[care.Window]:
    return [window for window in cuts(found) if window.rule.purpose in SHAPING]


def budded(key: str, climate: Climate) -> list[tuple[date, date]]:
    """Days from the laying of the flower buds to the day before they open."""
    return [
        (
            anchors(key, climate, year)["bud_set"] + ONE_DAY,
            anchors(key, climate, year + 1)["bloom_start"] - ONE_DAY,
        )
        for year in range(YEAR - 2, YEAR + 2)
    ]


def touches(window: care.Window, spans: list[tuple[date, date]]) -> bool:
    return any(
        window.earliest <= last and first <= window.latest for first, last in spans
    )


def each_day(first: date, last: date) -> Iterator[date]:
    for number in range((last - first).days + 1):
        yield first + timedelta(days=number)


# -- old wood


@pytest.mark.parametrize("key", keys_of(wood="old"))
def test_old_wood_is_never_shaped_between_late_summer_and_its_bloom(key: str) -> None:
    for place, climate in CLIMATES.items():
        # Two years, as a renovation may take the place of one year's shaping.
        found = shaping(care_year(key, climate, days=730))
        assert bool(found) != (key in NEVER_SHAPED), place
        spans = budded(key, climate)
        touching = [window.rule.key for window in found if touches(window, spans)]
        assert touching == [], place


@pytest.mark.parametrize("key", keys_of(wood="old"))
def test_in_virginia_no_shaping_is_even_written_for_august_to_bloom(key: str) -> None:
    # By the calendar, whatever the engine makes of bud set: VCE 430-462 closes its
    # old-wood shrubs from August. What flowers then is cut after it.
    group = groups()[key]
    assert group.bloom is not None
    first, last = group.bloom.first_month, group.bloom.last_month
    closed = {8, 9, 10, 11, 12, *range(1, first)} - set(range(1, last + 1))
    if first > 8 or last < first:
        closed = {8} & set(range(1, first))
    raw = care.windows(group=group, climate=virginia(), year=YEAR)
    months = {
        (window.rule.key, day.month)
        for window in shaping(raw)
        for day in each_day(window.earliest, window.latest)
    }
    assert {rule for rule, month in months if month in closed} == set()


def test_each_cut_of_old_wood_outside_the_season_is_listed_with_its_reason() -> None:
    found = {
        (key, window.rule.key)
        for key in keys_of(wood="old")
        for window in cuts(
            care.windows(group=groups()[key], climate=virginia(), year=YEAR)
        )
        if touches(window, budded(key, virginia()))
    }
    assert found == set(EXEMPT)
    for key, name in found:
        assert groups()[key].rule(name).purpose not in SHAPING


@pytest.mark.parametrize(
    ("key", "name"), [spot for spot, why in EXEMPT.items() if why == COSTS_A_YEAR]
)
def test_a_renovation_in_winter_says_that_it_costs_the_flowers(
    key: str, name: str
) -> None:
    rule = groups()[key].rule(name)
    assert rule.purpose == "renovation"
    said = f"{rule.how} {rule.harm}"
    assert re.search(r"(coming|year's) flowers\s+are lost", said), said


@pytest.mark.parametrize(
    ("key", "name"), [spot for spot, why in EXEMPT.items() if why == WHOLE_STEMS]
)
def test_a_structure_cut_in_the_flower_buds_season_takes_whole_stems(
    key: str, name: str
) -> None:
    rule = groups()[key].rule(name)
    assert (rule.task, rule.purpose, rule.drawing) == ("thin", "structure", "thin-base")
    assert rule.limits.share_removed_max is not None
    assert rule.limits.share_removed_max <= 0.25
    assert re.search(r"alone|untouched", rule.how)


@pytest.mark.parametrize(
    ("key", "name"), [spot for spot, why in EXEMPT.items() if why == SUCKERS]
)
def test_what_takes_suckers_out_of_season_takes_nothing_else(
    key: str, name: str
) -> None:
    rule = groups()[key].rule(name)
    assert rule.purpose in {"hygiene", "structure"}
    said = f"{rule.how} {rule.where} {rule.why}"
    assert re.search(r"sucker|rootstock|runner|root or trunk", said), said


def test_fruit_is_pruned_for_its_crop_in_its_flower_buds_own_season() -> None:
    # Apple in February and March (an almanac's list, copy): the cut takes flower buds
    # and is meant to, so that what stays is large.
    (window,) = (
        found
        for found in care_year("apple", virginia())
        if found.rule.key == "open-the-crown"
    )
    assert window.best.month in {2, 3}
    assert touches(window, budded("apple", virginia()))


# -- new wood


@pytest.mark.parametrize("key", keys_of(wood="new"))
def test_new_wood_is_open_in_late_winter_or_where_tender_as_growth_starts(
    key: str,
) -> None:
    for place, climate in CLIMATES.items():
        where = {"group": groups()[key], "climate": climate}
        turns = anchors(key, climate)
        found = shaping(care_year(key, climate))
        assert bool(found) != (key in NEVER_SHAPED), place
        for window in found:
            rule = window.rule
            if key in AT_GROWTH:
                assert rule.first.anchor in {
                    "bud_swell",
                    "leaf_out",
                    "last_spring_frost",
                }
                assert turns["bud_swell"] - 7 * ONE_DAY <= window.earliest
                assert window.best <= turns["leaf_out"] + 7 * ONE_DAY
                continue
            day = turns["late_winter"]
            assert care.closed_on(day, rule.task, rule.purpose, **where) is None
            assert window.earliest <= day + 7 * ONE_DAY
            assert day - 31 * ONE_DAY <= window.best <= turns["bud_swell"]


@pytest.mark.parametrize("key", keys_of(wood="new"))
def test_new_wood_is_closed_to_shaping_from_spring_shoots_to_the_end_of_bloom(
    key: str,
) -> None:
    for climate in CLIMATES.values():
        where = {"group": groups()[key], "climate": climate}
        turns = anchors(key, climate)
        # Shoots four weeks after leaf-out carry the flowers (common practice).
        shoots, over = turns["leaf_out"] + 28 * ONE_DAY, turns["bloom_end"] - ONE_DAY
        assert (over - shoots).days > 30
        for day in each_day(shoots, over):
            for task in CUTS:
                for purpose in SHAPING:
                    assert care.closed_on(day, task, purpose, **where) is not None
            assert care.closed_on(day, "deadhead", "deadhead", **where) is None


def test_the_groups_listed_are_shipped_and_of_their_wood() -> None:
    old, new = set(keys_of(wood="old")), set(keys_of(wood="new"))
    assert set(AT_GROWTH) <= new
    assert set(NEVER_SHAPED) <= old | new
    for key in NEVER_SHAPED:
        assert any(rule.purpose == "structure" for rule in groups()[key].rules)


# -- renovation


def renovations() -> list[tuple[str, str]]:
    return [
        (key, rule.key)
        for key, group in groups().items()
        for rule in group.rules
        if "renovat" in f"{rule.task} {rule.purpose}"
    ]


@pytest.mark.parametrize(("key", "name"), renovations())
def test_a_renovation_that_says_over_years_is_planned_over_years(
    key: str, name: str
) -> None:
    rule = groups()[key].rule(name)
    spread = re.search(
        r"(?:each of|year for|over)\s+three|the other|other half|and half", rule.how
    )
    assert rule.repeat is not None
    assert (rule.repeat.for_years > 1) == bool(spread)
    if "three" in (spread[0] if spread else ""):
        assert rule.repeat.for_years in {3, 4}
    share = rule.limits.share_removed_max
    if spread and share is not None:
        assert share * rule.repeat.for_years >= 0.98


def test_a_mock_orange_is_renewed_by_a_third_in_each_of_three_years() -> None:
    # A third of the oldest stems a year for three years (newspaper copies of extension
    # advice).
    shares = {}
    for year in range(2026, 2040):
        for window in care.care_year(
            group=groups()["mock-orange"],
            climate=virginia(),
            start=date(year, 1, 1),
            planted_on=date(2020, 4, 1),
        ):
            if window.rule.key == "renew-in-three-years":
                shares[year] = (window.share, window.shares)
    assert shares == {
        2028: (1, 3),
        2029: (2, 3),
        2030: (3, 3),
        2038: (1, 3),
        2039: (2, 3),
    }


# -- dead wood


@pytest.mark.parametrize("key", groups())
def test_dead_wood_is_open_on_every_day_unless_a_disease_rule_says_no(key: str) -> None:
    group = groups()[key]
    closing = [
        season for season in group.closed if season.holds_for("dead wood", "dead wood")
    ]
    if key not in DISEASE:
        assert closing == []
        return
    (season,) = closing
    assert re.search(r"beetle|wilt|disease", season.why)
    climate = virginia()
    for month, is_closed in ((5, True), (11, False)):
        found = care.closed_on(
            date(YEAR, month, 15),
            "dead wood",
            "dead wood",
            group=group,
            climate=climate,
        )
        assert (found is not None) == is_closed


def test_every_answer_of_a_year_about_dead_wood_is_allowed_or_due() -> None:
    for key in ("azalea", "panicle-hydrangea", "bush-rose", "boxwood-hedge"):
        for month in range(1, 13):
            answers = care.ask(
                date(YEAR, month, 10), group=groups()[key], climate=virginia()
            )
            said = {one.verdict for one in answers if one.task == "dead wood"}
            assert said <= {"allowed", "best now"} and said


# -- bloom that comes early or late


def hung_on_bloom(found: list[care.Window]) -> list[care.Window]:
    return [
        window
        for window in found
        if not window.rule.always
        and {
            moment.anchor
            for moment in (window.rule.first, window.rule.best, window.rule.last)
        }
        <= BLOOM
    ]


def days_moved(before: care.Window, after: care.Window) -> tuple[int, int, int]:
    return (
        (after.earliest - before.earliest).days,
        (after.best - before.best).days,
        (after.latest - before.latest).days,
    )


@pytest.mark.parametrize("days", [-20, 20])
@pytest.mark.parametrize("key", blooming())
def test_bloom_moved_by_twenty_days_moves_what_hangs_on_it_by_twenty(
    key: str, days: int
) -> None:
    for place, climate in CLIMATES.items():
        bloom = anchors(key, climate)["bloom_start"] + timedelta(days=days)
        where = {"group": groups()[key], "climate": climate, "year": YEAR}
        plain = hung_on_bloom(care.windows(**where))
        moved = hung_on_bloom(care.windows(**where, observed={"bloom_start": bloom}))
        for before, after in zip(plain, moved, strict=True):
            spot = (place, before.rule.key)
            assert days_moved(before, after) == (days, days, days), spot


def cuts_after_bloom(
    key: str, climate: Climate, **seen: date
) -> dict[str, care.Window]:
    """The cuts that hang on bloom, the first return of each, by rule."""
    found: dict[str, care.Window] = {}
    for window in hung_on_bloom(care_year(key, climate, observed=seen)):
        if window.rule.task in (*CUTS, "deadhead") and not window.follows:
            found.setdefault(window.rule.key, window)
    return found


@pytest.mark.parametrize("days", [-20, 20])
@pytest.mark.parametrize("key", blooming())
def test_the_open_days_of_cuts_after_bloom_move_by_as_much(key: str, days: int) -> None:
    for place, climate in CLIMATES.items():
        bloom = anchors(key, climate)["bloom_start"] + timedelta(days=days)
        plain = cuts_after_bloom(key, climate)
        moved = cuts_after_bloom(key, climate, bloom_start=bloom)
        for name, before in plain.items():
            after = moved.get(name)
            if (key, name) not in HELD_BACK:
                assert after is not None
                assert days_moved(before, after) == (days, days, days), (place, name)
            elif after is not None:
                # Cut off at the season's start, or with so late a bloom not done.
                first, _best, last = days_moved(before, after)
                assert first == days, (place, name)
                assert min(days, 0) <= last <= max(days, 0), (place, name)
        assert set(moved) - set(plain) <= {name for _, name in HELD_BACK}


def test_most_groups_have_a_cut_after_bloom_to_move() -> None:
    # Else the two tests above would prove little.
    with_one = {key for key in blooming() if cuts_after_bloom(key, virginia())}
    assert len(with_one) >= 60
    assert set(keys_of(wood="old")) - set(NEVER_SHAPED) <= with_one


# -- other climates


@cache
def by_rule(key: str, place: str) -> dict[tuple[str, int], care.Window]:
    """The windows of a growing year by rule and number of the return."""
    found: dict[tuple[str, int], care.Window] = {}
    for window in care.windows(group=groups()[key], climate=CLIMATES[place], year=YEAR):
        number = sum(spot[0] == window.rule.key for spot in found)
        found[window.rule.key, number] = window
    return found


@pytest.mark.parametrize("key", groups())
def test_the_same_rules_at_thirty_five_degrees_south_give_the_mirrored_year(
    key: str,
) -> None:
    north, south = by_rule(key, "virginia"), by_rule(key, "south")
    assert set(north) == set(south)
    for spot, here in north.items():
        there = south[spot]
        # Half a year is 181 to 184 days, and the frost dates keep the day of the
        # month up to the 28th.
        assert max(abs(days - 182) for days in days_moved(here, there)) <= 4, spot
    assert {window.rule.key for window in care_year(key, CLIMATES["south"])} == {
        window.rule.key for window in care_year(key, virginia())
    }


@pytest.mark.parametrize("place", ["colder", "warmer"])
@pytest.mark.parametrize("key", groups())
def test_windows_move_with_the_climate_the_right_way_and_by_what_their_anchor_says(
    key: str, place: str
) -> None:
    here, there = anchors(key, virginia()), anchors(key, CLIMATES[place])
    later = 1 if place == "colder" else -1
    plain, moved = by_rule(key, "virginia"), by_rule(key, place)
    firsts = [
        spot
        for spot, window in plain.items()
        if spot[1] == 0 and not window.rule.always
    ]
    assert firsts
    for spot in firsts:
        before, after = plain[spot], moved[spot]
        rule = before.rule
        anchor = rule.first.anchor
        gap = (there[anchor] - here[anchor]).days
        assert (after.earliest - before.earliest).days == gap, spot
        if anchor in SPRING:
            assert gap * later > 5, spot
        elif anchor in AUTUMN:
            assert gap * later < -5, spot
        elif anchor in {"midsummer", "year_start"}:
            assert gap == 0, spot
        else:
            # Spring bloom goes with leaf-out, September's stays.
            assert gap * later >= 0, spot
        same = {rule.first.anchor, rule.best.anchor, rule.last.anchor} == {anchor}
        if same and rule.repeat is None:
            assert days_moved(before, after) == (gap, gap, gap), spot


@pytest.mark.parametrize("key", groups())
def test_no_rule_of_a_group_is_lost_or_new_in_a_colder_or_warmer_place(
    key: str,
) -> None:
    rules = {spot[0] for spot in by_rule(key, "virginia")}
    for place in ("colder", "warmer"):
        assert {spot[0] for spot in by_rule(key, place)} == rules
