"""Care contracts: drawn from plantings, priced, changed."""

import datetime as dt
import uuid
from decimal import Decimal

import pytest

from firm.actions.record import SomebodyElseChangedIt
from firm.models import Client, Entry, Firm
from jobs.actions.contracts import (
    ContractNotDrafting,
    FreeVisit,
    NoSuchContract,
    OutsideTheYear,
    PlanHasFaults,
    PriceTooLarge,
    add_free_visit,
    change_contract,
    choose_work,
    draw_anew,
    draw_contract,
)
from jobs.actions.contracts.drafts import keep_plan
from jobs.models import Contract, Visit
from jobs.queries.contracts import contract_page, parts_of
from plants import care
from plants.models import Planting
from plants.queries.care import care_years
from tests import factories
from tests.factories import HILL_FIGURES, NOW, TODAY
from tests.jobs.contract_samples import (
    APRIL,
    care_garden,
    details,
    drawn,
    offered_contract,
    owner_of_all,
    unidentified,
)

pytestmark = pytest.mark.django_db


def windows(contract: Contract) -> list[tuple[str, str, str, str]]:
    return [
        (one["title"], one["earliest"], one["best"], one["latest"])
        for one in contract.plan["visits"]
    ]


# --- drawing -----------------------------------------------------------------------


def test_a_contract_is_drawn_from_what_grows_in_the_garden() -> None:
    contract = drawn()
    assert windows(contract) == [
        ("Feed", "2026-04-15", "2026-04-22", "2026-05-13"),
        ("Prune", "2026-07-11", "2026-07-25", "2026-07-31"),
    ]
    task = contract.plan["tasks"][1]
    assert task["title"] == "Prune, for its flowers"
    assert task["plant"] == contract.garden.plantings.get().plant.common
    # 20 minutes for each of three plants.
    assert task["minutes"] == 60
    assert task["layer"] == "firm"
    assert task["source"] == "common practice, no source"
    assert "Take off 33 % at the most." in task["how"]
    assert contract.ends_on == dt.date(2027, 3, 31)
    assert contract.state == "drafting"


def test_plan_garden_and_planting_have_the_same_days() -> None:
    garden = care_garden(plantings=2)
    contract = drawn(garden)
    first, last = contract.starts_on, contract.ends_on
    days = (last - first).days + 1
    planned = {
        (one["planting"], one["rule_key"], one["best"])
        for one in contract.plan["tasks"]
    }
    years = care_years(garden, start=first, days=days)
    in_the_garden = {
        (year.planting.pk, window.rule.key, str(window.best))
        for year in years
        for window in year.windows
    }
    one_by_one = {
        (year.planting.pk, window.rule.key, str(window.best))
        for year in years
        for window in care.care_year(
            group=year.group,
            climate=year.climate,
            start=first,
            days=days,
            age_years=year.age_years,
        )
    }
    assert planned == in_the_garden == one_by_one
    assert len(planned) == 4


def test_a_renovation_spread_over_years_says_which_share_the_contract_holds() -> None:
    factories.RuleFactory(
        key="renew",
        task="renovate",
        spec=factories.rule_spec(
            key="renew",
            task="renovate",
            purpose="renovation",
            conditions={"age_years_min": 5},
            repeat={"every_years": 10, "for_years": 3},
            how="A third of the old stems to the ground.",
        ),
    )
    garden = care_garden()
    Planting.objects.filter(garden=garden).update(
        planted_on=dt.date(2020, 4, 1), age_known="", age_years=None, age_on=None
    )
    (task,) = (one for one in drawn(garden).plan["tasks"] if one["rule_key"] == "renew")
    # Five years old in April 2025: a third that summer, the second in 2026.
    assert task["how"].startswith("Year 2 of 3. A third of the old stems")


