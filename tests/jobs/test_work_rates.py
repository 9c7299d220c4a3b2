"""The firm's rates of labour: shipped once, changed only by somebody, kept."""

import uuid
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from django.core.management import call_command
from django.urls import reverse

from firm.actions.record import SomebodyElseChangedIt
from firm.models import Entry, Person
from jobs.actions.labour import (
    NameIsTaken,
    NoSuchRate,
    RateDetails,
    RateRefused,
    add_rate,
    change_rate,
    ship_rates,
    take_shipped_rate,
)
from jobs.labour import FACTORS, RATES, Touch
from jobs.models import ConditionFactor, ProductionRate
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def rates() -> None:
    """The table as the program brings it along."""
    ship_rates(now=NOW)


def own(typical: str = "0.4") -> RateDetails:
    return RateDetails(
        unit="each", is_per_hour=False, low=D("0.2"), typical=D(typical), high=D("0.6")
    )


def test_rates_are_brought_along_once_and_the_record_says_so() -> None:
    call_command("load_rates", verbosity=0)
    call_command("load_rates", verbosity=0)
    assert ProductionRate.objects.count() == len(RATES)
    assert ConditionFactor.objects.count() == len(FACTORS)
    row = ProductionRate.objects.get(key="plant-3")
    assert (row.low, row.typical, row.high) == (D("0.15"), D("0.30"), D("0.45"))
    assert (row.mark, row.source) == ("practice", "common practice, no source")
    assert not row.is_own
    entry = Entry.objects.get(action="rates shipped")
    assert entry.summary == f"{len(RATES) + len(FACTORS)} rates and factors"


@pytest.mark.usefixtures("rates")
def test_another_figure_of_a_later_version_never_takes_the_place_of_a_rate(
    owner: Person,
) -> None:
    change_rate(
        key="plant-5", version=1, details=own(), note="Measured.", by=owner, now=NOW
    )
    later = tuple(
        replace(rate, typical=D("0.44")) if rate.key in ("plant-3", "plant-5") else rate
        for rate in RATES
    )
    said = ship_rates(now=NOW, rates=later)
    assert len(said) == 2
    kept, mine = (ProductionRate.objects.get(key=key) for key in ("plant-3", "plant-5"))
    # Neither the shipped rate nor the firm's own moved; both show what is new.
    assert (kept.typical, kept.mark) == (D("0.30"), "practice")
    assert (mine.typical, mine.mark, mine.note) == (D("0.4"), "firm", "Measured.")
    assert {kept.shipped["typical"], mine.shipped["typical"]} == {"0.44"}
    taken = take_shipped_rate(key="plant-5", version=2, by=owner, now=NOW)
    assert (taken.typical, taken.mark, taken.note) == (D("0.44"), "practice", "")
    assert ship_rates(now=NOW, rates=later) == []


@pytest.mark.usefixtures("rates")
def test_a_changed_rate_is_the_firms_and_a_refused_one_leaves_nothing(
    owner: Person,
) -> None:
    row = change_rate(
        key="plant-3", version=1, details=own(), note="Timed.", by=owner, now=NOW
    )
    assert row.is_own
    assert Entry.objects.get(action="rate changed").summary == (
        "Plant a #2 or #3: 0.1500 / 0.3000 / 0.4500 h for one (each)"
        " → 0.2 / 0.4 / 0.6 h for one (each)"
    )
    with pytest.raises(SomebodyElseChangedIt):
        change_rate(key="plant-3", version=1, details=own(), note="", by=owner, now=NOW)
    with pytest.raises(RateRefused, match="in this order"):
        change_rate(
            key="plant-3", version=2, details=own("0.9"), note="", by=owner, now=NOW
        )
    with pytest.raises(NoSuchRate):
        take_shipped_rate(key="plant-4", version=1, by=owner, now=NOW)
    row.refresh_from_db()
    assert (row.typical, row.version) == (D("0.4"), 2)
    assert Entry.objects.filter(action="rate changed").count() == 1


TYPED = {
    "version": "1",
    "is_per_hour": "no",
    "unit": "cu yd",
    "low": "0,5",
    "typical": "0,85",
    "high": "1.5",
    "note": "Forty loads in spring.",
}


@pytest.mark.usefixtures("rates")
def test_the_form_reads_decimal_commas_and_the_page_names_the_source(
    owner_client: StrictClient, owner: Person
) -> None:
    page = owner_client.get(reverse("work-rates")).content.decode()
    assert "Spread mulch by hand" in page
    assert page.count("US Army Corps of Engineers") == 5
    url = reverse("work-rate", args=["mulch"])
    page = owner_client.post(url, TYPED, follow=True).content.decode()
    assert ProductionRate.objects.get(key="mulch").typical == D("0.85")
    assert "the firm&#x27;s own: Forty loads in spring." in page
    assert "comes along as 0.5 / 0.9 / 1.5" in page
    owner_client.post(url, {"version": "2", "back": "1"})
    assert ProductionRate.objects.get(key="mulch").typical == D("0.9")
    factor = reverse("work-factor", args=["soil-clay"])
    owner_client.post(factor, {"version": "1", "factor": "1,5", "note": "Red clay."})
    row = ConditionFactor.objects.get(key="soil-clay")
    assert (row.factor, row.mark, row.changed_by) == (D("1.5"), "firm", owner)
    owner_client.post(factor, {"version": "2", "back": "1"})
    row.refresh_from_db()
    assert (row.factor, row.mark) == (D("1.4"), "practice")


