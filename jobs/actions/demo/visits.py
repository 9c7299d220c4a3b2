"""Invented visits of the past year: placed, worked, logged, one rained off."""

import datetime as dt
from decimal import Decimal

from firm.models import Person
from firm.queries import people_in
from jobs.actions.demo.jobs import log
from jobs.actions.demo.story import Story
from jobs.actions.today import (
    end_visit,
    raise_problem,
    settle_problem,
    settle_task,
    start_visit,
)
from jobs.actions.week import place_visit, rain_off
from jobs.enums import HourKind, TaskState, VisitState
from jobs.models import Contract, Problem, Visit
from jobs.queries.week import objections, visit_to_place

# Visits whose best day lies nearer than this are left for the week board.
HISTORY_ENDS = -6
SEARCH_DAYS = 16
ALDERS = {"crake", "farrow", "lantern-court", "wynn"}
PROBLEMS = {
    "farrow": ("Butterfly bush 5 is dead on the north side; scratched, brown.", True),
    "hall": ("Somebody drove over the corner of the bed, six daylilies torn.", True),
    "wynn": ("Hornets under the barn eaves above the lilac.", False),
    "tolliver-town": ("The dog dug two roses half out; set again and watered.", False),
}


def crew_of(garden: str) -> str:
    """Which crew looks after the garden."""
    return "Alder" if garden in ALDERS else "Birch"


def garden_key(story: Story, visit: Visit) -> str:
    """The word by which this story calls the visit's garden."""
    return next(
        key for key, garden in story.gardens.items() if garden.pk == visit.garden_id
    )


def let_it_run(story: Story, contract: Contract, *, now: dt.datetime) -> None:
    """Let the visits of a contract happen whose time is over."""
    last = story.day(HISTORY_ENDS)
    for visit in Visit.objects.filter(contract=contract).order_by("best_on", "id"):
        if visit.best_on is not None and visit.best_on <= last:
            # Planned a week before, or at once where the contract began late.
            planned_on = story.at(visit.best_on - dt.timedelta(days=9), 17)
            _plan(story, visit, moment=max(planned_on, now))


def _plan(story: Story, visit: Visit, *, moment: dt.datetime) -> None:
    def place(now: dt.datetime) -> None:
        row = visit_to_place(visit_id=visit.pk)
        if row is None or row.best_on is None:
            return
        crew = crew_of(garden_key(story, row))
        first = story.workday(max(row.best_on, now.date() + dt.timedelta(days=1)))
        day = fitting_day(story, row, crew=crew, about=first, not_before=now.date())
        if day > story.day(-1):
            return
        put(story, row, crew=crew, day=day, now=now)
        story.then(story.at(day, 8), lambda now: _go_there(story, row.pk, now))

    story.then(moment, place)


def fitting_day(
    story: Story, visit: Visit, *, crew: str, about: dt.date, not_before: dt.date
) -> dt.date:
    """A workday near ABOUT that nothing speaks against, with room for the visit."""
    near = sorted(
        range(-SEARCH_DAYS, SEARCH_DAYS + 1), key=lambda days: (abs(days), days)
    )
    room = Decimal(24 if crew == "Alder" else 16)
    for days in near:
        day = about + dt.timedelta(days=days)
        if day <= not_before or day.weekday() > 4:
            continue
        load = story.load.get((crew, day), Decimal(0))
        if load and load + visit.planned_hours > room:
            continue
        if not objections(visit=visit, day=day):
            return day
    return about


def put(
    story: Story,
    visit: Visit,
    *,
    crew: str,
    day: dt.date,
    now: dt.datetime,
    reason: str = "",
) -> Visit:
    """The visit on the board, with the owner's reason where the day needs one."""
    if objections(visit=visit, day=day) and not reason:
        reason = "The client asked for this week; looked at on the spot."
    story.load[crew, day] = (
        story.load.get((crew, day), Decimal(0)) + visit.planned_hours
    )
    return place_visit(
        visit_id=visit.pk,
        version=visit.version,
        crew_id=story.crews[crew].pk,
        day=day,
        position=None,
        reason=reason,
        by=story.owner,
        now=now,
    )


