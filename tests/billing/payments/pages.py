from decimal import Decimal as D

from django.urls import reverse

from billing.payments.actions import record_payment
from billing.payments.models import Payment
from tests.factories.clients import ClientFactory
from tests.factories.invoices import DAY, MONTH_END, issued
from tests.house.pages import Deed, Page, Panel


def part_paid(rows: int) -> int:
    invoice = issued(ClientFactory())
    for _ in range(rows):
        record_payment(invoice, amount=D(10), received_on=DAY, at=MONTH_END)
    return invoice.pk


def payment() -> int:
    return Payment.objects.filter(invoice=part_paid(1)).get().pk


PAGES = {
    "record_payment": Page(lambda rows: reverse("record_payment", args=[part_paid(rows)]), lists=True),
    "invoice_payments_panel": Panel(lambda rows: reverse("invoice_payments_panel", args=[part_paid(rows)]), lists=True),
    "remind_of_invoice": Deed(lambda rows: reverse("remind_of_invoice", args=[part_paid(rows)])),
    "undo_payment": Deed(lambda rows: reverse("undo_payment", args=[payment()])),
}
