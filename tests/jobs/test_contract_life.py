"""Care contracts: offered, agreed once, run, taken over, ended, drawn again."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from firm.models import Message
from jobs.actions.agreements import AgreedBeforeOffered, AgreedTooLate
from jobs.actions.contracts import (
    AnotherIsRunning,
    ContractAlreadyAgreed,
    ContractNotDrafting,
    ContractNotOffered,
    ContractOfferPast,
    EndsBeforeItBegins,
    NothingPlanned,
    NothingToDrawAnew,
    PriceIsNothing,
    agree_to_contract_by_link,
    decline_contract_by_link,
    end_contract,
    end_contracts_over,
    lapse_contracts,
    offer_contract,
    pause_contract,
    record_contract_agreement,
    record_contract_decline,
    renew,
    resume_contract,
    revise_contract,
    send_contract_again,
    withdraw_contract_link,
    withdraw_contract_offer,
)
from jobs.actions.links import LinkClosed
from jobs.actions.offering import No
from jobs.enums import AgreedHow, DeclineReason
from jobs.models import Agreement, Contract, Instalment, PrivateLink, Visit, VisitTask
from jobs.queries.to_bill import to_bill
from plants.models import Planting
from tests import factories
from tests.factories import NOW
from tests.jobs.contract_samples import (
    UNTIL,
    agreed,
    care_garden,
    drawn,
    offered_contract,
    owner_of_all,
    running,
)

pytestmark = pytest.mark.django_db

DAY = dt.timedelta(days=1)


def yes(contract: Contract, **changes: Any) -> Agreement:
    given: dict[str, Any] = {
        "how": AgreedHow.PHONE,
        "name": "Dana Quill",
        "agreed_at": NOW,
        "agreed_on": NOW.date(),
        "note": "called at noon",
        "scan": None,
        "confirm_to": "",
        "by": owner_of_all(),
        "now": NOW,
        **changes,
    }
    return record_contract_agreement(contract_id=contract.pk, **given)


# --- offering ----------------------------------------------------------------------


def test_an_offer_fixes_the_paper_and_mails_a_private_link() -> None:
    contract = drawn()
    made = offered_contract(contract)
    contract.refresh_from_db()
    assert (contract.state, contract.valid_until) == ("offered", UNTIL)
    paper = made.document.snapshot
    assert paper["number"] == "C-2026-0001.1"
    assert [visit["title"] for visit in paper["visits"]] == ["Feed", "Prune"]
    assert paper["visits"][1]["work"] == [
        {
            "title": "Prune, for its flowers",
            "plants": [
                {
                    "number": 1,
                    "plant": Planting.objects.get().plant.common,  # type: ignore[union-attr]
                    "count": 3,
                }
            ],
        }
    ]
    assert paper["gross"] == "143.10"
    assert len(paper["instalments"]) == 12
    assert "cost" not in paper and "hours" not in paper
    assert made.link is not None
    message = Message.objects.get(kind="contract offered")
    assert message.recipient == "dana@quill.example"
    assert message.payload == {"link": made.link.pk, "name": "Dana Quill"}


def test_a_contract_without_visits_is_not_offered() -> None:
    contract = drawn(care_garden(plantings=0))
    with pytest.raises(NothingPlanned):
        offered_contract(contract)
    contract.refresh_from_db()
    assert contract.state == "drafting"


def test_a_contract_that_costs_nothing_is_not_offered() -> None:
    contract = drawn(net=Decimal("0.00"))
    with pytest.raises(PriceIsNothing):
        offered_contract(contract)
    contract.refresh_from_db()
    assert contract.state == "drafting"


@pytest.mark.parametrize("until", [dt.date(2026, 3, 1), dt.date(2027, 4, 1)])
def test_an_offer_that_stands_until_a_wrong_day_is_refused(until: dt.date) -> None:
    contract = drawn()
    with pytest.raises(ContractOfferPast):
        offered_contract(contract, until=until)


# --- agreeing ----------------------------------------------------------------------


def test_the_clients_yes_makes_visits_tasks_and_instalments_once() -> None:
    contract = drawn(net=Decimal("4000.00"), is_taxed=False)
    link = offered_contract(contract).link
    assert link is not None
    agreement = agree_to_contract_by_link(link_id=link.pk, name="Dana Quill", now=NOW)
    contract.refresh_from_db()
    assert contract.state == "running"
    assert agreement.document_sha256 == contract.document.sha256
    assert (agreement.how, agreement.recorded_by) == ("link", None)
    visits = list(Visit.objects.order_by("best_on"))
    assert [
        (one.kind, one.title, one.crew, one.day, one.earliest_on, one.latest_on)
        for one in visits
    ] == [
        ("care", "Feed", None, None, dt.date(2026, 4, 15), dt.date(2026, 5, 13)),
        ("care", "Prune", None, None, dt.date(2026, 7, 11), dt.date(2026, 7, 31)),
    ]
    assert [one.planned_hours for one in visits] == [Decimal("0.75"), Decimal("1.50")]
    task = VisitTask.objects.get(visit=visits[1])
    assert (task.title, task.rule_key, task.layer, task.minutes) == (
        "Prune, for its flowers",
        "cut-after-bloom",
        "firm",
        60,
    )
    assert task.harm == "Cut later and the flowers of next year are lost."
    assert task.planting == Planting.objects.get()
    parts = Instalment.objects.order_by("position")
    assert [part.gross for part in parts] == [Decimal("333.34")] * 4 + [
        Decimal("333.33")
    ] * 8
    with pytest.raises(ContractAlreadyAgreed, match="Dana Quill"):
        agree_to_contract_by_link(link_id=link.pk, name="Sam Quill", now=NOW)
    assert (Visit.objects.count(), Instalment.objects.count()) == (2, 12)
    kinds = sorted(Message.objects.values_list("kind", flat=True))
    assert kinds == ["contract agreed", "contract agreed note", "contract offered"]


def test_the_owner_writes_down_a_yes_by_telephone() -> None:
    contract = drawn()
    offered_contract(contract, on_paper=True)
    agreement = yes(contract)
    assert (agreement.how, agreement.name, agreement.note) == (
        "phone",
        "Dana Quill",
        "called at noon",
    )
    assert agreement.recorded_by is not None
    with pytest.raises(ContractAlreadyAgreed):
        yes(contract)
    assert Agreement.objects.count() == 1


def test_a_yes_from_before_the_offer_or_after_its_last_day_is_refused() -> None:
    contract = drawn()
    offered_contract(contract)
    with pytest.raises(AgreedBeforeOffered):
        yes(contract, agreed_at=NOW - DAY)
    late = NOW + 70 * DAY
    with pytest.raises(AgreedTooLate):
        yes(contract, agreed_at=late, agreed_on=late.date(), now=late)
    assert not Agreement.objects.exists()


def test_a_draft_a_no_and_a_withdrawn_offer_are_not_agreed_to() -> None:
    contract = drawn()
    with pytest.raises(ContractNotOffered):
        yes(contract)
    made = offered_contract(contract)
    record_contract_decline(
        contract_id=contract.pk, no=No(words="too dear"), by=owner_of_all(), now=NOW
    )
    with pytest.raises(ContractNotOffered):
        yes(contract)
    assert made.link is not None
    with pytest.raises(ContractNotOffered):
        agree_to_contract_by_link(link_id=made.link.pk, name="Dana", now=NOW)
    other = drawn(contract.garden)
    link = offered_contract(other).link
    assert link is not None
    withdraw_contract_offer(
        contract_id=other.pk, reason="new prices", by=owner_of_all(), now=NOW
    )
    with pytest.raises(LinkClosed):
        agree_to_contract_by_link(link_id=link.pk, name="Dana", now=NOW)
    assert not Visit.objects.exists()


def test_a_withdrawn_link_opens_nothing_but_the_offer_stands() -> None:
    contract = drawn()
    link = offered_contract(contract).link
    assert link is not None
    withdraw_contract_link(
        contract_id=contract.pk, link_id=link.pk, by=owner_of_all(), now=NOW
    )
    with pytest.raises(LinkClosed):
        agree_to_contract_by_link(link_id=link.pk, name="Dana", now=NOW)
    contact = contract.garden.client.contacts.get()
    again = send_contract_again(
        contract_id=contract.pk, contact_id=contact.pk, by=owner_of_all(), now=NOW
    )
    assert agree_to_contract_by_link(link_id=again.pk, name="Dana", now=NOW).pk


def test_a_no_on_the_private_page_tells_the_owner() -> None:
    contract = drawn()
    link = offered_contract(contract).link
    assert link is not None
    decline_contract_by_link(
        link_id=link.pk,
        no=No(why=DeclineReason.OTHER, words="we move away"),
        now=NOW,
    )
    contract.refresh_from_db()
    assert (contract.state, contract.declined_as, contract.declined_reason) == (
        "declined",
        "other",
        "we move away",
    )
    note = Message.objects.get(kind="contract declined note")
    assert note.recipient == "office@fernhollow.example"


def test_an_offer_lapses_after_its_last_day_and_not_on_it() -> None:
    contract = drawn()
    link = offered_contract(contract).link
    assert link is not None
    # 03:00 UTC is still the last day where the firm is.
    assert lapse_contracts(now=dt.datetime(2026, 5, 1, 3, 0, tzinfo=dt.UTC)) == 0
    later = dt.datetime(2026, 5, 1, 15, 0, tzinfo=dt.UTC)
    assert lapse_contracts(now=later) == 1
    assert lapse_contracts(now=later) == 0
    contract.refresh_from_db()
    assert contract.state == "lapsed"
    with pytest.raises(LinkClosed):
        agree_to_contract_by_link(link_id=link.pk, name="Dana", now=later)
    # A yes that came in time may still be written down.
    assert yes(contract, now=later).pk


# --- revisions, the next year ------------------------------------------------------


def test_a_revised_offer_takes_the_place_of_the_one_before() -> None:
    contract = drawn()
    link = offered_contract(contract).link
    assert link is not None
    by = owner_of_all()
    new = revise_contract(contract_id=contract.pk, by=by, now=NOW)
    assert str(new) == "C-2026-0001.2"
    assert new.starts_on == contract.starts_on
    assert revise_contract(contract_id=contract.pk, by=by, now=NOW) == new
    contract.refresh_from_db()
    assert contract.state == "offered"
    offered_contract(new)
    contract.refresh_from_db()
    assert (contract.state, contract.replaced_by) == ("replaced", new)
    with pytest.raises(ContractNotOffered):
        agree_to_contract_by_link(link_id=link.pk, name="Dana", now=NOW)


def test_a_draft_is_not_revised() -> None:
    with pytest.raises(NothingToDrawAnew):
        revise_contract(contract_id=drawn().pk, by=owner_of_all(), now=NOW)


def test_a_revision_agreed_ends_the_running_contract_from_its_first_day() -> None:
    old = running()
    later = dt.datetime(2026, 6, 10, 15, 0, tzinfo=dt.UTC)
    new = revise_contract(contract_id=old.pk, by=owner_of_all(), now=later)
    assert new.starts_on == dt.date(2026, 6, 10)
    offered_contract(new, now=later, until=dt.date(2026, 6, 30))
    old.refresh_from_db()
    assert old.state == "running"
    agreed(new, now=later)
    old.refresh_from_db()
    assert (old.state, old.ended_on) == ("ended", dt.date(2026, 6, 9))
    assert old.ended_reason == "taken over by C-2026-0001.2"
    assert Contract.objects.filter(state="running").get() == new
    assert {visit.state for visit in Visit.objects.filter(contract=old)} == {
        "called off"
    }
    assert {visit.state for visit in Visit.objects.filter(contract=new)} == {"planned"}
    # April, May and June were due before it; what lies beyond falls away.
    assert [part.due_on.month for part in old.instalments.order_by("position")] == [
        4,
        5,
        6,
    ]


def test_the_next_year_is_drawn_once_and_leaves_this_year_its_last_weeks() -> None:
    old = running()
    by = owner_of_all()
    new = renew(contract_id=old.pk, by=by, now=NOW)
    assert (new.starts_on, new.ends_on) == (dt.date(2027, 4, 1), dt.date(2028, 3, 31))
    assert str(new) == "C-2026-0002.1"
    assert [one["best"] for one in new.plan["visits"]] == ["2027-04-22", "2027-07-25"]
    assert renew(contract_id=old.pk, by=by, now=NOW) == new
    offered_contract(new)
    agreed(new)
    old.refresh_from_db()
    assert (old.state, old.ended_on) == ("ended", dt.date(2027, 3, 31))
    assert {visit.state for visit in Visit.objects.filter(contract=old)} == {"planned"}
    assert old.instalments.count() == 12
    with pytest.raises(AnotherIsRunning):
        renew(contract_id=old.pk, by=by, now=NOW)


def test_an_ended_contracts_instalments_are_still_to_be_billed() -> None:
    old = running()
    new = renew(contract_id=old.pk, by=owner_of_all(), now=NOW)
    offered_contract(new)
    agreed(new)
    due = to_bill(day=dt.date(2026, 5, 2))
    assert [(row.number, row.due_on) for row in due] == [
        (str(old), dt.date(2026, 4, 1)),
        (str(old), dt.date(2026, 5, 1)),
    ]


# --- running -----------------------------------------------------------------------


def test_a_paused_contracts_visits_leave_the_board_until_it_goes_on() -> None:
    contract = running()
    crew = factories.CrewFactory()
    Visit.objects.filter(contract=contract, title="Feed").update(
        crew=crew, day=dt.date(2026, 4, 20)
    )
    by = owner_of_all()
    paused = pause_contract(
        contract_id=contract.pk, version=contract.version, reason="away", by=by, now=NOW
    )
    assert (paused.state, paused.paused_on) == ("paused", dt.date(2026, 3, 2))
    assert Visit.objects.filter(day__isnull=True, crew__isnull=True).count() == 2
    with pytest.raises(NothingToDrawAnew):
        pause_contract(
            contract_id=contract.pk,
            version=paused.version,
            reason="away",
            by=by,
            now=NOW,
        )
    again = resume_contract(
        contract_id=contract.pk, version=paused.version, by=by, now=NOW
    )
    assert (again.state, again.paused_on) == ("running", None)


def test_a_contract_ended_early_calls_off_what_lies_beyond() -> None:
    contract = running()
    ended = end_contract(
        contract_id=contract.pk,
        version=contract.version,
        last_on=dt.date(2026, 5, 31),
        reason="sold the house",
        by=owner_of_all(),
        now=NOW,
    )
    assert (ended.state, ended.ended_on) == ("ended", dt.date(2026, 5, 31))
    states = dict(Visit.objects.values_list("title", "state"))
    assert states == {"Feed": "planned", "Prune": "called off"}
    assert ended.instalments.count() == 2


def test_a_contract_does_not_end_outside_its_year() -> None:
    contract = running()
    with pytest.raises(EndsBeforeItBegins):
        end_contract(
            contract_id=contract.pk,
            version=contract.version,
            last_on=dt.date(2027, 4, 1),
            reason="late",
            by=owner_of_all(),
            now=NOW,
        )
    contract.refresh_from_db()
    assert contract.state == "running"


def test_a_contract_whose_year_is_over_ends_and_keeps_all_its_instalments() -> None:
    contract = running(instalment_count=24)
    last = dt.datetime(2027, 4, 1, 3, 0, tzinfo=dt.UTC)
    assert end_contracts_over(now=last) == 0
    assert end_contracts_over(now=last + DAY) == 1
    contract.refresh_from_db()
    assert (contract.state, contract.ended_on) == ("ended", dt.date(2027, 3, 31))
    assert {visit.state for visit in Visit.objects.all()} == {"called off"}
    assert contract.instalments.count() == 24


def test_an_old_link_is_kept_apart_from_a_quotes_link() -> None:
    contract = drawn()
    link = offered_contract(contract).link
    assert link is not None
    PrivateLink.objects.filter(pk=link.pk).update(purpose="quote")
    with pytest.raises(LinkClosed):
        agree_to_contract_by_link(link_id=link.pk, name="Dana", now=NOW)


def test_an_offer_of_the_second_planner_is_refused() -> None:
    contract = drawn()
    offered_contract(contract)
    with pytest.raises(ContractNotDrafting):
        offer_contract(
            contract_id=contract.pk,
            version=1,
            contact_id=None,
            valid_until=UNTIL,
            by=owner_of_all(),
            now=NOW,
        )
