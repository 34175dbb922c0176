from dataclasses import replace
from datetime import date
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.estimates.terms import PriceKind
from billing.jobs.plan import (
    AgreedLine,
    Billable,
    InvalidPlan,
    IssuedDeposit,
    Job,
    Question,
    RecordedCost,
    Source,
    Why,
    plan_job,
    plan_month,
)
from billing.sums.tax import Reason, TaxCase
from billing.sums.totals import Category, tax_group

STANDARD = TaxCase(Category.STANDARD, D(19))
END = date(2026, 11, 30)
SHOT = date(2026, 11, 14)


def line(key: str, what: str, quantity: str, price: str, **more: object) -> AgreedLine:
    return AgreedLine(key=key, what=what, quantity=D(quantity), unit_price=D(price), **more)  # type: ignore[arg-type]


def cost(key: str, net: str, line_key: str = "", **more: object) -> RecordedCost:
    return RecordedCost(key=key, what=f"Receipt {key}", spent_on=SHOT, net=D(net), line_key=line_key, **more)  # type: ignore[arg-type]


WINTER_MENU = Job(
    key="shoot:1",
    client="Walnut Lantern",
    title="Winter menu",
    tax=STANDARD,
    shot_on=SHOT,
    delivered_on=date(2026, 11, 24),
    lines=(
        line("1", "Getting ready", "4", "65", unit="hour"),
        line("2", "Day on set", "1", "780", unit="day"),
        line("3", "Finishing", "3.75", "60", unit="hour"),
        line("4", "Licence", "9", "60", unit="picture"),
        line("5", "Kitchen hand", "1", "190", unit="day", is_at_cost=True),
        line("6", "Groceries and props", "1", "120", is_at_cost=True, is_at_most=True),
        line("7", "Travel", "46", "0.42", unit="kilometre"),
    ),
    costs=(cost("a", "41.30", "6"), cost("b", "23.50", "6")),
    deposits=(
        IssuedDeposit(
            number="2026-030",
            issued_on=date(2026, 10, 22),
            groups=(tax_group(Category.STANDARD, D(19), D("853.73")),),
            paid=D("1015.94"),
            paid_on=date(2026, 10, 29),
        ),
    ),
)
SMALL = Job(key="shoot:2", client="Oystercatcher Pantry", title="Smoked fish tins", tax=STANDARD, lines=(line("1", "Day on set", "1", "780"),), delivered_on=date(2026, 11, 6))  # fmt: skip
ESTIMATED = replace(SMALL, promise=PriceKind.TOLERANCE, tolerance_percent=D(10))


def test_the_winter_menu_is_billed_as_the_paper_says() -> None:
    plan = plan_job(WINTER_MENU, issued_on=END)
    (invoice,) = plan.invoices
    assert [str(each.net) for each in invoice.lines] == [
        "260.00",
        "780.00",
        "225.00",
        "540.00",
        "190.00",
        "64.80",
        "19.32",
    ]
    assert (invoice.totals.net, invoice.totals.tax, invoice.totals.gross) == (D("2079.12"), D("395.03"), D("2474.15"))
    assert (invoice.totals.prepaid, invoice.to_pay) == (D("1015.94"), D("1458.21"))
    assert [(group.base, group.tax) for group in invoice.left] == [(D("1225.39"), D("232.82"))]
    assert (invoice.due_on, invoice.supplied_on) == (date(2026, 12, 14), SHOT)
    groceries = invoice.lines[5]
    assert (groceries.source, groceries.receipts, groceries.cap, groceries.cost_keys) == (
        Source.CAPPED_COST,
        2,
        D("120.00"),
        ("a", "b"),
    )
    assert plan.problems == plan.held_back == ()
    assert plan_month([WINTER_MENU], issued_on=END).to_pay() == {"EUR": D("1458.21")}
    assert plan_month([WINTER_MENU], issued_on=END).tax() == {("EUR", D(19)): D("232.82")}


