"""What an agreed quote comes to: the options that were taken, and the amounts."""

from collections.abc import Collection

from jobs.actions.quotes.refusals import NoSuchChoice
from jobs.models import Agreement, Quote
from jobs.pricing import PricingError, Totals
from jobs.queries.quote_prices import agreed_amounts


def settle_agreement(
    *, quote: Quote, agreement: Agreement, taken: Collection[int] = ()
) -> Totals:
    """The agreement with the amounts of the options TAKEN; the others are left.

    Called inside the transaction of the yes. NoSuchChoice where an option is not the
    quote's or two take one line's place.
    """
    try:
        totals = agreed_amounts(quote=quote, taken=taken)
    except PricingError as error:
        raise NoSuchChoice(str(error)) from error
    quote.options.exclude(pk__in=taken).update(is_taken=False)
    quote.options.filter(pk__in=taken).update(is_taken=True)
    agreement.cost = totals.cost
    agreement.taxes = [group.as_text() for group in totals.groups]
    agreement.net, agreement.tax, agreement.gross = (
        totals.tax.net,
        totals.tax.tax,
        totals.tax.gross,
    )
    agreement.save(update_fields=["cost", "taxes", "net", "tax", "gross"])
    return totals
