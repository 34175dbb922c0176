import hashlib
import importlib
import json
import os
import signal
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal as D
from io import StringIO
from threading import Barrier, Thread

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.db import connection

from billing.expenses.actions import CostIsBilled, change_expense
from billing.invoices.actions import JobAlreadyBilled, NotCancellable, bill_deposit, cancel_by_credit_note
from billing.invoices.models import Invoice
from billing.invoices.snapshot import invoice_from_json
from billing.months import actions
from billing.months.actions import JobHeldBack, MonthNotBegun, bill_job, enter_order_number, run_month, send_month
from billing.months.models import MonthRun
from clients.models import Person
from shared.errors import Refusal
from shared.evidence.queries import first_broken_link
from shared.files.actions import DiskFull
from shared.numbers.models import Counter
from shared.outbox.models import Message
from shoots.licences.models import Licence
from tests.factories.clients import ClientFactory
from tests.factories.invoices import DAY, GROCERIES, LINES, MONTH_END, agreed, cost, deposit, done

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick_papers")]
NOVEMBER = date(2026, 11, 1)
CLIENTS = ("Kvernmoor Mill", "Oystercatcher Pantry", "Walnut Lantern")


def three_jobs():
    return [f"estimate:{done(agreed(name)).number}" for name in CLIENTS]


def whole(count):
    """Numbers without a gap, each job once, each paper as it was kept, the chain unbroken."""
    invoices = list(Invoice.objects.order_by("number"))
    assert [each.number for each in invoices] == [f"2026-{n:03d}" for n in range(1, count + 1)]
    assert len({each.job_key for each in invoices}) == count
    assert Counter.objects.get(series="invoice").last == count
    for each in invoices:
        assert hashlib.sha256(each.paper.read_bytes()).hexdigest() == each.paper.sha256
        assert each.lines.count() == 2
    assert first_broken_link() is None


def test_a_run_bills_each_job_once_in_the_order_of_the_plan():
    three_jobs()
    report = run_month(NOVEMBER, by="Tindra", at=MONTH_END)
    assert [invoice.client.name for invoice in report.made] == list(CLIENTS)
    assert {(invoice.issued_on, invoice.due_on) for invoice in report.made} == {(DAY, date(2026, 12, 14))}
    assert (report.run.invoices.count(), Message.objects.filter(about__startswith="invoice:").count()) == (3, 0)
    whole(3)
    again = run_month(NOVEMBER, at=MONTH_END)
    assert (again.made, again.run) == ([], None)
    whole(3)


def test_only_the_ticked_jobs_are_billed_and_sent_where_wanted():
    keys = three_jobs()
    report = run_month(NOVEMBER, keys=keys[1:2], sends=True, at=MONTH_END)
    assert [invoice.job_key for invoice in report.made] == keys[1:2]
    assert Message.objects.filter(about=f"invoice:{report.made[0].pk}").count() == 1


def test_made_later_it_is_dated_the_last_of_the_month_and_due_from_the_day_it_was_made():
    done()
    (invoice,) = run_month(NOVEMBER, at=MONTH_END + timedelta(days=5)).made
    assert (invoice.issued_on, invoice.due_on) == (DAY, date(2026, 12, 19))


def test_a_month_to_come_is_refused():
    with pytest.raises(MonthNotBegun):
        run_month(date(2027, 1, 1), at=MONTH_END)


def test_a_refused_job_is_named_and_the_others_are_billed(monkeypatch):
    keys, plain = three_jobs(), actions.bill_job

    def refusing(key, **how):
        if key == keys[1]:
            raise JobHeldBack(None)
        return plain(key, **how)

    monkeypatch.setattr(actions, "bill_job", refusing)
    report = run_month(NOVEMBER, at=MONTH_END)
    assert (len(report.made), [key for key, _ in report.failed]) == (2, [keys[1]])


def test_a_full_disk_stops_the_run_and_keeps_what_was_made(monkeypatch):
    three_jobs()
    plain, presses = actions.issue_invoice, []

    def full(draft, **how):
        presses.append(draft)
        if len(presses) == 2:
            raise DiskFull("invoice.pdf")
        return plain(draft, **how)

    monkeypatch.setattr(actions, "issue_invoice", full)
    with pytest.raises(DiskFull):
        run_month(NOVEMBER, at=MONTH_END)
    whole(1)
    assert MonthRun.objects.get().finished_at is None


