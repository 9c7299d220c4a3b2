"""Puts the rates of labour that the program brings along beside the firm's own."""

from typing import Any

from django.core.management.base import BaseCommand

from firm import clock
from jobs.actions.labour import ship_rates


class Command(BaseCommand):
    """Adds rates that are missing; those that are there keep their figures."""

    help = "Load the rates of labour; loading them twice changes nothing."

    def handle(self, *args: Any, **options: Any) -> None:
        """Load and say what changed."""
        said = ship_rates(now=clock.now())
        if options["verbosity"] > 1:
            for line in said:
                self.stdout.write(line)
        self.stdout.write(f"{len(said)} rates and factors added or shipped otherwise")
