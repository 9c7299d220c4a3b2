"""What the outbox holds, by which way mail leaves, and when the sweeps last ran."""

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings
from django.core.paginator import Page, Paginator
from django.db.models import Count, Min, Q, QuerySet

from firm.enums import MessageState
from firm.models import Message, SweepMark
from firm.models.firm import MailPasswordUnreadable
from firm.queries.firm import firm_or_blank
from firm.registry import registry

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

# A sweep that is this many turns late is said to have stopped; the floor keeps a
# machine that was busy for a moment from being reported.
TURNS_UNTIL_STOPPED = 4
FLOOR_UNTIL_STOPPED = dt.timedelta(minutes=2)
PER_PAGE = 50


@dataclass(frozen=True, kw_only=True)
class MailServer:
    """A mail server and how to log in there; a password of None cannot be read."""

    host: str
    port: int
    user: str
    password: str | None
    security: str


@dataclass(frozen=True, kw_only=True)
class MailFolder:
    """A folder that letters are written into instead of being sent."""

    path: Path


MailWay = MailServer | MailFolder | None


def mail_way() -> MailWay:
    """By which way mail leaves: the environment's, else the firm's own, else none."""
    if settings.MAIL_DIR:
        return MailFolder(path=Path(settings.MAIL_DIR))
    if settings.MAIL_HOST:
        return MailServer(
            host=settings.MAIL_HOST,
            port=settings.MAIL_PORT,
            user=settings.MAIL_USER,
            password=settings.MAIL_PASSWORD,
            security=settings.MAIL_SECURITY,
        )
    firm = firm_or_blank()
    if not firm.mail_host:
        return None
    try:
        password: str | None = firm.mail_password()
    except MailPasswordUnreadable:
        password = None
    return MailServer(
        host=firm.mail_host,
        port=firm.mail_port,
        user=firm.mail_user,
        password=password,
        security=firm.mail_security,
    )


def due(*, now: dt.datetime) -> Q:
    """The condition for a message that waits and whose time has come."""
    return Q(state=MessageState.WAITING, due_at__lte=now)


def stale(*, now: dt.datetime) -> Q:
    """The condition for a message that was taken by something that then stopped."""
    return Q(state=MessageState.TAKEN, claimed_until__lt=now)


def messages_due(*, now: dt.datetime) -> bool:
    """True if the outbox has anything to do; a read that takes no lock."""
    return Message.objects.filter(due(now=now) | stale(now=now)).exists()


@dataclass(frozen=True, kw_only=True)
class StateCount:
    """How many messages stand in one state."""

    state: MessageState
    count: int


@dataclass(frozen=True, kw_only=True)
class Unsettled:
    """How many messages wait, and how many need the owner."""

    waiting: int
    held: int
    given_up: int


def counts() -> Unsettled:
    """How many messages wait, are held and failed for good; for other pages.

    One that nobody wanted any more is no failure and is not counted.
    """
    found = _by_state(Message.objects.filter(is_unwanted=False))
    return Unsettled(
        waiting=found.get(MessageState.WAITING, 0),
        held=found.get(MessageState.HELD, 0),
        given_up=found.get(MessageState.GIVEN_UP, 0),
    )


def _by_state(messages: QuerySet[Message]) -> dict[str, int]:
    return dict(
        messages.values("state")
        .order_by("state")
        .annotate(count=Count("id"))
        .values_list("state", "count")
    )


@dataclass(frozen=True, kw_only=True)
class SweepReport:
    """When one scheduled sweep last ran; `stopped` when it should have run since."""

    name: str
    last_started_at: dt.datetime | None
    last_finished_at: dt.datetime | None
    last_error: str
    stopped: bool


@dataclass(frozen=True, kw_only=True)
class Outbox:
    """How the outbox stands."""

    way: MailWay
    counts: tuple[StateCount, ...]
    oldest_unsent_due_at: dt.datetime | None
    sweeps: tuple[SweepReport, ...]

    @property
    def has_no_way(self) -> bool:
        """True if no mail server is set up, so that mail waits."""
        return self.way is None

    @property
    def folder(self) -> str:
        """The folder that letters are written into, if they are not sent."""
        return str(self.way.path) if isinstance(self.way, MailFolder) else ""

    @property
    def password_unreadable(self) -> bool:
        """True if the stored password no longer opens and must be typed in again."""
        return isinstance(self.way, MailServer) and self.way.password is None

    @property
    def all_stopped(self) -> bool:
        """True if no sweep ran of late, so that nothing runs them."""
        return all(sweep.stopped for sweep in self.sweeps)

    @property
    def last_ran_at(self) -> dt.datetime | None:
        """When any sweep last ran."""
        ran = [sweep.last_finished_at for sweep in self.sweeps]
        return max((at for at in ran if at is not None), default=None)

    @property
    def stopped(self) -> tuple[SweepReport, ...]:
        """The sweeps that should have run since, while others did."""
        if self.all_stopped:
            return ()
        return tuple(sweep for sweep in self.sweeps if sweep.stopped)


def sweep_reports(*, now: dt.datetime) -> tuple[SweepReport, ...]:
    """Each scheduled sweep by name, with when it last ran."""
    marks = {mark.name: mark for mark in SweepMark.objects.order_by("name", "id")}
    reports = []
    for entry in sorted(registry.schedule.values(), key=lambda entry: entry.name):
        mark = marks.get(entry.name)
        last = mark.last_finished_at if mark else None
        patience = max(
            TURNS_UNTIL_STOPPED * dt.timedelta(seconds=entry.every_s),
            FLOOR_UNTIL_STOPPED,
        )
        reports.append(
            SweepReport(
                name=entry.name,
                last_started_at=mark.last_started_at if mark else None,
                last_finished_at=last,
                last_error=mark.last_error if mark else "",
                stopped=last is None or now - last > patience,
            )
        )
    return tuple(reports)


def outbox(*, now: dt.datetime) -> Outbox:
    """How the outbox stands: counts by state, what waits longest, the sweeps."""
    counted = _by_state(Message.objects.all())
    oldest = Message.objects.filter(due(now=now)).aggregate(at=Min("due_at"))["at"]
    return Outbox(
        way=mail_way(),
        counts=tuple(
            StateCount(state=state, count=counted.get(state, 0))
            for state in MessageState
        ),
        oldest_unsent_due_at=oldest,
        sweeps=sweep_reports(now=now),
    )


@dataclass(frozen=True, kw_only=True)
class MessageLine:
    """One message as the list shows it."""

    message: Message
    kind_words: "StrOrPromise"
    may_be_sent_again: bool
    may_be_dropped: bool


def messages_listed(*, state: str, page: str) -> tuple[list[MessageLine], "Page"]:
    """A page of the messages in STATE (all when empty), newest first."""
    rows = Message.objects.order_by("-due_at", "-id")
    if state:
        rows = rows.filter(state=state)
    turned = Paginator(rows, PER_PAGE).get_page(page)
    return [line_of(message) for message in turned], turned


def line_of(message: Message) -> MessageLine:
    """The message with its kind's words and with what may be done about it."""
    kind = registry.message_kinds.get(message.kind)
    return MessageLine(
        message=message,
        kind_words=kind.words if kind else message.kind,
        may_be_sent_again=message.state in AGAIN_FROM,
        may_be_dropped=message.state in DROP_FROM,
    )


AGAIN_FROM = (MessageState.HELD, MessageState.GIVEN_UP)
DROP_FROM = (MessageState.WAITING, MessageState.HELD)


def message_of(*, pk: int) -> Message | None:
    """The message with that number, if there is one."""
    return Message.objects.filter(pk=pk).first()
