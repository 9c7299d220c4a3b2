"""Names of plants as suppliers print them, against the names of the catalogue."""

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import SequenceMatcher

LONGEST = 200
MOST_CANDIDATES = 6
# How many names a word may share to tell anything, and how many are compared in full.
MOST_SHARING = 150
MOST_WEIGHED = 30
# Shorter names differ from another kind by one letter too easily.
LEAST_FOR_SPELLING = 12

_MARKS = re.compile(r"[™®©℠]|\((?:r|tm|c|sm)\)", re.IGNORECASE)
_PATENTS = re.compile(
    r"\b(?:us)?pp(?:af)?\s*#?\s*\d[\d,]*|\bppaf\b|\bcbr(?:af)?\s*#?\s*\d*|\bpvr\b"
    r"|\bus\s*plant\s*patent\s*#?\s*[\d,]*|\bcpbr\b|\bpbr\b",
    re.IGNORECASE,
)
_TM_WORD = re.compile(r"(?<=[a-zA-Z])(?:TM|\(R\))(?=\s|$)")
_RANKS = frozenset(
    {"x", "var", "subsp", "ssp", "f", "forma", "cv", "sp", "spp", "cvar", "hyb"}
)


def plain_name(text: str) -> str:
    """The words of a name without case, accents, quotes, hybrid signs and trade marks.

    “Hydrangea × macrophylla ‘Endless Summer’®”, “HYDRANGEA X MACROPHYLLA Endless
    Summer” and “Hydrangea macrophylla 'Endless Summer' PP15298” are the same.
    """
    bare = _MARKS.sub(" ", text[: 2 * LONGEST])
    bare = _TM_WORD.sub(" ", bare)
    bare = _PATENTS.sub(" ", bare)
    bare = bare.replace("×", " x ")
    bare = unicodedata.normalize("NFKD", bare).casefold()
    bare = "".join(sign for sign in bare if not unicodedata.combining(sign))
    # An apostrophe inside a word belongs to it: Nikko's.
    bare = re.sub(r"(?<=\w)['’‘`](?=\w)", "", bare)
    words = re.findall(r"[^\W_]+", bare)
    kept = [
        word for place, word in enumerate(words) if place == 0 or word not in _RANKS
    ]
    if len(kept) > 1 and kept[0] == "x":
        # A hybrid sign before the genus.
        kept = kept[1:]
    return " ".join(kept)[:LONGEST].strip()


@dataclass(frozen=True, kw_only=True)
class Known:
    """A plant of the catalogue with every name it is found by."""

    plant_id: int
    names: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Matched:
    """The plant that a name means for sure, else those it might mean."""

    plant_id: int | None
    candidates: tuple[int, ...] = ()


class Catalogue:
    """The names of the catalogue, made ready for many look-ups."""

    def __init__(self, plants: Iterable[Known]) -> None:
        self._by_name: dict[str, set[int]] = defaultdict(set)
        self._by_gap: dict[str, set[str]] = defaultdict(set)
        self._by_word: dict[str, set[str]] = defaultdict(set)
        self._by_start: dict[str, set[str]] = defaultdict(set)
        for plant in plants:
            for name in plant.names:
                plain = plain_name(name)
                if plain:
                    self._by_name[plain].add(plant.plant_id)
        for plain in self._by_name:
            for gap in _with_gaps(plain):
                self._by_gap[gap].add(plain)
            for word in plain.split():
                self._by_word[word].add(plain)
            self._by_start[plain[:4]].add(plain)

    def match(self, name: str) -> Matched:
        """What NAME means: surely by its words or by one wrong letter, else perhaps."""
        plain = plain_name(name)
        if not plain:
            return Matched(plant_id=None)
        exact = self._by_name.get(plain)
        if exact is not None:
            return self._sure(exact)
        near = self._misspelt(plain)
        if near:
            return self._sure(near)
        return Matched(plant_id=None, candidates=self._like(plain))

    @staticmethod
    def _sure(found: set[int]) -> Matched:
        if len(found) == 1:
            return Matched(plant_id=next(iter(found)))
        return Matched(plant_id=None, candidates=tuple(sorted(found)))

    def _misspelt(self, plain: str) -> set[int]:
        """Plants whose name differs by one letter, or by two that changed places."""
        if len(plain) < LEAST_FOR_SPELLING:
            return set()
        near: set[str] = set()
        for gap in _with_gaps(plain):
            near |= self._by_gap.get(gap, set())
        found: set[int] = set()
        for name in near:
            if _is_one_slip(plain, name):
                found |= self._by_name[name]
        return found

    def _like(self, plain: str) -> tuple[int, ...]:
        """Plants with a name like it, the likest first."""
        words = plain.split()
        weights: dict[str, float] = defaultdict(float)
        for word in set(words):
            having = self._by_word.get(word, ())
            # A word that hundreds of names share tells little and costs much.
            if len(word) > 2 and len(having) <= MOST_SHARING:
                for name in having:
                    weights[name] += 1 / len(having)
        names = sorted(weights, key=lambda name: (-weights[name], name))[:MOST_WEIGHED]
        if not names:
            # A genus that is misspelt: those that begin alike.
            names = sorted(self._by_start.get(plain[:4], ()))[:MOST_WEIGHED]
        scored: dict[int, float] = {}
        asked = set(words)
        for name in names:
            likeness = SequenceMatcher(None, plain, name).ratio()
            shared = len(asked & set(name.split())) / max(len(asked), 1)
            score = likeness + shared
            if score < 0.9:
                continue
            for plant in self._by_name[name]:
                scored[plant] = max(scored.get(plant, 0), score)
        ranked = sorted(scored, key=lambda plant: (-scored[plant], plant))
        return tuple(ranked[:MOST_CANDIDATES])


def _with_gaps(plain: str) -> Iterable[str]:
    """The name itself and with each one of its letters left out."""
    yield plain
    for place in range(len(plain)):
        yield plain[:place] + plain[place + 1 :]


def _is_one_slip(one: str, other: str) -> bool:
    """Whether a letter too many, too few, wrong or moved makes one of the other.

    A number is never a slip, and neither is a word's first letter: those part kinds.
    """
    if re.sub(r"\D", "", one) != re.sub(r"\D", "", other):
        return False
    if [word[0] for word in one.split()] != [word[0] for word in other.split()]:
        return False
    if abs(len(one) - len(other)) > 1:
        return False
    start = 0
    while start < min(len(one), len(other)) and one[start] == other[start]:
        start += 1
    left, right = one[start:], other[start:]
    return (
        left[1:] == right[1:]
        or left[1:] == right
        or left == right[1:]
        or (left[:2] == right[:2][::-1] and left[2:] == right[2:])
    )
