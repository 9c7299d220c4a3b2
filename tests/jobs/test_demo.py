"""The invented firm, and the command that never touches a real one."""

import datetime as dt
import hashlib
import sqlite3
import uuid
from collections import Counter
from collections.abc import Iterable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction

from firm.geo import local_moment
from firm.models import Client, Firm, Person
from jobs.actions.bills import (
    Off,
    credit_part,
    pay_back,
    set_against,
    strike_out_payment,
)
from jobs.actions.demo import LOGINS, NotADemo, build_firm, set_demo_passwords
from jobs.actions.demo.story import ZONE
from jobs.enums import (
    BillState,
    ContractState,
    OfferState,
    PriceListState,
    VisitState,
)
from jobs.management.commands import demo
from jobs.models import (
    Bill,
    Contract,
    Document,
    HourEntry,
    Job,
    Payment,
    Problem,
    Quote,
    QuoteLine,
    Receipt,
    Supplier,
    Visit,
    VisitTask,
)
from jobs.queries.ageing import ageing
from jobs.queries.books import job_totals
from jobs.queries.statement import statement
from jobs.queries.suppliers import prices_open
from jobs.queries.tax_totals import tax_totals
from jobs.queries.week import slipping, week_board
from plants.models import Planting, StandingInstruction
from tests import factories
from tests.jobs.added_again import account, faults_of

PASSWORDS = {role: f"only-for-this-test-{role}" for role in LOGINS}
# A Wednesday in winter, a Sunday in spring, a Saturday in high summer.
DAYS = (dt.date(2026, 1, 14), dt.date(2026, 5, 10), dt.date(2027, 7, 31))


def built(day: dt.date, *, seed: int = 1) -> None:
    """The demo as it is built on DAY in the morning."""
    build_firm(
        today=day,
        now=local_moment(day, dt.time(9, 30), ZONE),
        passwords=PASSWORDS,
        seed=seed,
    )


@pytest.fixture
def catalogue(db: None) -> Iterator[None]:
    """The shipped catalogue."""
    call_command("load_catalogue", verbosity=0)
    yield


@pytest.mark.parametrize("day", DAYS[1:], ids=str)
def test_the_year_shows_every_state_of_the_work_whatever_day_it_is(
    catalogue: None, day: dt.date
) -> None:
    built(day)
    assert Firm.objects.get().is_demo
    quotes = Counter(Quote.objects.values_list("state", flat=True))
    assert quotes == {
        OfferState.AGREED: 5,
        OfferState.DRAFTING: 1,
        OfferState.OFFERED: 1,
        OfferState.LAPSED: 1,
        OfferState.REPLACED: 1,
    }
    contracts = Counter(Contract.objects.values_list("state", flat=True))
    assert contracts == {
        ContractState.RUNNING: 8,
        ContractState.OFFERED: 1,
        ContractState.DRAFTING: 1,
    }
    assert Job.objects.filter(kind="planting", state="finished").count() == 4
    assert Job.objects.filter(kind="planting", state="to book").count() == 1
    assert Planting.objects.filter(origin="planted").count() == 9
    assert Planting.objects.filter(plant=None).count() == 1
    assert StandingInstruction.objects.exclude(forbids=[]).count() == 1
    visits = Counter(Visit.objects.values_list("state", flat=True))
    assert visits[VisitState.RAINED_OFF] == 1
    assert visits[VisitState.DONE] > 20
    assert Visit.objects.filter(instead_of__isnull=False).count() == 1
    assert Problem.objects.filter(settled_at=None).exists()
    assert set(HourEntry.objects.values_list("kind", flat=True)) == {
        "work",
        "travel",
        "yard",
        "rain",
    }
    assert Receipt.objects.count() == 8
    bills = Counter(Bill.objects.values_list("state", flat=True))
    assert bills[BillState.PAID] > bills[BillState.OPEN] > 0
    assert bills[BillState.PART_PAID] == 2
    overdue = Bill.objects.filter(state=BillState.OPEN, due_on__lt=day)
    assert overdue.exists()
    for supplier in Supplier.objects.order_by("id"):
        kept = supplier.lists.get()
        assert (kept.state, kept.rows_refused) == (PriceListState.TAKEN, 0)
        assert supplier.items.count() == kept.rows_read
        assert QuoteLine.objects.filter(supplier_item__supplier=supplier).exists()
    assert Supplier.objects.count() == 2
    draft = Quote.objects.get(state=OfferState.DRAFTING)
    waiting = prices_open(quote_id=draft.pk, day=day)
    assert len(waiting) == 4
    assert all(row.words.endswith("price is 77 days old") for row in waiting)


