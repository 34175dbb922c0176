from django.urls import reverse

from tests.factories.clients import ClientFactory
from tests.factories.invoices import agreed, issued, line
from tests.house.pages import Deed, Page, Panel, Paper


def invoice_list(rows: int) -> str:
    for _ in range(rows):
        issued(ClientFactory())
    return reverse("invoices")


def full_invoice(rows: int) -> int:
    return issued(ClientFactory(), lines=tuple(line(f"Picture {n}", "40") for n in range(rows))).pk


def of_client(rows: int) -> str:
    client = ClientFactory()
    for _ in range(rows):
        issued(client)
    return reverse("client_invoices_panel", args=[client.pk])


PAGES = {
    "client_invoices_panel": Panel(of_client, lists=True),
    "invoices": Page(invoice_list, lists=True),
    "invoice_page": Page(lambda rows: reverse("invoice_page", args=[full_invoice(rows)]), lists=True),
    "invoice_paper": Paper(lambda rows: reverse("invoice_paper", args=[full_invoice(rows)])),
    "send_invoice": Deed(lambda rows: reverse("send_invoice", args=[full_invoice(rows)])),
    "cancel_by_credit_note": Deed(lambda rows: reverse("cancel_by_credit_note", args=[full_invoice(rows)])),
    "bill_deposit": Deed(lambda rows: reverse("bill_deposit", args=[agreed().pk])),
}
