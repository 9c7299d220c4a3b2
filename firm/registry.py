"""What the apps tell the firm at start-up, so that it never names what stands above.

Each app registers its message kinds, its schedule, its audit labels, where its
documents' bytes come from and how a client's data of its own is made anonymous,
which commands run before the pages are served, and what a new firm does first.
"""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

    from firm.models import Message

AfterCrash = Literal["send again", "hold"]
Follower = Callable[..., "Sequence[str]"]


class NotYet(Exception):
    """A letter cannot be written yet, such as one whose PDF is still to be drawn.

    The text says what it waits for; the message stays waiting and no try is counted.
    """


@dataclass(frozen=True)
class Letter:
    """What a message says when it goes out."""

    subject: str
    text: str
    html: str = ""
    # (file name, bytes, media type)
    files: tuple[tuple[str, bytes, str], ...] = ()
    reply_to: str = ""


@dataclass(frozen=True)
class MessageKind:
    """One kind of message: how it is written, if it is still wanted, crash rule."""

    name: str
    words: "StrOrPromise"
    write: "Callable[[Message], Letter]"
    still_wanted: "Callable[[Message, dt.datetime], bool]"
    after_crash: AfterCrash = "hold"


@dataclass(frozen=True)
class ScheduleEntry:
    """A task that is started every so many seconds of UTC."""

    name: str
    task: str
    every_s: int


@dataclass(frozen=True)
class FirstStep:
    """Something a new firm does once, where, and how to tell that it is done."""

    words: "StrOrPromise"
    url_name: str
    is_done: Callable[[], bool]


@dataclass
class Registry:
    """All that was registered."""

    message_kinds: dict[str, MessageKind] = field(default_factory=dict)
    schedule: dict[str, ScheduleEntry] = field(default_factory=dict)
    audit_labels: "dict[str, StrOrPromise]" = field(default_factory=dict)
    anonymisers: dict[str, Callable[[int], None]] = field(default_factory=dict)
    # Names of management commands that may run at every start without harm.
    start_commands: list[str] = field(default_factory=list)
    first_steps: list[FirstStep] = field(default_factory=list)
    # What an app above does in the same transaction after something below happened;
    # each answers with sentences for the page.
    followers: dict[str, list[Follower]] = field(default_factory=dict)

    def add_message_kind(self, kind: MessageKind) -> None:
        """Register a message kind; a second one of the same name is a mistake."""
        if kind.name in self.message_kinds:
            raise ValueError(f"message kind {kind.name!r} is registered twice")
        self.message_kinds[kind.name] = kind

    def add_schedule(self, entry: ScheduleEntry) -> None:
        """Register a schedule entry; a second one of the same name is a mistake."""
        if entry.name in self.schedule:
            raise ValueError(f"schedule entry {entry.name!r} is registered twice")
        self.schedule[entry.name] = entry

    def add_follower(self, event: str, follower: Follower) -> None:
        """Register what is done after EVENT."""
        self.followers.setdefault(event, []).append(follower)

    def tell(self, event: str, **facts: Any) -> list[str]:
        """What the followers of EVENT say, once each has done its part."""
        return [
            words for each in self.followers.get(event, ()) for words in each(**facts)
        ]

    def add_audit_label(self, action: str, words: "StrOrPromise") -> None:
        """Register the words that the record shows for an action."""
        self.audit_labels[action] = words


registry = Registry()