@pytest.mark.usefixtures("rates")
@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("typical", "0", "It must be more than nothing."),
        ("typical", "-1", "It must be more than nothing."),
        ("typical", "an hour", "write digits"),
        ("typical", "1e309", "write"),
        ("typical", "0.00001", "Type at most 4 decimals."),
        ("typical", "0.1", "It must not be less than the low one."),
        ("high", "0.6", "It must not be less than the typical one."),
        ("high", "5000", "At most 1000 hours for one."),
        ("note", "", "This field is required."),
        ("unit", "ft", "Select a valid choice."),
    ],
)
def test_what_no_rate_can_be_is_refused_beside_its_field(
    owner_client: StrictClient, field: str, typed: str, said: str
) -> None:
    url = reverse("work-rate", args=["mulch"])
    answer = owner_client.post(url, {**TYPED, field: typed})
    form = answer.context["form"]
    assert list(form.errors) == [field]
    assert said in form.errors[field][0]
    assert ProductionRate.objects.get(key="mulch").typical == D("0.9")
    assert not Entry.objects.filter(action="rate changed").exists()


@pytest.mark.parametrize("count", [1, 3])
def test_the_table_takes_the_same_queries_however_long(
    owner_client: StrictClient, count: int, django_assert_num_queries: Any
) -> None:
    ship_rates(now=NOW, rates=RATES[:count], factors=FACTORS[:count])
    url = reverse("work-rates")
    owner_client.get(url)
    with django_assert_num_queries(5):
        owner_client.get(url)


@pytest.mark.usefixtures("rates")
def test_a_task_of_the_firms_own_stands_last_once_and_is_slowed_like_the_others(
    owner: Person,
) -> None:
    given: dict[str, Any] = {
        "form_key": uuid.uuid4(),
        "name": "Lay a stepping stone",
        "details": own(),
        "touched_by": [Touch.CARRY],
        "note": "Measured twice.",
        "by": owner,
        "now": NOW,
    }
    row = add_rate(**given)
    assert add_rate(**given) == row
    assert ProductionRate.objects.order_by("-position").first() == row
    assert row.touched_by == ["carry", "season", "crew", "pace"]
    assert (row.mark, row.is_own, row.shipped) == ("firm", True, {})
    assert Entry.objects.get(action="rate added").summary == (
        "Lay a stepping stone: 0.2 / 0.4 / 0.6 h for one (each)"
    )
    with pytest.raises(NameIsTaken):
        add_rate(**{**given, "form_key": uuid.uuid4(), "name": "LAY a stepping stone"})
    with pytest.raises(RateRefused):
        take_shipped_rate(key=row.key, version=row.version, by=owner, now=NOW)
    # What the program brings along does not touch it.
    assert ship_rates(now=NOW) == []
    assert ProductionRate.objects.count() == len(RATES) + 1


@pytest.mark.usefixtures("rates")
def test_the_page_adds_a_task_and_says_beside_the_field_what_is_wrong(
    owner_client: StrictClient,
) -> None:
    url = reverse("work-rate-new")
    assert (
        "Add a task of your own"
        in owner_client.get(reverse("work-rates")).content.decode()
    )
    typed = {
        "key": str(uuid.uuid4()),
        "name": "Lay a stepping stone",
        "is_per_hour": "no",
        "unit": "each",
        "low": "0,2",
        "typical": "0.4",
        "high": "0.6",
        "touched_by": ["carry"],
        "note": "Measured twice.",
    }
    for field, value in (
        ("name", " "),
        ("unit", "furlong"),
        ("typical", "0.1"),
        ("high", "a few"),
        ("high", "1e309"),
        ("touched_by", ["rain"]),
    ):
        wrong = owner_client.post(url, {**typed, field: value})
        assert field in wrong.context["form"].errors, (field, value)
    assert ProductionRate.objects.count() == len(RATES)
    assert owner_client.post(url, typed).status_code == 302
    row = ProductionRate.objects.order_by("-position")[0]
    assert (row.name, row.low) == ("Lay a stepping stone", D("0.2"))
    quote = factories.QuoteFactory()
    labour = owner_client.get(reverse("quote-labour", args=[quote.pk]))
    assert "Lay a stepping stone" in labour.content.decode()
    taken = owner_client.post(url, {**typed, "key": str(uuid.uuid4())})
    assert "name" in taken.context["form"].errors
