from datetime import date, timedelta
from decimal import Decimal as D

import pytest

from billing.estimates.models import Estimate
from billing.expenses.models import CapRaise, Journey
from billing.expenses.queries import caps_of
from billing.invoices.actions import cancel_by_credit_note
from billing.jobs.plan import Why
from billing.jobs.queries import draft_of, jobs_to_bill, plan_for, shoot_of_job
from billing.months.actions import JobHeldBack, bill_job
from billing.orders.actions import call_off_shoot
from billing.payments.actions import record_payment
from tests.factories import licences
from tests.factories.billing import accepted, beside
from tests.factories.clients import ClientFactory
from tests.factories.expenses import JourneyFactory
from tests.factories.invoices import AGREED_AT, DAY, GROCERIES, LINES, MONTH_END, agreed, cost, deposit, done
from tests.factories.shared import BusinessProfileFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick_papers")]
NOVEMBER = date(2026, 11, 1)


def plan(**asked):
    jobs = jobs_to_bill(DAY, **asked)
    return jobs, plan_for(jobs, issued_on=DAY, made_on=DAY)


def test_an_accepted_job_that_is_delivered_is_planned_as_agreed():
    estimate = done()
    jobs, planned = plan()
    (coming,) = planned.invoices
    assert coming.job.key == f"estimate:{estimate.number}"
    assert (coming.totals.net, coming.to_pay, coming.due_on) == (D("1140.00"), D("1356.60"), date(2026, 12, 14))
    assert jobs[coming.job.key].what == "Shoot and licence"
    assert planned.problems == ()


def test_a_job_to_come_is_not_mentioned_and_one_shot_and_not_delivered_is_held_back():
    agreed("Kvernmoor Mill")
    assert plan()[0] == {}
    done(agreed("Spoon & Lamp"), delivered_on=None)
    (held,) = plan()[1].held_back
    assert (held.why, held.to_pay) == (Why.NOT_DELIVERED, D("1356.60"))


def test_deposit_costs_and_cap_come_from_their_rows_and_the_paper_says_how():
    estimate = agreed(lines=(*LINES, GROCERIES), terms={"deposit_percent": D(40)})
    first = deposit(estimate)
    record_payment(first, amount=first.to_pay, received_on=date(2026, 10, 29), at=MONTH_END)
    done(estimate)
    spent = cost(estimate, line_what="Groceries", gross="77.47", tax="5.07")
    jobs, planned = plan()
    (coming,) = planned.invoices
    assert [each.why for each in planned.problems] == [Why.ABOVE_CAP]
    assert coming.totals.prepaid == first.gross
    draft = draft_of(jobs[coming.job.key], coming)
    groceries = draft.lines[-1]
    assert (groceries.what, groceries.net, groceries.cost_keys) == (
        "Groceries, one receipt",
        D("60.00"),
        (f"expense:{spent.pk}",),
    )
    assert groceries.working == "At cost, net of recoverable VAT. At most €60.00 was agreed"
    assert draft.deposits[0].paid_on == date(2026, 10, 29)
    assert jobs[coming.job.key].what == "Balance after 40% deposit"
    assert draft.lapses_after == date(2027, 1, 13)


def test_a_cost_with_mark_up_is_not_called_at_cost():
    estimate = done(agreed(lines=(*LINES, {**GROCERIES, "unit_price": D(100), "markup_percent": D(20)})))
    cost(estimate, "60", "0", line_what="Groceries", charge="with_markup", markup_percent=D(20))
    jobs, planned = plan()
    (coming,) = planned.invoices
    groceries = draft_of(jobs[coming.job.key], coming).lines[-1]
    assert (groceries.net, groceries.working.partition(".")[0]) == (D("72.00"), "Cost with the agreed mark-up")


