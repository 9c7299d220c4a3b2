"""Care contracts: drawn, offered, agreed, run, ended, drawn again for the next year."""

from jobs.actions.contracts.agreeing import (
    ContractAlreadyAgreed,
    agree_to_contract_by_link,
    record_contract_agreement,
)
from jobs.actions.contracts.choosing import (
    FreeVisit,
    add_free_visit,
    choose_work,
    draw_anew,
)
from jobs.actions.contracts.drafts import (
    ContractDetails,
    change_contract,
    draw_contract,
)
from jobs.actions.contracts.later import renew, revise_contract
from jobs.actions.contracts.offers import (
    OfferedContract,
    decline_contract_by_link,
    lapse_contracts,
    offer_contract,
    record_contract_decline,
    send_contract_again,
    withdraw_contract_link,
    withdraw_contract_offer,
)
from jobs.actions.contracts.refusals import (
    AnotherIsRunning,
    ContractNotDrafting,
    ContractNotOffered,
    ContractOfferPast,
    ContractRefused,
    EndsBeforeItBegins,
    NoSuchContract,
    NothingPlanned,
    NothingToDrawAnew,
    OutsideTheYear,
    PlanHasFaults,
    PriceIsNothing,
    PriceTooLarge,
    TooManyVisits,
)
from jobs.actions.contracts.running import (
    end_contract,
    end_contracts_over,
    pause_contract,
    resume_contract,
)

__all__ = [
    "AnotherIsRunning",
    "ContractAlreadyAgreed",
    "ContractDetails",
    "ContractNotDrafting",
    "ContractNotOffered",
    "ContractOfferPast",
    "ContractRefused",
    "EndsBeforeItBegins",
    "FreeVisit",
    "NoSuchContract",
    "NothingPlanned",
    "NothingToDrawAnew",
    "OfferedContract",
    "OutsideTheYear",
    "PlanHasFaults",
    "PriceIsNothing",
    "PriceTooLarge",
    "TooManyVisits",
    "add_free_visit",
    "agree_to_contract_by_link",
    "change_contract",
    "choose_work",
    "decline_contract_by_link",
    "draw_anew",
    "draw_contract",
    "end_contract",
    "end_contracts_over",
    "lapse_contracts",
    "offer_contract",
    "pause_contract",
    "record_contract_agreement",
    "record_contract_decline",
    "renew",
    "resume_contract",
    "revise_contract",
    "send_contract_again",
    "withdraw_contract_link",
    "withdraw_contract_offer",
]
