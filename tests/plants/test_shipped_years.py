"""Years of the shipped groups: leap years, the turn of the year, ages, no frost."""

from collections import Counter
from datetime import date, timedelta

import pytest

from plants import care
from plants.care.regions import mid_atlantic
from plants.care.vocabulary import CUTS
from tests.plants.shipped import groups, variants
from tests.pure.care_gardens import frostless

FROST_ANCHORS = {"first_autumn_frost"}


def year_of(key: str, start: date, **known: object) -> list[care.Window]:
    return care.care_year(
        group=groups()[key],
        climate=mid_atlantic(),
        start=start,
        **known,  # type: ignore[arg-type]
    )


def is_yearly(rule: care.Rule) -> bool:
    return rule.repeat is None and not rule.hangs_on_planting


@pytest.mark.parametrize("key", groups())
def test_each_yearly_rule_comes_once_in_each_calendar_year_leap_years_too(
    key: str,
) -> None:
    for start in (
        date(2027, 1, 1),
        date(2028, 1, 1),
        date(2029, 1, 1),
        date(2027, 7, 1),
        date(2028, 2, 29),
        date(2028, 3, 1),
    ):
        days = (date(start.year + 1, start.month, min(start.day, 28)) - start).days
        found = year_of(key, start, days=days, ph=6.5)
        times = Counter(
            window.rule.key
            for window in found
            if is_yearly(window.rule) and not window.follows
        )
        assert set(times.values()) <= {1}, (start, times)
        due = {
            rule.key
            for rule in groups()[key].rules
            if is_yearly(rule)
            and rule.conditions.age_years_max is None
            and rule.conditions.irrigated is not True
            and rule.conditions.ph_above is None
            and rule.conditions.ph_below is None
            and rule.conditions.frost != "free"
        }
        followed = {
            rule.follow_up.rule for rule in groups()[key].rules if rule.follow_up
        }
        # A renovation takes the place of the year's ordinary thinning and shaping.
        replaced = {rule for window in found for rule in window.replaces}
        assert due - followed - replaced <= set(times), start


@pytest.mark.parametrize("key", groups())
def test_a_leap_day_moves_no_window_by_more_than_a_day(key: str) -> None:
    for plain, leap in zip(
        care.windows(group=groups()[key], climate=mid_atlantic(), year=2027),
        care.windows(group=groups()[key], climate=mid_atlantic(), year=2028),
        strict=True,
    ):
        assert plain.rule.key == leap.rule.key
        for before, after in (
            (plain.earliest, leap.earliest),
            (plain.best, leap.best),
            (plain.latest, leap.latest),
        ):
            assert (after - before).days in {365, 366}


def test_windows_that_cross_the_new_year_stand_whole_in_the_year_of_their_best_day():
    birch = [
        window
        for window in year_of("birch", date(2026, 1, 1))
        if window.rule.key == "lift-low-branches"
    ]
    assert [(one.earliest, one.best, one.latest) for one in birch] == [
        (date(2026, 11, 13), date(2026, 12, 3), date(2027, 1, 20))
    ]
    # In January it still may be done, and is told of by the year that began before.
    answers = care.ask(
        date(2027, 1, 10), group=groups()["birch"], climate=mid_atlantic()
    )
    verdicts = {(one.task, one.purpose): one.verdict for one in answers}
    assert verdicts["prune", "shape"] == "best now"
    assert year_of("birch", date(2027, 1, 1))[0].best >= date(2027, 1, 1)


@pytest.mark.parametrize("key", groups())
def test_without_autumn_frost_nothing_is_hung_on_one_and_the_lack_is_named(
    key: str,
) -> None:
    # A mild coast; its own figures were made up for the tests of the engine.
    where = {"group": groups()[key], "climate": frostless()}
    assert care.anchors(**where, year=2026)["first_autumn_frost"] is None
    hung = {
        rule.key
        for rule in groups()[key].rules
        if not rule.always
        and FROST_ANCHORS
        & {moment.anchor for moment in (rule.first, rule.best, rule.last)}
    }
    found = care.care_year(**where, start=date(2026, 1, 1), ph=6.5)
    assert {window.rule.key for window in found} & hung == set()
    named = {rule.key for rule, _ in care.unhung(**where, year=2026)}
    assert hung <= named
    # No closed season starts on a frost that does not come.
    for season in groups()[key].closed:
        if season.first is not None and season.first.anchor in FROST_ANCHORS:
            for month in range(1, 13):
                period = care.closed_on(date(2026, month, 15), season.tasks[0], **where)
                assert period is None or period.key != season.key


@pytest.mark.parametrize("key", groups())
def test_young_plants_are_watered_and_spared_what_older_ones_are_cut(key: str) -> None:
    planted = date(2026, 4, 10)
    first = year_of(key, planted, planted_on=planted, irrigated=False)
    old = year_of(key, planted, age_years=20.0, irrigated=False)
    watered = [window for window in first if window.rule.hangs_on_planting]
    assert any(window.rule.task == "water check" for window in watered)
    assert not any(window.rule.hangs_on_planting for window in old)
    limits = {
        window.rule.key: window.rule.conditions.age_years_min
        for window in first
        if window.rule.task in CUTS
    }
    # What waits for an age is not planned before it.
    assert all(age is None or age <= 1 for age in limits.values()), limits
    assert all(window.best >= planted for window in first)


