from datetime import date
from decimal import Decimal

import pytest

from billing.estimates.models import Estimate
from billing.expenses.actions import (
    CapRaiseRefused,
    CostIsBilled,
    CostWasBilled,
    answer_for_more,
    ask_for_more,
    change_expense,
    orderer_of,
    record_expense,
    record_journey,
    remove_expense,
    remove_journey,
)
from billing.expenses.models import CapRaise, Expense, Journey
from billing.expenses.queries import caps_of
from billing.invoices.actions import cancel_by_credit_note
from billing.months.actions import bill_job
from shared.edits import EditedMeanwhile
from shared.errors import Refusal
from shared.evidence.models import Evidence
from shared.files.refusals import FileTypeRefused
from shared.links.models import PrivateLink
from shared.outbox.models import Message
from shared.states import MoveRefused
from tests.factories.expenses import AT, ExpenseFactory, JourneyFactory, MileageRateFactory, capped_line
from tests.factories.invoices import DAY, GROCERIES, LINES, MONTH_END, agreed, cost, done
from tests.factories.shared import BusinessProfileFactory

pytestmark = pytest.mark.django_db
BOUGHT = {"what": "Walnuts", "spent_on": date(2026, 11, 13), "gross": Decimal("10.70"), "tax": Decimal("0.70")}


def test_a_cost_keeps_its_receipt():
    expense = record_expense(**BOUGHT, receipt=b"%PDF-1.4 a till roll", receipt_name="till.pdf", at=AT)
    assert expense.receipt.read_bytes() == b"%PDF-1.4 a till roll"


def test_a_receipt_that_is_a_script_is_refused_and_no_cost_is_written():
    with pytest.raises(FileTypeRefused):
        record_expense(**BOUGHT, receipt=b"#!/bin/sh\nrm", receipt_name="till.pdf", at=AT)
    assert not Expense.objects.exists()


def test_a_cost_on_an_invoice_does_not_change_or_go():
    expense = ExpenseFactory(billed_on="2026-035")
    with pytest.raises(CostIsBilled, match="2026-035"):
        change_expense(expense, {"what": "Other"}, version=1, at=AT)
    with pytest.raises(CostIsBilled):
        remove_expense(expense, at=AT)
    assert Expense.objects.get().what == expense.what


def test_a_stale_correction_is_told():
    expense = ExpenseFactory()
    change_expense(expense, {"what": "Fig leaves"}, version=1, at=AT)
    with pytest.raises(EditedMeanwhile):
        change_expense(expense, {"what": "Figs"}, version=1, at=AT)
    assert Expense.objects.get().what == "Fig leaves"


def test_what_is_taken_off_the_books_stays_in_the_evidence():
    remove_expense(ExpenseFactory(what="Twice recorded"), at=AT)
    remove_journey(JourneyFactory(), at=AT)
    assert not Expense.objects.exists()
    assert not Journey.objects.exists()
    assert [row.kind for row in Evidence.objects.all()] == ["removed", "removed"]


def test_a_journey_counts_by_the_rate_of_its_day():
    BusinessProfileFactory()
    MileageRateFactory()
    MileageRateFactory(valid_from=date(2026, 12, 1), rate=Decimal("0.40"))
    journey = record_journey(
        travelled_on=date(2026, 11, 14),
        from_place="Studio",
        to_place="Kitchen",
        distance=Decimal(46),
        rate_name="Car",
        at=AT,
    )
    assert journey.allowance == Decimal("13.80")


def test_a_journey_before_any_rate_says_what_to_do():
    BusinessProfileFactory()
    MileageRateFactory()
    with pytest.raises(Refusal, match="Enter the rate"):
        record_journey(
            travelled_on=date(2025, 11, 14), from_place="A", to_place="B", distance=Decimal(1), rate_name="Car", at=AT
        )


def driven(on, distance=20):
    """A journey recorded today, in a year where 20 km count 0.30 and what is above 0.38."""
    BusinessProfileFactory()
    MileageRateFactory(threshold=20, rate_above=Decimal("0.38"))
    return record_journey(
        travelled_on=on, from_place="Studio", to_place="Kitchen", distance=Decimal(distance), rate_name="Car", at=AT
    )


def counted():
    return dict(Journey.objects.order_by("travelled_on", "pk").values_list("travelled_on", "allowance"))


def test_a_journey_recorded_late_fills_the_band_before_later_ones():
    driven(date(2026, 3, 2))
    assert driven(date(2026, 2, 2)).allowance == Decimal("6.00")
    assert counted() == {date(2026, 2, 2): Decimal("6.00"), date(2026, 3, 2): Decimal("7.60")}


