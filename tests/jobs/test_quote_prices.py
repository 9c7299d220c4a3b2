"""Prices of quotes as they are stored: tax by place and day, options, agreement."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from firm.models import Firm, Person, TaxRate, TaxRegion
from firm.queries import NoTaxRate, tax_rate_on
from jobs.actions.quotes import (
    LineDetails,
    NoPriceComes,
    NoSuchChoice,
    QuoteDetails,
    TaxRateMissing,
    create_quote,
    keep_lines,
    revise,
    settle_agreement,
)
from jobs.actions.quotes.lines import settle
from jobs.actions.work import open_planting_job
from jobs.models import Agreement, Milestone, Quote, QuoteLine, QuoteOption
from jobs.queries.quote_prices import agreed_amounts, lines_counted, payment_plan
from tests import factories
from tests.factories import NOW

pytestmark = pytest.mark.django_db

D = Decimal
DAY = NOW.date()


@pytest.fixture
def quote(owner: Person) -> Quote:
    factories.TaxRateFactory()
    made: Quote = factories.QuoteFactory(margin_percent=40)
    return made


def keep(quote: Quote, *details: LineDetails) -> Quote:
    quote.refresh_from_db()
    kept = keep_lines(
        quote_id=quote.pk,
        version=quote.version,
        details=details,
        by=Person.objects.get(role="owner"),
        now=NOW,
    )
    quote.refresh_from_db()
    return kept


def detail(kind: str = "other", cost: str = "60.00", **more: Any) -> LineDetails:
    return LineDetails(
        kind=kind,
        description=more.pop("description", kind),
        quantity=more.pop("quantity", D(1)),
        unit="pieces",
        unit_cost=D(cost),
        **more,
    )


def region(**more: Any) -> TaxRegion:
    place: TaxRegion = TaxRegion.objects.create(name="Oldfield", **more)
    TaxRate.objects.create(
        region=place, name="County tax", percent=D("8.25"), valid_from="2026-01-01"
    )
    return place


def test_each_line_bears_the_tax_of_its_kind_in_the_gardens_place(
    quote: Quote,
) -> None:
    place = region(
        plants_tax="reduced", materials_tax="paid when bought", delivery_tax="standard"
    )
    TaxRate.objects.create(
        region=place,
        category="reduced",
        name="County tax, lower",
        percent=D(2),
        valid_from="2026-01-01",
    )
    quote.garden.tax_region = place
    quote.garden.save(update_fields=["tax_region"])
    keep(
        quote,
        detail("plants", plant=factories.PlantFactory(), count_rule="typed"),
        detail("mulch"),
        detail("labour"),
        detail("delivery"),
        detail("labour", description="by hand", tax_category="standard"),
    )
    found = [
        (line.tax_category, line.tax_name, line.tax_percent, line.is_taxed)
        for line in quote.lines.order_by("position")
    ]
    assert found == [
        ("reduced", "County tax, lower", D(2), True),
        ("paid when bought", "", D(0), False),
        ("not taxed", "", D(0), False),
        ("standard", "County tax", D("8.25"), True),
        ("standard", "County tax", D("8.25"), True),
    ]
    # Each line sells at 100.00.
    assert (quote.net, quote.tax, quote.gross) == (D("500.00"), D("18.50"), D("518.50"))
    assert [(each["category"], each["net"], each["tax"]) for each in quote.taxes] == [
        ("reduced", "100.00", "2.00"),
        ("paid when bought", "100.00", "0.00"),
        ("not taxed", "100.00", "0.00"),
        ("standard", "200.00", "16.50"),
    ]
    # A line that nobody chose a tax for follows the garden to another place.
    quote.garden.tax_region = None
    quote.garden.save(update_fields=["tax_region"])
    settle(quote=quote, day=DAY)
    assert [line.tax_category for line in quote.lines.order_by("position")] == [
        "standard",
        "standard",
        "not taxed",
        "standard",
        "standard",
    ]


def test_a_day_in_a_gap_between_rates_is_refused_and_nothing_is_written(
    quote: Quote,
) -> None:
    TaxRate.objects.update(valid_until=dt.date(2026, 4, 30))
    TaxRate.objects.create(name="Sales tax", percent=D(7), valid_from="2027-06-01")
    assert tax_rate_on(day=dt.date(2026, 4, 30)).percent == D(6)
    assert tax_rate_on(day=dt.date(2027, 6, 1)).percent == D(7)
    words = "No tax rate is kept for 3 May 2027 \\(taxed\\)"
    with pytest.raises(NoTaxRate, match=words):
        tax_rate_on(day=dt.date(2027, 5, 3))
    assert tax_rate_on(day=dt.date(2019, 12, 31)).name == ""
    keep(quote, detail("labour", description="not taxed, so no rate is needed"))
    TaxRate.objects.filter(valid_from__year=2020).update(
        valid_until=DAY - dt.timedelta(days=1)
    )
    with pytest.raises(TaxRateMissing, match="No tax rate is kept for"):
        keep(quote, detail())
    assert QuoteLine.objects.filter(kind="other").count() == 0


def test_a_place_without_a_rate_is_refused_by_its_name(quote: Quote) -> None:
    place = TaxRegion.objects.create(name="Newfield")
    with pytest.raises(NoTaxRate, match="in Newfield"):
        tax_rate_on(day=DAY, region=place)


@pytest.mark.parametrize(("days", "tax"), [(0, "0.00"), (None, "0.00"), (-1, "6.00")])
def test_a_certificate_of_exemption_holds_to_its_last_day(
    quote: Quote, days: int | None, tax: str
) -> None:
    client = quote.garden.client
    client.tax_exempt_certificate = "EX-77"
    client.tax_exempt_until = None if days is None else DAY + dt.timedelta(days=days)
    client.save(update_fields=["tax_exempt_certificate", "tax_exempt_until"])
    keep(quote, detail())
    assert (quote.net, quote.tax) == (D("100.00"), D(tax))
    # The category stays that of the line; only the rate goes.
    assert quote.lines.get().tax_category == "standard"


def test_a_new_quote_is_priced_as_the_firm_does_and_a_line_carries_it(
    owner: Person,
) -> None:
    Firm.objects.update(
        overhead_way="by hour",
        overhead_per_hour=D(15),
        contingency_percent=D(5),
        minimum_job=D(500),
        deposit_percent=D(30),
    )
    made = create_quote(
        garden_id=factories.GardenFactory().pk,
        key="6f0c3a4e-0000-4000-8000-000000000001",
        details=QuoteDetails(
            title="Bed", words="", terms="", margin_percent=D(15), valid_until=None
        ),
        by=owner,
        now=NOW,
    )
    keep(made, detail("labour", cost="22.50", quantity=D(4)))
    line = made.lines.get()
    # 90.00 of wages, 60.00 of overhead, 4.50 for surprises: 154.50 / 0.85.
    assert (line.hours, line.overhead, line.reserve, line.price) == (
        D("4.00"),
        D("60.00"),
        D("4.50"),
        D("181.76"),
    )
    assert (made.cost, made.overhead, made.reserve) == (
        D("90.00"),
        D("60.00"),
        D("4.50"),
    )
    assert (made.top_up, made.net) == (D("318.24"), D("500.00"))
    plan = payment_plan(quote=made, groups=agreed_amounts(quote=made, taken=()).groups)
    assert [(part.title, part.amount.gross) for part in plan] == [
        ("Deposit", D("150.00")),
        ("The rest", D("350.00")),
    ]


def with_options(quote: Quote) -> tuple[QuoteOption, QuoteOption]:
    """A quote of 100.00 and 200.00; the 200.00 may be 150.00; 50.00 may be added."""
    keep(
        quote,
        detail(cost="60.00"),
        detail(cost="120.00"),
        detail(cost="90.00"),
        detail(cost="30.00"),
    )
    lines = list(quote.lines.order_by("position"))
    instead = QuoteOption.objects.create(
        quote=quote,
        position=1,
        kind="instead",
        title="Smaller plants",
        instead_of=lines[1],
    )
    extra = QuoteOption.objects.create(
        quote=quote, position=2, kind="extra", title="Edging"
    )
    QuoteLine.objects.filter(pk=lines[2].pk).update(option=instead)
    QuoteLine.objects.filter(pk=lines[3].pk).update(option=extra)
    settle(quote=quote, day=DAY)
    return instead, extra


def agreement_to(quote: Quote) -> Agreement:
    made: Agreement = Agreement.objects.create(
        quote=quote,
        how="link",
        name="Ada",
        agreed_at=NOW,
        recorded_at=NOW,
        document_sha256="0" * 64,
    )
    return made


def test_an_agreement_holds_the_amounts_of_what_was_taken(quote: Quote) -> None:
    instead, _ = with_options(quote)
    assert (quote.net, quote.gross) == (D("300.00"), D("318.00"))
    agreement = agreement_to(quote)
    settle_agreement(quote=quote, agreement=agreement, taken=[instead.pk])
    agreement.refresh_from_db()
    assert (agreement.cost, agreement.net, agreement.tax, agreement.gross) == (
        D("150.00"),
        D("250.00"),
        D("15.00"),
        D("265.00"),
    )
    assert [each["net"] for each in agreement.taxes] == ["250.00"]
    assert [option.is_taken for option in QuoteOption.objects.order_by("position")] == [
        True,
        False,
    ]
    assert [line.price for line in lines_counted(quote)] == [D("100.00"), D("150.00")]
    quote.refresh_from_db()
    job = open_planting_job(quote=quote, now=NOW)
    assert (job.price, job.planned_cost) == (D("250.00"), D("150.00"))


def test_an_option_of_another_quote_is_not_agreed_to(quote: Quote) -> None:
    with_options(quote)
    other = QuoteOption.objects.create(
        quote=factories.QuoteFactory(), position=1, title="Not here"
    )
    with pytest.raises(NoSuchChoice, match="not in the quote"):
        settle_agreement(quote=quote, agreement=agreement_to(quote), taken=[other.pk])


def test_a_revision_has_the_options_and_payments_of_the_one_before(
    quote: Quote, owner: Person
) -> None:
    with_options(quote)
    Milestone.objects.create(
        quote=quote, position=1, title="All", when="finished", percent=100
    )
    Quote.objects.filter(pk=quote.pk).update(
        state="offered",
        offered_at=NOW,
        valid_until=DAY,
        discount_percent=D(10),
        contingency_percent=D(5),
    )
    new = revise(quote_id=quote.pk, by=owner, now=NOW)
    new.refresh_from_db()
    assert (new.discount_percent, new.contingency_percent) == (D(10), D(5))
    options = list(new.options.order_by("position"))
    lines = list(new.lines.order_by("position"))
    assert [option.title for option in options] == ["Smaller plants", "Edging"]
    assert options[0].instead_of == lines[1]
    assert [line.option for line in lines] == [None, None, *options]
    assert {line.quote_id for line in lines} == {new.pk}
    assert [part.title for part in new.milestones.all()] == ["All"]
    # Arithmetic: 180 of cost and 9 for surprises at 40 % is 315, less a tenth.
    assert (new.net, new.discount) == (D("283.50"), D("31.50"))


def test_a_margin_that_leaves_no_price_is_refused_in_words(quote: Quote) -> None:
    Quote.objects.filter(pk=quote.pk).update(
        margin_percent=D(97), warranty_percent=D(3)
    )
    with pytest.raises(NoPriceComes, match="leave nothing of the price"):
        keep(
            quote,
            detail("plants", plant=factories.PlantFactory(), count_rule="typed"),
        )
    keep(quote, detail())
    assert quote.net == D("2000.00")
