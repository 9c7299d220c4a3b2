"""What the logged hours of finished jobs say of the hours that were quoted."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.units import round_figure
from jobs.labour.rates import LEAST_FACTOR, MOST_FACTOR, LabourError

# Of fewer jobs one that went wrong would decide.
FEWEST_JOBS = 3
# A ratio this near to 1 is left alone: common practice, no source.
NEAR_ENOUGH = Decimal("0.05")


@dataclass(frozen=True, kw_only=True)
class Learned:
    """Logged hours against quoted ones: how many jobs, the middle one, the spread."""

    jobs: int
    ratio: Decimal | None
    least: Decimal | None = None
    most: Decimal | None = None

    @property
    def is_enough(self) -> bool:
        """Whether so many jobs suggest anything."""
        return self.jobs >= FEWEST_JOBS

    @property
    def suggested(self) -> Decimal | None:
        """By what the hours would be multiplied; None: nothing is suggested."""
        if not self.is_enough or self.ratio is None:
            return None
        if abs(self.ratio - 1) < NEAR_ENOUGH:
            return None
        return min(max(self.ratio, LEAST_FACTOR), MOST_FACTOR)


def learn(pairs: Sequence[tuple[Decimal, Decimal]]) -> Learned:
    """From (quoted, logged) hours of each job: the median ratio and the spread."""
    ratios = []
    for quoted, logged in pairs:
        if not quoted.is_finite() or not logged.is_finite():
            raise LabourError("Hours must be numbers.")
        if quoted <= 0 or logged <= 0:
            raise LabourError("A job teaches nothing without hours on both sides.")
        ratios.append(logged / quoted)
    if not ratios:
        return Learned(jobs=0, ratio=None)
    ratios.sort()
    middle = len(ratios) // 2
    median = (
        ratios[middle] if len(ratios) % 2 else (ratios[middle - 1] + ratios[middle]) / 2
    )
    return Learned(
        jobs=len(ratios),
        ratio=round_figure(median, 3),
        least=round_figure(ratios[0], 3),
        most=round_figure(ratios[-1], 3),
    )
