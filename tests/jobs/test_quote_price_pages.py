"""Pricing a quote on its pages: what if, options, payments, tax of a line."""

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from firm.models import TaxRegion
from jobs.models import Milestone, Quote, QuoteLine, QuoteOption
from tests import factories
from tests.conftest import StrictClient

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def quote(owner_client: StrictClient) -> Quote:
    """Plants of 600.00 at 40 % and ten hours of 380.00 that sell at 600.00."""
    factories.TaxRateFactory()
    made: Quote = factories.QuoteFactory(margin_percent=40)
    bed = factories.BedFactory(garden=made.garden)
    factories.plants_line(
        quote=made, bed=bed, unit_cost=D("60.00"), quantity=D(10), position=1
    )
    factories.QuoteLineFactory(quote=made, position=2, price_is_typed=True)
    return made


def send(browser: StrictClient, quote: Quote, name: str, *args: int, **typed: Any):
    quote.refresh_from_db()
    return browser.post(
        reverse(name, args=[quote.pk, *args]), {"version": quote.version, **typed}
    )


PRICES = {
    "overhead_way": "by hour",
    "overhead_per_hour": "15",
    "overhead_materials_percent": "0",
    "overhead_labour_percent": "0",
    "contingency_percent": "5",
    "warranty_percent": "0",
    "minimum_job": "0",
    "deposit_percent": "30",
}


def test_what_if_shows_totals_side_by_side_and_stores_nothing(
    owner_client: StrictClient, quote: Quote
) -> None:
    extra = QuoteOption.objects.create(quote=quote, position=1, title="Edging")
    factories.QuoteLineFactory(
        quote=quote,
        kind="other",
        option=extra,
        position=3,
        quantity=D(1),
        unit_cost=D("50.00"),
    )
    send(owner_client, quote, "quote-prices", **{**PRICES, "contingency_percent": "0"})
    quote.refresh_from_db()
    # 600 / 0.6 and the typed 600 of labour; the option is not in it.
    assert (quote.net, quote.overhead) == (D("1600.00"), D("150.00"))
    crew = factories.CrewFactory(name="North")
    member = factories.CrewMemberFactory(crew=crew)
    member.person.hour_cost = D("42.00")
    member.person.save(update_fields=["hour_cost"])
    page = owner_client.get(
        reverse("quote-what-if", args=[quote.pk]),
        {
            "version": quote.version,
            "margin_percent": "50",
            "discount_percent": "10",
            "crew": crew.pk,
        },
    )
    stands, tried, whole = (column.totals for column in page.context["columns"])
    assert (stands.net, stands.cost) == (D("1600.00"), D("980.00"))
    # 1,200 and 600, less a tenth; ten hours at 42.00.
    assert (tried.net, tried.cost) == (D("1620.00"), D("1020.00"))
    assert (whole.net, whole.cost) == (D("1710.00"), D("1070.00"))
    assert "42.00 an hour" in page.content.decode()
    quote.refresh_from_db()
    assert (quote.margin_percent, quote.discount_percent) == (D(40), D(0))
    kept = send(
        owner_client,
        quote,
        "quote-what-if",
        margin_percent="50",
        discount_percent="10",
        crew=crew.pk,
    )
    assert kept.status_code == 302
    quote.refresh_from_db()
    assert (quote.net, quote.cost, quote.discount) == (
        D("1620.00"),
        D("1020.00"),
        D("180.00"),
    )
    assert quote.lines.get(position=2).unit_cost == D("42.00")


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"margin_percent": "100"}, "margin_percent", "below 100 %"),
        ({"margin_percent": "-1"}, "margin_percent", "at least 0"),
        ({"discount_amount": "1600.01"}, "discount_amount", "come to 1,600.00"),
        ({"discount_percent": "100.01"}, "discount_percent", "at most 100"),
        (
            {"discount_percent": "5", "discount_amount": "5"},
            "discount_amount",
            "not both",
        ),
    ],
)
def test_a_margin_or_discount_that_cannot_be_is_refused_beside_its_field(
    owner_client: StrictClient,
    quote: Quote,
    typed: dict[str, str],
    field: str,
    words: str,
) -> None:
    send(owner_client, quote, "quote-prices", **{**PRICES, "contingency_percent": "0"})
    answer = send(
        owner_client, quote, "quote-what-if", **{"margin_percent": "40", **typed}
    )
    assert words in " ".join(answer.context["form"].errors[field])
    quote.refresh_from_db()
    assert (quote.margin_percent, quote.discount) == (D(40), D(0))


def test_a_margin_of_nothing_is_kept_and_the_page_says_what_it_means(
    owner_client: StrictClient, quote: Quote
) -> None:
    send(owner_client, quote, "quote-prices", **PRICES)
    send(owner_client, quote, "quote-what-if", margin_percent="0")
    send(
        owner_client,
        quote,
        "quote-what-if",
        margin_percent="0",
        discount_amount="100",
        discount_words="For the neighbours",
    )
    quote.refresh_from_db()
    # 630 with surprises, the typed 600; the hours carry 150 and 19.
    assert (quote.net, quote.discount_words) == (D("1130.00"), "For the neighbours")
    said = owner_client.get(reverse("quote", args=[quote.pk])).content.decode()
    assert "This quote is below break-even: the price is 49.00 short" in said


