"""Loads the shipped catalogue, or one from another folder."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from firm import clock
from plants.actions.catalogue import CatalogueRefused, load_catalogue
from plants.imports import CatalogueError, read_catalogue

SHIPPED = Path(__file__).resolve().parents[2] / "catalogue"


class Command(BaseCommand):
    """Makes the rows say what the catalogue's files say."""

    help = "Load the plant catalogue; loading it twice changes nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        """Add the folder, if it is not the shipped one."""
        parser.add_argument("--folder", type=Path, default=SHIPPED)

    def handle(self, *args: Any, **options: Any) -> None:
        """Load and say what changed."""
        try:
            report = load_catalogue(
                catalogue=read_catalogue(options["folder"]), now=clock.now()
            )
        except (CatalogueError, CatalogueRefused) as error:
            raise CommandError(
                "Nothing was loaded:\n" + "\n".join(error.faults)
            ) from None
        if options["verbosity"] > 1:
            for line in (*report.added, *report.changed, *report.retired):
                self.stdout.write(line)
        for line in report.unfit:
            self.stdout.write(f"left out, as it no longer fits: {line}")
        self.stdout.write(
            f"{len(report.added)} added, {len(report.changed)} changed, "
            f"{len(report.retired)} retired"
            + (
                f", {len(report.kept)} left as the firm wrote them"
                if report.kept
                else ""
            )
        )