def test_a_capped_cost_is_never_billed_above_what_was_agreed() -> None:
    groceries = line("2", "Groceries", "1", "60", is_at_cost=True, is_at_most=True)
    job = replace(SMALL, lines=(*SMALL.lines, groceries), costs=(cost("a", "72.40", "2"),))
    plan = plan_job(job, issued_on=END)
    assert plan.invoices[0].totals.net == D("840.00")
    (problem,) = plan.problems
    assert (problem.why, problem.agreed, problem.actual, problem.line_key) == (
        Why.ABOVE_CAP,
        D("60.00"),
        D("72.40"),
        "2",
    )
    assert (
        problem.sentence
        == "Groceries came to €72.40, net of recoverable VAT. The client agreed at most €60.00, so €60.00 is billed."
    )
    assert problem.way_round == "Ask the client to agree €72.40"


def test_a_cap_the_client_has_raised_is_billed_up_to_the_new_yes() -> None:
    groceries = line("2", "Groceries", "1", "60", is_at_most=True, raised_to=(D("72.40"),))
    plan = plan_job(replace(SMALL, lines=(*SMALL.lines, groceries), costs=(cost("a", "72.40", "2"),)), issued_on=END)
    assert plan.invoices[0].totals.net == D("852.40")
    assert plan.problems == ()


def test_a_capped_cost_without_a_receipt_is_not_billed_and_said() -> None:
    plan = plan_job(replace(WINTER_MENU, costs=()), issued_on=END)
    assert [each.why for each in plan.problems] == [Why.NO_COST_RECORDED]
    assert "6" not in [each.line_key for each in plan.invoices[0].lines]


def test_a_fixed_price_takes_no_extras() -> None:
    plan = plan_job(replace(SMALL, costs=(cost("a", "25.00"),)), issued_on=END)
    assert plan.invoices[0].totals.net == D("780.00")
    assert [(each.why, each.actual) for each in plan.problems] == [(Why.NOT_IN_FIXED_PRICE, D("25.00"))]
    assert plan.invoices[0].cost_keys == ()


def test_an_estimate_takes_extras_up_to_its_tolerance() -> None:
    plan = plan_job(replace(ESTIMATED, costs=(cost("a", "70.00"), cost("b", "8.01"), cost("c", "8.00"))), issued_on=END)
    assert plan.invoices[0].totals.net == D("858.00")
    assert plan.invoices[0].cost_keys == ("a", "c")
    assert [(each.why, each.actual) for each in plan.problems] == [(Why.ABOVE_PROMISE, D("8.01"))]


def test_an_estimate_bills_costs_passed_on_as_they_came() -> None:
    hand = line("2", "Kitchen hand", "1", "190", is_at_cost=True)
    job = replace(ESTIMATED, lines=(*ESTIMATED.lines, hand))
    cheaper = plan_job(replace(job, costs=(cost("a", "150.00", "2"),)), issued_on=END)
    dearer = plan_job(replace(job, costs=(cost("a", "287.00", "2"),)), issued_on=END)
    too_dear = plan_job(replace(job, costs=(cost("a", "287.01", "2"),)), issued_on=END)
    assert [each.invoices[0].totals.net for each in (cheaper, dearer, too_dear)] == [
        D("930.00"),
        D("1067.00"),
        D("970.00"),
    ]
    assert [each.why for each in too_dear.problems] == [Why.ABOVE_PROMISE]
    fixed = plan_job(replace(job, promise=PriceKind.FIXED, costs=(cost("a", "150.00", "2"),)), issued_on=END)
    assert fixed.invoices[0].totals.net == D("970.00")


def test_money_laid_out_stands_apart_and_without_tax() -> None:
    plan = plan_job(replace(SMALL, costs=(cost("a", "120.00", is_disbursement=True),)), issued_on=END)
    (invoice,) = plan.invoices
    assert [(group.category, group.base, group.tax) for group in invoice.totals.groups] == [
        ("S", D("780.00"), D("148.20")),
        ("E", D("120.00"), D("0.00")),
    ]
    assert plan.problems == ()


