"""Reading single values of a specification and collecting what is wrong with them."""

import math
import re
from collections.abc import Collection, Mapping, Sequence
from typing import Any

_KEY = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*\Z")


class FaultReader:
    """Collects faults while it reads, each under group, rule and field."""

    def __init__(self, group: str) -> None:
        self.messages: list[str] = []
        self.where = [group]

    def say(self, field: str, message: str) -> None:
        """Keep a fault of a field at the present place."""
        self.messages.append(f"{' / '.join([*self.where, field])}: {message}")

    def key(self, value: object, field: str) -> str:
        """A key of small letters, digits and hyphens."""
        if isinstance(value, str) and _KEY.match(value):
            return value
        self.say(field, f"{value!r} is not a key of small letters, digits and hyphens")
        return ""

    def text(self, value: object, field: str, *, needed: bool = False) -> str:
        """A text; an absent one is empty unless it is needed."""
        if value is None and not needed:
            return ""
        if isinstance(value, str) and (value.strip() or not needed):
            return value.strip()
        self.say(field, "a text is missing" if needed else f"{value!r} is not a text")
        return ""

    def word(self, value: object, field: str, words: Sequence[str]) -> str:
        """One of the words; bare yes and no of a YAML file are taken as words."""
        if isinstance(value, bool):
            value = "yes" if value else "no"
        if isinstance(value, str) and value in words:
            return value
        self.say(field, f"{value!r} is not one of {', '.join(words)}")
        return words[-1]

    def words(self, value: object, field: str, words: Sequence[str]) -> tuple[str, ...]:
        """Several of the words."""
        return tuple(
            self.word(given, field, words) for given in self.list(value, field)
        )

    def list(self, value: object, field: str) -> list[Any]:
        """A list; an absent one is empty."""
        if value is None:
            return []
        if isinstance(value, Sequence) and not isinstance(value, str):
            return [*value]
        self.say(field, f"{value!r} is not a list")
        return []

    def mapping(
        self, value: object, field: str, known: Collection[str]
    ) -> dict[str, Any]:
        """Named values under known names only."""
        if value is None:
            return {}
        if not isinstance(value, Mapping):
            self.say(field, f"{value!r} does not name its values")
            return {}
        for name in value:
            if name not in known:
                self.say(field, f"{name!r} is not known, only {', '.join(known)}")
        return {name: value[name] for name in value if name in known}

    def number(
        self, value: object, field: str, lowest: float, highest: float
    ) -> float | None:
        """A number within bounds; None when it is absent or wrong."""
        if value is None:
            return None
        if (
            isinstance(value, int | float)
            and not isinstance(value, bool)
            and math.isfinite(value)
            and lowest <= value <= highest
        ):
            return value
        self.say(field, f"{value!r} is not a number from {lowest} to {highest}")
        return None

    def whole(self, value: object, field: str, lowest: int, highest: int) -> int | None:
        """A whole number within bounds; None when it is absent or wrong."""
        if value is None:
            return None
        found = self.number(value, field, lowest, highest)
        if found is not None and found != int(found):
            self.say(field, f"{value!r} is not a whole number")
        return None if found is None else int(found)

    def one_each(self, keys: Sequence[str], what: str) -> None:
        """Every key once."""
        for key in sorted({key for key in keys if keys.count(key) > 1}):
            self.say(key, f"the {what} stands there twice")
