"""What the engine refuses, in the words of the trade."""

import re
from dataclasses import dataclass

from plants.enums import Anchor

_ANCHORS = re.compile(
    r"\b(" + "|".join(sorted(Anchor.values, key=len, reverse=True)) + r")\b"
)
_SHARES = re.compile(r"([0-9.e-]+) is more than the ([0-9.]+) that one cut")
_SEASON = re.compile(r"closed season '[^']*': ")
_PLAIN = (
    ("bloom is null", "it is said to have no flowers that matter"),
    (
        "a hard cut is the task 'cut down' or 'renovate'",
        "a harder cut is a task of its own: cut down, or renovate",
    ),
    ("follow-ups run in a circle", "the work that follows runs in a circle"),
)


@dataclass(frozen=True)
class Fault:
    """One refusal: of which plant, line and field, and why."""

    plant: str
    line: str
    field: str
    words: str


def fault_of(message: str) -> Fault:
    """A message of the engine, "group / line / field: words", taken apart.

    A plant that was proved with its group stands in front: "Plant: group / ...".
    """
    head, _colon, words = message.partition(": ")
    plant = ""
    if " / " not in head and " / " in words:
        plant, (head, _colon, words) = head, words.partition(": ")
    where = head.split(" / ")
    if len(where) < 2:
        return Fault(plant=plant, line="", field="", words=said(message))
    line = where[1] if len(where) > 2 else ""
    return Fault(plant=plant, line=line, field=where[-1], words=said(words))


def said(words: str) -> str:
    """The engine's words with anchors, shares and seasons as people say them."""
    shown = _SEASON.sub("closed season: ", words)
    shown = _ANCHORS.sub(lambda found: f"“{Anchor(found[1]).label}”", shown)
    shown = _SHARES.sub(
        lambda found: (
            f"{_percent(found[1])} % is more than the {_percent(found[2])} % "
            "that one cut"
        ),
        shown,
    )
    for told, plain in _PLAIN:
        shown = shown.replace(told, plain)
    return shown[:1].upper() + shown[1:] + ("" if shown.endswith((".", "!")) else ".")


def _percent(share: str) -> str:
    return f"{float(share) * 100:.4g}"


def reason(message: str) -> str:
    """Why a line is left out, in one sentence."""
    return fault_of(message).words
