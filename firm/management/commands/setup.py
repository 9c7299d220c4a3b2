"""The first run of a real firm from the command line: by prompts or from a file."""

import json
import os
import sys
from argparse import SUPPRESS
from collections.abc import Iterator
from getpass import getpass
from pathlib import Path
from typing import Any

from django import forms
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError

from firm import clock
from firm.actions.setup import AlreadySetUp, set_up_firm
from firm.forms.setup import FirstRun
from firm.queries.setup import is_set_up

# Never on the command line, where every user of the machine can read them.
FROM_ENVIRONMENT = {
    "owner-password": "SETUP_OWNER_PASSWORD",
    "mail-mail_password": "SETUP_MAIL_PASSWORD",
}
AGAIN = {"owner-password_again": "owner-password"}
# More choices than fit on a screen are not listed.
MOST_LISTED = 12


def fields(first_run: FirstRun) -> Iterator[tuple[str, forms.BoundField]]:
    """Each field of the first run under the name that the page posts it by."""
    for _head, form in first_run.parts():
        for bound in form:
            yield bound.html_name, bound


class Command(BaseCommand):
    """Set up the firm: owner, letterhead, units, rates, tax, crews, mail server."""

    help = (
        "Set up the firm, once: asks on the terminal, or reads --answers FILE (JSON). "
        "Passwords come from the file, from SETUP_OWNER_PASSWORD and "
        "SETUP_MAIL_PASSWORD, or are asked for."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        """A flag for each question but the passwords."""
        parser.add_argument(
            "--answers",
            metavar="FILE",
            help='a JSON file such as {"owner": {"name": ...}, "firm": {"name": ...}}; '
            "- reads standard input",
        )
        parser.add_argument(
            "--print-questions",
            action="store_true",
            help="print an empty file of answers and leave",
        )
        for name, bound in fields(FirstRun()):
            if name not in FROM_ENVIRONMENT and name not in AGAIN:
                parser.add_argument(
                    "--" + name.replace("_", "-"),
                    dest=name,
                    default=SUPPRESS,
                    metavar="TEXT",
                    help=str(bound.label).replace("%", "%%"),
                )

    def handle(self, *args: Any, **options: Any) -> None:
        """Ask or read, check, and write all of it or nothing."""
        if options["print_questions"]:
            self.stdout.write(self.empty_file())
            return
        try:
            if is_set_up():
                raise CommandError("This firm is set up already.")
        except DatabaseError as error:
            raise CommandError(
                "The database has no tables yet: run manage.py migrate first."
            ) from error
        given = self.given(options)
        if options["answers"] or not sys.stdin.isatty():
            if not options["answers"] and "owner-name" not in given:
                raise CommandError(
                    "Nobody is at the terminal: use --answers FILE or the flags."
                )
            first_run = FirstRun(self.completed(given))
        else:
            try:
                first_run = self.asked(given)
            except (EOFError, KeyboardInterrupt) as error:
                raise CommandError("Left before the end; nothing was kept.") from error
        self.refuse_what_is_wrong(first_run)
        zone = first_run.measures.cleaned_data["time_zone"]
        try:
            firm = set_up_firm(
                **first_run.answers(today=clock.today(time_zone=zone)),
                now=clock.now(),
            )
        except AlreadySetUp as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{firm.name} is set up. Start it with manage.py serve.")

    def given(self, options: dict[str, Any]) -> dict[str, str]:
        """What file, environment and flags say; later ones win."""
        known = dict(fields(FirstRun()))
        given = self.read(options["answers"], known) if options["answers"] else {}
        for name, variable in FROM_ENVIRONMENT.items():
            if variable in os.environ:
                given[name] = os.environ[variable]
        given |= {name: options[name] for name in known if name in options}
        for again, name in AGAIN.items():
            if name in given:
                given[again] = given[name]
        return given

    def read(self, path: str, known: dict[str, Any]) -> dict[str, str]:
        """The answers in a file, flat, under the names the page posts them by."""
        try:
            text = sys.stdin.read() if path == "-" else Path(path).read_text("utf-8")
            answers = json.loads(text)
        except OSError as error:
            raise CommandError(f"{path}: {error.strerror}.") from error
        except ValueError as error:
            raise CommandError(f"{path} is no JSON: {error}.") from error
        if not isinstance(answers, dict) or not all(
            isinstance(part, dict) for part in answers.values()
        ):
            raise CommandError(f'{path}: expected {{"owner": {{...}}, ...}}.')
        flat: dict[str, str] = {}
        for part, values in answers.items():
            for key, value in values.items():
                name = f"{part}-{key}"
                if name not in known:
                    raise CommandError(f"{path}: there is no question {part}.{key}.")
                flat[name] = (
                    "\n".join(map(str, value))
                    if isinstance(value, list)
                    else str(value)
                )
        return flat

    def completed(self, given: dict[str, str]) -> dict[str, str]:
        """What was given, and for the rest what the page would start with."""
        starts = {
            name: str(bound.initial)
            for name, bound in fields(FirstRun())
            if bound.initial is not None
        }
        return starts | given

    def refuse_what_is_wrong(self, first_run: FirstRun) -> None:
        """Refuse with a line for each thing that is wrong."""
        if first_run.is_valid():
            return
        lines = [
            f"{form.prefix}.{name}: {error}"
            for _head, form in first_run.parts()
            for name, errors in form.errors.items()
            for error in errors
        ]
        raise CommandError("\n".join(lines))

    def asked(self, given: dict[str, str]) -> FirstRun:
        """The first run as answered on the terminal; a wrong answer is asked again."""
        data = self.completed(given)
        for head, form in FirstRun().parts():
            self.stdout.write(f"\n{head}")
            names = [bound.html_name for bound in form if bound.html_name not in given]
            for name in names:
                self.ask(name, data)
        return FirstRun(data)

    def ask(self, name: str, data: dict[str, str]) -> None:
        """Put the answer to one question into DATA."""
        if name in AGAIN:
            data[name] = data.get(AGAIN[name], "")
            return
        while True:
            bound = dict(fields(FirstRun()))[name]
            data[name] = self.answer(bound, data.get(name, ""))
            errors = dict(fields(FirstRun(data)))[name].errors
            if not errors:
                return
            for error in errors:
                self.stderr.write(f"  {error}")

    def answer(self, bound: forms.BoundField, start: str) -> str:
        """One answer; an empty line takes what stands in brackets."""
        field = bound.field
        words = f"  {bound.label}"
        if isinstance(field, forms.ChoiceField):
            listed: Any = field.choices
            choices = [str(value) for value, _label in listed]
            if len(choices) <= MOST_LISTED:
                words += f" ({', '.join(choices)})"
        elif not field.required:
            words += " (if any)"
        if isinstance(field.widget, forms.PasswordInput):
            return getpass(f"{words}: ")
        if isinstance(field.widget, forms.Textarea):
            words += ", lines parted by |"
        typed = input(f"{words} [{start}]: " if start else f"{words}: ").strip()
        if not typed:
            return start
        return typed.replace("|", "\n") if "parted by" in words else typed

    def empty_file(self) -> str:
        """A file of answers to fill in."""
        parts: dict[str, dict[str, str]] = {}
        for name, bound in fields(FirstRun()):
            part, _dash, key = name.partition("-")
            if name not in AGAIN:
                start = bound.initial
                parts.setdefault(part, {})[key] = "" if start is None else str(start)
        return json.dumps(parts, indent=2)