def test_taking_a_journey_off_gives_its_band_to_later_ones_of_that_year_only():
    first = driven(date(2026, 2, 2))
    driven(date(2026, 3, 2))
    driven(date(2027, 1, 2))
    remove_journey(first, at=AT)
    assert counted() == {date(2026, 3, 2): Decimal("6.00"), date(2027, 1, 2): Decimal("6.00")}


def test_what_an_earlier_journey_counts_for_stays_as_it_was_reckoned():
    first = driven(date(2026, 2, 2))
    Journey.objects.filter(pk=first.pk).update(allowance=Decimal("5.00"))  # by a rate that was corrected since
    driven(date(2026, 3, 2))
    assert counted() == {date(2026, 2, 2): Decimal("5.00"), date(2026, 3, 2): Decimal("7.60")}


def test_two_journeys_of_one_day_fill_the_band_once():
    assert (driven(date(2026, 3, 2)).allowance, driven(date(2026, 3, 2)).allowance) == (
        Decimal("6.00"),
        Decimal("7.60"),
    )


def test_the_client_is_asked_by_private_link_and_their_yes_raises_the_cap():
    line = capped_line("60.00")
    ExpenseFactory(shoot=line.option.estimate.shoot, estimate_line=line, gross=Decimal("86.16"), tax=Decimal("13.76"))
    [cap] = caps_of(line.option.estimate.shoot)
    assert (cap["capped"].billed, cap["capped"].excess) == (Decimal("60.00"), Decimal("12.40"))
    asked = ask_for_more(line, amount_net=Decimal("72.40"), why="Figs were dear.", at=AT)
    assert (
        Message.objects.get(about=f"cap_raise:{asked.pk}").to == orderer_of(line.option.estimate.shoot.client_id).email
    )
    answer_for_more(asked, is_agreed=True, name="Maro Lantadze", at=AT)
    [cap] = caps_of(line.option.estimate.shoot)
    assert (cap["capped"].billed, cap["capped"].excess) == (Decimal("72.40"), Decimal(0))


def test_a_no_leaves_the_cap_and_is_final():
    line = capped_line("60.00")
    asked = ask_for_more(line, amount_net=Decimal("72.40"), why="Figs", at=AT)
    answer_for_more(asked, is_agreed=False, name="Maro Lantadze", at=AT)
    with pytest.raises(MoveRefused):
        answer_for_more(asked, is_agreed=True, name="Maro Lantadze", at=AT)
    assert CapRaise.objects.get().state == "refused"


def test_asking_again_calls_the_earlier_question_back():
    line = capped_line("60.00")
    first = ask_for_more(line, amount_net=Decimal("70.00"), why="Figs", at=AT)
    ask_for_more(line, amount_net=Decimal("72.40"), why="Figs again", at=AT)
    first.refresh_from_db()
    assert first.state == "called_back"
    assert PrivateLink.objects.get(subject=f"cap_raise:{first.pk}").called_back_at == AT


def test_nobody_is_asked_for_what_is_agreed():
    with pytest.raises(CapRaiseRefused):
        ask_for_more(capped_line("60.00"), amount_net=Decimal("60.00"), why="", at=AT)


def test_with_a_mark_up_that_was_agreed_too_nobody_is_asked():
    with pytest.raises(CapRaiseRefused):
        ask_for_more(capped_line("100.00", markup_percent=Decimal(20)), amount_net=Decimal("110.00"), why="Figs", at=AT)


@pytest.mark.usefixtures("quick_papers")
def test_a_cost_that_a_cancelled_invoice_names_is_kept_and_said_so():
    estimate = done(agreed(lines=(*LINES, GROCERIES)))
    named = cost(estimate, "40", "0", line_what="Groceries")
    way = JourneyFactory(shoot=estimate.shoot, charge="at_cost", charge_rate=Decimal("0.42"))
    Estimate.objects.filter(pk=estimate.pk).update(promise="tolerance", tolerance_percent=50)
    invoice = bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    cancel_by_credit_note(invoice, reason="Wrong address", at=MONTH_END)
    for remove, row in ((remove_expense, named), (remove_journey, way)):
        row.refresh_from_db()
        with pytest.raises(CostWasBilled):
            remove(row, at=MONTH_END)
    assert (Expense.objects.count(), Journey.objects.count()) == (1, 1)
    assert not Evidence.objects.filter(kind="removed").exists()
