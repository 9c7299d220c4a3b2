"""How long it takes to lay out 2,000 plants.

`.venv/bin/python -m tests.bench.layout` prints the figures beside their bounds and ends
with 1 where a bound is missed. It is no test: a busy machine would fail it. Times are
those of the processor, on one core.
"""

import sys
from decimal import Decimal
from math import cos, pi, sin
from time import process_time

from jobs.drawings import plan_svg
from jobs.takeoff import Kind, Rectangle, SeenFrom, ground_of, lay_out
from jobs.takeoff.outline import Ground

BOUND_S = 2.0
WANTED = (80, 300, 300, 1320)


def bay(lobes: int) -> Ground:
    """A bed of sixty corners with bays, about 620 m²."""
    corners = []
    for step in range(60):
        angle = 2 * pi * step / 60
        far = 10.5 + 3 * sin(lobes * angle)
        corners.append((far * cos(angle) * 1.7, far * sin(angle)))
    return (tuple(corners),)


def kinds() -> list[Kind]:
    """Four kinds, two of them of like height."""
    facts = ((1.2, 2.0), (0.6, 1.0), (0.5, 0.9), (0.4, 0.3))
    return [
        Kind(key=str(i), label=f"Kind {i}", spacing_m=s, height_m=h, wanted=WANTED[i])
        for i, (s, h) in enumerate(facts)
    ]


def main() -> int:
    """Print every figure; 1 when one of them is over its bound."""
    missed = 0
    square = ground_of(Rectangle(length_m=Decimal(30), width_m=Decimal(24)))
    for what, ground in (("rectangle", square), ("bed of 60 corners", bay(5))):
        for seen_from in SeenFrom:
            began = process_time()
            layout = lay_out(ground, kinds(), seen_from=seen_from)
            missed |= _told(f"{what}, from {seen_from}", began, len(layout.places))
        one = [Kind(key="1", label="Plugs", spacing_m=0.5, wanted=2000)]
        began = process_time()
        layout = lay_out(ground, one)
        missed |= _told(f"{what}, one kind", began, len(layout.places))
        began = process_time()
        plan_svg(layout)
        missed |= _told(f"{what}, drawn", began, len(layout.places))
    return missed


def _told(what: str, began: float, count: int) -> bool:
    seconds = process_time() - began
    over = seconds > BOUND_S
    told = f"{seconds:>6.3f} s  {count:>5} plants, {what}   bound {BOUND_S:.0f} s"
    print(told + ("   MISSED" if over else ""), flush=True)  # noqa: T201
    return over


if __name__ == "__main__":
    sys.exit(main())