def test_hours_cost_and_price_come_from_minutes_travel_and_the_firms_rates() -> None:
    contract = drawn()
    # 30 + 15 min are 0.75 h, 30 + 60 min are 1.50 h; 38 and 60 an hour; 6 % tax.
    assert contract.hours == Decimal("2.25")
    assert contract.cost == Decimal("85.50")
    assert contract.net == Decimal("135.00")
    assert (contract.tax_name, contract.tax_percent) == ("Sales tax", Decimal("6.000"))
    assert contract.tax == Decimal("8.10")
    assert contract.gross == Decimal("143.10")
    # (135.00 - 85.50) / 135.00
    assert contract.margin_percent == Decimal("36.67")


def test_a_price_that_was_typed_stands_beside_what_the_hours_would_cost() -> None:
    contract = drawn(net=Decimal("4000.00"), is_taxed=False)
    assert (contract.net, contract.tax, contract.gross) == (
        Decimal("4000.00"),
        Decimal("0.00"),
        Decimal("4000.00"),
    )
    page = contract_page(contract_id=contract.pk)
    assert page is not None
    assert page.earning.by_the_hour == Decimal("135.00")
    assert page.earning.margin_percent == Decimal("97.86")
    assert page.earning.markup_percent == Decimal("4578.36")
    assert page.earning.short == 0


def test_four_thousand_in_twelve_is_four_of_333_34_and_eight_of_333_33() -> None:
    """Arithmetic of the worked garden: 4 x 333.34 + 8 x 333.33 = 4,000.00."""
    contract = drawn(net=Decimal("4000.00"), is_taxed=False)
    page = contract_page(contract_id=contract.pk)
    assert page is not None
    assert page.parts_words == [(4, Decimal("333.34")), (8, Decimal("333.33"))]
    assert sum(part.amount.gross for part in page.parts) == Decimal("4000.00")
    assert [part.due_on for part in page.parts][:2] == [APRIL, dt.date(2026, 5, 1)]
    assert page.parts[-1].due_on == dt.date(2027, 3, 1)
    assert not page.pays_past_the_end


def test_instalments_three_months_apart_fall_due_each_quarter() -> None:
    contract = drawn(instalment_count=4, instalment_months=3)
    parts = parts_of(contract, places=2)
    assert [part.due_on.month for part in parts] == [4, 7, 10, 1]
    assert sum(part.amount.net for part in parts) == contract.net
    assert sum(part.amount.tax for part in parts) == contract.tax
    assert sum(part.amount.gross for part in parts) == contract.gross


def test_a_client_who_is_exempt_pays_no_tax() -> None:
    garden = care_garden()
    Client.objects.update(tax_exempt_certificate="X-44")
    contract = drawn(garden)
    assert contract.tax == 0
    assert contract.gross == Decimal("135.00")


def test_a_price_below_the_cost_is_said() -> None:
    page = contract_page(contract_id=drawn(net=Decimal("80.00")).pk)
    assert page is not None
    assert page.earning.short == Decimal("5.50")


def test_a_price_past_what_is_kept_is_refused() -> None:
    with pytest.raises(PriceTooLarge):
        drawn(net=Decimal("1000000000.00"))
    assert not Contract.objects.exists()


def test_a_form_sent_twice_draws_one_contract_and_uses_one_number() -> None:
    garden, key, by = care_garden(), uuid.uuid4(), owner_of_all()
    both = [
        draw_contract(garden_id=garden.pk, key=key, details=details(), by=by, now=NOW)
        for _ in range(2)
    ]
    assert both[0].pk == both[1].pk
    assert str(drawn(garden)) == "C-2026-0002.1"


def test_no_contract_is_drawn_for_a_garden_that_is_not_there() -> None:
    factories.FirmFactory()
    with pytest.raises(NoSuchContract):
        draw_contract(
            garden_id=77,
            key=uuid.uuid4(),
            details=details(),
            by=owner_of_all(),
            now=NOW,
        )


def test_of_an_unidentified_plant_only_dead_wood_is_planned() -> None:
    garden = care_garden(plantings=0)
    unidentified(garden, number=4)
    contract = drawn(garden)
    assert [task["task"] for task in contract.plan["tasks"]] == ["dead wood"]
    assert contract.plan["tasks"][0]["plant"] == "unidentified: tall shrub by the gate"
    assert contract.plan["unidentified"] == [4]


