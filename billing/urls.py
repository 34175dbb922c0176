"""Gathers the pages of this app's rooms."""

from django.urls import URLPattern, URLResolver

from billing.budgets.urls import urlpatterns as budgets
from billing.cards.urls import urlpatterns as cards
from billing.costs.urls import urlpatterns as costs
from billing.earnings.urls import urlpatterns as earnings
from billing.estimates.urls import urlpatterns as estimates
from billing.expenses.urls import urlpatterns as expenses
from billing.invoices.urls import urlpatterns as invoices
from billing.months.urls import urlpatterns as months
from billing.orders.urls import urlpatterns as orders
from billing.payments.urls import urlpatterns as payments
from billing.rates.urls import urlpatterns as rates
from billing.renewals.urls import urlpatterns as renewals

urlpatterns: list[URLPattern | URLResolver] = [
    *rates,
    *costs,
    *estimates,
    *orders,
    *budgets,
    *cards,
    *renewals,
    *expenses,
    *invoices,
    *payments,
    *months,
    *earnings,
]