def _go_there(story: Story, visit_id: int, now: dt.datetime) -> None:
    visit = Visit.objects.select_related("garden", "crew").get(pk=visit_id)
    if visit.state != VisitState.PLANNED:
        return
    if not story.rained_off and (story.today - now.date()).days < 60:
        story.rained_off = True
        _rain(story, visit, now=now)
        return
    work(story, visit, now=now)


def work(story: Story, visit: Visit, *, now: dt.datetime) -> None:
    """The visit done: tasks ticked, hours logged, now and then a word on the way."""
    person = story.people["crew"]
    start_visit(visit=visit, by=person, now=now)
    for number, task in enumerate(visit.tasks.order_by("position", "id")):
        # Work that was not needed is left out with its reason.
        left = number > 0 and story.chance.random() < 0.06
        settle_task(
            task=task,
            state=TaskState.LEFT_OUT if left else TaskState.DONE,
            reason="not needed yet, looked at" if left else "",
            note="",
            by=person,
            now=now + dt.timedelta(minutes=20 * (number + 1)),
        )
    _problem(story, visit, now=now + dt.timedelta(hours=2))
    after = now + dt.timedelta(hours=3)
    end_visit(visit=visit, left_out_reason="", by=person, now=after)
    _hours(story, visit, now=after)


def _hours(story: Story, visit: Visit, *, now: dt.datetime) -> None:
    if visit.crew is None or visit.day is None:
        return
    people = people_in(crew=visit.crew, day=visit.day)
    spent = visit.planned_hours * Decimal(story.chance.randint(85, 130)) / 100
    each = min(
        Decimal(9), max(Decimal(int(spent * 4 / len(people))) / 4, Decimal("0.25"))
    )
    entries: list[tuple[Person, HourKind, Decimal]] = [
        (person, HourKind.WORK, each) for person in people
    ]
    entries += [(person, HourKind.TRAVEL, Decimal("0.50")) for person in people]
    if story.chance.random() < 0.4:
        entries.append((people[0], HourKind.YARD, Decimal("0.50")))
    log(story, visit, entries, now=now)


def _rain(story: Story, visit: Visit, *, now: dt.datetime) -> None:
    """The visit rained off after an hour's wait, and done some days later."""
    successor = rain_off(
        visit=visit, reason="Thunder since seven.", by=story.people["crew"], now=now
    )
    if visit.crew is not None and visit.day is not None:
        people = people_in(crew=visit.crew, day=visit.day)
        log(
            story,
            visit,
            [(person, HourKind.RAIN, Decimal("1.00")) for person in people],
            now=now,
            note="waited for the weather",
        )

    def again(now: dt.datetime) -> None:
        row = visit_to_place(visit_id=successor.pk)
        if row is None:
            return
        crew = crew_of(garden_key(story, row))
        day = story.workday(now.date() + dt.timedelta(days=2))
        if day > story.day(-1):
            return
        put(story, row, crew=crew, day=day, now=now)
        story.then(story.at(day, 8), lambda now: _go_there(story, row.pk, now))

    story.then(now + dt.timedelta(hours=9), again)


def _problem(story: Story, visit: Visit, *, now: dt.datetime) -> None:
    garden = garden_key(story, visit)
    if garden not in PROBLEMS or garden in story.told:
        return
    # Told on the last visits only, so that the open ones are still news.
    if (story.today - now.date()).days > 120:
        return
    story.told.add(garden)
    words, settled = PROBLEMS[garden]
    problem = raise_problem(
        garden=visit.garden,
        visit=visit,
        planting=None,
        text=words,
        photo="",
        key=story.key(),
        by=story.people["crew"],
        now=now,
    )
    tomorrow = now + dt.timedelta(days=1)
    if settled and tomorrow < story.now:
        story.then(
            tomorrow,
            lambda now: _settle(story, problem, now=now),
        )


def _settle(story: Story, problem: Problem, *, now: dt.datetime) -> None:
    settle_problem(
        problem=problem,
        note="Spoken to the client; replaced next season.",
        by=story.owner,
        now=now,
    )