@pytest.mark.parametrize("day", DAYS[:2], ids=str)
def test_each_crew_has_a_round_and_one_day_is_too_full(
    catalogue: None, day: dt.date
) -> None:
    built(day)
    for crew in ("Alder", "Birch"):
        stops = Visit.objects.filter(day=day, crew__name=crew)
        assert 2 <= stops.count() <= 4, crew
        # Tasks on numbered plantings, so that the phone shows what the trade needs.
        assert VisitTask.objects.filter(
            visit__in=stops, planting__isnull=False
        ).exists(), crew
    boards = [
        week_board(day=day + dt.timedelta(days=days), today=day) for days in (0, 7)
    ]
    over = [
        cell
        for board in boards
        for row in board.rows
        for cell in row.cells
        if cell.is_over
    ]
    assert len(over) >= 1
    # In deep winter no window is open, so only a job waits for its day.
    assert boards[0].to_book
    assert bool(boards[0].to_place) is (day == DAYS[1])
    assert any(row.is_late for row in slipping(day=day))


def added(rows: Iterable[dict[str, Any]], column: str) -> Decimal:
    """The column of printed rows, added up by hand."""
    return sum((Decimal(row[column]) for row in rows), Decimal("0.00"))


def net_tax_gross(foot: dict[str, Any]) -> tuple[Decimal, Decimal, Decimal]:
    """The three printed amounts of a foot or an instalment, which must agree."""
    net, tax, gross = (Decimal(foot[name]) for name in ("net", "tax", "gross"))
    assert net + tax == gross
    return net, tax, gross


def every_paper_adds_up() -> Counter[str]:
    """How many of each kind were added up again from what is printed on them."""
    seen: Counter[str] = Counter()
    by_job: dict[int, list[dict[str, Any]]] = {}
    for document in Document.objects.exclude(kind="care guide").order_by("id"):
        paper = document.snapshot
        assert faults_of(document.kind, paper) == [], document.number
        if document.kind == "contract":
            whole = net_tax_gross(paper)
            parts = [net_tax_gross(part) for part in paper["instalments"]]
            assert tuple(map(sum, zip(*parts, strict=True))) == whole
        elif document.kind == "bill":
            assert document.bill is not None
            if instalment := document.bill.instalment:
                agreed = instalment.contract.document.snapshot["instalments"]
                assert net_tax_gross(paper) == net_tax_gross(
                    agreed[instalment.position - 1]
                )
            if job := document.bill.job:
                by_job.setdefault(job.pk, []).append(paper)
        seen[document.kind] += 1
    for job in Job.objects.filter(pk__in=by_job, quote__isnull=False, state="finished"):
        bills = by_job[job.pk]
        # Deposit and rest together are what the client said yes to, to the cent.
        if any(bill["kind"] == "final" for bill in bills):
            assert job.quote is not None
            foot = job.quote.document.snapshot["totals"]
            for column in ("net", "tax", "gross"):
                assert added(bills, column) == Decimal(foot[column]), job.number
            seen["job billed whole"] += 1
    return seen