def test_a_clients_yes_to_more_lifts_the_cap():
    estimate = done(agreed(lines=(*LINES, GROCERIES)))
    cost(estimate, line_what="Groceries", gross="77.47", tax="5.07")
    line = estimate.accepted_option.lines.get(what="Groceries")
    CapRaise.objects.create(estimate=estimate, line=line, amount_net=D("72.40"), state="agreed", asked_at=MONTH_END)
    planned = plan()[1]
    assert (planned.invoices[0].lines[-1].net, planned.problems) == (D("72.40"), ())


def test_own_travel_under_its_line_is_marked_with_it():
    travel = {
        "kind": "travel",
        "what": "Travel",
        "quantity": D(46),
        "unit": "kilometre",
        "unit_price": D("0.42"),
        "is_at_cost": True,
    }
    estimate = done(agreed(lines=(*LINES, travel)))
    line = estimate.accepted_option.lines.get(what="Travel")
    row = Journey.objects.create(
        shoot=estimate.shoot, travelled_on=date(2026, 11, 14), from_place="Lindhafen", to_place="Lampwick Lane",
        distance=D("46.0"), charge="at_cost", charge_rate=D("0.42"), estimate_line=line,
    )  # fmt: skip
    (coming,) = plan()[1].invoices
    assert coming.lines[-1].cost_keys == (f"journey:{row.pk}",)
    assert coming.lines[-1].net == D("19.32")


def test_a_cost_in_another_currency_is_a_question_and_not_billed():
    estimate = done()
    foreign = cost(estimate, currency="GBP")
    (problem,) = plan()[1].problems
    assert (problem.why, problem.cost_key) == (Why.OTHER_CURRENCY, f"expense:{foreign.pk}")
    assert problem.sentence == "Walnuts and pomegranates was paid in GBP, the job is billed in EUR. It is not billed."


def test_a_shoot_nobody_agreed_to_is_held_back_so_that_it_is_not_forgotten():
    estimate = done()
    type(estimate).objects.filter(pk=estimate.pk).update(state="superseded")
    (held,) = plan()[1].held_back
    assert (held.job.key, held.why) == (f"shoot:{estimate.shoot_id}", Why.NOTHING_AGREED)
    cost(estimate)
    (coming,) = plan()[1].invoices
    assert coming.totals.net == D("64.80")


def test_a_cancelled_shoot_is_billed_its_fee_and_costs_less_its_deposit():
    estimate = agreed(terms={"deposit_percent": D(40)})
    first = deposit(estimate)
    cost(estimate)
    call_off_shoot(
        estimate, kind="cancelled", reason="Kitchen flooded", by="Tindra", at=AGREED_AT.replace(month=11, day=13)
    )
    jobs, planned = plan()
    (coming,) = planned.invoices
    assert coming.job.key.startswith("cancellation:")
    assert [str(line.net) for line in coming.lines] == ["390.00", "64.80"]
    assert coming.totals.prepaid == first.gross
    assert Why.QUESTION in [each.why for each in planned.problems]
    assert jobs[coming.job.key].what == "Fee, cancelled"


FREE = AGREED_AT + timedelta(days=1)  # more than five working days before the shoot


@pytest.mark.parametrize("is_paid", [True, False])
def test_the_deposit_of_a_shoot_cancelled_free_of_charge_is_held_back_until_it_is_credited(is_paid):
    estimate = agreed(terms={"deposit_percent": D(30)})
    first = deposit(estimate)
    if is_paid:
        record_payment(first, amount=first.to_pay, received_on=date(2026, 10, 29), at=MONTH_END)
    call_off_shoot(estimate, kind="cancelled", reason="Kitchen flooded", by="Tindra", at=FREE)
    (held,) = plan()[1].held_back
    assert (held.why, held.job.deposits[0].key) == (Why.DEPOSIT_TO_GIVE_BACK, str(first.pk))
    assert ("go back to the client" in held.sentence, first.number in held.sentence) == (is_paid, True)
    with pytest.raises(JobHeldBack, match=first.number):
        bill_job(held.job.key, issued_on=DAY, at=MONTH_END)
    cancel_by_credit_note(first, reason="Cancelled in time", at=MONTH_END)
    assert jobs_to_bill(DAY) == {}


