import pytest
import time_machine
from django.urls import reverse

from billing.invoices.models import Invoice
from shared.outbox.models import Message
from tests.factories.clients import ClientFactory
from tests.factories.invoices import MONTH_END, agreed, issued

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick_papers")]


@pytest.fixture(autouse=True)
def on_the_last_of_november():
    with time_machine.travel(MONTH_END, tick=False):
        yield


def test_the_list_and_the_page_say_how_it_stands(client_for, owner):
    invoice = issued()
    listed = client_for(owner).get(reverse("invoices")).content.decode()
    assert "€2,474.15 is owed to you" in listed
    page = client_for(owner).get(reverse("invoice_page", args=[invoice.pk])).content.decode().replace("\u00a0", " ")
    assert "€2,474.15 is open, due 14 Dec 2026, in 14 days." in page


def test_a_search_that_finds_nothing_and_an_empty_list_say_what_to_do(client_for, owner):
    assert b"No invoices yet." in client_for(owner).get(reverse("invoices")).content
    assert b"No invoice fits this search." in client_for(owner).get(reverse("invoices") + "?text=lost").content


def test_an_invoice_is_sent_and_a_wrong_address_keeps_what_was_typed(client_for, owner):
    path = reverse("send_invoice", args=[issued().pk])
    refused = client_for(owner).post(path, {"to": "books@"})
    assert (refused.status_code, b"books@" in refused.content) == (422, True)
    assert client_for(owner).post(path, {"to": "books@lantern.example"}).status_code == 302
    assert Message.objects.get().to == "books@lantern.example"


def test_a_credit_note_is_made_once_and_the_second_press_is_told(client_for, owner):
    path = reverse("cancel_by_credit_note", args=[issued().pk])
    assert client_for(owner).post(path, {"reason": "Wrong firm"}).status_code == 302
    again = client_for(owner).post(path, {"reason": "Wrong firm"})
    assert again.status_code == 409
    assert "cancelled already" in again.content.decode()
    assert Invoice.objects.filter(kind="credit_note").count() == 1


def test_a_reason_that_is_too_long_is_said_on_the_page(client_for, owner):
    answer = client_for(owner).post(reverse("cancel_by_credit_note", args=[issued().pk]), {"reason": "x" * 301})
    assert answer.status_code == 422


def test_a_deposit_is_billed_by_hand(client_for, owner):
    estimate = agreed(terms={"deposit_percent": 40})
    answer = client_for(owner).post(reverse("bill_deposit", args=[estimate.pk]))
    assert answer.url == reverse("invoice_page", args=[Invoice.objects.get(kind="deposit").pk])


def test_the_paper_is_what_was_kept(client_for, owner):
    invoice = issued()
    answer = client_for(owner).get(reverse("invoice_paper", args=[invoice.pk]))
    assert b"".join(answer.streaming_content) == invoice.paper.read_bytes()


@pytest.mark.parametrize("name", ["invoices", "invoice_page", "invoice_paper"])
def test_strangers_and_assistants_are_refused_and_the_accountant_reads(client_for, assistant, accountant, name):
    path = reverse(name, args=[] if name == "invoices" else [issued().pk])
    assert client_for(None).get(path).status_code == 302
    assert client_for(assistant).get(path).status_code == 403
    assert client_for(accountant).get(path).status_code == 200


@pytest.mark.parametrize("name", ["send_invoice", "cancel_by_credit_note"])
def test_only_the_owner_writes(client_for, assistant, accountant, name):
    path = reverse(name, args=[issued(ClientFactory()).pk])
    for person in (assistant, accountant):
        assert client_for(person).post(path, {"to": "x@y.example"}).status_code == 403
    assert Invoice.objects.get().sent_at is None


def test_a_client_shows_the_newest_invoices_and_what_is_open(client_for, owner, accountant, assistant):
    client, other = ClientFactory(name="Walnut Lantern"), ClientFactory()
    path = reverse("client_invoices_panel", args=[client.pk])
    assert b"No invoice yet." in client_for(owner).get(path).content
    numbers = [issued(client).number for _ in range(7)]
    foreign = issued(other).number
    for person in (owner, accountant):
        panel = client_for(person).get(path).content.decode()
        assert "€17,319.05 is open." in panel  # 7 × 2,474.15
        assert [number for number in numbers if number in panel] == numbers[1:]
        assert foreign not in panel
        assert "All 7 invoices" in panel
    assert client_for(assistant).get(path).status_code == 403