def test_a_disbursement_that_was_agreed_is_billed_as_it_came() -> None:
    permit = line("2", "Permit", "1", "100", is_disbursement=True)
    job = replace(SMALL, lines=(*SMALL.lines, permit))
    assert plan_job(job, issued_on=END).invoices[0].totals.net == D("880.00")
    spent = plan_job(replace(job, costs=(cost("a", "112.00", "2", is_disbursement=True),)), issued_on=END)
    assert spent.invoices[0].totals.net == D("892.00")


def test_a_job_outside_the_scope_of_tax_has_one_group() -> None:
    job = replace(
        SMALL,
        tax=TaxCase(Category.OUTSIDE_SCOPE, D(0), Reason.OUTSIDE_SCOPE),
        costs=(cost("a", "120.00", is_disbursement=True),),
    )
    assert [group.category for group in plan_job(job, issued_on=END).invoices[0].totals.groups] == ["O"]


def test_a_mark_up_and_a_discount_reach_the_invoice() -> None:
    kit = line("2", "Kit", "3", "33.33", markup_percent=D(15), is_at_cost=True)
    job = replace(SMALL, lines=(*SMALL.lines, kit), discount_percent=D(10), discount_reason="Regular client")
    (invoice,) = plan_job(job, issued_on=END).invoices
    assert [(each.quantity, each.unit_price, each.net) for each in invoice.lines][1] == (1, D("114.99"), D("114.99"))
    assert (invoice.discount, invoice.totals.net) == (D("78.00"), D("816.99"))


def test_own_work_at_most_is_discounted_as_on_the_estimate() -> None:
    """Kit and groceries passed on at most are not: a discount is taken off own work."""
    retouching = line("2", "Retouching, at most", "1", "100", is_at_most=True)
    groceries = line("3", "Groceries", "1", "60", is_at_most=True, is_at_cost=True)
    job = replace(
        SMALL,
        lines=(*SMALL.lines, retouching, groceries),
        costs=(cost("a", "100", "2"), cost("b", "60", "3")),
        discount_percent=D(10),
    )
    (invoice,) = plan_job(job, issued_on=END).invoices
    assert (invoice.discount, invoice.totals.net) == (D("88.00"), D("852.00"))


def kinds(job: Job) -> list[tuple[str, D, Source, tuple[str, ...]]]:
    (invoice,) = plan_job(job, issued_on=END).invoices
    return [(str(each.net), each.rate, each.source, each.cost_keys) for each in invoice.lines if each.cost_keys]


def test_costs_of_the_other_kind_under_a_line_stand_apart_with_their_own_tax() -> None:
    laid_out, taxed = cost("a", "40", "2", is_disbursement=True), cost("b", "15", "2")
    capped = line("2", "Groceries", "1", "60", is_at_most=True, is_at_cost=True)
    assert kinds(replace(SMALL, lines=(*SMALL.lines, capped), costs=(laid_out, taxed))) == [
        ("15", D(19), Source.CAPPED_COST, ("b",)),
        ("40", D(0), Source.DISBURSEMENT, ("a",)),
    ]
    permit = line("2", "Permit", "1", "60", is_disbursement=True)
    assert kinds(replace(SMALL, lines=(*SMALL.lines, permit), costs=(laid_out, taxed))) == [
        ("40", D(0), Source.DISBURSEMENT, ("a",)),
        ("15", D(19), Source.COST, ("b",)),
    ]
    helper = line("2", "Kitchen hand", "1", "60", is_at_cost=True)
    assert kinds(replace(ESTIMATED, lines=(*SMALL.lines, helper), costs=(laid_out, taxed))) == [
        ("15", D(19), Source.COST, ("b",)),
        ("40", D(0), Source.DISBURSEMENT, ("a",)),
    ]


def test_a_cap_holds_over_both_kinds_together() -> None:
    capped = line("2", "Groceries", "1", "60", is_at_most=True, is_at_cost=True)
    costs = (cost("a", "40", "2", is_disbursement=True), cost("b", "50", "2"))
    job = replace(SMALL, lines=(*SMALL.lines, capped), costs=costs)
    assert [net for net, *_ in kinds(job)] == ["50", "10.00"]
    assert [each.why for each in plan_job(job, issued_on=END).problems] == [Why.ABOVE_CAP]


