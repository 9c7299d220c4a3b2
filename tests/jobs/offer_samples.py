"""A quote that is ready to be offered, and the same once it was."""

import datetime as dt
from decimal import Decimal

from firm.models import Person, TaxRate
from jobs.actions.quotes import Offered, offer
from jobs.models import Quote
from tests import factories
from tests.factories import NOW, TODAY

LAST = TODAY + dt.timedelta(days=30)


def ready(number: str = "Q-2026-0001", **changes: object) -> Quote:
    """A draft with plants, labour and a contact to send it to."""
    factories.FirmFactory()
    if not TaxRate.objects.exists():
        factories.TaxRateFactory()
    garden = factories.GardenFactory()
    factories.ContactFactory(client=garden.client)
    bed = factories.BedFactory(garden=garden, name="Bed A")
    quote: Quote = factories.QuoteFactory(
        garden=garden, number=number, margin_percent=40, **changes
    )
    factories.QuoteLineFactory(quote=quote, is_taxed=False, price_is_typed=True)
    factories.QuoteLineFactory(
        quote=quote,
        kind="plants",
        bed=bed,
        plant=factories.PlantFactory(common="Wood aster"),
        count_rule="typed",
        description="Wood aster",
        quantity=69,
        unit="plants",
        unit_cost=Decimal("12.34"),
        unit_price=Decimal("20.57"),
        cost=Decimal("851.46"),
        price=Decimal("1419.10"),
    )
    return quote


def offered(
    quote: Quote, *, by_mail: bool = True, now: dt.datetime = NOW, last: dt.date = LAST
) -> Offered:
    """The quote offered to its one contact by the first person there is."""
    quote.refresh_from_db()
    contact = quote.garden.client.contacts.get()
    return offer(
        quote_id=quote.pk,
        version=quote.version,
        contact_id=contact.pk if by_mail else None,
        valid_until=last,
        by=Person.objects.order_by("id").first() or factories.PersonFactory(),
        now=now,
    )
