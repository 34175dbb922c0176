from datetime import date
from decimal import Decimal as D

import pytest

from billing.invoices.actions import cancel_by_credit_note
from billing.months.actions import bill_job
from billing.months.queries import (
    account_rows,
    issue_day,
    late_costs,
    late_journeys,
    later_invoice,
    month_in_words,
    month_planned,
    next_numbers,
)
from billing.payments.actions import record_payment
from tests.factories.expenses import JourneyFactory
from tests.factories.invoices import DAY, MONTH_END, agreed, cost, deposit, done, issued
from tests.factories.shared import BusinessProfileFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick_papers")]
NOVEMBER = date(2026, 11, 1)


def test_a_cost_that_comes_after_the_invoice_is_shown():
    estimate = done()
    bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    late = cost(estimate)
    assert list(late_costs()) == [late]


def test_own_travel_recorded_after_the_invoice_is_shown():
    estimate = done()
    bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    late = JourneyFactory(shoot=estimate.shoot, charge="at_cost", charge_rate=D("0.42"))
    JourneyFactory(shoot=estimate.shoot)
    assert list(late_journeys()) == [late]


def test_own_travel_goes_to_the_accountant_in_the_currency_of_the_books():
    BusinessProfileFactory(currency="GBP", country="GB")
    JourneyFactory(travelled_on=date(2026, 11, 3))
    assert [(row.kind, row.currency) for row in account_rows(NOVEMBER)] == [("journey", "GBP")]


def test_the_month_that_runs_is_dated_today_and_numbers_go_on():
    assert issue_day(NOVEMBER, date(2026, 11, 20)) == date(2026, 11, 20)
    assert issue_day(NOVEMBER, date(2026, 12, 2)) == DAY
    later = issued(issued_on=date(2026, 12, 1))
    assert next_numbers(3, on=DAY) == ("2026-002", "2026-004")
    assert later_invoice(DAY) == later
    assert later_invoice(date(2026, 12, 1)) is None


def test_the_dry_run_reads_as_lines_and_as_values():
    done()
    said = month_planned(NOVEMBER, at=MONTH_END)
    assert said["to_pay"] == {"EUR": "1356.60"}
    assert month_in_words(said).splitlines() == [
        "Month-end 2026-11, dated 2026-11-30.",
        "Would bill Walnut Lantern, Winter menu: 1356.60 EUR, due 2026-12-14",
    ]
    assert "No invoice was made." in month_in_words({**said, "made": [], "failed": []})


def test_the_accounts_hold_papers_less_deposits_credit_notes_below_zero_payments_and_costs():
    estimate = agreed(terms={"deposit_percent": D(40)})
    deposit(estimate)
    done(estimate)
    spent = cost(estimate, charge="not")
    invoice = bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    record_payment(invoice, amount=D(100), received_on=DAY, at=MONTH_END)
    note = cancel_by_credit_note(invoice, reason="", at=MONTH_END)
    rows = account_rows(NOVEMBER)
    assert [(row.kind, row.number) for row in rows] == [
        ("invoice", invoice.number), ("credit_note", note.number), ("payment", str(invoice.payments.get().pk)), ("cost", str(spent.pk)),
    ]  # fmt: skip
    bill, credit = rows[:2]
    assert bill.gross == invoice.to_pay
    assert (bill.net, bill.tax, bill.gross) == (-credit.net, -credit.tax, -credit.gross)
    assert (bill.refers_to, credit.refers_to) == ("2026-001", invoice.number)
