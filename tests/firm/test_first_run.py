"""The first run of a real firm, on the page and from the command line."""

import datetime as dt
import io
import json
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.urls import reverse

from firm.actions.setup import AlreadySetUp, set_up_firm
from firm.forms.setup import FirstRun
from firm.models import Crew, Entry, Firm, Person, TaxRate
from firm.queries.setup import first_steps
from tests import factories
from tests.conftest import StrictClient
from tests.firm.test_login import is_in

ROOT = Path(__file__).resolve().parents[2]
PASSWORD = "seven wet spades"
GIVEN: dict[str, dict[str, Any]] = {
    "owner": {
        "name": "Olive Harrow",
        "email": "Olive@fernhollow.example",
        "password": PASSWORD,
    },
    "firm": {
        "name": "Fernhollow Gardens",
        "address": "4 Mill Lane\nFernhollow",
        "phone": "555 0100",
        "email": "office@fernhollow.example",
        "licence_number": "L-1187",
    },
    "measures": {
        "units": "metric",
        "currency": "EUR",
        "time_zone": "Europe/Dublin",
        "language": "en",
    },
    "hour": {"hour_cost": "38.00", "hour_price": "60.00"},
    "tax": {"name": "Sales tax", "percent": "8.25"},
    "crews": {"names": ["Oak", "Willow", "Oak"]},
    "mail": {
        "mail_host": "mail.fernhollow.example",
        "mail_port": "465",
        "mail_security": "tls",
        "mail_user": "office",
        "mail_password": "canary-mail-secret",
        "mail_from": "office@fernhollow.example",
    },
}

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def on_the_day() -> object:
    with time_machine.travel(factories.NOW, tick=False):
        yield


def posted(**changes: str) -> dict[str, str]:
    """What the page posts, with CHANGES such as owner__email."""
    data = {
        f"{part}-{key}": "\n".join(value) if isinstance(value, list) else value
        for part, values in GIVEN.items()
        for key, value in values.items()
    }
    data["owner-password_again"] = PASSWORD
    return data | {key.replace("__", "-"): value for key, value in changes.items()}


def nothing_was_written() -> bool:
    return not any(
        model.objects.exists() for model in (Firm, Person, TaxRate, Crew, Entry)
    )


def everything_was_written() -> None:
    firm = Firm.objects.get()
    assert (firm.pk, firm.name, firm.units) == (1, "Fernhollow Gardens", "metric")
    assert (firm.currency, firm.time_zone) == ("EUR", "Europe/Dublin")
    assert (firm.hour_cost, firm.hour_price) == (Decimal("38.00"), Decimal("60.00"))
    assert firm.licence_number == "L-1187"
    assert (firm.mail_host, firm.mail_port) == ("mail.fernhollow.example", 465)
    assert firm.mail_security == "tls"
    assert "canary" not in firm.mail_password_sealed
    assert firm.mail_password() == "canary-mail-secret"
    assert firm.is_demo is False
    owner = Person.objects.get()
    assert (owner.name, owner.role) == ("Olive Harrow", "owner")
    assert owner.email == "olive@fernhollow.example"
    assert owner.check_password(PASSWORD)
    rate = TaxRate.objects.get()
    assert (rate.name, rate.percent) == ("Sales tax", Decimal("8.250"))
    assert rate.valid_from == dt.date(2026, 1, 1)
    assert list(Crew.objects.order_by("id").values_list("name", flat=True)) == [
        "Oak",
        "Willow",
    ]
    entry = Entry.objects.get()
    assert (entry.action, entry.by) == ("firm set up", owner)


# --- the page -----------------------------------------------------------------------


def test_the_page_asks_once_logs_the_owner_in_and_closes_itself(
    client: StrictClient,
) -> None:
    asked = client.get(reverse("first-run"))
    assert asked.status_code == 200
    page = asked.content.decode()
    assert page.count('autocomplete="new-password"') == 2
    assert client.get(reverse("login"))["Location"] == reverse("first-run")

    done = client.post(reverse("first-run"), posted())

    assert done.status_code == 302
    everything_was_written()
    assert is_in(client)
    stranger = StrictClient()
    for browser in (client, stranger):
        assert browser.get(reverse("first-run")).status_code == 404
        assert browser.post(reverse("first-run"), posted()).status_code == 404
    assert stranger.get(reverse("login")).status_code == 200
    assert Person.objects.count() == 1


