"""Start-up of jobs."""

from importlib import import_module

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _

from firm.registry import ScheduleEntry, registry

# Modules of jobs.mail whose `register` makes their letters and words known.
LETTERS = ("bills", "contracts", "guides", "quotes", "reminders")

SCHEDULE = (
    ScheduleEntry(
        name="draw waiting documents", task="jobs.draw_waiting_documents", every_s=10
    ),
    ScheduleEntry(
        name="draw failed documents", task="jobs.draw_failed_documents", every_s=3600
    ),
    ScheduleEntry(name="read price lists", task="jobs.read_price_lists", every_s=10),
    ScheduleEntry(name="queue reminders", task="jobs.queue_reminders", every_s=60),
    ScheduleEntry(name="lapse offers", task="jobs.lapse_offers", every_s=600),
    ScheduleEntry(name="remind of offers", task="jobs.remind_of_offers", every_s=600),
    ScheduleEntry(name="close contracts", task="jobs.close_contracts", every_s=600),
)

# What is done with the rates of labour, for the record.
LABOUR_WORDS = {
    "rates shipped": _("brought rates of labour along"),
    "rate added": _("added a task with its hours"),
    "rate changed": _("changed a rate of labour"),
    "rate taken back": _("took a rate of labour back to the shipped one"),
    "factor changed": _("changed what makes work slower"),
    "labour changed": _("changed what the labour of a quote is reckoned with"),
    "labour written": _("wrote the labour into a quote"),
    "learned rate left": _("left a rate of labour as it is"),
    "factor taken back": _("took a factor back to the shipped one"),
}


class JobsConfig(AppConfig):
    """jobs."""

    name = "jobs"

    def ready(self) -> None:
        """Register the letters, sweeps and words of the record of this app."""
        # Letters know rows, and rows exist only from here on.
        for part in LETTERS:
            import_module(f"jobs.mail.{part}").register()
        registry.add_follower(
            "windows moved", import_module("jobs.actions.moved").follow_windows
        )
        registry.add_audit_label("windows moved", _("moved the windows of a visit"))
        for action, words in LABOUR_WORDS.items():
            registry.add_audit_label(action, words)
        registry.start_commands.append("load_rates")
        for entry in SCHEDULE:
            registry.add_schedule(entry)
