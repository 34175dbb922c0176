import hashlib
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal as D
from threading import Barrier, Thread

import pytest
from django.db import IntegrityError, connection, transaction

from billing.estimates.actions import revise_estimate
from billing.estimates.models import EstimateState
from billing.estimates.snapshot import accepted_from_json
from billing.expenses.models import Expense
from billing.invoices import actions
from billing.invoices.actions import (
    CostAlreadyBilled,
    JobAlreadyBilled,
    MixedTax,
    NoAddress,
    NoDepositDue,
    NotCancellable,
    NumberTaken,
    ParticularsMissing,
    bill_accepted_deposit,
    bill_deposit,
    cancel_by_credit_note,
    issue_invoice,
    send_invoice,
)
from billing.invoices.models import Invoice, InvoiceLine
from billing.invoices.queries import deposits_to_bill
from billing.months.actions import bill_job
from billing.orders.actions import call_off_shoot
from billing.sums.totals import Category
from shared.business.models import BusinessProfile
from shared.evidence.queries import evidence_about, first_broken_link
from shared.numbers.models import Counter
from shared.outbox.actions import work_once
from shared.outbox.models import Message
from shoots.licences.models import Licence
from tests.factories.billing import accepted, sent
from tests.factories.clients import ClientFactory
from tests.factories.invoices import DAY, MONTH_END, agreed, deposit, done, draft, issued, line

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick_papers")]


def last_number():
    return Counter.objects.filter(series="invoice", year=2026).values_list("last", flat=True).first()


def test_an_issued_invoice_has_its_number_sums_reference_paper_and_evidence():
    invoice = issued()
    assert (invoice.number, invoice.net, invoice.tax, invoice.gross) == (
        "2026-001",
        D("2079.12"),
        D("395.03"),
        D("2474.15"),
    )
    assert invoice.reference == "RF602026001"  # 98 − (2026001 27 15 00) mod 97 = 60, ISO 11649
    assert [str(each) for each in invoice.lines.values_list("net", flat=True)] == [
        "260.00", "780.00", "225.00", "540.00", "190.00", "64.80", "19.32",
    ]  # fmt: skip
    assert hashlib.sha256(invoice.paper.read_bytes()).hexdigest() == invoice.paper.sha256
    (row,) = evidence_about(f"invoice:{invoice.pk}")
    assert (row.kind, row.payload["paper"]) == ("issued", invoice.paper.sha256)
    assert first_broken_link() is None


def test_sums_that_binary_fractions_cannot_hold_are_taken():
    for cents in ("0.10", "12.35", "99.99", "418.07", "1234.57"):
        invoice = issued(lines=(line(price=cents),))
        assert invoice.gross == invoice.net + invoice.tax


def test_a_job_is_billed_once_and_the_second_press_uses_no_number():
    first = issued(job_key="estimate:E-2026-001")
    with pytest.raises(JobAlreadyBilled) as refused:
        issue_invoice(draft(job_key="estimate:E-2026-001"), at=MONTH_END)
    assert refused.value.number == first.number
    assert last_number() == 1


def test_particulars_the_law_asks_for_are_named_and_no_number_is_used():
    client = ClientFactory(name="Spoon & Lamp", street="", city="")
    with pytest.raises(ParticularsMissing) as refused:
        issue_invoice(draft(client), at=MONTH_END)
    assert "The full address of Spoon & Lamp is missing: street, postcode, town and country." in str(refused.value)
    assert (Invoice.objects.count(), last_number()) == (0, None)


def test_an_order_number_that_the_client_asks_for_is_not_left_out():
    client = ClientFactory(name="Spoon & Lamp", is_order_number_required=True)
    with pytest.raises(ParticularsMissing):
        issue_invoice(draft(client), at=MONTH_END)
    assert issue_invoice(draft(client, order_number="SL-88"), at=MONTH_END).order_number == "SL-88"