def test_the_second_summer_differs_from_the_first_and_from_later_ones() -> None:
    planted = date(2024, 10, 15)
    tasks = [
        {
            window.rule.key
            for window in year_of(
                "lilac", date(year, 1, 1), planted_on=planted, irrigated=False
            )
        }
        for year in (2025, 2026, 2029)
    ]
    assert "water-first-year" in tasks[0]
    assert "water-second-summer" in tasks[1]
    assert not {"water-first-year", "water-second-summer"} & tasks[2]
    assert "shape-after-bloom" not in tasks[0]
    assert "shape-after-bloom" in tasks[2]


@pytest.mark.parametrize("key", groups())
def test_what_belongs_to_a_cut_falls_after_it_and_within_its_days(key: str) -> None:
    group = groups()[key]
    year = year_of(key, date(2026, 1, 1), irrigated=False, ph=6.5)
    for window in year:
        if not window.follows:
            continue
        leads = [one for one in year if one.rule.key == window.follows]
        lead = min(leads, key=lambda one: abs(one.best - window.best))
        follow = group.rule(window.follows).follow_up
        assert follow is not None
        gap = window.best - lead.best
        assert timedelta() <= gap <= timedelta(days=follow.within_days)


def test_many_groups_feed_or_mulch_after_their_cut() -> None:
    following = [
        key
        for key in groups()
        if any(
            window.follows
            for window in year_of(key, date(2026, 1, 1), irrigated=False, ph=6.5)
        )
    ]
    assert len(following) >= 10
    year = {
        window.rule.key: window
        for window in year_of("panicle-hydrangea", date(2026, 1, 1))
    }
    cut, feed = year["shorten-in-late-winter"], year["feed-deciduous-shrub"]
    assert feed.follows == cut.rule.key
    assert cut.best <= feed.best <= cut.best + timedelta(days=60)


# -- plants that differ from their group


def old_wood_plants() -> list[str]:
    """Plants of old wood that flower at another time or are cut otherwise."""
    return [
        key
        for key, group in variants().items()
        if group.wood == "old" and group.bloom is not None and group.kind != "fruit"
    ]


@pytest.mark.parametrize("key", old_wood_plants())
def test_a_plant_that_differs_from_its_group_is_not_shaped_in_its_buds(
    key: str,
) -> None:
    where = {"group": variants()[key], "climate": mid_atlantic()}
    found = [
        window
        for window in care.care_year(**where, start=date(2026, 1, 1), days=730)
        if window.rule.task in CUTS and window.rule.purpose in ("shape", "flower")
    ]
    # The rough-leaved hydrangeas are only thinned.
    assert bool(found) == (variants()[key].key != "rough-hydrangea")
    for near in range(2024, 2028):
        buds = care.anchors(**where, year=near)["bud_set"]
        bloom = care.anchors(**where, year=near + 1)["bloom_start"]
        assert buds is not None
        assert bloom is not None
        for window in found:
            assert window.latest <= buds or window.earliest >= bloom, window


def test_a_year_of_renovation_takes_the_place_of_the_ordinary_thinning() -> None:
    # Old enough at eight years, it is renovated by halves in two years, then thinned.
    planted = date(2018, 4, 10)
    cuts = {}
    for year in (2026, 2027, 2028, 2029):
        found = year_of("panicle-hydrangea", date(year, 1, 1), planted_on=planted)
        cuts[year] = [
            (window.rule.key, window.earliest, window.best, window.latest)
            for window in found
            if window.rule.key in ("renovate-overgrown", "keep-the-frame")
        ]
        assert "shorten-in-late-winter" in {window.rule.key for window in found}
        assert {rule for window in found for rule in window.replaces} == (
            {"keep-the-frame"} if year in (2027, 2028) else set()
        )
    days = {
        2026: (date(2026, 2, 3), date(2026, 3, 3), date(2026, 3, 28)),
        2027: (date(2027, 2, 3), date(2027, 3, 3), date(2027, 3, 28)),
        2028: (date(2028, 2, 4), date(2028, 3, 3), date(2028, 3, 28)),
        2029: (date(2029, 2, 3), date(2029, 3, 3), date(2029, 3, 28)),
    }
    assert cuts == {
        2026: [("keep-the-frame", *days[2026])],
        2027: [("renovate-overgrown", *days[2027])],
        2028: [("renovate-overgrown", *days[2028])],
        2029: [("keep-the-frame", *days[2029])],
    }


def test_a_span_that_begins_after_the_renovation_still_spares_the_rest() -> None:
    planted = date(2018, 4, 10)
    # The oldest trunks of a lilac go from 17 May; best day 26 May, in 2024 to 2026.
    late = year_of("lilac", date(2024, 5, 26), days=60, planted_on=planted)
    assert [w.replaces for w in late if w.rule.key == "remove-oldest-trunks"] == [
        ("shape-after-bloom",)
    ]
    later = year_of("lilac", date(2024, 5, 27), days=60, planted_on=planted)
    # What the renovation itself asks to be done after it stays.
    assert [w.rule.key for w in later if w.rule.task in CUTS] == ["thin-the-suckers"]