def test_a_job_is_billed_the_day_it_is_delivered_and_its_licence_knows_when_it_lapses():
    estimate = done()
    invoice = bill_job(f"estimate:{estimate.number}", issued_on=date(2026, 11, 24), at=MONTH_END - timedelta(days=6))
    licence = Licence.objects.get()
    assert invoice.issued_on == date(2026, 11, 24)
    assert licence.lapses_on == invoice.due_on + timedelta(days=licence.lapse_days + 1)
    with pytest.raises(JobAlreadyBilled):
        bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)


def test_a_job_its_deposit_has_paid_starts_its_licence_when_it_is_billed():
    from billing.payments.actions import record_payment

    estimate = agreed(terms={"deposit_percent": D(100)})
    first = deposit(estimate)
    record_payment(first, amount=first.to_pay, received_on=date(2026, 10, 29), at=MONTH_END)
    done(estimate)
    invoice = bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    assert (invoice.to_pay, Licence.objects.get().state) == (D("0.00"), "paid")


def test_a_job_held_back_says_why_and_an_order_number_frees_it():
    client = ClientFactory(name="Spoon & Lamp")
    estimate = done(agreed(client=client))
    type(client).objects.filter(pk=client.pk).update(is_order_number_required=True)
    key = f"estimate:{estimate.number}"
    with pytest.raises(JobHeldBack, match="order number"):
        bill_job(key, issued_on=DAY, at=MONTH_END)
    enter_order_number(key, order_number="SL-2026-88", at=MONTH_END)
    assert bill_job(key, issued_on=DAY, at=MONTH_END).order_number == "SL-2026-88"
    with pytest.raises(JobHeldBack):
        enter_order_number("estimate:E-1900-001", order_number="1", at=MONTH_END)


def test_what_was_made_is_sent_later_and_who_has_no_address_is_named():
    done(agreed("Walnut Lantern"))
    done(agreed(client=ClientFactory(name="Salt Barn")))
    Person.objects.filter(parts__client__name="Salt Barn").update(email="")
    run_month(NOVEMBER, at=MONTH_END)
    sent, kept = send_month(NOVEMBER, at=MONTH_END)
    assert (sent, [invoice.client.name for invoice in kept]) == (1, ["Salt Barn"])
    assert send_month(NOVEMBER, at=MONTH_END)[0] == 0


# Killed at each step: the child really dies, with SIGKILL, in the middle of what it was doing.
SEAMS = [
    ("billing.months.actions", "plan_for", 1),
    ("billing.months.actions", "jobs_to_bill", 3),
    ("billing.invoices.actions", "take_number", 2),
    ("billing.invoices.actions", "keep_file", 2),
    ("billing.invoices.actions", "_write", 2),
    ("billing.invoices.actions", "_write_lines", 2),
    ("billing.invoices.actions", "_take_costs", 2),
    ("billing.invoices.actions", "_record_issue", 2),
    ("billing.months.actions", "set_lapse", 2),
    ("billing.months.actions", "_send_if_there_is_an_address", 2),
    ("billing.months.actions", "bill_job", 2),
    ("billing.months.actions", "bill_job", 3),
]


