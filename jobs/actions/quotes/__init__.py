"""Quotes: drafting, pricing, offering and what becomes of an offer."""

from jobs.actions.quotes.agreed import settle_agreement
from jobs.actions.quotes.drafts import (
    QuoteDetails,
    change_quote,
    create_quote,
    revise,
)
from jobs.actions.quotes.lines import LineDetails, keep_lines, remove_lines
from jobs.actions.quotes.offers import (
    Offered,
    decline_by_link,
    lapse_offers,
    offer,
    record_decline,
    send_again,
    withdraw_offer,
    withdraw_quote_link,
)
from jobs.actions.quotes.refusals import (
    AmountTooLarge,
    DiscountTooLarge,
    LastDayPast,
    NoPriceComes,
    NoSuchChoice,
    NoSuchQuote,
    NotDrafting,
    NothingToOffer,
    NothingToRevise,
    NotOffered,
    OlderRevisionAgreed,
    QuoteRefused,
    TaxRateMissing,
    TooManyLines,
)

__all__ = [
    "AmountTooLarge",
    "DiscountTooLarge",
    "LastDayPast",
    "LineDetails",
    "NoPriceComes",
    "NoSuchChoice",
    "NoSuchQuote",
    "NotDrafting",
    "NotOffered",
    "NothingToOffer",
    "NothingToRevise",
    "Offered",
    "OlderRevisionAgreed",
    "QuoteDetails",
    "QuoteRefused",
    "TaxRateMissing",
    "TooManyLines",
    "change_quote",
    "create_quote",
    "decline_by_link",
    "keep_lines",
    "lapse_offers",
    "offer",
    "record_decline",
    "remove_lines",
    "revise",
    "send_again",
    "settle_agreement",
    "withdraw_offer",
    "withdraw_quote_link",
]
