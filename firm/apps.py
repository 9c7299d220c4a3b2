"""Start-up of firm."""

from importlib import import_module

from django.apps import AppConfig

from firm.registry import ScheduleEntry, registry


class FirmConfig(AppConfig):
    """firm."""

    name = "firm"

    def ready(self) -> None:
        """Register the firm's message kinds, schedule and audit labels."""
        # Letters know rows, and rows exist only from here on.
        import_module("firm.mail").register_kinds()
        registry.add_schedule(
            ScheduleEntry(name="drain messages", task="firm.drain_messages", every_s=15)
        )
        registry.add_audit_label("message sent again", "sent a message again")
        registry.add_audit_label("message dropped", "dropped a message")
        registry.add_audit_label("trial letter queued", "asked for a trial letter")
