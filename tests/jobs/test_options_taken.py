"""A yes to a part: options that the client takes or leaves, at the price they read."""

import datetime as dt
import re
from collections.abc import Iterator
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from firm.models import TaxRate, TaxRegion
from jobs.actions.links import key_of
from jobs.models import Agreement, Job, Quote, QuoteOption
from jobs.queries.quote_prices import gross_with
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY
from tests.jobs.offer_samples import offered, ready

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def quote() -> Quote:
    """Plants and labour, a bench on top, and other plants instead of the first."""
    quote: Quote = ready("Q-2026-8201")
    bench = quote.options.create(position=1, title="A bench")
    factories.QuoteLineFactory(
        quote=quote,
        option=bench,
        kind="other",
        description="Bench of oak",
        quantity=1,
        unit_cost=D("300.00"),
    )
    for position, title in ((2, "Foamflowers"), (3, "Sedges")):
        other = quote.options.create(
            position=position,
            kind="instead",
            title=title,
            instead_of=quote.lines.get(kind="plants", option=None),
        )
        factories.QuoteLineFactory(
            quote=quote,
            option=other,
            kind="plants",
            plant=factories.PlantFactory(common=title),
            count_rule="typed",
            description=title,
            quantity=60,
            unit="plants",
            unit_cost=D("8.00"),
        )
    return quote


@pytest.fixture(autouse=True)
def an_hour_later() -> Iterator[None]:
    """An hour after the offer."""
    with time_machine.travel(NOW + dt.timedelta(hours=1), tick=False):
        yield


def page_of(quote: Quote) -> tuple[StrictClient, str]:
    link = offered(quote).link
    assert link is not None
    return StrictClient(), key_of(link)


def option(quote: Quote, title: str) -> QuoteOption:
    found: QuoteOption = quote.options.get(title=title)
    return found


def test_nobody_agrees_to_a_price_that_the_page_did_not_show(quote: Quote) -> None:
    browser, key = page_of(quote)
    quote.refresh_from_db()
    bench = option(quote, "A bench")
    url = reverse("link-quote-agree", args=[key])
    typed = {"name": "Dana Quill", "agrees": "on", "taken": [str(bench.pk)]}
    first = browser.post(url, typed)
    whole = gross_with(quote=quote, taken=[bench.pk])
    assert whole > quote.gross
    assert first.status_code == 200
    assert not Agreement.objects.exists()
    words = " ".join(first.content.decode().split())
    assert f"it comes to ${whole:,}" in words
    assert re.search(rf'name="seen"[^>]*value="{whole}"', words)
    lied = browser.post(url, {**typed, "seen": str(quote.gross)})
    assert lied.status_code == 200
    assert browser.post(url, {**typed, "seen": str(whole)}).status_code == 302
    agreement = Agreement.objects.get()
    assert agreement.gross == whole
    job = Job.objects.get()
    assert job.price == agreement.net
    assert {row.title: row.is_taken for row in quote.options.all()} == {
        "A bench": True,
        "Foamflowers": False,
        "Sedges": False,
    }
    assert [row.plant.common for row in job.plants.all()] == ["Wood aster"]


def test_another_plant_takes_the_place_of_the_first(quote: Quote) -> None:
    browser, key = page_of(quote)
    other = option(quote, "Foamflowers")
    whole = gross_with(quote=quote, taken=[other.pk])
    answer = browser.post(
        reverse("link-quote-agree", args=[key]),
        {
            "name": "Dana Quill",
            "agrees": "on",
            "taken": [str(other.pk)],
            "seen": str(whole),
        },
    )
    assert answer.status_code == 302
    job = Job.objects.get()
    assert [(row.plant.common, row.count) for row in job.plants.all()] == [
        ("Foamflowers", 60)
    ]


def test_two_that_exclude_each_other_are_refused_beside_the_choice(
    quote: Quote,
) -> None:
    browser, key = page_of(quote)
    both = [str(option(quote, title).pk) for title in ("Foamflowers", "Sedges")]
    url = reverse("link-quote-agree", args=[key])
    answer = browser.post(url, {"name": "Dana", "agrees": "on", "taken": both})
    assert "Two of these exclude each other" in str(
        answer.context["form"].errors["taken"]
    )
    strange = browser.post(url, {"name": "Dana", "agrees": "on", "taken": ["999"]})
    assert strange.context["form"].errors["taken"]
    assert not Agreement.objects.exists()


def test_without_a_tick_all_options_are_left(quote: Quote) -> None:
    browser, key = page_of(quote)
    quote.refresh_from_db()
    url = reverse("link-quote-agree", args=[key])
    assert "A bench" in browser.get(reverse("link-quote", args=[key])).content.decode()
    assert browser.post(url, {"name": "Dana", "agrees": "on"}).status_code == 302
    assert Agreement.objects.get().gross == quote.gross
    assert not quote.options.exclude(is_taken=False).exists()


def test_the_owner_ticks_what_was_agreed_to_by_telephone(
    quote: Quote, owner_client: StrictClient
) -> None:
    page_of(quote)
    bench = option(quote, "A bench")
    url = reverse("quote-agreed", args=[quote.pk])
    form = owner_client.get(url).context["form"]
    assert [key for key, _title in form.fields["taken"].choices] == [
        row.pk for row in quote.options.order_by("position")
    ]
    answer = owner_client.post(
        url,
        {
            "how": "phone",
            "name": "Dana Quill",
            "agreed_on": str(TODAY),
            "agreed_at": "10:30",
            "taken": [str(bench.pk)],
        },
    )
    assert answer.status_code == 302, answer.context["form"].errors
    assert Agreement.objects.get().gross == gross_with(quote=quote, taken=[bench.pk])


def test_plants_of_an_option_are_not_counted_as_bought(quote: Quote) -> None:
    browser, key = page_of(quote)
    page = browser.get(reverse("link-quote", args=[key])).content.decode()
    plants = {each["common"]: each for each in quote.document.snapshot["plants"]}
    assert (plants["Wood aster"]["count"], plants["Wood aster"]["if_taken"]) == (69, 0)
    assert (plants["Sedges"]["count"], plants["Sedges"]["if_taken"]) == (0, 60)
    assert page.count("60 if you take them") == 2
    assert "makes -$" not in page


def test_the_paper_carries_what_the_gardens_place_asks_for(quote: Quote) -> None:
    place = TaxRegion.objects.create(
        name="Hill county",
        quote_words="Registered in Hill county under 4711.",
        cancellation_words="You may cancel in writing.",
        cancellation_days=3,
        locate_call="the county line",
        locate_days=2,
    )
    TaxRate.objects.create(
        region=place, name="County tax", percent=5, valid_from=dt.date(2026, 1, 1)
    )
    type(quote.garden).objects.filter(pk=quote.garden_id).update(tax_region=place)
    browser, key = page_of(quote)
    page = browser.get(reverse("link-quote", args=[key])).content.decode()
    words = " ".join(page.split())
    for said in (
        "Registered in Hill county under 4711.",
        "You may cancel in writing.",
        "may be cancelled within 3 business days.",
        "we ask the county line 2 business days ahead.",
        "County tax, 5 %",
    ):
        assert said in words
    assert "811" not in words


def test_a_garden_of_no_place_of_its_own_has_no_notices(quote: Quote) -> None:
    browser, key = page_of(quote)
    page = browser.get(reverse("link-quote", args=[key])).content.decode()
    assert "Notice of cancellation" not in page
    assert "free call to 811" in " ".join(page.split())
