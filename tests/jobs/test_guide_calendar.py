"""The calendar of a care guide: plants first, one row for one round, water in cold."""

from typing import Any

import pytest
from django.template import Context, Template

from jobs.templatetags.guide_calendar import (
    month_rows,
    now_rows,
    water_first_words,
    water_rows,
)
from jobs.templatetags.guides import (
    alike_lines,
    own_lines,
    poison_short,
    poison_sources,
    runs_words,
    shared_lines,
    shut_asks,
)

PLANTS = [
    {"number": 2, "common": "Blue mophead", "closed": []},
    {"number": 3, "common": "Old lilac", "closed": []},
    {"number": 4, "common": "Low box", "closed": []},
]
COLD = [
    {"first": "2026-10-13", "last": "2026-10-26", "every": "day", "is_cold": False},
    {
        "first": "2026-10-27",
        "last": "2026-11-30",
        "every": "2-3 days",
        "is_cold": False,
    },
    {"first": "2026-12-01", "last": "2027-01-04", "every": "2-3 days", "is_cold": True},
    {"first": "2027-01-05", "last": "2027-02-28", "every": "week", "is_cold": True},
    {"first": "2027-03-01", "last": "2027-09-30", "every": "week", "is_cold": False},
]


def month(**parts: Any) -> dict[str, Any]:
    return {"bloom": [], "water": [], "tasks": [], "closed": [], **parts}


def task(number: int, *run: str, **changes: str) -> dict[str, Any]:
    return {
        "task": "mulch",
        "purpose": "none",
        "what": "",
        "run": list(run),
        "plants": [{"number": number, "common": f"Plant {number}"}],
        **changes,
    }


def said(rows: list[dict[str, Any]]) -> list[tuple[list[int], str, str, str]]:
    return [(list(r["numbers"]), r["name"], r["what"], r["when"]) for r in rows]


def test_a_row_names_the_plant_that_stands_alone_in_it() -> None:
    rows = month_rows(
        month(
            bloom=[3],
            tasks=[task(4, "2027-03-18", "2027-04-08", "2027-05-13")],
        ),
        PLANTS,
    )
    assert said(rows) == [
        ([3], "Old lilac", "In flower", ""),
        ([4], "Low box", "Mulch", "18 Mar to 13 May, best about 8 Apr"),
    ]
    written = Template('{% include "jobs/guide_rows.html" %}').render(
        Context({"rows": rows})
    )
    assert '<span class="number">4</span> Low box:</span>' in written


def test_plants_that_one_round_serves_share_a_row_with_the_days_that_suit_all() -> None:
    rows = month_rows(
        month(
            tasks=[
                task(2, "2027-03-18", "2027-04-08", "2027-05-13"),
                task(3, "2027-03-25", "2027-04-12", "2027-05-06"),
                # Over before the others' best days: a round of its own.
                task(4, "2027-04-01", "2027-04-02", "2027-04-05"),
            ]
        ),
        PLANTS,
    )
    assert said(rows) == [
        ([4], "Low box", "Mulch", "1 to 5 Apr, best about 2 Apr"),
        ([2, 3], "", "Mulch", "25 Mar to 6 May, best about 8 to 12 Apr"),
    ]


def test_what_is_done_twice_to_a_plant_in_a_month_stands_in_one_row() -> None:
    look = {"task": "inspect", "what": "look for blight"}
    rows = month_rows(
        month(
            tasks=[
                task(4, "2027-06-02", "2027-06-02", "2027-06-20", **look),
                task(4, "2027-06-28", "2027-06-30", "2027-07-16", **look),
            ]
        ),
        PLANTS,
    )
    assert said(rows) == [
        (
            [4],
            "Low box",
            "Look for blight",
            "2 Jun to 16 Jul, best about 2 Jun and 30 Jun",
        )
    ]


def test_two_different_looks_stay_two_rows() -> None:
    run = ("2027-06-01", "2027-06-10", "2027-06-20")
    rows = month_rows(
        month(
            tasks=[
                task(2, *run, task="inspect", what="look for wilt"),
                task(3, *run, task="inspect", what="look for mildew"),
            ]
        ),
        PLANTS,
    )
    assert [row["what"] for row in rows] == ["Look for mildew", "Look for wilt"]


def test_closed_seasons_say_until_when_and_for_whom() -> None:
    parts = [
        {
            "first": "2026-11-01",
            "last": "2026-11-04",
            "is_whole_month": False,
            "numbers": [4],
        },
        {
            "first": "2026-11-01",
            "last": "2026-11-30",
            "is_whole_month": True,
            "numbers": [2, 3],
        },
        {
            "first": "2026-11-22",
            "last": "2026-11-30",
            "is_whole_month": False,
            "numbers": [4],
        },
    ]
    rows = month_rows(month(closed=[{"is_all_cuts": True, "parts": parts}]), PLANTS)
    closed = "Closed season: cut no living wood"
    assert said(rows) == [
        ([4], "Low box", closed, "until 4 Nov"),
        ([2, 3], "", closed, ""),
        ([4], "Low box", closed, "from 22 Nov"),
    ]