def test_a_rule_without_its_anchor_in_this_climate_is_listed_and_why() -> None:
    mild = {
        **HILL_FIGURES,
        "tmin_c": [10, 10, 12, 14, 16, 18, 20, 20, 18, 16, 13, 11],
        "tmax_c": [16, 17, 19, 22, 25, 28, 30, 30, 27, 23, 19, 17],
        "last_spring_frost": {"10": None, "50": None, "90": None},
        "first_autumn_frost": {"10": None, "50": None, "90": None},
        "lowest_c": 2.0,
    }
    garden = care_garden(plantings=2)
    garden.station = factories.StationFactory(name="Fernshore", figures=mild)
    garden.save(update_fields=["station"])
    factories.PlantingFactory(garden=garden, number=3, plant=None, count=1)
    contract = drawn(garden)
    assert {line["title"] for line in contract.plan["unhung"]} == {"Feed"}
    assert [line["numbers"] for line in contract.plan["unhung"]] == [[1], [2]]
    assert contract.plan["unhung"][0]["why"] == (
        "there is no last frost of spring in this climate"
    )
    assert "feed-in-spring" not in {one["rule_key"] for one in contract.plan["tasks"]}


def test_a_plan_with_a_fault_is_never_stored() -> None:
    contract = drawn()
    plan = {**contract.plan, "visits": [dict(v) for v in contract.plan["visits"]]}
    plan["visits"][1]["latest"] = "2026-08-20"
    with pytest.raises(PlanHasFaults, match="outside its window on 2026-08-01"):
        keep_plan(contract=contract, plan=plan, day=TODAY)
    contract.refresh_from_db()
    assert contract.plan["visits"][1]["latest"] == "2026-07-31"


# --- changing the draft ------------------------------------------------------------


def test_a_task_ticked_out_takes_its_visit_and_price_along_and_comes_back() -> None:
    contract = drawn()
    by = owner_of_all()
    feed, prune = (task["key"] for task in contract.plan["tasks"])
    changed = choose_work(
        contract_id=contract.pk,
        version=1,
        tasks=[prune],
        visits=["1", "2"],
        by=by,
        now=NOW,
    )
    assert [one["title"] for one in changed.plan["visits"]] == ["Prune"]
    assert (changed.hours, changed.net) == (Decimal("1.50"), Decimal("90.00"))
    again = choose_work(
        contract_id=contract.pk,
        version=2,
        tasks=[feed, prune],
        visits=["1"],
        by=by,
        now=NOW,
    )
    assert windows(again) == windows(drawn(contract.garden))
    assert again.net == Decimal("135.00")


def test_a_visit_ticked_out_takes_its_tasks_out_with_it() -> None:
    contract = drawn()
    keys = [task["key"] for task in contract.plan["tasks"]]
    changed = choose_work(
        contract_id=contract.pk,
        version=1,
        tasks=keys,
        visits=["2"],
        by=owner_of_all(),
        now=NOW,
    )
    assert [task["is_out"] for task in changed.plan["tasks"]] == [True, False]
    assert [one["title"] for one in changed.plan["visits"]] == ["Prune"]


def test_what_was_ticked_out_stays_out_when_it_is_drawn_anew() -> None:
    contract = drawn()
    by = owner_of_all()
    keys = [task["key"] for task in contract.plan["tasks"]]
    choose_work(
        contract_id=contract.pk, version=1, tasks=keys[:1], visits=["1"], by=by, now=NOW
    )
    factories.PlantingFactory(garden=contract.garden, number=2)
    page = contract_page(contract_id=contract.pk)
    assert page is not None and page.has_changed
    again = draw_anew(contract_id=contract.pk, version=2, by=by, now=NOW)
    out = [task["key"] for task in again.plan["tasks"] if task["is_out"]]
    assert out == keys[1:]
    assert len(again.plan["tasks"]) == 4
    page = contract_page(contract_id=contract.pk)
    assert page is not None and not page.has_changed


def free_visit(best: dt.date) -> FreeVisit:
    week = dt.timedelta(days=7)
    return FreeVisit(
        title="Autumn tidy",
        earliest=best - week,
        best=best,
        latest=best + week,
        minutes=90,
        work=("Sweep the path", "Cut the edges"),
    )


