"""What the parts of the invented year hand on to each other."""

import datetime as dt
import heapq
import random
import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal

from firm.geo import local_moment
from firm.models import Client, Crew, Person, TaxRegion
from plants.models import Bed, Garden, Plant, Planting, Station

ZONE = "America/New_York"


def nothing_to_post(_now: dt.datetime) -> None:
    """Leave the letters where they wait."""


@dataclass
class Story:
    """The invented firm as it grows, and the days it grows on.

    POST lets the letters out that are due at a moment of the past.
    """

    today: dt.date
    now: dt.datetime
    seed: int = 1
    post: Callable[[dt.datetime], None] = nothing_to_post
    station: Station | None = None
    # A place with tax and wording of its own.
    ward: TaxRegion | None = None
    people: dict[str, Person] = field(default_factory=dict)
    crews: dict[str, Crew] = field(default_factory=dict)
    clients: dict[str, Client] = field(default_factory=dict)
    gardens: dict[str, Garden] = field(default_factory=dict)
    beds: dict[tuple[str, str], Bed] = field(default_factory=dict)
    plantings: dict[tuple[str, str], Planting] = field(default_factory=dict)
    plants: dict[str, Plant] = field(default_factory=dict)
    # Hours that the board holds by crew and day, so that days are filled sensibly.
    load: dict[tuple[str, dt.date], Decimal] = field(default_factory=dict)
    told: set[str] = field(default_factory=set)
    rained_off: bool = False
    _to_come: list[tuple[dt.datetime, int, Callable[[dt.datetime], None]]] = field(
        default_factory=list
    )

    def __post_init__(self) -> None:
        # Nothing secret is drawn: the same seed must give the same year.
        self.chance = random.Random(f"{self.seed} {self.today}")  # noqa: S311
        self._count = 0

    def then(self, moment: dt.datetime, what: Callable[[dt.datetime], None]) -> None:
        """Let WHAT happen at MOMENT; it is told the moment."""
        self._count += 1
        heapq.heappush(self._to_come, (moment, self._count, what))

    def live(self) -> None:
        """Let everything happen in the order of time, and what it leads to, too."""
        while self._to_come:
            moment, _count, what = heapq.heappop(self._to_come)
            # Letters go out before anything happens that could make them idle.
            self.post(moment)
            what(moment)

    @property
    def climate(self) -> Station:
        """The weather of the place."""
        if self.station is None:
            raise LookupError("The firm is not opened yet.")
        return self.station

    @property
    def owner(self) -> Person:
        """Who runs the firm."""
        return self.people["owner"]

    @property
    def bookkeeper(self) -> Person:
        """Who keeps the books."""
        return self.people["bookkeeper"]

    def day(self, days: int) -> dt.date:
        """The day so many days from today; before today when negative."""
        return self.today + dt.timedelta(days=days)

    def at(self, day: dt.date, hour: int, minute: int = 0) -> dt.datetime:
        """A moment of DAY by the firm's clock, never later than now."""
        return min(local_moment(day, dt.time(hour, minute), ZONE), self.now)

    def workday(self, day: dt.date) -> dt.date:
        """DAY, or the Monday after it where it falls on a weekend."""
        return day + dt.timedelta(days=7 - day.weekday() if day.weekday() > 4 else 0)

    def last(self, month: int, day: int, *, days_ago: int) -> dt.date:
        """The last such day of a year that lies DAYS_AGO or longer back."""
        latest = self.day(-days_ago)
        this_year = dt.date(latest.year, month, day)
        return (
            this_year
            if this_year <= latest
            else this_year.replace(year=latest.year - 1)
        )

    def key(self) -> uuid.UUID:
        """The key that a form would carry."""
        return uuid.UUID(int=self.chance.getrandbits(128), version=4)

    def plant(self, key: str) -> Plant:
        """The plant of the catalogue."""
        if key not in self.plants:
            self.plants[key] = Plant.objects.get(key=key)
        return self.plants[key]
