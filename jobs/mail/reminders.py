"""Letters of the day: the crew's round, the client's reminder, the owner's list."""

import datetime as dt

from django.conf import settings
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from firm.mail import compose
from firm.models import Message
from firm.queries import crews_of
from firm.queries.people import person as person_by_id
from firm.registry import Letter, MessageKind, registry
from firm.templatetags.notebook import day_words, upfirst
from jobs.enums import VisitState
from jobs.models import Visit
from jobs.queries.locating import to_ask_for
from jobs.queries.today import (
    plantings_to_record,
    problem_by_id,
    problems_open,
    round_of,
    stop_page,
    visit_by_id,
)
from jobs.queries.week import moved_out, slipping

LABELS = {
    "visit begun": gettext_lazy("began a visit"),
    "visit done": gettext_lazy("ended a visit"),
    "task settled": gettext_lazy("settled a task"),
    "hours logged": gettext_lazy("wrote down hours"),
    "hours taken back": gettext_lazy("took hours back"),
    "problem noted": gettext_lazy("noted a problem"),
    "problem settled": gettext_lazy("settled a problem"),
}


def _day(message: Message) -> dt.date:
    return dt.date.fromisoformat(message.payload["day"])


def _link(name: str, *args: object, query: str = "") -> str:
    return f"{settings.SITE_URL}{reverse(name, args=args)}{query}"


def write_round(message: Message) -> Letter:
    """The crew's round as it stands when the letter goes out."""
    day = _day(message)
    reader = person_by_id(person_id=message.payload["person"])
    if reader is None:
        raise LookupError(_("The person is gone."))
    crew = next(
        crew
        for crew in crews_of(person=reader, day=day)
        if crew.pk == message.payload["crew"]
    )
    found = round_of(crew=crew, day=day)
    return compose(
        subject=_("Your round, %(day)s") % {"day": day_words(day)},
        template="round",
        context={
            "name": reader.name,
            "day": day,
            "round": found,
            "stops": [
                stop_page(visit=visit, person=reader, today=day)
                for visit in found.stops
                if visit.state == VisitState.PLANNED
            ],
            "link": _link("today"),
        },
    )


def round_wanted(message: Message, now: dt.datetime) -> bool:
    """True if the person is still in the crew and the crew still goes out that day."""
    day = _day(message)
    reader = person_by_id(person_id=message.payload["person"])
    if reader is None or not reader.is_active:
        return False
    crews = {crew.pk: crew for crew in crews_of(person=reader, day=day)}
    crew = crews.get(message.payload["crew"])
    if crew is None:
        return False
    return any(
        visit.state == VisitState.PLANNED
        for visit in round_of(crew=crew, day=day).stops
    )


def work_said(visit: Visit) -> list[str]:
    """What is to be done at a visit, as a client reads it: Prune: Lilac, Spirea."""
    found: dict[str, list[str]] = {}
    for task in visit.tasks.all():
        plant = task.planting.plant if task.planting else None
        name = plant.common if plant else ""
        plants = found.setdefault(upfirst(task.title.removesuffix(f": {name}")), [])
        if name and name not in plants:
            plants.append(name)
    return [
        f"{title}: {', '.join(plants)}" if plants else title
        for title, plants in found.items()
    ]


def write_visit_reminder(message: Message) -> Letter:
    """The client's reminder of a visit."""
    visit = visit_by_id(visit_id=message.payload["visit"])
    if visit is None:
        raise LookupError(_("The visit is gone."))
    return compose(
        subject=_("We come on %(day)s") % {"day": day_words(_day(message))},
        template="visit_reminder",
        context={
            "name": message.payload["contact"],
            "visit": visit,
            "day": _day(message),
            "tasks": work_said(visit),
        },
    )


def visit_reminder_wanted(message: Message, now: dt.datetime) -> bool:
    """True if the visit is still planned for the day of the letter."""
    visit = visit_by_id(visit_id=message.payload["visit"])
    return (
        visit is not None
        and visit.state == VisitState.PLANNED
        and visit.day == _day(message)
    )


def write_morning_list(message: Message) -> Letter:
    """The owner's list of what is late or slipping, and the problems to settle."""
    reader = person_by_id(person_id=message.payload["person"])
    if reader is None:
        raise LookupError(_("The person is gone."))
    day = _day(message)
    return compose(
        subject=_("Late or slipping, %(day)s") % {"day": day_words(day)},
        template="morning_list",
        context={
            "name": reader.name,
            "day": day,
            "slipping": slipping(day=day),
            "moved_out": moved_out(day=day),
            "to_ask": to_ask_for(day=day),
            "to_record": plantings_to_record(),
            "problems": problems_open(),
            "link": _link("week"),
            "today_link": _link("today"),
        },
    )


def morning_list_wanted(message: Message, now: dt.datetime) -> bool:
    """True if there is anything to tell."""
    return (
        bool(slipping(day=_day(message)))
        or bool(moved_out(day=_day(message)))
        or bool(to_ask_for(day=_day(message)))
        or plantings_to_record().exists()
        or problems_open().exists()
    )


def write_problem(message: Message) -> Letter:
    """The letter that tells the owner of a problem."""
    problem = problem_by_id(problem_id=message.payload["problem"])
    reader = person_by_id(person_id=message.payload["person"])
    if problem is None or reader is None:
        raise LookupError(_("The problem is gone."))
    return compose(
        subject=_("A problem at %(garden)s") % {"garden": problem.garden.name},
        template="problem",
        context={
            "name": reader.name,
            "problem": problem,
            "link": _link("garden", problem.garden_id),
        },
    )


def problem_wanted(message: Message, now: dt.datetime) -> bool:
    """True until somebody settled it."""
    problem = problem_by_id(problem_id=message.payload["problem"])
    return problem is not None and problem.settled_at is None


def register() -> None:
    """Make the kinds known; a reminder twice does less harm than none."""
    for name, words, write, wanted in (
        ("crew's round", gettext_lazy("a crew's round"), write_round, round_wanted),
        (
            "visit reminder",
            gettext_lazy("a reminder of a visit"),
            write_visit_reminder,
            visit_reminder_wanted,
        ),
        (
            "morning list",
            gettext_lazy("the owner's morning list"),
            write_morning_list,
            morning_list_wanted,
        ),
        (
            "problem noted",
            gettext_lazy("word of a problem"),
            write_problem,
            problem_wanted,
        ),
    ):
        registry.add_message_kind(
            MessageKind(
                name=name,
                words=words,
                write=write,
                still_wanted=wanted,
                after_crash="send again",
            )
        )
    for action, label in LABELS.items():
        registry.add_audit_label(action, label)