def test_lines_outside_the_scope_of_vat_share_no_paper_with_taxed_ones():
    outside = line("Permit", "120", category=Category.OUTSIDE_SCOPE, rate=D(0))
    with pytest.raises(MixedTax):
        issue_invoice(replace(draft(lines=(line(), outside)), tax_reason="outside_scope"), at=MONTH_END)
    assert last_number() is None


def expense(**also):
    return Expense.objects.create(
        what="Groceries", spent_on=date(2026, 11, 13), gross=D("77.11"), tax=D("12.31"), **also
    )


def test_a_cost_is_marked_with_the_invoice_it_is_on_and_never_billed_twice():
    cost = expense()
    with_cost = (line("Groceries", "64.80", cost_keys=(f"expense:{cost.pk}",)),)
    invoice = issued(lines=with_cost)
    cost.refresh_from_db()
    assert (cost.billed_on, invoice.lines.get().expense) == (invoice.number, cost)
    with pytest.raises(CostAlreadyBilled):
        issued(lines=with_cost, job_key="job:another")
    assert last_number() == 1


@pytest.mark.parametrize(
    "seam", ["invoice_pdf", "keep_file", "_write_lines", "_take_costs", "_record_issue", "make_reference"]
)
def test_an_invoice_that_breaks_half_way_leaves_nothing_and_no_gap(monkeypatch, seam):
    wanted, whole = draft(), getattr(actions, seam)

    def broken(*args, **kwargs):
        whole(*args, **kwargs)
        raise OSError("the power went")

    monkeypatch.setattr(actions, seam, broken)
    with pytest.raises(OSError, match="power"):
        issue_invoice(wanted, at=MONTH_END)
    assert (Invoice.objects.count(), InvoiceLine.objects.count(), last_number()) == (0, 0, None)
    monkeypatch.setattr(actions, seam, whole)
    assert issue_invoice(wanted, at=MONTH_END).number == "2026-001"


def test_an_invoice_goes_out_in_the_clients_language_with_its_paper():
    invoice = issued()
    message = send_invoice(invoice, at=MONTH_END)
    assert (message.to, list(message.attachments.all())) == ("books@walnutlantern.example", [invoice.paper])
    assert message.subject == "Invoice 2026-001: Winter menu"
    assert "€2,474.15 by 14 Dec 2026" in message.body.replace("\u00a0", " ")
    assert invoice.sent_at == MONTH_END


def test_without_an_address_nothing_is_sent_and_the_invoice_is_kept():
    invoice = issued(ClientFactory())
    with pytest.raises(NoAddress):
        send_invoice(invoice, at=MONTH_END)
    assert (Message.objects.count(), invoice.sent_at) == (0, None)


def test_a_credit_note_mirrors_its_invoice_names_it_and_frees_the_job_and_its_costs():
    cost = expense()
    lines = (line(), line("Groceries", "64.80", cost_keys=(f"expense:{cost.pk}",)))
    invoice = issued(lines=lines, job_key="estimate:E-2026-001")
    note = cancel_by_credit_note(invoice, reason="Wrong client", at=MONTH_END, by="Tindra")
    invoice.refresh_from_db()
    cost.refresh_from_db()
    assert (note.number, note.kind, note.corrects, note.gross) == ("C-2026-001", "credit_note", invoice, invoice.gross)
    assert note.snapshot["corrects"] == "2026-001"
    assert [each.net for each in note.lines.all()] == [each.net for each in invoice.lines.all()]
    assert (invoice.is_cancelled, cost.billed_on) == (True, "")
    assert issued(lines=lines, job_key="estimate:E-2026-001").number == "2026-002"
    assert [row.kind for row in evidence_about(f"invoice:{invoice.pk}")] == ["issued", "cancelled"]


