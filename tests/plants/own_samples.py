"""A small shipped catalogue, and forms of the firm's own lines filled in."""

from typing import Any

from plants.actions.catalogue import load_catalogue
from plants.imports import Catalogue
from plants.models import Group, Plant
from tests import factories
from tests.factories import NOW, rule_spec

READ = "read-page"
FEED = {
    "key": "feed-after-bloom",
    "task": "feed",
    "purpose": "none",
    "window": {"anchor": "bloom_end", "earliest": 0, "best": 5, "latest": 20},
    "drawing": "none",
    "minutes": 3,
    "how": "A handful a plant.",
    "where": "Over the roots.",
    "why": "It feeds next year's buds.",
    "harm": "Fed late, the wood stays soft.",
    "source": READ,
}


def shipped(**changes: Any) -> Catalogue:
    """Two sources; an old-wood group with a cut and a feed, one plant of it.

    CHANGES replace facts of the group.
    """
    facts = factories.GroupFactory.build(key="mophead", name="Mophead").facts
    cut = rule_spec(
        source=READ,
        limits={"share_removed_max": 0.33, "cut": "above a pair of buds"},
        follow_up={"rule": "feed-after-bloom", "within_days": 14},
    )
    group = {
        **facts,
        "key": "mophead",
        "name": "Mophead",
        "kind": "shrub",
        "rules": [cut, dict(FEED)],
        "closed": [
            {
                "key": "wet-leaves",
                "tasks": ["shear"],
                "from": {"anchor": "leaf_out", "days": 0},
                "to": {"anchor": "leaf_out", "days": 30},
                "except_purposes": [],
                "why": "Leaf spot spreads.",
                "source": "common practice",
            }
        ],
        **changes,
    }
    return Catalogue(
        sources={
            key: {
                "key": key,
                "publisher": publisher,
                "title": "Shrubs",
                "address": "extension.example/shrubs",
                "read": read,
            }
            for key, publisher, read in (
                (READ, "An extension", "page read"),
                ("remembered", "A handbook", "memory"),
            )
        },
        groups={"mophead": group},
        plants={
            "mophead-blue": {
                "key": "mophead-blue",
                "group": "mophead",
                "botanical": "Hydrangea exempli 'Blue'",
                "common": "Blue mophead",
                "synonyms": [],
                "overrides": {"ph": [5.0, 5.5]},
            }
        },
    )


def load(**changes: Any) -> tuple[Group, Plant]:
    """The group and the plant, loaded."""
    load_catalogue(catalogue=shipped(**changes), now=NOW)
    return Group.objects.get(key="mophead"), Plant.objects.get(key="mophead-blue")


def moment(name: str, days: int, anchor: str) -> dict[str, Any]:
    """The three fields of a moment."""
    return {
        f"{name}_days": abs(days),
        f"{name}_side": "before" if days < 0 else "after",
        f"{name}_anchor": anchor,
    }


def rule_form(**changes: Any) -> dict[str, Any]:
    """A mulch in spring, as it is typed, with CHANGES."""
    return {
        "version": 0,
        "task": "mulch",
        "purpose": "none",
        **moment("first", 0, "leaf_out"),
        **moment("best", 10, "leaf_out"),
        **moment("last", 30, "leaf_out"),
        "minutes": 6,
        "drawing": "none",
        "how": "Three fingers deep, off the stems.",
        "where": "Over the root zone.",
        "why": "It keeps the soil moist.",
        "harm": "Against the stems it rots them.",
        "source": "common practice",
        **changes,
    }


def closed_form(**changes: Any) -> dict[str, Any]:
    """No dividing from midsummer for forty days, as it is typed, with CHANGES."""
    return {
        "version": 0,
        "tasks": ["divide"],
        **moment("from", 0, "midsummer"),
        **moment("to", 40, "midsummer"),
        "why": "Roots dry out in the heat.",
        "source": "common practice",
        **changes,
    }


def group_form(**changes: Any) -> dict[str, Any]:
    """A new-wood shrub of the firm, as it is typed, with CHANGES."""
    return {
        "version": 0,
        "name": "Hill bluebeard",
        "kind": "shrub",
        "habit": "mound",
        "evergreen": "no",
        "buds": "opposite",
        "wood": "new",
        "bloom_first": 8,
        "bloom_last": 9,
        "bloom_region": "mid-atlantic",
        "colour": "blue",
        "height": "4 ft",
        "width": "3 ft 6 in",
        "spacing": "36",
        "growth": "fast",
        "light_best": ["full sun"],
        "light_bearable": ["part sun"],
        "sun_min": 6,
        "sun_max": 14,
        "ph_low": "6.0",
        "ph_high": "7.5",
        "moisture": ["dry", "average"],
        "hardiness_low": 5,
        "hardiness_high": 9,
        "people": "unknown",
        "dogs": "unknown",
        "cats": "unknown",
        "horses": "unknown",
        "poison_source": "common practice",
        **changes,
    }


def plant_form(group: Group, **changes: Any) -> dict[str, Any]:
    """A plant of the firm that is as its group, with CHANGES."""
    return {
        "version": 0,
        "group": group.pk,
        "common": "Hill mophead",
        "botanical": "Hydrangea exempli 'Hill'",
        "other_names": "Grey mophead\nMoor mophead",
        **changes,
    }