def test_a_cost_spent_for_a_shoot_cancelled_free_of_charge_is_billed_less_the_deposit():
    estimate = agreed(terms={"deposit_percent": D(30)})
    first = deposit(estimate)
    call_off_shoot(estimate, kind="cancelled", reason="Kitchen flooded", by="Tindra", at=FREE)
    cost(estimate)
    (coming,) = plan()[1].invoices
    assert ([str(line.net) for line in coming.lines], coming.totals.prepaid) == (["64.80"], first.gross)


def test_two_jobs_of_a_shoot_bear_each_its_own_order_number():
    first = accepted(order_number="PO-1")
    second = beside(first, order_number="PO-2")
    done(first)
    jobs = plan()[0]
    assert {key: each.job.order_number for key, each in jobs.items()} == {
        f"estimate:{first.number}": "PO-1",
        f"estimate:{second.number}": "PO-2",
    }


def test_a_shoot_with_two_jobs_gives_both_deposits_back():
    first = accepted()
    second = beside(first)
    papers = [deposit(first), deposit(second)]
    call_off_shoot(second, kind="cancelled", reason="Kitchen flooded", by="Tindra", at=FREE)
    (held,) = plan()[1].held_back
    assert [each.number for each in held.job.deposits] == [each.number for each in papers]


def test_a_job_belongs_to_its_shoot():
    estimate = agreed()
    fee = call_off_shoot(
        estimate, kind="postponed", reason="Kitchen flooded", by="", at=FREE, new_first_on=date(2026, 12, 12)
    )
    shoot = estimate.shoot_id
    keys = (f"estimate:{estimate.number}", f"cancellation:{fee.pk}", f"shoot:{shoot}")
    assert [shoot_of_job(key) for key in keys] == [shoot] * 3
    licence = licences.granted()
    assert shoot_of_job(f"licence:{licence.pk}") == licence.shoot_id
    assert [shoot_of_job(key) for key in ("estimate:none", "licence:x", "", "supper:3")] == [None] * 4


def test_fees_and_licences_cost_the_same_queries_for_one_and_for_three(django_assert_max_num_queries):
    def fee_and_licence():
        at = AGREED_AT.replace(month=11, day=13)
        call_off_shoot(agreed(), kind="cancelled", reason="Kitchen flooded", by="Tindra", at=at)
        licences.granted()

    fee_and_licence()
    with django_assert_max_num_queries(100) as one:
        assert len(jobs_to_bill(DAY)) == 2
    fee_and_licence()
    fee_and_licence()
    with django_assert_max_num_queries(len(one)):
        assert len(jobs_to_bill(DAY)) == 6


def test_jobs_with_all_that_belongs_to_them_cost_the_same_queries_for_one_and_for_three_drafts_included(
    django_assert_max_num_queries,
):
    """A row fetches what a job reads: a field left out would be fetched again for each job."""

    def jobs():
        estimate = agreed(lines=(*LINES, GROCERIES), terms={"deposit_percent": D(40)})
        deposit(estimate)
        done(estimate)
        groceries = estimate.accepted_option.lines.get(what="Groceries")
        CapRaise.objects.create(estimate=estimate, line=groceries, amount_net=D(90), state="agreed", asked_at=MONTH_END)
        cost(estimate, line_what="Groceries")
        JourneyFactory(shoot=estimate.shoot, charge="at_cost", travelled_on=date(2026, 11, 13))
        own = done(title="Not agreed")
        Estimate.objects.filter(pk=own.pk).update(state="superseded")
        cost(own)

    def drafts():
        found, planned = plan()
        return [draft_of(found[each.job.key], each) for each in planned.invoices]

    jobs()
    with django_assert_max_num_queries(100) as one:
        assert len(drafts()) == 2
    jobs()
    jobs()
    with django_assert_max_num_queries(len(one)):
        assert len(drafts()) == 6


