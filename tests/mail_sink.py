"""A real mail server on loopback that keeps what it was handed."""

import email
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from email.message import EmailMessage
from email.policy import default as modern
from typing import Any

from aiosmtpd.controller import Controller


class Sink:
    """Keeps letters; answers what it is told to, or hangs up once it has one."""

    def __init__(
        self,
        at_recipient: str = "250 OK",
        at_end: str = "250 OK",
        at_letter: Callable[[EmailMessage], None] | None = None,
    ) -> None:
        self.letters: list[EmailMessage] = []
        self.at_recipient = at_recipient
        self.at_end = at_end
        self.at_letter = at_letter

    @property
    def numbers(self) -> list[str]:
        """The Message-ID of each letter, in the order of their arrival."""
        return [str(letter["Message-ID"]) for letter in self.letters]

    async def handle_RCPT(
        self, server: Any, session: Any, envelope: Any, address: str, options: Any
    ) -> str:
        if self.at_recipient.startswith("250"):
            envelope.rcpt_tos.append(address)
        return self.at_recipient

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:
        letter = email.message_from_bytes(envelope.content, policy=modern)
        self.letters.append(letter)
        if self.at_letter:
            self.at_letter(letter)
        if self.at_end == "hang up":
            server.transport.abort()
        return self.at_end


def free_port() -> int:
    """A port of loopback on which nothing listens."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def listening(sink: Sink, **words: Any) -> Iterator[int]:
    """The port of a mail server around SINK, for as long as it is needed."""
    controller = Controller(sink, hostname="127.0.0.1", port=free_port(), **words)
    controller.start()
    try:
        yield controller.port
    finally:
        controller.stop()