def test_vat_that_changed_since_the_yes_is_said_and_billed_as_agreed() -> None:
    question = Question("It was agreed with 19% VAT.", "Ask", Why.TAX_CHANGED)
    plan = plan_job(replace(SMALL, questions=(question,)), issued_on=END)
    assert [(each.why, each.sentence) for each in plan.problems] == [(Why.TAX_CHANGED, "It was agreed with 19% VAT.")]
    assert plan.invoices[0].totals.tax == D("148.20")


def test_a_job_waits_until_its_terms_are_met() -> None:
    shot = replace(WINTER_MENU, delivered_on=None, pictures_sent=5, pictures_agreed=8)
    (held,) = plan_job(shot, issued_on=END).held_back
    assert (held.why, held.sentence, held.way_round) == (
        Why.NOT_DELIVERED,
        "Not delivered. 5 of 8 pictures have gone out.",
        "Open the delivery",
    )
    assert held.to_pay == D("1458.21")
    assert plan_job(replace(shot, billable=Billable.SHOT), issued_on=END).invoices[0].to_pay == D("1458.21")
    assert (
        plan_job(replace(WINTER_MENU, delivered_on=date(2026, 12, 1)), issued_on=END).held_back[0].why
        == Why.NOT_DELIVERED
    )
    to_come = replace(WINTER_MENU, shot_on=date(2026, 12, 4), delivered_on=None)
    assert plan_job(to_come, issued_on=END) == plan_month([], issued_on=END)


def test_a_client_with_order_numbers_is_not_billed_without_one() -> None:
    (held,) = plan_job(replace(SMALL, needs_order_number=True), issued_on=END).held_back
    assert (held.why, held.way_round, held.to_pay) == (Why.NO_ORDER_NUMBER, "Enter the order number", D("928.20"))
    assert plan_job(replace(SMALL, needs_order_number=True, order_number="4711"), issued_on=END).invoices


def test_an_invoice_that_would_not_be_legal_is_held_back() -> None:
    (held,) = plan_job(replace(SMALL, missing=("Your IBAN is missing.",)), issued_on=END).held_back
    assert (held.why, held.sentence) == (Why.PARTICULARS, "Your IBAN is missing.")


def test_a_job_without_an_estimate_bills_its_costs_or_waits() -> None:
    bare = replace(SMALL, lines=())
    assert [each.why for each in plan_job(bare, issued_on=END).held_back] == [Why.NOTHING_AGREED]
    assert plan_job(replace(bare, costs=(cost("a", "25.00"),)), issued_on=END).invoices[0].totals.net == D("25.00")


def test_a_renewed_licence_is_billed_when_it_was_agreed() -> None:
    renewal = Job(key="licence:9", client="Walnut Lantern", title="Renewal, 12 pictures", tax=STANDARD, billable=Billable.AGREED, agreed_on=date(2026, 11, 3), lines=(line("1", "Licence, 1 year", "12", "45"),))  # fmt: skip
    (invoice,) = plan_job(renewal, issued_on=END).invoices
    assert (invoice.to_pay, invoice.supplied_on) == (D("642.60"), date(2026, 11, 3))
    assert plan_job(replace(renewal, agreed_on=None), issued_on=END) == plan_month([], issued_on=END)
    assert plan_job(replace(renewal, lines=(line("1", "Cancellation", "1", "0"),)), issued_on=END) == plan_month(
        [], issued_on=END
    )


def test_an_unpaid_deposit_is_deducted_and_said() -> None:
    unpaid = replace(WINTER_MENU, deposits=(replace(WINTER_MENU.deposits[0], paid=D("15.94"), paid_on=None),))
    plan = plan_job(unpaid, issued_on=END)
    assert plan.invoices[0].to_pay == D("1458.21")
    (problem,) = plan.problems
    assert (problem.why, problem.actual) == (Why.DEPOSIT_UNPAID, D("15.94"))
    assert "€1,000.00 is open" in problem.sentence


def test_a_deposit_above_the_job_is_paid_back() -> None:
    plan = plan_job(replace(SMALL, deposits=WINTER_MENU.deposits), issued_on=END)
    assert plan.invoices[0].to_pay == D("-87.74")
    assert [each.way_round for each in plan.problems] == ["Pay back €87.74"]