@pytest.mark.parametrize(
    ("change", "part", "field", "words"),
    [
        ({"owner__email": "nowhere"}, 0, "email", "valid email"),
        (
            {"owner__password": "short", "owner__password_again": "short"},
            0,
            "password",
            "too short",
        ),
        ({"owner__password_again": "x"}, 0, "password_again", "differ"),
        ({"firm__name": ""}, 1, "name", "required"),
        ({"measures__time_zone": "Mars/Base"}, 2, "time_zone", "valid choice"),
        ({"measures__currency": "XXX"}, 2, "currency", "valid choice"),
        ({"hour__hour_cost": "-1"}, 3, "hour_cost", "less than nought"),
        ({"tax__percent": "101"}, 4, "percent", "must be at most 100"),
        ({"tax__percent": ""}, 4, "percent", "How much"),
        ({"tax__name": ""}, 4, "name", "called"),
        ({"crews__names": "x" * 61}, 5, "names", "at most 60"),
        ({"mail__mail_port": "70000"}, 6, "mail_port", "between 1 and 65535"),
        ({"mail__mail_host": "https://mail"}, 6, "mail_host", "name only"),
    ],
)
def test_a_wrong_answer_stands_beside_its_field_and_nothing_is_lost_or_written(
    client: StrictClient, change: dict[str, str], part: int, field: str, words: str
) -> None:
    refused = client.post(reverse("first-run"), posted(**change))

    assert refused.status_code == 200
    form = refused.context["parts"][part][1]
    assert words in " ".join(form.errors[field])
    assert sum(len(each.errors) for _head, each in refused.context["parts"]) == 1
    page = refused.content.decode()
    assert "L-1187" in page
    # Passwords are the only thing not shown again.
    assert PASSWORD not in page
    assert "canary-mail-secret" not in page
    assert nothing_was_written()


def test_an_hour_left_empty_is_asked_for_and_not_taken_as_nought(
    client: StrictClient,
) -> None:
    assert 'value="0"' not in client.get("/first-run/").content.decode()
    page = client.post("/first-run/", posted(hour__hour_price=""))
    assert page.status_code == 200
    assert nothing_was_written()


def test_the_firms_page_lists_what_comes_first_until_it_is_done(
    client: StrictClient,
) -> None:
    page = client.post("/first-run/", posted(), follow=True).content.decode()
    assert "What comes first" in page
    assert page.index("/climates/new/") < page.index('href="/take-over/"')
    # The first run named a mail server.
    assert [(step.url_name, step.is_done) for step in first_steps()] == [
        ("people", False),
        ("firm-mail", True),
        ("station-new", False),
        ("take-over", False),
    ]
    factories.CrewMemberFactory()
    factories.GardenFactory()
    assert first_steps() == []
    assert "What comes first" not in client.get("/firm/").content.decode()


def test_a_password_that_names_the_firm_is_refused(client: StrictClient) -> None:
    named = "at fernhollow gardens"
    refused = client.post(
        reverse("first-run"),
        posted(owner__password=named, owner__password_again=named),
    )
    assert "name of the firm" in str(refused.context["parts"][0][1].errors)
    assert nothing_was_written()


def test_without_a_tax_crews_or_mail_server_it_is_set_up_as_well(
    client: StrictClient,
) -> None:
    data = posted(tax__name="", tax__percent="", crews__names="", mail__mail_host="")
    assert client.post(reverse("first-run"), data).status_code == 302
    assert (TaxRate.objects.count(), Crew.objects.count()) == (0, 0)


def test_an_owner_alone_keeps_the_first_run_closed(client: StrictClient) -> None:
    factories.PersonFactory(role="owner")
    assert client.get(reverse("first-run")).status_code == 404


def test_of_two_first_runs_the_second_is_refused_whole() -> None:
    forms = FirstRun(posted())
    assert forms.is_valid()
    answers = forms.answers(today=factories.TODAY)
    set_up_firm(**answers, now=factories.NOW)
    with pytest.raises(AlreadySetUp, match="set up already"):
        set_up_firm(**answers, now=factories.NOW)
    everything_was_written()


# --- the command --------------------------------------------------------------------


def run_setup(*flags: str) -> str:
    out = io.StringIO()
    call_command("setup", *flags, stdout=out, stderr=out)
    return out.getvalue()


