"""Verdicts and criteria: what is needed, what is there, and the words."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

NOT_RECORDED = "not recorded"


class Verdict(StrEnum):
    """How a place suits a plant in one respect, best first."""

    RIGHT = "right"
    BEARABLE = "bearable"
    UNKNOWN = "not recorded"
    WRONG = "wrong"
    DEADLY = "deadly"


SEVERITY = {verdict: step for step, verdict in enumerate(Verdict)}


@dataclass(frozen=True)
class Criterion:
    """One respect: what is needed, what is there, the verdict and the words."""

    key: str
    name: str
    needed: str
    found: str
    verdict: Verdict
    words: str
    # A poison nobody is there to meet is told, but does not decide.
    decides: bool = True


def listed(names: Sequence[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def alternatives(names: Sequence[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} or {names[-1]}"


def missing(key: str, name: str, needed: str, what: str) -> Criterion:
    return Criterion(
        key, name, needed, NOT_RECORDED, Verdict.UNKNOWN, f"{what} is not recorded."
    )


def plant_missing(key: str, name: str, found: str, what: str) -> Criterion:
    return Criterion(
        key,
        name,
        NOT_RECORDED,
        found,
        Verdict.UNKNOWN,
        f"What {what} this plant needs is not recorded in the catalogue.",
    )