def test_a_line_is_offered_instead_of_another(
    owner_client: StrictClient, quote: Quote
) -> None:
    plants = quote.lines.get(position=1)
    bed = plants.bed
    smaller = factories.plants_line(
        quote=quote, bed=bed, unit_cost=D("30.00"), quantity=D(10), position=3
    )
    added = send(
        owner_client,
        quote,
        "quote-option-new",
        title="Smaller plants",
        instead_of=plants.pk,
        lines=[smaller.pk],
    )
    assert added.status_code == 302
    option = QuoteOption.objects.get()
    assert (option.kind, option.instead_of) == ("instead", plants)
    page = owner_client.get(reverse("quote", args=[quote.pk]))
    shown = page.context["page"].options[0]
    # 600.00 / 0.6 less 300.00 / 0.6.
    assert (shown.adds, shown.totals.net) == (D("-500.00"), D("1100.00"))
    refused = send(owner_client, quote, "quote-line-remove", plants.pk)
    assert refused.status_code == 302
    assert QuoteLine.objects.count() == 3
    twice = send(
        owner_client,
        quote,
        "quote-option",
        option.pk,
        title="Smaller plants",
        instead_of=smaller.pk,
        lines=[smaller.pk],
    )
    assert twice.context["form"].errors["instead_of"]
    send(owner_client, quote, "quote-option-remove", option.pk)
    assert [line.pk for line in quote.lines.order_by("position")] == [
        plants.pk,
        quote.lines.get(position=2).pk,
    ]


def test_an_extra_that_is_no_option_any_more_is_in_the_price(
    owner_client: StrictClient, quote: Quote
) -> None:
    labour = quote.lines.get(position=2)
    send(owner_client, quote, "quote-option-new", title="Planted", lines=[labour.pk])
    quote.refresh_from_db()
    assert quote.net == D("1000.00")
    option = QuoteOption.objects.get()
    send(owner_client, quote, "quote-option-remove", option.pk)
    quote.refresh_from_db()
    assert (quote.net, quote.lines.count()) == (D("1600.00"), 2)


def parts(*rows: tuple[str, str], **more: str) -> dict[str, str]:
    data = {"parts-TOTAL_FORMS": "4", "parts-INITIAL_FORMS": "0"}
    for at, (title, percent) in enumerate(rows):
        data |= {
            f"parts-{at}-title": title,
            f"parts-{at}-percent": percent,
            f"parts-{at}-when": "agreed",
        }
    return {**data, **more}


def test_payments_are_the_whole_or_refused_and_a_cap_is_said(
    owner_client: StrictClient, quote: Quote
) -> None:
    send(owner_client, quote, "quote-prices", **{**PRICES, "contingency_percent": "0"})
    short = send(
        owner_client,
        quote,
        "quote-payments",
        **parts(("Deposit", "30"), ("Rest", "60")),
    )
    assert "The parts come to 90 %, not to 100 %." in short.content.decode()
    assert not Milestone.objects.exists()
    quote.garden.tax_region = TaxRegion.objects.create(
        name="Oldfield", deposit_cap_percent=D(10), deposit_cap_amount=D(1000)
    )
    quote.garden.save(update_fields=["tax_region"])
    kept = send(
        owner_client,
        quote,
        "quote-payments",
        **parts(
            ("Deposit", "30"),
            ("Begun", "40"),
            ("Done", "30"),
            **{"parts-0-is_deposit": "on", "parts-2-when": "finished"},
        ),
    )
    assert kept.status_code == 302
    page = owner_client.get(reverse("quote", args=[quote.pk]))
    # 1,600.00 and 60.00 of tax on the plants; a tenth, then four and three sevenths.
    assert [part.amount.gross for part in page.context["page"].payments] == [
        D("166.00"),
        D("853.71"),
        D("640.29"),
    ]
    assert "no more may be asked as a deposit there" in page.content.decode()
    day = send(
        owner_client,
        quote,
        "quote-payments",
        **parts(("All", "100"), **{"parts-0-when": "day"}),
    )
    assert "Say on which day." in day.content.decode()


def test_the_tax_of_a_line_is_chosen_or_left_to_the_place(
    owner_client: StrictClient, quote: Quote
) -> None:
    typed = {
        "description": "Pots",
        "quantity": "1",
        "unit": "pieces",
        "unit_cost": "60",
    }
    for category in ("", "paid when bought", "nonsense"):
        answer = send(
            owner_client,
            quote,
            "quote-line-new",
            "other",  # type: ignore[arg-type]
            **typed,
            tax_category=category,
        )
        assert answer.status_code == (200 if category == "nonsense" else 302)
    found = [
        (line.tax_category, line.tax_is_typed, line.tax_percent)
        for line in quote.lines.filter(kind="other").order_by("position")
    ]
    assert found == [
        ("standard", False, D(6)),
        ("paid when bought", True, D(0)),
    ]


def test_the_bookkeeper_sees_margins_and_the_crew_no_quote(
    bookkeeper_client: StrictClient, crew_client: StrictClient, quote: Quote
) -> None:
    url = reverse("quote", args=[quote.pk])
    assert "margin" in bookkeeper_client.get(url).content.decode()
    assert crew_client.get(url).status_code == 403
    what_if = reverse("quote-what-if", args=[quote.pk])
    assert bookkeeper_client.get(what_if).status_code == 403