def test_a_visit_of_ones_own_is_added_priced_and_may_be_ticked_out() -> None:
    contract = drawn()
    by = owner_of_all()
    best = dt.date(2026, 10, 20)
    changed = add_free_visit(
        contract_id=contract.pk, version=1, visit=free_visit(best), by=by, now=NOW
    )
    assert [one["title"] for one in changed.plan["visits"]] == [
        "Feed",
        "Prune",
        "Autumn tidy",
    ]
    # 30 + 90 min.
    assert changed.hours == Decimal("4.25")
    keys = [task["key"] for task in contract.plan["tasks"]]
    without = choose_work(
        contract_id=contract.pk,
        version=2,
        tasks=keys,
        visits=["1", "2"],
        by=by,
        now=NOW,
    )
    assert without.hours == Decimal("2.25")
    page = contract_page(contract_id=contract.pk)
    assert page is not None
    assert [one.title for one in page.visits_out] == ["Autumn tidy"]


def test_a_visit_of_ones_own_outside_the_year_is_refused() -> None:
    contract = drawn()
    with pytest.raises(OutsideTheYear):
        add_free_visit(
            contract_id=contract.pk,
            version=1,
            visit=free_visit(dt.date(2027, 3, 30)),
            by=owner_of_all(),
            now=NOW,
        )
    contract.refresh_from_db()
    assert len(contract.plan["visits"]) == 2


def test_another_first_day_draws_the_plan_anew() -> None:
    contract = drawn()
    changed = change_contract(
        contract_id=contract.pk,
        version=1,
        details=details(starts_on=dt.date(2026, 6, 1), net=Decimal("200.00")),
        by=owner_of_all(),
        now=NOW,
    )
    assert changed.ends_on == dt.date(2027, 5, 31)
    assert windows(changed) == [
        ("Prune", "2026-07-11", "2026-07-25", "2026-07-31"),
        ("Feed", "2027-04-15", "2027-04-22", "2027-05-13"),
    ]
    assert (changed.net, changed.gross) == (Decimal("200.00"), Decimal("212.00"))


def test_an_emptied_price_goes_back_to_the_hours() -> None:
    contract = drawn(net=Decimal("500.00"))
    changed = change_contract(
        contract_id=contract.pk,
        version=1,
        details=details(),
        by=owner_of_all(),
        now=NOW,
    )
    assert changed.net == Decimal("135.00")
    assert not changed.price_is_typed


def test_the_second_of_two_editors_is_told_and_overwrites_nothing() -> None:
    contract = drawn()
    by = owner_of_all()
    first = details(title="Care in full")
    change_contract(contract_id=contract.pk, version=1, details=first, by=by, now=NOW)
    second = details(title="Care in part")
    with pytest.raises(SomebodyElseChangedIt):
        change_contract(
            contract_id=contract.pk, version=1, details=second, by=by, now=NOW
        )
    contract.refresh_from_db()
    assert contract.title == "Care in full"


def test_an_offered_contract_is_not_changed_any_more() -> None:
    contract = drawn()
    offered_contract(contract)
    contract.refresh_from_db()
    with pytest.raises(ContractNotDrafting):
        draw_anew(
            contract_id=contract.pk,
            version=contract.version,
            by=owner_of_all(),
            now=NOW,
        )


def test_new_rates_are_taken_when_the_draft_is_changed() -> None:
    contract = drawn()
    Firm.objects.update(hour_price=Decimal("80.00"))
    changed = draw_anew(contract_id=contract.pk, version=1, by=owner_of_all(), now=NOW)
    assert changed.net == Decimal("180.00")


def test_each_step_leaves_a_line_in_the_record_and_a_draft_makes_no_visits() -> None:
    contract = drawn()
    draw_anew(contract_id=contract.pk, version=1, by=owner_of_all(), now=NOW)
    lines = Entry.objects.filter(subject_kind="jobs.contract").order_by("id")
    assert [line.action for line in lines] == ["contract drawn", "contract drawn anew"]
    assert not Visit.objects.exists()