def test_a_billed_job_is_gone_and_a_cancelled_invoice_brings_it_back():
    estimate = done()
    key = f"estimate:{estimate.number}"
    invoice = bill_job(key, issued_on=DAY, at=MONTH_END)
    assert jobs_to_bill(DAY) == {}
    cancel_by_credit_note(invoice, reason="", at=MONTH_END)
    assert list(jobs_to_bill(DAY, key=key)) == [key]


def test_a_paid_licence_is_billed_again_once_its_invoice_is_cancelled_and_not_before():
    key = f"licence:{licences.granted().pk}"
    first = bill_job(key, issued_on=DAY, at=MONTH_END)
    record_payment(first, amount=first.to_pay, received_on=DAY, at=MONTH_END)
    assert key not in jobs_to_bill(DAY)
    for reason in ("Wrong address", "Wrong order number"):
        cancel_by_credit_note(first, reason=reason, at=MONTH_END)
        assert list(jobs_to_bill(DAY)) == [key]
        first = bill_job(key, issued_on=DAY, at=MONTH_END)
    assert key not in jobs_to_bill(DAY)


@pytest.mark.parametrize(
    ("profile", "said"),
    [
        (
            {"is_small_business": True},
            "It was agreed with 19% VAT. By your profile and the client’s entry it would carry no VAT (small business) now. It is billed as agreed.",
        ),
        (
            {"tax_percent": D(21)},
            "It was agreed with 19% VAT. By your profile and the client’s entry it would carry 21% VAT now. It is billed as agreed.",
        ),
    ],
)
def test_a_profile_changed_between_the_yes_and_the_invoice_is_a_question(profile, said):
    estimate = done()
    BusinessProfileFactory(valid_from=NOVEMBER, **profile)
    planned = plan()[1]
    (problem,) = planned.problems
    assert (problem.job_key, problem.why, problem.sentence) == (f"estimate:{estimate.number}", Why.TAX_CHANGED, said)
    assert planned.invoices[0].totals.tax == D("216.60")


def test_a_fee_agreed_with_other_vat_is_a_question_too():
    estimate = agreed()
    call_off_shoot(
        estimate, kind="cancelled", reason="Kitchen flooded", by="Tindra", at=AGREED_AT.replace(month=11, day=13)
    )
    BusinessProfileFactory(valid_from=NOVEMBER, is_small_business=True)
    assert [each.why for each in plan()[1].problems] == [Why.TAX_CHANGED, Why.QUESTION]


def test_a_receipt_in_the_clients_name_keeps_without_vat_under_a_line_with_it():
    estimate = done(agreed(lines=(*LINES, GROCERIES)))
    laid_out = cost(estimate, "40", "6.39", line_what="Groceries", charge="disbursement")
    (coming,) = plan()[1].invoices
    assert [(each.net, each.rate) for each in coming.lines if each.cost_keys] == [(D("40.00"), 0)]
    invoice = bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    laid_out.refresh_from_db()
    assert laid_out.billed_on == invoice.number


def test_the_costs_page_and_the_invoice_agree_on_a_cap_with_mark_up():
    estimate = done(agreed(lines=(*LINES, {**GROCERIES, "unit_price": D(100), "markup_percent": D(20)})))
    cost(estimate, "115", "0", line_what="Groceries")
    (coming,) = plan()[1].invoices
    assert [each.net for each in coming.lines if each.cost_keys] == [D("115.00")]
    assert caps_of(estimate.shoot)[0]["capped"].billed == D("115.00")


def test_an_order_number_asked_for_and_particulars_missing_hold_back():
    done(agreed(client=ClientFactory(name="Salt Barn", street="")))
    (held,) = plan()[1].held_back
    assert held.why == Why.PARTICULARS