@pytest.mark.parametrize(
    ("keeps_leaves", "words"),
    [
        (False, "only in a dry thaw"),
        (True, "once or twice a month, if dry and not frozen"),
    ],
)
def test_the_water_table_says_what_the_cold_asks_and_what_is_printed(
    keeps_leaves: bool, words: str
) -> None:
    row = {"how": "shrub", "keeps_leaves": keeps_leaves, "phases": COLD}
    rows = [
        (each["first"], each["last"], each["words"], each["printed"])
        for each in water_rows(row)
    ]
    assert rows == [
        ("2026-10-13", "2026-10-26", "every day", ""),
        ("2026-10-27", "2026-11-30", "every two to three days", ""),
        (
            "2026-12-01",
            "2027-02-28",
            words,
            "every two to three days to 4 Jan, then once a week",
        ),
        ("2027-03-01", "2027-09-30", "once a week", ""),
    ]


def test_a_letter_of_winter_asks_for_no_more_than_the_guide() -> None:
    row = {"how": "shrub", "keeps_leaves": False, "phases": COLD}
    assert water_first_words(row) == "every day until 26 Oct"
    winter = {**row, "phases": COLD[2:]}
    assert water_first_words(winter) == "only in a dry thaw until 28 Feb"


def paper(day: str) -> dict[str, Any]:
    line = {
        "task": "mulch",
        "purpose": "none",
        "runs": [["2026-11-01", "2026-11-10", "2026-11-20"]],
    }
    nothing: dict[str, Any] = {
        part: [] for part in ("pruning", "feeding", "soil", "water", "other")
    }
    shut = {
        "tasks": ["prune", "thin", "shear", "cut down", "renovate"],
        "spans": [["2026-08-01", "2026-11-04"]],
    }
    return {
        "issued_on": day,
        "start": "2026-10-01",
        "water": [
            {"how": "shrub", "keeps_leaves": False, "numbers": [4], "phases": COLD}
        ],
        "plants": [
            {**PLANTS[2], **nothing, "soil": [line], "closed": [shut]},
        ],
    }


def test_the_first_page_says_what_the_day_of_issue_asks_for() -> None:
    assert said(now_rows(paper("2026-10-12"))) == [
        ([4], "Low box", "Water", "every day to 26 Oct, then every two to three days"),
        ([4], "Low box", "Closed season: cut no living wood", "until 4 Nov"),
        ([4], "Low box", "Mulch", "1 to 20 Nov, best about 10 Nov"),
    ]
    assert said(now_rows(paper("2026-12-10"))) == [
        ([4], "Low box", "Water", "only in a dry thaw to 28 Feb, then once a week"),
    ]


def test_a_task_that_comes_round_often_gives_its_days_in_short() -> None:
    runs = [
        ["2027-04-19", "2027-04-19", "2027-06-02"],
        ["2027-06-03", "2027-06-03", "2027-07-17"],
        ["2027-07-18", "2027-07-18", "2027-08-31"],
    ]
    assert runs_words({"runs": runs}) == (
        "19 Apr to 2 Jun 2027, best about 19 Apr; again about 3 Jun, 18 Jul"
    )
    assert runs_words({"runs": runs[:1]}) == "19 Apr to 2 Jun 2027, best about 19 Apr"


def plant(number: int, **lines: Any) -> dict[str, Any]:
    parts = ("any_day", "feeding", "soil", "water", "other")
    return {"number": number, **{part: [] for part in parts}, **lines}


def test_what_is_done_alike_to_several_plants_is_told_once() -> None:
    mulch = {
        "key": "mulch",
        "task": "mulch",
        "purpose": "none",
        "how": "Top it up.",
        "where": "",
        "harm": "",
    }
    gravel = {**mulch, "how": "Spread gravel."}
    guide = {
        "plants": [
            plant(2, soil=[mulch]),
            plant(3, soil=[mulch]),
            plant(4, soil=[gravel]),
        ]
    }
    shared = shared_lines(guide)
    assert [(row["line"]["how"], row["numbers"]) for row in shared] == [
        ("Top it up.", [2, 3])
    ]
    first, _second, last = guide["plants"]
    assert own_lines(first, "soil", shared) == []
    assert alike_lines(first, shared) == [mulch]
    assert own_lines(last, "soil", shared) == [gravel]
    assert alike_lines(last, shared) == []


def test_poison_is_said_by_whom_it_harms_and_its_sources_apart() -> None:
    poison = {
        "toxicity": {
            "people": "unknown",
            "dogs": "toxic",
            "cats": "toxic",
            "horses": "not toxic",
        },
        "toxicity_sources": [
            {"whom": "dogs and cats", "source": "A list (memory)"},
            {"whom": "", "source": "A page (page read)"},
        ],
    }
    assert poison_short(poison) == [
        ("toxic", "dogs, cats"),
        ("unknown", "people"),
        ("not toxic", "horses"),
    ]
    assert poison_sources(poison) == (
        "for dogs and cats: A list (memory); A page (page read)"
    )
    assert poison_sources({"toxicity": {}}) == ""


def test_a_closed_season_is_said_as_a_request() -> None:
    cuts = ["prune", "thin", "shear", "cut down", "renovate"]
    assert shut_asks({"tasks": cuts}) == "do not cut living wood"
    assert shut_asks({"tasks": [*cuts, "feed"]}) == (
        "do not cut living wood, do not feed"
    )
    assert shut_asks({"tasks": ["prune", "shear", "cut down"]}) == (
        "do not prune, shear or cut down"
    )