def test_what_cannot_be_cancelled_says_why():
    invoice = issued()
    note = cancel_by_credit_note(invoice, reason="", at=MONTH_END)
    for paper in (invoice, note):
        with pytest.raises(NotCancellable):
            cancel_by_credit_note(paper, reason="", at=MONTH_END)
    assert Invoice.objects.count() == 2


def test_a_credit_note_is_sent_as_one():
    note = cancel_by_credit_note(issued(), reason="", at=MONTH_END)
    assert send_invoice(note, at=MONTH_END).subject == "Credit note C-2026-001 for invoice 2026-001"


def test_an_accepted_estimate_is_followed_by_its_deposit_invoice_once():
    estimate = accepted()
    while work_once(MONTH_END):
        pass
    invoice = Invoice.objects.get()
    agreed = accepted_from_json(estimate.accepted_snapshot)
    assert (invoice.kind, invoice.gross, invoice.job_key) == (
        "deposit",
        agreed.sums.deposit,
        f"deposit:{estimate.number}",
    )
    assert invoice.sent_at == MONTH_END
    bill_accepted_deposit(estimate=estimate.pk, at=MONTH_END)
    assert Invoice.objects.count() == 1


def test_the_deposit_is_due_as_the_estimate_says_and_names_it():
    invoice = deposit()
    assert (invoice.issued_on, invoice.due_on) == (date(2026, 10, 28), date(2026, 11, 4))
    assert invoice.lines.get().what == "Deposit of 40%"
    assert invoice.lines.get().working.startswith("On estimate E-2026-001, €")


def test_a_deposit_that_cannot_be_billed_waits_for_a_person():
    client = ClientFactory(name="Walnut Lantern", street="")
    estimate = accepted(client=client)
    bill_accepted_deposit(estimate=estimate.pk, at=MONTH_END)
    assert list(deposits_to_bill()) == [estimate]
    client.street = "Lampwick Lane 4"
    client.save()
    bill_deposit(estimate, at=MONTH_END)
    assert list(deposits_to_bill()) == []


def test_an_estimate_replaced_before_the_worker_came_asks_for_no_deposit():
    estimate = accepted()
    type(estimate).objects.filter(pk=estimate.pk).update(state=EstimateState.SUPERSEDED)
    bill_accepted_deposit(estimate=estimate.pk, at=MONTH_END)
    assert not Invoice.objects.exists()


def test_no_deposit_is_asked_for_once_the_job_is_billed():
    estimate = done(agreed(terms={"deposit_percent": D(30)}))
    final = bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    with pytest.raises(JobAlreadyBilled, match=final.number):
        bill_deposit(estimate, at=MONTH_END)
    assert (list(Invoice.objects.all()), last_number()) == ([final], 1)


def test_no_deposit_is_asked_for_a_cancelled_shoot():
    estimate = accepted()
    call_off_shoot(estimate, kind="cancelled", reason="Kitchen flooded", by="", at=estimate.decided_at)
    with pytest.raises(NoDepositDue, match="was cancelled"):
        bill_deposit(estimate, at=MONTH_END)
    bill_accepted_deposit(estimate=estimate.pk, at=MONTH_END)
    assert (Invoice.objects.exists(), last_number()) == (False, None)


def test_no_deposit_is_asked_for_a_version_that_was_replaced():
    estimate = accepted()
    type(estimate).objects.filter(pk=estimate.pk).update(state=EstimateState.SUPERSEDED)
    with pytest.raises(NoDepositDue, match="superseded"):
        bill_deposit(estimate, at=MONTH_END)


def test_the_fee_for_putting_a_shoot_off_is_no_deposit():
    estimate = agreed()  # without a deposit
    at = datetime(2026, 11, 13, 9, tzinfo=UTC)
    fee = call_off_shoot(estimate, kind="postponed", reason="Oven broke", by="", at=at, new_first_on=date(2026, 12, 12))
    bill_job(f"cancellation:{fee.pk}", issued_on=at.date(), at=at)
    second = revise_estimate(estimate, at=MONTH_END)
    type(second).objects.filter(pk=second.pk).update(deposit_percent=30)
    second.refresh_from_db()
    second = accepted(sent(second, at=MONTH_END), at=MONTH_END)
    assert list(deposits_to_bill()) == [second]
    bill_accepted_deposit(estimate=second.pk, at=MONTH_END)
    assert Invoice.objects.filter(kind="deposit").count() == 1


