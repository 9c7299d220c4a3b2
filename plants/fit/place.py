"""What is known of a place and what a plant needs, in the catalogue's words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import time
from decimal import Decimal
from typing import Any

from plants.soil import Ph

LIGHTS = ("shade", "part shade", "part sun", "full sun")
MOISTURES = ("dry", "average", "moist", "wet")
AT_RISK = ("people", "dogs", "cats", "horses")


STANDS = ("well", "somewhat", "badly")


@dataclass(frozen=True, kw_only=True)
class Wall:
    """A wall or fence, by what it is called, and how far it stands from the bed."""

    name: str
    distance_m: Decimal


@dataclass(frozen=True, kw_only=True)
class Site:
    """What is known of a bed and its garden; None is not recorded."""

    light: str | None = None
    sun_hours: Decimal | None = None
    latest_sun: time | None = None
    ph: Decimal | None = None
    # The upper end where the soil is known as a range only; PH is the lower one then.
    ph_high: Decimal | None = None
    has_free_lime: bool | None = None
    texture: str | None = None
    moisture: str | None = None
    is_irrigated: bool | None = None
    hardiness_zone: str | None = None
    heat_zone: int | None = None
    width_m: Decimal | None = None
    area_m2: Decimal | None = None
    # Ground under what grows there, each at its grown width.
    taken_m2: Decimal = Decimal(0)
    is_planted: bool = True
    walls: tuple[Wall, ...] = ()
    place: str | None = None
    children: bool | None = None
    dogs: bool | None = None
    cats: bool | None = None
    horses: bool | None = None
    deer: bool | None = None
    # Which of these were computed and not seen: "light", "latest_sun".
    computed: frozenset[str] = frozenset()

    def told(self, what: str, words: str) -> str:
        """WORDS, and that they were computed where they were."""
        return f"{words}, computed" if what in self.computed else words

    salt: bool | None = None
    wind: bool | None = None

    @property
    def ph_range(self) -> Ph | None:
        """The soil's pH from its lower to its upper end."""
        if self.ph is None:
            return None
        return Ph(low=self.ph, high=self.ph if self.ph_high is None else self.ph_high)


@dataclass(frozen=True, kw_only=True)
class Needs:
    """What a plant needs and does; None or a missing word is not known."""

    light_best: tuple[str, ...] = ()
    light_bearable: tuple[str, ...] = ()
    sun_hours: tuple[Decimal, Decimal] | None = None
    latest_sun: time | None = None
    ph: tuple[Decimal, Decimal] | None = None
    moisture: tuple[str, ...] = ()
    hardiness: tuple[int, int] | None = None
    heat: tuple[int, int] | None = None
    mature_width_m: Decimal | None = None
    toxicity: Mapping[str, str] | None = None
    toxicity_note: str = ""
    invasive: tuple[str, ...] = ()
    deer_eat: str | None = None
    # How it stands salt and wind: well, somewhat, badly; None is not known.
    salt: str | None = None
    wind: str | None = None


def _figures(pair: Sequence[Any] | None) -> tuple[Decimal, Decimal] | None:
    return None if pair is None else (Decimal(str(pair[0])), Decimal(str(pair[1])))


def _zones(pair: Sequence[Any] | None) -> tuple[int, int] | None:
    return None if pair is None else (int(pair[0]), int(pair[1]))


def needs_of(facts: Mapping[str, Any]) -> Needs:
    """The needs written in a catalogue group's (or plant's resolved) facts."""
    light = facts.get("light") or {}
    hours = facts.get("sun_hours")
    latest = facts.get("latest_sun")
    width = (facts.get("mature") or {}).get("width_m")
    toxicity = facts.get("toxicity") or {}
    return Needs(
        light_best=tuple(light.get("best", ())),
        light_bearable=tuple(light.get("bearable", ())),
        sun_hours=_figures((hours["min"], hours["max"])) if hours else None,
        latest_sun=time.fromisoformat(latest) if latest else None,
        ph=_figures(facts.get("ph")),
        moisture=tuple(facts.get("moisture") or ()),
        hardiness=_zones(facts.get("hardiness")),
        heat=_zones(facts.get("heat")),
        mature_width_m=None if width is None else Decimal(str(width)),
        toxicity={who: toxicity[who] for who in AT_RISK if who in toxicity},
        toxicity_note=str(toxicity.get("note", "")),
        invasive=tuple(facts.get("invasive") or ()),
        deer_eat=facts.get("deer_eat"),
        salt=facts.get("salt"),
        wind=facts.get("wind"),
    )