def answers_file(folder: Path, **changes: dict[str, Any]) -> str:
    path = folder / "answers.json"
    path.write_text(json.dumps({**GIVEN, **changes}))
    return str(path)


def test_the_command_sets_up_from_a_file_and_then_refuses(tmp_path: Path) -> None:
    path = answers_file(tmp_path)

    said = run_setup("--answers", path)

    assert said == "Fernhollow Gardens is set up. Start it with manage.py serve.\n"
    everything_was_written()
    with pytest.raises(CommandError, match=r"^This firm is set up already\.$"):
        run_setup("--answers", path)
    everything_was_written()


def test_flags_and_the_environment_win_over_the_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SETUP_OWNER_PASSWORD", "nine dry buckets")
    run_setup("--answers", answers_file(tmp_path), "--firm-name", "Mossy Bank")
    assert Firm.objects.get().name == "Mossy Bank"
    assert Person.objects.get().check_password("nine dry buckets")


def test_wrong_answers_are_told_a_line_each_and_nothing_is_written(
    tmp_path: Path,
) -> None:
    path = answers_file(
        tmp_path,
        owner={**GIVEN["owner"], "email": "nowhere"},
        tax={"name": "Sales tax", "percent": "lots"},
    )
    with pytest.raises(CommandError) as refusal:
        run_setup("--answers", path)
    assert str(refusal.value).splitlines() == [
        "owner.email: Enter a valid email address.",
        "tax.percent: Enter a number.",
    ]
    assert nothing_was_written()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("not json", "is no JSON"),
        ("[]", "expected"),
        ('{"owner": {"nmae": "x"}}', "there is no question owner.nmae."),
    ],
)
def test_a_file_that_makes_no_sense_is_told_in_one_line(
    tmp_path: Path, text: str, words: str
) -> None:
    path = tmp_path / "answers.json"
    path.write_text(text)
    with pytest.raises(CommandError) as refusal:
        run_setup("--answers", str(path))
    assert words in str(refusal.value)
    assert "\n" not in str(refusal.value)
    with pytest.raises(CommandError, match="No such file"):
        run_setup("--answers", str(tmp_path / "missing.json"))
    assert nothing_was_written()


def test_with_nobody_at_the_terminal_it_says_what_to_do(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(""))
    with pytest.raises(CommandError, match="Nobody is at the terminal"):
        run_setup()


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_prompts_ask_for_what_is_missing_and_again_after_a_wrong_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lines = iter(["Olive Harrow", "nowhere", "olive@fernhollow.example"])
    secrets = iter(["short", PASSWORD, ""])
    questions: list[str] = []

    def typed(question: str) -> str:
        questions.append(question)
        if "name of the firm" in question.lower():
            return "Fernhollow Gardens"
        if "of an hour" in question.lower():
            # Nothing stands in brackets; an empty line is asked again.
            return "40" if questions.count(question) > 1 else ""
        return next(lines, "")

    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr("builtins.input", typed)
    monkeypatch.setattr(
        "firm.management.commands.setup.getpass", lambda question: next(secrets)
    )

    said = run_setup()

    assert "Enter a valid email address." in said
    assert "too short" in said
    owner = Person.objects.get()
    assert owner.email == "olive@fernhollow.example"
    assert owner.check_password(PASSWORD)
    assert Firm.objects.get().hour_price == Decimal("40.00")
    # An empty line takes what stands in brackets.
    assert Firm.objects.get().currency == "USD"
    assert any("[USD]" in question for question in questions)


def test_the_printed_questions_are_an_answers_file(tmp_path: Path) -> None:
    printed = json.loads(run_setup("--print-questions"))
    assert set(printed) == set(GIVEN)
    printed["owner"] |= GIVEN["owner"]
    printed["firm"]["name"] = "Mossy Bank"
    printed["hour"] |= GIVEN["hour"]
    path = tmp_path / "answers.json"
    path.write_text(json.dumps(printed))
    run_setup("--answers", str(path))
    assert Firm.objects.get().name == "Mossy Bank"


def test_without_tables_the_command_says_to_migrate(tmp_path: Path) -> None:
    ran = subprocess.run(
        [sys.executable, "manage.py", "setup", "--answers", answers_file(tmp_path)],
        cwd=ROOT,
        env={"SECRET_KEY": "x", "VAR_DIR": str(tmp_path), "DEBUG": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 1
    assert ran.stderr.strip() == (
        "CommandError: The database has no tables yet: run manage.py migrate first."
    )
