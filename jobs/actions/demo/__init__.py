"""The invented firm, built through the actions that a real firm uses."""

from jobs.actions.demo.logins import (
    LOGINS,
    NotADemo,
    set_demo_passwords,
)
from jobs.actions.demo.story import Story
from jobs.actions.demo.whole import build_firm

__all__ = [
    "LOGINS",
    "NotADemo",
    "Story",
    "build_firm",
    "set_demo_passwords",
]
