"""The firm's settings pages: kept well, refused beside the field, for owners only."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from firm.actions.setup import FIRM_FIELDS
from firm.enums import TaxCategory
from firm.forms.settings import FirmForm
from firm.models import (
    Counter,
    Entry,
    Firm,
    LabourRate,
    Message,
    Person,
    TaxRate,
    TaxRegion,
)
from firm.queries import NoTaxRate, tax_on, tax_rate_on
from tests import factories
from tests.conftest import StrictClient


def settings_now(**changes: str) -> dict[str, str]:
    """What the settings page would post, unchanged but for CHANGES."""
    form = FirmForm(instance=Firm.objects.get())
    shown = {
        name: "" if form[name].value() is None else str(form[name].value())
        for name in form.fields
    }
    if shown["tax_on_labour"] == "False":
        del shown["tax_on_labour"]
    return shown | changes


def test_the_owner_changes_the_letterhead_and_prices(
    owner_client: StrictClient, owner: Person
) -> None:
    page = owner_client.get(reverse("firm"))
    assert page.status_code == 200
    assert b"Fernhollow Gardens" in page.content

    kept = owner_client.post(
        reverse("firm"),
        settings_now(
            licence_number="L-1187",
            hour_price="64.50",
            latitude="38.6",
            longitude="-77.8",
            tax_on_labour="on",
        ),
    )

    assert kept.status_code == 302
    firm = Firm.objects.get()
    assert (firm.licence_number, firm.hour_price) == ("L-1187", Decimal("64.50"))
    assert (firm.latitude, firm.longitude) == (Decimal("38.6"), Decimal("-77.8"))
    assert firm.tax_on_labour is True
    entry = Entry.objects.get(action="firm changed")
    assert entry.by == owner
    assert set(entry.details["fields"]) == {
        "licence_number",
        "hour_price",
        "latitude",
        "longitude",
        "tax_on_labour",
    }


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"name": ""}, "name", "required"),
        ({"margin_percent": "100"}, "margin_percent", "less than 100"),
        ({"margin_percent": "-1"}, "margin_percent", "0 or more"),
        ({"hour_cost": "-0.01"}, "hour_cost", "less than nought"),
        ({"hour_price": "a lot"}, "hour_price", "Enter a number"),
        ({"latitude": "91", "longitude": "1"}, "latitude", "between -90 and 90"),
        ({"latitude": "1"}, "longitude", "come together"),
        ({"settling_percent": "61"}, "settling_percent", "between 0 and 60"),
        ({"time_zone": "Nowhere"}, "time_zone", "valid choice"),
    ],
)
def test_a_wrong_setting_stands_beside_its_field_and_nothing_is_kept(
    owner_client: StrictClient, change: dict[str, str], field: str, words: str
) -> None:
    before = Firm.objects.values().get()

    refused = owner_client.post(
        reverse("firm"), settings_now(website="fernhollow.example") | change
    )

    assert refused.status_code == 200
    assert list(refused.context["form"].errors) == [field]
    assert words in str(refused.context["form"].errors[field])
    assert b"fernhollow.example" in refused.content
    assert Firm.objects.values().get() == before


def test_fields_that_are_not_on_the_page_cannot_be_posted(
    owner_client: StrictClient,
) -> None:
    owner_client.post(
        reverse("firm"),
        settings_now(is_demo="on", set_up_at="", mail_password_sealed="x"),
    )
    firm = Firm.objects.get()
    assert firm.is_demo is False
    assert firm.set_up_at == factories.NOW
    assert firm.mail_password_sealed == ""


def test_the_numbers_of_documents_are_shown(owner_client: StrictClient) -> None:
    Counter.objects.create(kind="quote", year=2026, value=41)
    page = owner_client.get(reverse("firm")).content.decode()
    assert "41" in page
    assert "2,026" not in page


def test_the_mail_password_goes_in_and_never_comes_out(
    owner_client: StrictClient,
) -> None:
    server = {
        "mail_host": "mail.fernhollow.example",
        "mail_port": "587",
        "mail_security": "starttls",
        "mail_user": "office",
        "mail_from": "office@fernhollow.example",
    }
    url = reverse("firm-mail")
    assert (
        owner_client.post(url, {**server, "mail_password": "canary"}).status_code == 302
    )
    assert Firm.objects.get().mail_password() == "canary"
    page = owner_client.get(url).content.decode()
    assert "canary" not in page
    assert "A password is stored" in page
    assert Firm.objects.get().mail_password_sealed not in page
    assert "canary" not in str(list(Entry.objects.values()))

    # Empty keeps it, a tick forgets it.
    owner_client.post(url, {**server, "mail_port": "2525", "mail_password": ""})
    firm = Firm.objects.get()
    assert (firm.mail_port, firm.mail_password()) == (2525, "canary")
    owner_client.post(url, {**server, "forget_password": "on"})
    assert Firm.objects.get().mail_password() == ""

    refused = owner_client.post(url, {**server, "mail_port": "0"})
    assert refused.context["form"].errors["mail_port"] == [
        "A port lies between 1 and 65535."
    ]


def test_a_trial_letter_is_queued_from_the_mail_page(
    owner_client: StrictClient, owner: Person
) -> None:
    page = owner_client.get(reverse("firm-mail"))
    assert reverse("messages-trial") in page.content.decode()
    key = str(page.context["key"])
    for _ in range(2):
        owner_client.post(reverse("messages-trial"), {"key": key})
    assert [message.recipient for message in Message.objects.all()] == [owner.email]


def test_a_tax_rate_holds_from_its_day_on(owner_client: StrictClient) -> None:
    url = reverse("firm-tax")
    first = {"name": "Sales tax", "percent": "6", "valid_from": "2026-01-01"}
    assert owner_client.post(url, first).status_code == 302
    assert (
        owner_client.post(
            url, {**first, "percent": "6.35", "valid_from": "2026-07-01"}
        ).status_code
        == 302
    )
    assert tax_on(day=dt.date(2025, 12, 31)) == ("", Decimal(0))
    assert tax_on(day=dt.date(2026, 6, 30)) == ("Sales tax", Decimal("6.000"))
    assert tax_on(day=dt.date(2026, 7, 1)) == ("Sales tax", Decimal("6.350"))
    assert b"6.35" in owner_client.get(url).content

    again = owner_client.post(url, first)
    assert again.status_code == 200
    assert again.context["form"].errors["valid_from"]
    too_much = owner_client.post(
        url, {**first, "percent": "100.001", "valid_from": "2027-01-01"}
    )
    assert too_much.context["form"].errors["percent"]
    assert TaxRate.objects.count() == 2


def test_a_labour_rate_is_added_and_changed(owner_client: StrictClient) -> None:
    url = reverse("firm-labour")
    typed = {"name": "Pruning", "hour_cost": "40", "hour_price": "70"}
    assert owner_client.post(url, typed).status_code == 302
    rate = LabourRate.objects.get()
    change = reverse("firm-labour-rate", args=[rate.pk])
    assert owner_client.post(change, {**typed, "hour_price": "75"}).status_code == 302
    rate.refresh_from_db()
    assert rate.hour_price == Decimal("75.00")

    twice = owner_client.post(url, typed)
    assert twice.context["form"].errors["name"]
    negative = owner_client.post(url, {**typed, "name": "x", "hour_cost": "-1"})
    assert negative.context["form"].errors["hour_cost"]
    assert LabourRate.objects.count() == 1
    missing = reverse("firm-labour-rate", args=[rate.pk + 1])
    assert owner_client.get(missing).status_code == 404


@pytest.mark.parametrize("name", ["firm", "firm-tax", "firm-labour", "firm-mail"])
def test_nobody_but_an_owner_sees_or_changes_settings(
    crew_client: StrictClient, bookkeeper_client: StrictClient, name: str
) -> None:
    for browser in (crew_client, bookkeeper_client):
        assert browser.get(reverse(name)).status_code == 403
        assert browser.post(reverse(name), {"name": "Mine now"}).status_code == 403
    assert Firm.objects.get().name == "Fernhollow Gardens"
    assert StrictClient().get(reverse(name)).status_code == 302


def test_a_day_is_the_firms_own_day(owner_client: StrictClient) -> None:
    # 03:30 UTC on the 3rd is still the evening of the 2nd in New York.
    with time_machine.travel(dt.datetime(2026, 3, 3, 3, 30, tzinfo=dt.UTC), tick=False):
        page = owner_client.get(reverse("crews"))
    assert page.context["today"] == dt.date(2026, 3, 2)


def test_a_rate_of_one_place_and_category_ends_on_its_last_day(
    owner_client: StrictClient,
) -> None:
    made = owner_client.post(
        reverse("firm-tax-region-new"),
        {
            "name": "Oldfield",
            "plants_tax": "reduced",
            "materials_tax": "standard",
            "labour_tax": "not taxed",
            "delivery_tax": "standard",
            "deposit_cap_percent": "10",
            "deposit_cap_amount": "1000",
            "cancellation_days": "3",
            "locate_days": "2",
        },
    )
    assert made.status_code == 302
    place = TaxRegion.objects.get()
    assert (place.plants_tax, place.deposit_cap_amount) == ("reduced", Decimal(1000))
    url = reverse("firm-tax")
    typed = {
        "region": place.pk,
        "category": "reduced",
        "name": "County tax",
        "percent": "2",
        "valid_from": "2026-01-01",
        "valid_until": "2025-12-31",
    }
    late = owner_client.post(url, typed)
    assert late.context["form"].errors["valid_until"] == [
        "The last day lies before the first one."
    ]
    kept = owner_client.post(url, {**typed, "valid_until": "2026-06-30"})
    assert kept.status_code == 302
    rate = TaxRate.objects.get()
    assert tax_rate_on(
        day=dt.date(2026, 6, 30), region=place, category=TaxCategory.REDUCED
    ).percent == Decimal(2)
    with pytest.raises(NoTaxRate, match="No tax rate is kept for 1 July 2026"):
        tax_rate_on(day=dt.date(2026, 7, 1), region=place, category=TaxCategory.REDUCED)
    owner_client.post(reverse("firm-tax-rate", args=[rate.pk]), {"valid_until": ""})
    rate.refresh_from_db()
    assert rate.valid_until is None


def test_the_overhead_of_an_hour_is_worked_out_before_it_is_kept(
    owner_client: StrictClient,
) -> None:
    Firm.objects.update(
        hour_cost=Decimal("22.50"),
        hour_price=Decimal("44.12"),
        margin_percent=Decimal(15),
    )
    url = reverse("firm-pricing")
    typed = {
        "overhead_way": "by hour",
        "overhead_per_hour": "15.00",
        "overhead_materials_percent": "0",
        "overhead_labour_percent": "0",
        "contingency_percent": "5",
        "warranty_percent": "4",
        "minimum_job": "250",
        "deposit_percent": "30",
        "year_overhead": "60,000",
        "billable_h": "4000",
    }
    looked = owner_client.post(url, {**typed, "look": "1"})
    # 60,000 / 4,000 h; 22.50 + 15 = 37.50; 37.50 / 0.85; 60,000 / 21.62. Arithmetic.
    said = " ".join(looked.context["worked"])
    for figure in ("= 15.00 of", "even at 37.50", "sells at 44.12", "hour 2,775.2"):
        assert figure in said
    assert Firm.objects.get().overhead_way == "in margin"
    assert owner_client.post(url, typed).status_code == 302
    firm = Firm.objects.get()
    assert (firm.overhead_way, firm.overhead_per_hour, firm.minimum_job) == (
        "by hour",
        Decimal("15.00"),
        Decimal("250.00"),
    )
    wrong = owner_client.post(url, {**typed, "contingency_percent": "101"})
    assert wrong.context["form"].errors["contingency_percent"]


def test_every_setting_of_the_firm_can_be_changed() -> None:
    """A column that the action does not know would be dropped without a word."""
    ours = {"id", "mail_password_sealed", "is_demo", "set_up_at"}
    columns = {field.name for field in Firm._meta.concrete_fields}
    assert columns - ours == set(FIRM_FIELDS)
