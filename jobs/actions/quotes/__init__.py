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
from jobs.actions.quotes.options import OptionDetails, keep_option, remove_option
from jobs.actions.quotes.payments import MilestoneDetails, keep_milestones
from jobs.actions.quotes.prices import (
    PriceDetails,
    TriedOut,
    change_prices,
    keep_tried_out,
)
from jobs.actions.quotes.questions import (
    AlreadyAnswered,
    TooManyQuestions,
    answer_question,
    ask_by_link,
)
from jobs.actions.quotes.refusals import (
    AmountTooLarge,
    DiscountTooLarge,
    LastDayPast,
    LineIsReplaced,
    NoPriceComes,
    NoSuchChoice,
    NoSuchQuote,
    NotDrafting,
    NothingToOffer,
    NothingToRevise,
    NotInFull,
    NotOffered,
    OlderRevisionAgreed,
    QuoteRefused,
    TaxRateMissing,
    TooManyLines,
)
from jobs.actions.quotes.reminders import remind_of_offers

__all__ = [
    "AlreadyAnswered",
    "AmountTooLarge",
    "DiscountTooLarge",
    "LastDayPast",
    "LineDetails",
    "LineIsReplaced",
    "MilestoneDetails",
    "NoPriceComes",
    "NoSuchChoice",
    "NoSuchQuote",
    "NotDrafting",
    "NotInFull",
    "NotOffered",
    "NothingToOffer",
    "NothingToRevise",
    "Offered",
    "OlderRevisionAgreed",
    "OptionDetails",
    "PriceDetails",
    "QuoteDetails",
    "QuoteRefused",
    "TaxRateMissing",
    "TooManyLines",
    "TooManyQuestions",
    "TriedOut",
    "answer_question",
    "ask_by_link",
    "change_prices",
    "change_quote",
    "create_quote",
    "decline_by_link",
    "keep_lines",
    "keep_milestones",
    "keep_option",
    "keep_tried_out",
    "lapse_offers",
    "offer",
    "record_decline",
    "remind_of_offers",
    "remove_lines",
    "remove_option",
    "revise",
    "send_again",
    "settle_agreement",
    "withdraw_offer",
    "withdraw_quote_link",
]
