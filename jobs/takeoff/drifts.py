"""Kinds that stand together: tiers by height, and drifts of odd numbers in a tier."""

import random
from collections.abc import Sequence
from dataclasses import dataclass

# Kinds within this share of a tier's tallest, with spacings no further apart than so
# many times, stand beside each other (common practice, no source).
LIKE_HEIGHT = 0.8
LIKE_SPACING = 1.5
# A drift has at most so many plants; of a large number at most a fifth each.
LARGEST_DRIFT = 7


@dataclass(frozen=True, kw_only=True)
class Kind:
    """One kind of plant to set out: WANTED None fills what the others leave."""

    key: str
    label: str
    spacing_m: float
    height_m: float | None = None
    wanted: int | None = None


@dataclass(frozen=True, kw_only=True)
class Drift:
    """So many plants of one kind that stand together."""

    kind: int
    count: int


def tiers(kinds: Sequence[Kind]) -> list[list[int]]:
    """The kinds by height, the tallest first; those of like height share a tier.

    A kind whose height is not known stands in front, as the lowest.
    """
    order = sorted(
        range(len(kinds)), key=lambda index: (-(kinds[index].height_m or 0.0), index)
    )
    out: list[list[int]] = []
    for index in order:
        kind = kinds[index]
        if out:
            first = kinds[out[-1][0]]
            wide = [kinds[each].spacing_m for each in (*out[-1], index)]
            like = (kind.height_m or 0.0) >= LIKE_HEIGHT * (first.height_m or 0.0)
            if like and max(wide) <= LIKE_SPACING * min(wide):
                out[-1].append(index)
                continue
        out.append([index])
    return out


def odd_parts(count: int) -> list[int]:
    """A number as odd numbers of about one size, as drifts are planted."""
    most = max(LARGEST_DRIFT, count // 5 | 1)
    parts = -(-count // most)
    # So many odd numbers add up to an odd number only when they are odd in number.
    if parts % 2 != count % 2:
        parts += 1
    if parts > count:
        return [1] * count
    size, over = divmod(count, parts)
    if size % 2 == 0:
        size -= 1
        over += parts
    # OVER is even: both the whole and the parts of odd size are odd together.
    return [size + 2] * (over // 2) + [size] * (parts - over // 2)


def drifts_of(kinds: Sequence[Kind], tier: Sequence[int], *, seed: int) -> list[Drift]:
    """The drifts of a tier from left to right, of one kind seldom side by side."""
    if len(tier) == 1:
        count = kinds[tier[0]].wanted or 0
        return [Drift(kind=tier[0], count=count)] if count else []
    draw = random.Random(seed)  # noqa: S311 - a pattern, no secret
    left = {}
    for index in tier:
        parts = odd_parts(kinds[index].wanted or 0)
        draw.shuffle(parts)
        left[index] = parts
    out: list[Drift] = []
    while any(left.values()):
        last = out[-1].kind if out else None
        most = max(len(parts) for index, parts in left.items() if parts)
        ready = [index for index, parts in left.items() if len(parts) == most]
        others = [index for index in ready if index != last]
        if not others:
            others = [i for i, parts in left.items() if parts and i != last] or ready
        index = draw.choice(others)
        out.append(Drift(kind=index, count=left[index].pop()))
    return out
