"""Writing bills, crediting them, taking payments and giving money back."""

from jobs.actions.bills.contracts import bill_instalment
from jobs.actions.bills.credits import Off, credit_bill, credit_part
from jobs.actions.bills.jobs import bill_addition, bill_job, bill_part
from jobs.actions.bills.overdue import LetterWasSent, NotOverdue, ask_for_overdue
from jobs.actions.bills.payments import (
    pay_back,
    set_against,
    strike_out_payment,
    take_payment,
)
from jobs.actions.bills.refusals import (
    AlreadyStruckOut,
    BillIsClosed,
    CreditTooLarge,
    DepositTooLarge,
    MoneyMovedOn,
    NobodyToSendTo,
    NothingOwed,
    NothingToBill,
    NotSetAgainst,
    PaymentTooLarge,
)
from jobs.actions.bills.sending import send_bill

__all__ = [
    "AlreadyStruckOut",
    "BillIsClosed",
    "CreditTooLarge",
    "DepositTooLarge",
    "LetterWasSent",
    "MoneyMovedOn",
    "NobodyToSendTo",
    "NotOverdue",
    "NotSetAgainst",
    "NothingOwed",
    "NothingToBill",
    "Off",
    "PaymentTooLarge",
    "ask_for_overdue",
    "bill_addition",
    "bill_instalment",
    "bill_job",
    "bill_part",
    "credit_bill",
    "credit_part",
    "pay_back",
    "send_bill",
    "set_against",
    "strike_out_payment",
    "take_payment",
]
