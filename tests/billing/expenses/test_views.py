from datetime import date
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from billing.expenses.actions import ask_for_more
from billing.expenses.models import CapRaise, Expense, Journey
from billing.invoices.actions import cancel_by_credit_note
from billing.months.actions import bill_job
from shared.links.models import PrivateLink
from shared.links.queries import link_path
from tests.factories.expenses import AT, ExpenseFactory, JourneyFactory, MileageRateFactory, capped_line
from tests.factories.invoices import DAY, GROCERIES, LINES, MONTH_END, agreed, cost, done
from tests.factories.shared import BusinessProfileFactory, kept_file
from tests.factories.shoots import ShootFactory

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def business(db):
    return BusinessProfileFactory()


def bought(**change):
    return {
        "what": "Walnuts",
        "kind": "groceries",
        "spent_on": "13 Nov 2026",
        "gross": "10,70",
        "tax": "0.70",
        "charge": "not",
        "version": "1",
        **change,
    }


def test_a_cost_with_its_receipt_is_recorded_by_the_assistant(client_for, assistant):
    receipt = SimpleUploadedFile("till.pdf", b"%PDF-1.4 till")
    answer = client_for(assistant).post(reverse("new_expense"), {**bought(), "receipt_file": receipt})
    assert answer.status_code == 302
    expense = Expense.objects.get()
    assert (expense.gross, expense.receipt.media_type) == (Decimal("10.70"), "application/pdf")
    read = client_for(assistant).get(reverse("receipt", args=[expense.pk]))
    assert b"".join(read.streaming_content) == b"%PDF-1.4 till"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"gross": "0"}, b"above 0"),
        ({"tax": "10.70"}, b"less than its total"),
        ({"charge": "at_cost"}, b"Say for which shoot"),
        ({"spent_on": "31 Feb 2026"}, b"not a day of the calendar"),
        ({"receipt_file": SimpleUploadedFile("till.exe", b"MZ\x90\x00")}, b"till.exe"),
    ],
)
def test_a_wrong_cost_is_told_and_what_was_typed_stays(client_for, owner, change, said):
    answer = client_for(owner).post(reverse("new_expense"), bought(**change))
    assert answer.status_code == 422
    assert said in answer.content
    assert b"Walnuts" in answer.content
    assert not Expense.objects.exists()


def test_a_house_in_pounds_records_pounds(client_for, owner):
    BusinessProfileFactory(valid_from=date(2026, 11, 1), currency="GBP", country="GB")
    studio = client_for(owner)
    assert b'<option value="GBP" selected>' in studio.get(reverse("new_expense")).content
    assert studio.post(reverse("new_expense"), bought()).status_code == 302
    assert Expense.objects.get().currency == "GBP"
    assert "£10.70" in studio.get(reverse("expenses")).content.decode()


def test_a_cost_keeps_its_currency_when_it_is_corrected(client_for, owner):
    expense = ExpenseFactory(charge="not", currency="JPY")
    client_for(owner).post(reverse("expense_page", args=[expense.pk]), bought(currency="JPY", what="Fig leaves"))
    expense.refresh_from_db()
    assert (expense.what, expense.currency) == ("Fig leaves", "JPY")


def test_the_client_reads_what_was_agreed_with_its_mark_up(client):
    asked = ask_for_more(capped_line("60.00", markup_percent=Decimal(10)), amount_net=Decimal(80), why="Figs", at=AT)
    page = client.get(link_path(PrivateLink.objects.get(subject=f"cap_raise:{asked.pk}")))
    assert "€66.00" in page.content.decode()


@pytest.mark.usefixtures("quick_papers")
def test_a_cost_that_a_cancelled_invoice_names_is_not_taken_off(client_for, owner):
    estimate = done(agreed(lines=(*LINES, GROCERIES)))
    named = cost(estimate, "40", "0", line_what="Groceries")
    invoice = bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    cancel_by_credit_note(invoice, reason="Wrong address", at=MONTH_END)
    answer = client_for(owner).post(reverse("remove_expense", args=[named.pk]))
    assert answer.status_code == 409
    assert b"that invoice still names it" in answer.content