def test_what_is_done_lies_in_the_past_and_adds_up(catalogue: None) -> None:
    day = DAYS[1]
    built(day)
    now = local_moment(day, dt.time(9, 30), ZONE)
    assert not HourEntry.objects.filter(day__gt=day).exists()
    assert not Payment.objects.filter(day__gt=day).exists()
    assert not Bill.objects.filter(day__gt=day).exists()
    assert not Receipt.objects.filter(day__gt=day).exists()
    assert not Visit.objects.filter(state=VisitState.DONE, day__gt=day).exists()
    assert not Visit.objects.filter(ended_at__gt=now).exists()
    assert not Quote.objects.filter(decided_at__gt=now).exists()
    totals = job_totals(first=day - dt.timedelta(days=365), last=day)
    figures = [row.figures for row in totals.rows]
    assert len(figures) > 10
    assert totals.foot.actual_cost == sum(each.actual_cost for each in figures)
    assert totals.foot.billed == sum(each.billed for each in figures)
    assert totals.foot.actual_cost > 0
    assert every_paper_adds_up() == {
        "quote": Document.objects.filter(kind="quote").count(),
        "contract": 9,
        "bill": Bill.objects.count(),
        "job billed whole": 4,
    }
    for back in (0, 45, 200):
        accounts_again(day - dt.timedelta(days=back))
    stir_the_books(day, now)
    accounts_again(day)


def accounts_again(day: dt.date) -> None:
    """Ageing, statements and tax totals against the papers added up plainly."""
    papers = [
        {**document.snapshot, "client_id": document.bill.client_id}
        for document in Document.objects.filter(bill__isnull=False).select_related(
            "bill"
        )
        if document.bill is not None
    ]
    payments = [
        {
            "number": row.bill.number,
            "client_id": row.bill.client_id,
            "day": row.day.isoformat(),
            "kind": row.kind,
            "amount": row.amount,
        }
        for row in Payment.objects.filter(struck_out_at=None).select_related("bill")
    ]
    again = account(papers, payments, day=day.isoformat())
    ages = ageing(day=day)
    assert {
        each.bill.number: (
            each.open_amount - each.owed,
            each.bill.due_on.isoformat(),
        )
        for each in ages.bills
    } == again["open"]
    late = sum(
        (
            amount
            for amount, due_on in again["open"].values()
            if amount > 0 and due_on < day.isoformat()
        ),
        Decimal(0),
    )
    assert ages.foot.late == late
    balances = {}
    for client in Client.objects.order_by("id"):
        found = statement(client_id=client.pk, first=dt.date(2020, 1, 1), last=day)
        assert found is not None
        if found.closing:
            balances[client.pk] = found.closing
    assert balances == again["balance"]
    assert sum(balances.values()) == ages.foot.open_amount - ages.foot.owed
    totals = tax_totals(first=dt.date(2020, 1, 1), last=day)
    taxes: dict[tuple[str, Decimal], tuple[Decimal, ...]] = {}
    for row in totals.rows:
        key = (row.name, row.percent)
        before = taxes.get(key, (Decimal(0), Decimal(0)))
        taxes[key] = (before[0] + row.net, before[1] + row.tax)
    assert taxes == again["taxes"]


def stir_the_books(day: dt.date, now: dt.datetime) -> None:
    """Part credited, money paid back and set against another, a payment struck out."""
    by = Person.objects.get(role="bookkeeper")
    paid = Bill.objects.filter(state=BillState.PAID, gross__gt=0).order_by("id")
    [(client, count)] = Counter(bill.client_id for bill in paid).most_common(1)
    assert count >= 2
    first, other, *_more = paid.filter(client=client).order_by("-gross", "id")
    credit_part(
        bill=first,
        off=Off(amount=Decimal("33.33")),
        reason="goodwill",
        day=day,
        by=by,
        now=now,
    )
    wrong = Payment.objects.filter(bill=other).order_by("id")[0]
    strike_out_payment(payment=wrong, reason="another client's", by=by, now=now)
    moves = {"day": day, "by": by, "now": now}
    back, against = Decimal("13.33"), Decimal("12.00")
    pay_back(bill=first, amount=back, how="", key=uuid.uuid4(), **moves)
    set_against(bill=first, other=other, amount=against, key=uuid.uuid4(), **moves)


