"""Addresses of the outbox."""

from types import SimpleNamespace
from typing import Any

from firm.actions.messages import queue
from tests import factories
from tests.system.access_rows import Permission, Row

RUN = Permission.RUN_FIRM


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """A message that waits."""
    message = queue(
        key="trial",
        kind="trial letter",
        recipient="kit@brook.example",
        payload={"name": "Kit"},
        due_at=factories.NOW,
        language="en",
        now=factories.NOW,
    )
    return {"message": {"pk": message.pk}}


ROWS: dict[str, Row] = {
    "messages": Row(RUN),
    "messages-trial": Row(RUN, get=None, post=302),
    "message-again": Row(RUN, get=None, post=302, sample="message"),
    "message-drop": Row(RUN, get=None, post=302, sample="message"),
}
