"""The invented present: today's rounds, two weeks' board, what waits and is late."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from jobs.actions.bills import bill_job, send_bill
from jobs.actions.demo.story import Story
from jobs.actions.demo.visits import crew_of, fitting_day, garden_key, put, work
from jobs.actions.work import SingleVisitDetails, open_single_visit
from jobs.enums import ContractState, VisitState
from jobs.models import Job, Visit
from jobs.queries.week import objections
from jobs.queries.work.tasks import task_choices

LEFT_TO_PLACE = 3
STOPS_FROM_CONTRACTS = 2


@dataclass(frozen=True, kw_only=True)
class CallOf:
    """A single visit: by the hour where no price is named."""

    garden: str
    title: str
    hours: str
    price: str = ""
    free: tuple[str, ...] = ()
    notes: str = ""


TODAYS = {
    "Alder": (
        CallOf(
            garden="wynn",
            title="Look after the bank",
            hours="3.0",
            free=("Clear the drain at the foot of the bank",),
            notes="Perpetua Wynn wants to show you the wet corner.",
        ),
        CallOf(
            garden="lantern-front",
            title="Front beds, autumn tidying",
            hours="2.5",
            price="210.00",
            free=("Rake the drive", "Take the leaf bags along"),
        ),
    ),
    "Birch": (
        CallOf(
            garden="tolliver-cottage",
            title="Roses and porch",
            hours="3.5",
            free=("Mend the trellis wire on the left post",),
        ),
        CallOf(
            garden="yard-house",
            title="Court swept for the tenants",
            hours="1.5",
            price="115.00",
            free=("Sweep the court", "Check the tap"),
        ),
    ),
}
TOO_MUCH = (
    CallOf(
        garden="ashgrove", title="Meadow path cut back", hours="8.0", price="640.00"
    ),
    CallOf(garden="canal", title="Towpath hedge", hours="7.0", price="560.00"),
    CallOf(garden="yard-house", title="Court drain", hours="5.5"),
)
# Days from today, crew, and what for.
TO_COME = (
    (1, "Alder", CallOf(garden="ashgrove", title="Grasses tied up", hours="6.0")),
    (4, "Alder", CallOf(garden="hall", title="Leaves off the green", hours="9.0")),
    (
        5,
        "Birch",
        CallOf(garden="canal", title="Gutters and ivy", hours="4.0", price="290.00"),
    ),
    (
        6,
        "Alder",
        CallOf(garden="lantern-front", title="Stakes and ties looked at", hours="2.0"),
    ),
    (7, "Birch", CallOf(garden="wynn", title="Barn path cleared", hours="5.0")),
    (8, "Alder", CallOf(garden="yard-house", title="Wall washed", hours="7.5")),
    (9, "Birch", CallOf(garden="ashgrove", title="Gate rehung", hours="3.0")),
)
DONE = (
    CallOf(
        garden="ashgrove",
        title="Storm clearing",
        hours="6.0",
        free=("Clear the steps",),
    ),
    CallOf(
        garden="canal",
        title="Pruning call",
        hours="2.0",
        price="165.00",
        free=("Cut the bramble out of the pines",),
    ),
)


def calls_of_the_year(story: Story) -> None:
    """Single visits that were done and billed, and one that was not done."""
    for number, told in enumerate(DONE):
        day = story.workday(story.day(-75 + 30 * number))
        _done(story, told, day=day)
    # The workday before today, whatever today is.
    yesterday = story.day(-1)
    while yesterday.weekday() > 4:
        yesterday -= dt.timedelta(days=1)
    late = CallOf(
        garden="hall",
        title="Bench and litter bins",
        hours="1.5",
        price="95.00",
        free=("Oil the bench", "Empty the bins"),
    )

    def book(now: dt.datetime) -> None:
        _book(story, late, crew="Birch", day=yesterday, now=now)

    story.then(story.at(story.day(-5), 12), book)


def _book(
    story: Story,
    told: CallOf,
    *,
    crew: str | None,
    day: dt.date | None,
    now: dt.datetime,
    tasks: tuple[str, ...] = (),
) -> Job:
    hours = Decimal(told.hours)
    if crew and day:
        story.load[crew, day] = story.load.get((crew, day), Decimal(0)) + hours
    return open_single_visit(
        garden=story.gardens[told.garden],
        details=SingleVisitDetails(
            title=told.title,
            price=Decimal(told.price) if told.price else None,
            hour_price=None if told.price else Decimal("64.00"),
            is_taxed=True,
            planned_hours=hours,
            planned_cost=hours * Decimal("38.00"),
            day=day,
            crew_id=story.crews[crew].pk if crew else None,
            tasks=tasks,
            free=told.free,
            notes=told.notes,
        ),
        key=story.key(),
        by=story.owner,
        now=now,
    )


def _done(story: Story, told: CallOf, *, day: dt.date) -> None:
    """Let the visit be booked, made on DAY and billed."""

    def book(now: dt.datetime) -> None:
        job = _book(story, told, crew="Birch", day=day, now=now)
        story.then(story.at(day, 13), lambda now: go(job, now))

    def go(job: Job, now: dt.datetime) -> None:
        work(story, Visit.objects.get(job=job), now=now)
        story.then(now + dt.timedelta(days=2), lambda now: charge(job, now))

    def charge(job: Job, now: dt.datetime) -> None:
        bill = bill_job(
            job=job,
            deposit_percent=None,
            day=now.date(),
            by=story.bookkeeper,
            now=now,
        )
        send_bill(bill=bill, by=story.bookkeeper, now=now)

    story.then(story.at(day - dt.timedelta(days=4), 12), book)


def fill_the_weeks(story: Story) -> None:
    """Place what the contracts ask for now, some left to place, one day too full."""
    now = story.now
    waiting = list(
        Visit.objects.filter(
            state=VisitState.PLANNED,
            day=None,
            contract__state=ContractState.RUNNING,
            best_on__lte=story.day(20),
        )
        .select_related("garden", "contract", "job")
        .order_by("latest_on", "id")
    )
    left = waiting[: max(0, len(waiting) - LEFT_TO_PLACE)]
    for crew in ("Alder", "Birch"):
        mine = [visit for visit in left if crew_of(garden_key(story, visit)) == crew]
        fitting = [
            visit for visit in mine if not objections(visit=visit, day=story.today)
        ]
        for visit in fitting[:STOPS_FROM_CONTRACTS]:
            put(story, visit, crew=crew, day=story.today, now=now)
            left.remove(visit)
        for call in TODAYS[crew]:
            _book(
                story,
                call,
                crew=crew,
                day=story.today,
                now=now,
                tasks=_tasks_now(story, call.garden),
            )
    for visit in left:
        crew = crew_of(garden_key(story, visit))
        about = story.workday(
            max(story.day(1), min(visit.best_on or story.today, story.day(11)))
        )
        day = fitting_day(story, visit, crew=crew, about=about, not_before=story.today)
        if not objections(visit=visit, day=day):
            put(story, visit, crew=crew, day=day, now=now)
    for days, crew, call in TO_COME:
        _book(story, call, crew=crew, day=story.workday(story.day(days)), now=now)
    full = story.workday(story.day(2))
    for call in TOO_MUCH:
        _book(story, call, crew="Birch", day=full, now=now)
    _book(
        story,
        CallOf(
            garden="lantern-front",
            title="Stump by the gate",
            hours="4.0",
            free=("Dig out the stump",),
        ),
        crew=None,
        day=None,
        now=now,
    )


def _tasks_now(story: Story, garden: str) -> tuple[str, ...]:
    """Up to three tasks that are in season today, each of another planting."""
    found = [
        next((choice for choice in each.choices if choice.is_near), None)
        for each in task_choices(garden=story.gardens[garden], day=story.today)
    ]
    return tuple(choice.value for choice in found if choice is not None)[:3]