def test_a_credit_note_takes_back_the_day_the_licence_lapses():
    estimate = done()
    key = f"estimate:{estimate.number}"
    invoice = bill_job(key, issued_on=DAY, at=MONTH_END)
    lapses_on = Licence.objects.get().lapses_on
    cancel_by_credit_note(invoice, reason="Wrong address", at=MONTH_END)
    assert (lapses_on is not None, Licence.objects.get().lapses_on) == (True, None)
    bill_job(key, issued_on=DAY, at=MONTH_END)
    assert Licence.objects.get().lapses_on == lapses_on


def test_a_number_that_another_paper_bears_is_told_as_such():
    invoice = issued()
    BusinessProfile.objects.update(credit_note_prefix=BusinessProfile.objects.get().invoice_prefix)
    with pytest.raises(NumberTaken, match=invoice.number):
        cancel_by_credit_note(invoice, reason="Wrong address", at=MONTH_END)
    invoice.refresh_from_db()
    assert (invoice.is_cancelled, Invoice.objects.count()) == (False, 1)


def test_a_sum_the_database_refuses_is_not_told_as_billed_already(monkeypatch):
    plain = actions.invoice_shown

    def wrong(*args, **how):
        return replace(plain(*args, **how), gross=D(1))

    monkeypatch.setattr(actions, "invoice_shown", wrong)
    with pytest.raises(IntegrityError, match="gross_is_net_and_tax"), transaction.atomic():
        issue_invoice(draft(), at=MONTH_END)


@pytest.mark.both
@pytest.mark.parametrize(
    "change", [{"gross": D(1)}, {"number": "2026-099"}, {"snapshot": {}}, {"due_on": date(2027, 1, 1)}]
)
def test_the_database_refuses_to_change_an_issued_invoice(change):
    invoice = issued()
    with pytest.raises(IntegrityError), transaction.atomic():
        Invoice.objects.filter(pk=invoice.pk).update(**change)


@pytest.mark.both
def test_the_database_refuses_to_change_a_line_or_to_delete_an_invoice():
    invoice = issued()
    with pytest.raises(IntegrityError), transaction.atomic():
        InvoiceLine.objects.filter(invoice=invoice).update(net=D(1))
    with pytest.raises(IntegrityError), transaction.atomic():
        InvoiceLine.objects.filter(invoice=invoice).delete()
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM billing_invoice WHERE id = %s", [invoice.pk])


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_two_people_billing_one_job_at_once_make_one_invoice_and_two_jobs_get_adjacent_numbers():
    wanted = [draft(job_key=key) for key in ("job:1", "job:1", "job:2")]
    ready, said = Barrier(len(wanted)), []

    def press(one):
        ready.wait()
        try:
            said.append(issue_invoice(one, at=datetime(2026, 11, 30, 16, tzinfo=UTC)).number)
        except JobAlreadyBilled:
            said.append("billed already")
        finally:
            connection.close()

    threads = [Thread(target=press, args=(one,)) for one in wanted]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(said) == ["2026-001", "2026-002", "billed already"]
    assert sorted(Invoice.objects.values_list("job_key", flat=True)) == ["job:1", "job:2"]


def test_no_part_of_a_long_working_is_lost_on_the_way_to_the_paper():
    working = "; ".join(f"use {number}: 180 × 1.2 × 0.5" for number in range(1, 80))
    assert len(working) > 1600
    invoice = issued(lines=(line(working=working),))
    assert invoice.lines.get().working == working
    assert invoice.snapshot["lines"][0]["working"] == working
