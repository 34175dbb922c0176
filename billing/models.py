"""Gathers the tables of this app's rooms for Django; nothing else lives here."""

from billing.costs.models import CostLine, CostYear
from billing.earnings.models import WorkedDays
from billing.estimates.models import CancellationFee, ClientQuestion, Estimate, EstimateLine, EstimateOption
from billing.expenses.models import CapRaise, Expense, Journey
from billing.invoices.models import Invoice, InvoiceLine
from billing.months.models import MonthRun
from billing.payments.models import Payment, Reminder
from billing.rates.models import MileageRate, RateCard
from billing.renewals.models import PricedFee

__all__ = [
    "CancellationFee",
    "CapRaise",
    "ClientQuestion",
    "CostLine",
    "CostYear",
    "Estimate",
    "EstimateLine",
    "EstimateOption",
    "Expense",
    "Invoice",
    "InvoiceLine",
    "Journey",
    "MileageRate",
    "MonthRun",
    "Payment",
    "PricedFee",
    "RateCard",
    "Reminder",
    "WorkedDays",
]
