"""Quotes: drafting, pricing, offering and what becomes of an offer."""

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
    LastDayPast,
    NoSuchQuote,
    NotDrafting,
    NothingToOffer,
    NothingToRevise,
    NotOffered,
    OlderRevisionAgreed,
    QuoteRefused,
    TooManyLines,
)

__all__ = [
    "AmountTooLarge",
    "LastDayPast",
    "LineDetails",
    "NoSuchQuote",
    "NotDrafting",
    "NotOffered",
    "NothingToOffer",
    "NothingToRevise",
    "Offered",
    "OlderRevisionAgreed",
    "QuoteDetails",
    "QuoteRefused",
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
    "withdraw_offer",
    "withdraw_quote_link",
]
