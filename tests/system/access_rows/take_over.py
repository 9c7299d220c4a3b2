"""Addresses for taking a list over."""

from types import SimpleNamespace
from typing import Any

from firm.actions.imports import keep_list
from tests import factories
from tests.system.access_rows import Permission, Row

EDIT = Permission.EDIT_GARDENS


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """A list that waits to be looked at."""
    kept = keep_list(
        kind="clients and gardens",
        file_name="gardens.csv",
        rows=[{"row": 2, "cells": {"client": "Moss End", "address": "1 Moss End"}}],
        by=base.people["owner"],
        now=factories.NOW,
    )
    return {"list": {"pk": kept.pk}}


ROWS: dict[str, Row] = {
    "take-over": Row(EDIT, post=200),
    "take-over-list": Row(EDIT, post=200, sample="list"),
    "take-over-drop": Row(EDIT, get=None, post=302, sample="list"),
    "take-over-left-out": Row(EDIT, sample="list"),
}