def test_a_cost_is_corrected_and_taken_off(client_for, owner):
    expense = ExpenseFactory(charge="not")
    studio = client_for(owner)
    studio.post(reverse("expense_page", args=[expense.pk]), bought(what="Fig leaves"))
    expense.refresh_from_db()
    assert expense.what == "Fig leaves"
    assert studio.post(reverse("expense_page", args=[expense.pk]), bought(what="Late")).status_code == 422
    studio.post(reverse("remove_expense", args=[expense.pk]))
    assert not Expense.objects.exists()


def test_a_journey_is_recorded_for_a_shoot(client_for, owner):
    MileageRateFactory()
    shoot = ShootFactory(kitchen__distance_km=23)
    studio = client_for(owner)
    assert b'value="46"' in studio.get(reverse("new_journey") + f"?shoot={shoot.pk}").content
    typed = {
        "travelled_on": "14.11.2026",
        "from_place": "Studio",
        "to_place": "Kitchen",
        "distance": "46",
        "rate_name": "Car",
        "shoot": shoot.pk,
        "charge": "at_cost",
        "charge_rate": "0.42",
    }
    studio.post(reverse("new_journey"), typed)
    journey = Journey.objects.get()
    assert (journey.allowance, journey.charge_rate) == (Decimal("13.80"), Decimal("0.42"))
    studio.post(reverse("remove_journey", args=[journey.pk]))
    assert not Journey.objects.exists()


def test_the_client_says_yes_on_their_link_and_the_assistant_cannot_ask(client_for, owner, assistant):
    line = capped_line()
    ExpenseFactory(shoot=line.option.estimate.shoot, estimate_line=line)
    path = reverse("ask_for_more", args=[line.pk])
    assert client_for(assistant).get(path).status_code == 403
    client_for(owner).post(path, {"amount_net": "72.00", "why": "Figs were dear."})
    asked = CapRaise.objects.get()
    link = link_path(PrivateLink.objects.get(subject=f"cap_raise:{asked.pk}"))
    stranger = client_for(None)
    assert "€72.00" in stranger.get(link).content.decode()
    stranger.post(link, {"name": "Maro Lantadze", "agree": "yes"})
    asked.refresh_from_db()
    assert (asked.state, asked.decided_by) == ("agreed", "Maro Lantadze")


def test_the_accountant_reads_costs_and_writes_none(client_for, accountant):
    expense = ExpenseFactory(receipt=kept_file())
    books = client_for(accountant)
    assert books.get(reverse("expenses")).status_code == 200
    assert books.get(reverse("receipt", args=[expense.pk])).status_code == 200
    assert books.get(reverse("new_expense")).status_code == 403
    assert client_for(None).get(reverse("expenses")).status_code == 302


def test_the_line_of_the_end_of_the_day_counts_receipts(client_for, owner):
    bought = ExpenseFactory(shoot=ShootFactory(), what="Tarragon")
    path = reverse("shoot_costs_line", args=[bought.shoot_id])
    assert "1 of 1 cost without a receipt: Tarragon." in client_for(owner).get(path).content.decode()
    empty = reverse("shoot_costs_line", args=[ShootFactory().pk])
    assert "No cost of this shoot is in the books." in client_for(owner).get(empty).content.decode()


def test_the_panel_of_a_shoot_says_what_went_over(client_for, owner):
    line = capped_line("60.00")
    shoot = line.option.estimate.shoot
    ExpenseFactory(shoot=shoot, estimate_line=line, gross=Decimal("86.16"), tax=Decimal("13.76"))
    JourneyFactory(shoot=shoot)
    said = client_for(owner).get(reverse("shoot_costs_panel", args=[shoot.pk])).content.decode()
    assert "so €60.00 is billed" in said
    assert "€86.20" in said  # 72.40 for food and 13.80 for the way


def test_a_cost_without_a_receipt_has_none_to_open(client_for, owner):
    assert client_for(owner).get(reverse("receipt", args=[ExpenseFactory().pk])).status_code == 404
    assert ask_for_more(capped_line(), amount_net=Decimal("61.00"), why="", at=AT).state == "asked"


def test_a_receipt_chosen_with_a_mistake_elsewhere_is_asked_for_again(client_for, owner):
    receipt = SimpleUploadedFile("till.pdf", b"%PDF-1.4 till")
    answer = client_for(owner).post(reverse("new_expense"), {**bought(), "gross": "-1", "receipt_file": receipt})
    assert answer.status_code == 422
    assert "Choose the receipt again" in answer.content.decode()
