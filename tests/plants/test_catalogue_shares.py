"""On what the shipped catalogue rests: shares by field, by task and by kind of source.

    pytest tests/plants/test_catalogue_shares.py -s

prints the tables; the bounds are those that are asserted.
"""

from collections import Counter
from collections.abc import Iterable
from typing import Any

from plants.imports import COMMON_PRACTICE
from tests.plants.shipped import catalogue as shipped

KINDS = ("page read", "copy", "memory", COMMON_PRACTICE, "not known")
FIELDS = (
    "evergreen",
    "buds",
    "wood",
    "bloom",
    "light",
    "sun_hours",
    "latest_sun",
    "ph",
    "moisture",
    "hardiness",
    "heat",
    "mature",
    "spacing_m",
    "growth",
    "toxicity",
    "invasive",
    "deer_eat",
    "salt",
    "wind",
    "native",
    "planting",
)
# A group without a bloom or without late sun has nothing to be known there.
MAY_BE_NONE = {"bloom", "latest_sun"}
CUTTING = ("prune", "thin", "shear", "cut down", "renovate", "deadhead", "clear up")
# What a group is cut for, the weightiest first.
WEIGHT = (
    "flower",
    "shape",
    "structure",
    "renovation",
    "hygiene",
    "deadhead",
    "dead wood",
    "none",
)


def kind_of(source: str) -> str:
    if source == COMMON_PRACTICE:
        return COMMON_PRACTICE
    return str(shipped().sources[source]["read"])


def kind_of_fact(spec: dict[str, Any], field: str) -> str:
    """How the source of a fact was read; what a group does not say is not known."""
    value = spec.get(field)
    if value is None and field not in MAY_BE_NONE:
        return "not known"
    named = value.get("source") if isinstance(value, dict) else None
    if named is None:
        line = spec["sources"].get(field) or spec["sources"]["other figures"]
        named = line["source"]
    return kind_of(named)


def main_cut(spec: dict[str, Any]) -> dict[str, Any]:
    """The cut that a group is kept by: the weightiest purpose, then the longest."""
    cuts = [rule for rule in spec["rules"] if rule["task"] in CUTTING]
    cuts.sort(
        key=lambda rule: (
            CUTTING.index(rule["task"]) >= CUTTING.index("deadhead"),
            WEIGHT.index(rule["purpose"]),
            -rule["minutes"],
        )
    )
    return cuts[0]


def table(title: str, rows: Iterable[tuple[str, Counter[str]]]) -> str:
    lines = [title, f"{'':14}" + "".join(f"{kind:>17}" for kind in KINDS)]
    for name, counts in rows:
        whole = sum(counts.values())
        lines.append(
            f"{name:14}"
            + "".join(f"{counts[k]:>10} {counts[k] / whole:>5.0%}" for k in KINDS)
        )
    return "\n".join(lines)


def facts_by_field() -> dict[str, Counter[str]]:
    return {
        field: Counter(kind_of_fact(spec, field) for spec in shipped().groups.values())
        for field in FIELDS
    }


def rules_by_task() -> dict[str, Counter[str]]:
    found: dict[str, Counter[str]] = {}
    for spec in shipped().groups.values():
        for rule in spec["rules"]:
            counts = found.setdefault(rule["task"], Counter())
            counts[kind_of(rule["source"])] += 1
    return found


def test_the_share_of_each_field_and_kind_of_source_is_printed() -> None:
    facts, rules = facts_by_field(), rules_by_task()
    main = Counter(
        kind_of(main_cut(spec)["source"]) for spec in shipped().groups.values()
    )
    print()  # noqa: T201 - the tables are what this command is for
    print(table("Facts of groups", facts.items()))  # noqa: T201
    print(table("Rules by task", sorted(rules.items())))  # noqa: T201
    print(table("Main cut of each group", [("groups", main)]))  # noqa: T201

    groups = len(shipped().groups)
    assert {sum(counts.values()) for counts in facts.values()} == {groups}
    assert sum(sum(counts.values()) for counts in rules.values()) == sum(
        len(spec["rules"]) for spec in shipped().groups.values()
    )
    # Nobody measured these; they are said to be known only where somebody did.
    for field in ("heat", "salt", "wind"):
        assert facts[field]["not known"] > 0
    assert facts["native"]["not known"] == 0


def test_the_main_cut_rests_on_a_page_that_was_read_for_70_percent_of_groups() -> None:
    read = {
        key
        for key, spec in shipped().groups.items()
        if kind_of(main_cut(spec)["source"]) == "page read"
    }
    rest = sorted(set(shipped().groups) - read)
    assert len(read) >= 0.7 * len(shipped().groups), rest


def test_every_rule_and_fact_names_a_source_or_says_common_practice() -> None:
    known = {*shipped().sources, COMMON_PRACTICE}
    for key, spec in shipped().groups.items():
        sources = [line["source"] for line in (*spec["rules"], *spec["closed"])]
        sources += [line["source"] for line in spec["sources"].values()]
        for line in spec.get("disagreements", ()):
            sources += [line["source"], line["source_instead"]]
            assert line["source"] != line["source_instead"], key
        assert set(sources) <= known, key
        assert "other figures" in spec["sources"], key
