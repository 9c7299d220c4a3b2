"""Addresses of private links."""

import datetime as dt
from types import SimpleNamespace
from typing import Any

from firm import clock
from jobs.actions.links import key_of
from tests.jobs.offer_samples import offered, ready
from tests.system.access_rows import PRIVATE_LINK, Row

ROWS: dict[str, Row] = {
    "link-quote": Row(PRIVATE_LINK, sample="quote key"),
    "link-quote-agree": Row(PRIVATE_LINK, get=None, post=200, sample="quote key"),
    "link-quote-decline": Row(
        PRIVATE_LINK,
        get=None,
        post=200,
        sample="quote key",
        # More words than are kept: the form comes back and nothing is decided.
        data={"reason": "no " * 100},
    ),
    "link-quote-ask": Row(PRIVATE_LINK, get=None, post=200, sample="quote key"),
    "link-quote-pdf": Row(PRIVATE_LINK, get=202, sample="quote key"),
}


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """The key to an offered quote."""
    now = clock.now()
    out = offered(
        ready(number="Q-2026-9003"),
        now=now,
        last=now.date() + dt.timedelta(days=30),
    )
    assert out.link is not None
    return {"quote key": {"key": key_of(out.link)}}
