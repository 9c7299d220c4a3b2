"""Rows about work and what it costs."""

from jobs.models.bills import Bill, Payment, Receipt, ReceiptShare
from jobs.models.changes import Substitution
from jobs.models.contracts import Contract, Instalment
from jobs.models.documents import Document, PrivateLink
from jobs.models.labour import ConditionFactor, LabourSetting, ProductionRate
from jobs.models.locating import LocateRequest
from jobs.models.plans import BedPlan, Overruled, TakeoffSetting
from jobs.models.questions import QuoteQuestion
from jobs.models.quotes import Agreement, Milestone, Quote, QuoteLine, QuoteOption
from jobs.models.suppliers import (
    ItemPrice,
    PriceList,
    Supplier,
    SupplierItem,
    SupplierName,
)
from jobs.models.visits import HourEntry, Problem, Visit, VisitTask
from jobs.models.work import Job, JobPlant

__all__ = [
    "Agreement",
    "BedPlan",
    "Bill",
    "ConditionFactor",
    "Contract",
    "Document",
    "HourEntry",
    "Instalment",
    "ItemPrice",
    "Job",
    "JobPlant",
    "LabourSetting",
    "LocateRequest",
    "Milestone",
    "Overruled",
    "Payment",
    "PriceList",
    "PrivateLink",
    "Problem",
    "ProductionRate",
    "Quote",
    "QuoteLine",
    "QuoteOption",
    "QuoteQuestion",
    "Receipt",
    "ReceiptShare",
    "Substitution",
    "Supplier",
    "SupplierItem",
    "SupplierName",
    "TakeoffSetting",
    "Visit",
    "VisitTask",
]