def test_costs_of_next_month_wait_for_the_next_run() -> None:
    late = replace(cost("c", "10.00", "6"), spent_on=date(2026, 12, 1))
    plan = plan_job(replace(WINTER_MENU, costs=(*WINTER_MENU.costs, late)), issued_on=END)
    assert plan.invoices[0].cost_keys == ("a", "b")


def test_the_same_key_twice_is_the_callers_mistake() -> None:
    with pytest.raises(InvalidPlan):
        plan_month([SMALL, SMALL], issued_on=END)
    with pytest.raises(InvalidPlan):
        plan_job(replace(SMALL, lines=SMALL.lines * 2), issued_on=END)


@given(
    st.permutations(
        [
            WINTER_MENU,
            SMALL,
            replace(SMALL, key="shoot:3", title="Rye week"),
            replace(ESTIMATED, key="shoot:4", needs_order_number=True),
        ]
    )
)
def test_the_plan_does_not_depend_on_the_order_of_jobs(jobs: list[Job]) -> None:
    plan = plan_month(jobs, issued_on=END)
    assert [invoice.job.key for invoice in plan.invoices] == ["shoot:2", "shoot:3", "shoot:1"]
    assert [held.job.key for held in plan.held_back] == ["shoot:4"]


amounts = st.integers(0, 50000).map(lambda each: D(each) / 100)


@given(
    st.lists(st.tuples(amounts, st.booleans(), st.booleans(), amounts), min_size=1, max_size=5),
    st.lists(amounts, max_size=3),
    st.sampled_from(PriceKind),
)
def test_no_job_is_ever_billed_above_its_promise(
    spec: list[tuple[D, bool, bool, D]], extras: list[D], promise: PriceKind
) -> None:
    lines = [
        line(str(index), "Line", "1", str(net), is_at_most=at_most, is_at_cost=at_most or at_cost)
        for index, (net, at_most, at_cost, _) in enumerate(spec)
    ]
    costs = [cost(f"l{index}", str(spent), str(index)) for index, (_, _, _, spent) in enumerate(spec)]
    costs += [cost(f"x{index}", str(net)) for index, net in enumerate(extras)]
    job = replace(SMALL, lines=tuple(lines), costs=tuple(costs), promise=promise, tolerance_percent=D(10))
    for invoice in plan_job(job, issued_on=END).invoices:
        agreed = sum(each.net for each in lines)
        assert invoice.totals.net <= (agreed if promise == PriceKind.FIXED else agreed * D("1.1") + D("0.01"))
        for planned in invoice.lines:
            assert planned.cap is None or planned.net <= planned.cap


def called_off(**also: object) -> Job:
    """A shoot called off, nothing of which is billed so far."""
    off = replace(WINTER_MENU, key="cancellation:1", lines=(), costs=(), billable=Billable.AGREED, agreed_on=END)
    return replace(off, **also)  # type: ignore[arg-type]


def test_a_deposit_of_a_job_that_comes_to_nothing_goes_back() -> None:
    (held,) = plan_job(called_off(), issued_on=END).held_back
    assert held.why == Why.DEPOSIT_TO_GIVE_BACK
    assert held.sentence.replace("\u00a0", " ") == (
        "Nothing is to be billed: €1,015.94 paid on deposit 2026-030 go back to the client."
    )
    assert held.way_round == "Cancel deposit 2026-030 by credit note"


def test_a_deposit_nobody_paid_is_not_owed_any_more_when_the_job_comes_to_nothing() -> None:
    (unpaid,) = (replace(each, paid=D(0), paid_on=None) for each in WINTER_MENU.deposits)
    (held,) = plan_job(called_off(deposits=(unpaid,)), issued_on=END).held_back
    assert held.sentence == "Nothing is to be billed, so deposit 2026-030 is not owed any more."


def test_a_job_called_off_without_deposit_or_cost_is_not_mentioned() -> None:
    plan = plan_job(called_off(deposits=()), issued_on=END)
    assert (plan.invoices, plan.held_back) == ((), ())
