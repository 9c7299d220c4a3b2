"""What an offered quote prints beside lines and totals, and what a revision changed."""

from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from firm.models import Entry, Firm
from jobs.actions.links import key_of
from jobs.actions.quotes import Offered, remove_lines, revise
from jobs.models import BedPlan, Document, Quote, QuoteLine
from jobs.queries.paper_changes import changed_rows, changed_words
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW
from tests.jobs.offer_samples import offered, ready
from tests.jobs.test_planting_plans import lay

pytestmark = pytest.mark.django_db


def private_page(browser: StrictClient, out: Offered) -> str:
    """What the client reads on the day it was offered."""
    assert out.link is not None
    with time_machine.travel(NOW, tick=False):
        answer = browser.get(reverse("link-quote", args=[key_of(out.link)]))
    assert answer.status_code == 200
    return str(answer.content.decode())


def test_the_firms_words_are_proposed_kept_and_printed_from_the_next_offer_on(
    owner_client: StrictClient,
) -> None:
    first = offered(ready())
    url = reverse("firm-quote-words")
    assert "Fill the blanks" in owner_client.get(url).content.decode()
    proposed = owner_client.get(url, {"proposed": "1"}).context["form"].initial
    assert "replaced once" in proposed["warranty_words"]
    answer = owner_client.post(
        url,
        {
            "not_included_words": "- Permits\n\n- Moving pipes",
            "assumption_words": "A truck can stand nearby.",
            "warranty_words": "One year, replaced once.",
            "warranty_void_words": "Not watered.",
            "quote_reminder_days": "7",
        },
    )
    assert answer.status_code == 302
    assert Firm.objects.get().quote_reminder_days == 7
    assert Entry.objects.filter(action="firm changed").count() == 1
    # What went out stays as it was issued.
    assert Document.objects.get(pk=first.document.pk).snapshot["warranty"] == ""
    out = offered(ready(number="Q-2026-0002"))
    page = private_page(owner_client, out)
    for said in (
        "<li>Permits</li>",
        "<li>Moving pipes</li>",
        "<li>A truck can stand nearby.</li>",
        "One year, replaced once.",
        "<li>Not watered.</li>",
        "What the law gives you beyond this stays as it is.",
    ):
        assert said in page
    wrong = owner_client.post(
        url, {"warranty_words": "x" * 4001, "quote_reminder_days": "61"}
    )
    assert set(wrong.context["form"].errors) == {
        "warranty_words",
        "quote_reminder_days",
    }
    assert Firm.objects.get().warranty_words == "One year, replaced once."


def test_the_plan_of_a_bed_is_printed_unless_its_lines_have_changed_since(
    owner_client: StrictClient,
) -> None:
    quote = ready()
    line = quote.lines.get(kind="plants")
    line.quantity, line.spacing_m = Decimal(20), Decimal("0.6096")
    line.save()
    bed = line.bed
    assert bed is not None
    lay(owner_client, quote, bed)
    plan = BedPlan.objects.get()
    line.quantity = Decimal(21)
    line.save()
    look = owner_client.get(reverse("quote-offer", args=[quote.pk])).content.decode()
    assert "The planting plan of Bed A no longer fits its lines" in look
    line.quantity = Decimal(20)
    line.save()
    look = owner_client.get(reverse("quote-offer", args=[quote.pk])).content.decode()
    assert "no longer fits" not in look
    out = offered(quote)
    (printed,) = out.document.snapshot["plans"]
    assert printed["bed"] == "Bed A"
    assert f"plan-{plan.pk}" in printed["svg"]
    page = private_page(owner_client, out)
    assert "Where they stand: Bed A" in page
    assert printed["svg"] in page


def test_a_plan_without_room_for_all_of_its_plants_is_not_printed(
    owner_client: StrictClient,
) -> None:
    """The bed of 30 ft by 8 ft holds 60 at 24 in (arithmetic)."""
    quote = ready()
    line = quote.lines.get(kind="plants")
    line.quantity, line.spacing_m = Decimal(80), Decimal("0.6096")
    line.save()
    assert line.bed is not None
    lay(owner_client, quote, line.bed)
    look = owner_client.get(reverse("quote-offer", args=[quote.pk])).content.decode()
    assert "Bed A has no room for all of its plants." in look
    assert offered(quote).document.snapshot["plans"] == []


