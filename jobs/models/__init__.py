"""Rows about work and what it costs."""

from jobs.models.bills import Bill, Payment, Receipt, ReceiptShare
from jobs.models.contracts import Contract, Instalment
from jobs.models.documents import Document, PrivateLink
from jobs.models.quotes import Agreement, Milestone, Quote, QuoteLine, QuoteOption
from jobs.models.visits import HourEntry, Problem, Visit, VisitTask
from jobs.models.work import Job, JobPlant

__all__ = [
    "Agreement",
    "Bill",
    "Contract",
    "Document",
    "HourEntry",
    "Instalment",
    "Job",
    "JobPlant",
    "Milestone",
    "Payment",
    "PrivateLink",
    "Problem",
    "Quote",
    "QuoteLine",
    "QuoteOption",
    "Receipt",
    "ReceiptShare",
    "Visit",
    "VisitTask",
]
