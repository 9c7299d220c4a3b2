"""Start-up of firm."""

from importlib import import_module

from django.apps import AppConfig
from django.contrib.staticfiles import apps as staticfiles
from django.utils.translation import gettext_lazy as _

from firm.registry import FirstStep, ScheduleEntry, registry

AUDIT_LABELS = {
    "client added": "added a client",
    "client changed": "changed a client",
    "crew added": "added a crew",
    "crew changed": "changed a crew",
    "day off added": "added a day off",
    "day off removed": "took a day off away",
    "firm changed": "changed the firm's settings",
    "firm set up": "set the firm up",
    "invitation withdrawn": "withdrew an invitation",
    "labour rate kept": "wrote down a labour rate",
    "left crew": "ended a stay in a crew",
    "list dropped": "dropped an uploaded list",
    "list taken over": "took a list over",
    "list uploaded": "uploaded a list",
    "new password asked for": "asked for a new password",
    "password changed": "changed a password",
    "person added": "added a person",
    "person changed": "changed a person",
    "person came in": "came in by an invitation",
    "person invited": "invited a person",
    "put in crew": "put a person in a crew",
    "tax rate added": "added a tax rate",
    "tax rate ended": "changed the last day of a tax rate",
    "tax region kept": "wrote down a place's taxes and notices",
}


class StaticFilesConfig(staticfiles.StaticFilesConfig):
    """Gathers static files without the faces of our fonts that no style sheet names.

    Compressing them takes longer than all the rest of a start.
    """

    ignore_patterns = [
        *staticfiles.StaticFilesConfig.ignore_patterns,
        "*.otf",
        "*Black*",
        "*Light*",
        "*-Bold*",
        "*SemiboldIt*",
    ]


class FirmConfig(AppConfig):
    """firm."""

    name = "firm"

    def ready(self) -> None:
        """Register the firm's message kinds, schedule and audit labels."""
        # Letters know rows, and rows exist only from here on.
        import_module("firm.mail").register_kinds()
        import_module("firm.forms.words").say_plainly()
        registry.add_schedule(
            ScheduleEntry(name="drain messages", task="firm.drain_messages", every_s=15)
        )
        registry.add_audit_label("message sent again", "sent a message again")
        registry.add_audit_label("message dropped", "dropped a message")
        registry.add_audit_label("trial letter queued", "asked for a trial letter")
        for action, words in AUDIT_LABELS.items():
            registry.add_audit_label(action, words)
        setup = import_module("firm.queries.setup")
        registry.first_steps += [
            FirstStep(
                words=_("Invite whom you work with, and put them into crews"),
                url_name="people",
                is_done=setup.crews_have_people,
            ),
            FirstStep(
                words=_("Say by which mail server letters leave"),
                url_name="firm-mail",
                is_done=setup.mail_leaves,
            ),
        ]