def run_and_die(module, name, times):
    """In a process of its own: run the month, and fall dead after the call of this seam."""
    connection.close()
    child = os.fork()
    if child == 0:
        place, calls = importlib.import_module(module), []
        plain = getattr(place, name)

        def deadly(*args, **how):
            result = plain(*args, **how)
            calls.append(1)
            if len(calls) == times:
                os.kill(os.getpid(), signal.SIGKILL)
            return result

        setattr(place, name, deadly)
        try:
            run_month(NOVEMBER, sends=True, at=MONTH_END)
        finally:
            os._exit(0)
    _, status = os.waitpid(child, 0)
    return os.WIFSIGNALED(status)


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(("module", "name", "times"), SEAMS)
def test_killed_at_any_step_and_run_again_it_leaves_no_gap_and_bills_nothing_twice(module, name, times):
    three_jobs()
    assert run_and_die(module, name, times)
    made_before = Invoice.objects.count()
    if made_before:
        whole(made_before)
    report = run_month(NOVEMBER, sends=True, at=MONTH_END)
    assert len(report.made) == 3 - made_before
    whole(3)
    mails = Message.objects.filter(about__startswith="invoice:")
    assert mails.count() == len(set(mails.values_list("about", flat=True))) == 3


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_two_people_pressing_at_once_bill_each_job_once():
    three_jobs()
    ready, made, wrong = Barrier(2), [], []

    def press(who):
        ready.wait()
        try:
            made.extend(run_month(NOVEMBER, by=who, sends=True, at=MONTH_END).made)
        except Exception as error:
            wrong.append(error)
        finally:
            connection.close()

    threads = [Thread(target=press, args=(who,)) for who in ("Tindra", "Ivo")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (wrong, len(made)) == ([], 3)
    whole(3)
    assert Message.objects.filter(about__startswith="invoice:").count() == 3


def while_it_is_billed(monkeypatch, deed):
    """Once the job is reckoned and before it is numbered, another person begins ``deed``; what came of it, and how to wait for them."""
    plain, said = actions.draft_of, []

    def other_person():
        try:
            said.append(deed())
        except Refusal as refusal:
            said.append(refusal)
        finally:
            connection.close()

    other = Thread(target=other_person)

    def slow(*args, **how):
        other.start()
        other.join(1.5)
        return plain(*args, **how)

    monkeypatch.setattr(actions, "draft_of", slow)
    return said, other.join


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_a_deposit_taken_back_while_its_job_is_billed_is_not_deducted(monkeypatch):
    estimate = agreed(terms={"deposit_percent": D(30)})
    first = deposit(estimate)
    done(estimate)
    said, wait = while_it_is_billed(monkeypatch, lambda: cancel_by_credit_note(first, reason="", at=MONTH_END))
    invoice = bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    wait()
    first.refresh_from_db()
    assert [type(each) for each in said] == [NotCancellable]
    assert ([each.number for each in invoice_from_json(invoice.snapshot).deposits], first.is_cancelled) == (
        [first.number],
        False,
    )


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_a_deposit_asked_for_while_its_job_is_billed_is_refused(monkeypatch):
    estimate = done(agreed(terms={"deposit_percent": D(30)}))
    said, wait = while_it_is_billed(monkeypatch, lambda: bill_deposit(estimate, at=MONTH_END))
    bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    wait()
    assert [type(each) for each in said] == [JobAlreadyBilled]
    assert Invoice.objects.filter(kind="deposit").count() == 0


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_a_cost_corrected_while_its_job_is_billed_stays_as_it_was_billed(monkeypatch):
    estimate = done(agreed(lines=(*LINES, GROCERIES)))
    spent = cost(estimate, "40", "0", line_what="Groceries")
    corrected = {"gross": D(10)}
    said, wait = while_it_is_billed(
        monkeypatch, lambda: change_expense(spent, corrected, version=spent.version, at=MONTH_END)
    )
    invoice = bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    wait()
    spent.refresh_from_db()
    assert [type(each) for each in said] == [CostIsBilled]
    assert (spent.gross, spent.billed_on, invoice.lines.last().net) == (40, invoice.number, 40)


def test_two_people_sending_the_month_write_to_each_client_once(monkeypatch):
    three_jobs()
    run_month(NOVEMBER, at=MONTH_END)
    plain, presses = actions.made_and_not_sent, []

    def both_press(month):
        rows = list(plain(month))
        if not presses:
            presses.append(1)
            presses.append(send_month(month, at=MONTH_END)[0])  # somebody else, after we have read and before we send
        return rows

    monkeypatch.setattr(actions, "made_and_not_sent", both_press)
    assert (send_month(NOVEMBER, at=MONTH_END), presses) == ((0, []), [1, 3])
    assert Message.objects.filter(about__startswith="invoice:").count() == 3


# The command is the same action


def command(*words):
    out = StringIO()
    with time_machine.travel(datetime(2026, 11, 30, 16, tzinfo=UTC), tick=False):
        call_command("month_end", *words, stdout=out)
    return out.getvalue()


def test_the_command_shows_a_dry_run_and_makes_the_same_invoices():
    three_jobs()
    dry = json.loads(command("2026-11", "--dry-run", "--json"))
    assert [each["client"] for each in dry["invoices"]] == list(CLIENTS)
    assert not Invoice.objects.exists()
    made = json.loads(command("2026-11", "--json"))["made"]
    assert [each["number"] for each in made] == ["2026-001", "2026-002", "2026-003"]
    assert "No invoice was made." in command("2026-11")


@pytest.mark.parametrize(("month", "code"), [("2026-13", 2), ("november", 2), ("2027-01", 1)])
def test_the_command_says_what_is_wrong_with_the_month(month, code):
    done()
    with pytest.raises(CommandError) as refused:
        command(month)
    assert refused.value.returncode == code