def told() -> list[Any]:
    """What a person would compare of two demos."""
    return [
        list(Quote.objects.order_by("id").values_list("number", "revision", "gross")),
        list(Bill.objects.order_by("id").values_list("number", "gross", "state")),
        list(
            Visit.objects.order_by("id").values_list(
                "title", "day", "crew__name", "state"
            )
        ),
        list(HourEntry.objects.order_by("id").values_list("day", "hours", "kind")),
    ]


def test_the_same_day_and_seed_give_the_same_year(catalogue: None) -> None:
    years = []
    for seed in (1, 1, 2):
        with transaction.atomic():
            built(DAYS[0], seed=seed)
            years.append(told())
            transaction.set_rollback(True)
    assert years[0] == years[1]
    assert years[0] != years[2]


def test_passwords_of_a_real_firm_are_never_set(owner: Person) -> None:
    with pytest.raises(NotADemo):
        set_demo_passwords(passwords=PASSWORDS, now=factories.NOW)
    owner.refresh_from_db()
    assert owner.password == "!"


def firm_file(folder: Path, *, is_demo: int) -> Path:
    """A database with one firm, as far as the command looks."""
    folder.mkdir()
    file = folder / demo.DATABASE
    kept = sqlite3.connect(file)
    kept.execute("CREATE TABLE firm_firm (id INTEGER, is_demo INTEGER)")
    kept.execute("INSERT INTO firm_firm VALUES (1, ?)", [is_demo])
    kept.commit()
    kept.close()
    return file


def test_a_database_that_is_no_demo_is_refused_and_left_alone(tmp_path: Path) -> None:
    file = firm_file(tmp_path / "real", is_demo=0)
    before = hashlib.sha256(file.read_bytes()).hexdigest()
    for words in ([], ["--fresh"]):
        with pytest.raises(CommandError, match="not marked as a demo") as refusal:
            call_command("demo", "--prepare-only", *words, folder=file.parent)
        assert refusal.value.returncode == 2
    assert hashlib.sha256(file.read_bytes()).hexdigest() == before
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["firm.sqlite3", "real"]


@pytest.mark.parametrize("part", ["build", "start"])
def test_no_part_of_it_works_on_another_database(owner: Person, part: str) -> None:
    with pytest.raises(CommandError, match="own database only") as refusal:
        call_command("demo", part=part)
    assert refusal.value.returncode == 2
    assert Person.objects.count() == 1


def test_a_folder_with_other_things_is_refused(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(CommandError, match="not marked as a demo"):
        call_command("demo", "--prepare-only", "--fresh", folder=tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_demo_is_known_by_its_mark(tmp_path: Path) -> None:
    assert demo.holds_a_demo(tmp_path / "nowhere") is False
    file = firm_file(tmp_path / "demo", is_demo=1)
    assert demo.holds_a_demo(file.parent) is True


def test_a_build_that_fails_leaves_the_old_demo(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = firm_file(tmp_path / "demo", is_demo=1)
    monkeypatch.setattr(demo, "command_line", lambda *words: ["false"])
    with pytest.raises(CommandError, match="nothing was changed"):
        demo.build_aside(file.parent, 8000)
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["demo", "firm.sqlite3"]


def test_a_real_firms_settings_do_not_reach_the_demo(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DATABASE_URL", "postgresql://firm@127.0.0.1/real")
    monkeypatch.setenv("MAIL_HOST", "mail.firm.example")
    monkeypatch.setenv("VAR_DIR", "/var/lib/firm")
    found = demo.environment(tmp_path, 8123)
    assert "DATABASE_URL" not in found
    assert "MAIL_HOST" not in found
    assert found["VAR_DIR"] == str(tmp_path)
    assert found["MAIL_DIR"] == str(tmp_path / "outbox")
    assert found["SITE_URL"] == "http://127.0.0.1:8123"


def test_passwords_are_new_each_time_and_long_enough() -> None:
    first, second = demo.new_passwords(), demo.new_passwords()
    assert set(first) == {"owner", "crew", "bookkeeper"}
    assert len({*first.values(), *second.values()}) == 6
    assert {len(password) for password in first.values()} == {19}