def test_a_revision_says_line_by_line_what_it_changed_and_by_how_much(
    owner_client: StrictClient,
) -> None:
    out = offered(ready())
    new = revise(quote_id=out.quote.pk, by=factories.PersonFactory(), now=NOW)
    plants = new.lines.get(kind="plants")
    plants.quantity = Decimal(79)
    plants.cost = Decimal("974.86")
    plants.save()
    labour = new.lines.get(kind="labour")
    new.refresh_from_db()
    remove_lines(
        quote_id=new.pk,
        version=new.version,
        lines=[labour.pk],
        by=factories.PersonFactory(),
        now=NOW,
    )
    QuoteLine.objects.create(
        quote=new,
        position=9,
        kind="delivery",
        description="Truck",
        quantity=Decimal("1.5"),
        unit="loads",
        unit_cost=Decimal(60),
        unit_price=Decimal(80),
        cost=Decimal(90),
        price=Decimal(120),
        price_is_typed=True,
        is_taxed=False,
        tax_category="not taxed",
    )
    Quote.objects.filter(pk=new.pk).update(terms="Half before we begin.")
    look = owner_client.get(reverse("quote-offer", args=[new.pk])).content.decode()
    assert "What changed since Q-2026-0001.1 of" in look
    again = offered(new)
    changes = again.document.snapshot["changes"]
    rows = {
        row["what"]: (row["words"], row["before"], row["now"])
        for row in changes["rows"]
    }
    was, now = out.document.snapshot, again.document.snapshot
    # 79 at 12.34 and 40 % of margin: 974.86 / 0.6 = 1,624.77.
    assert rows["Wood aster, Bed A"] == (
        "79 plants instead of 69",
        "1419.10",
        "1624.77",
    )
    assert rows[labour.description] == ("no longer in it", "600.00", "")
    assert rows["Truck"] == ("new: 1.5 loads", "", "120.00")
    assert rows["All together"] == (
        "",
        str(was["totals"]["gross"]),
        str(now["totals"]["gross"]),
    )
    assert changes["words"] == ["The terms have changed."]
    page = owner_client.get(reverse("quote", args=[new.pk])).content.decode()
    assert "79 plants instead of 69" in page
    # The first one has nothing before it.
    assert "changes" not in was


def test_a_revision_that_changes_nothing_says_so(owner_client: StrictClient) -> None:
    out = offered(ready())
    new = revise(quote_id=out.quote.pk, by=factories.PersonFactory(), now=NOW)
    again = offered(new)
    changes = again.document.snapshot["changes"]
    assert (changes["rows"], changes["words"]) == ([], [])
    page = private_page(owner_client, again)
    assert "Nothing in its lines, prices, terms and payments." in page


def paper(*lines: tuple[str, str, str, str], **more: object) -> dict[str, object]:
    """A paper with lines of what, bed, quantity and price."""
    return {
        "groups": [
            {
                "kind": "plants",
                "lines": [
                    {
                        "description": what,
                        "bed": bed,
                        "quantity": quantity,
                        "unit": "plants",
                        "price": price,
                    }
                    for what, bed, quantity, price in lines
                ],
            }
        ],
        "totals": {"gross": "0.00"},
        **more,
    }


def test_two_lines_that_say_the_same_are_compared_as_one() -> None:
    before = paper(("Aster", "A", "3", "30.00"), ("Aster", "A", "2", "20.00"))
    assert changed_rows(before, paper(("Aster", "A", "5", "50.00"))) == []
    (row,) = changed_rows(before, paper(("Aster", "A", "5.000", "55.00")))
    assert (row["before"], row["now"], row["words"]) == ("50.00", "55.00", "")
    moved = changed_rows(before, paper(("Aster", "B", "5", "50.00")))
    assert [(row["what"], row["now"]) for row in moved] == [
        ("Aster, A", ""),
        ("Aster, B", "50.00"),
    ]


def test_an_option_and_the_payments_are_compared_too() -> None:
    option = {
        "title": "Lights",
        "lines": [
            {
                "description": "Lamp",
                "bed": "",
                "quantity": "4",
                "unit": "pieces",
                "price": "200.00",
            }
        ],
    }
    (row,) = changed_rows(paper(), paper(options=[option]))
    assert (row["what"], row["words"]) == (
        "If you like: Lights: Lamp",
        "new: 4 pieces",
    )
    part = {"title": "Deposit", "when": "when it is agreed", "due_on": None}
    before = paper(payments=[{**part, "percent": "30.00", "gross": "1.00"}])
    same = paper(payments=[{**part, "percent": "30", "gross": "2.00"}])
    assert changed_words(before, same) == []
    other = paper(payments=[{**part, "percent": "40", "gross": "2.00"}])
    assert changed_words(before, other) == ["When it is paid has changed."]
