import threading
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import connection

from billing.estimates import actions as drafting
from billing.estimates.adding_up import sums_with
from billing.estimates.models import CancellationFee, Estimate, EstimateLine, EstimateState
from billing.estimates.snapshot import accepted_from_json, estimate_from_json
from billing.invoices.actions import cancel_by_credit_note
from billing.months.actions import bill_job
from billing.orders import actions
from shared.errors import Refusal
from shared.evidence.models import Evidence
from shared.evidence.queries import first_broken_link
from shared.links.models import PrivateLink
from shared.outbox.models import Job, Message
from shoots.brief.actions import cancel_shoot
from shoots.brief.models import AgreedPicture, Shoot
from shoots.licences.models import Licence
from tests.factories.billing import AT, accepted, add_line, beside, drafted, sent
from tests.factories.clients import ClientFactory
from tests.factories.invoices import DAY, MONTH_END, done
from tests.factories.shoots import AgreedPictureFactory

pytestmark = pytest.mark.django_db


def test_sending_freezes_the_estimate_pencils_the_shoot_and_writes_to_the_client():
    estimate = sent()
    message = Message.objects.get()

    assert estimate.state == EstimateState.SENT
    assert estimate.paper.read_bytes().startswith(b"%PDF")
    assert estimate_from_json(estimate.snapshot).options[0].letter == "A"
    assert Shoot.objects.get().state == "pencilled"
    assert (message.to, list(message.attachments.all())) == ("maro@walnutlantern.example", [estimate.paper])
    assert PrivateLink.objects.get().purpose == "estimate"
    assert list(Evidence.objects.values_list("kind", flat=True)) == ["issued"]
    with pytest.raises(drafting.EstimateNotDraft):
        drafting.save_estimate(estimate, fields=["opening"], version=estimate.version, options=[], at=AT)


def test_what_is_missing_is_said_before_anything_is_sent():
    estimate = drafted()
    Estimate.objects.update(valid_until=AT.date() - timedelta(days=1))
    add_line(estimate.options.get(), what="Groceries", unit_price=Decimal(0))
    with pytest.raises(actions.EstimateIncomplete) as refusal:
        sent(Estimate.objects.get())
    assert refusal.value.missing == (
        "It was valid until 27\xa0Oct\xa02026. Enter a later day.",
        "“Groceries” in option A has no sum yet.",
    )
    assert Estimate.objects.get().state == EstimateState.DRAFT
    assert not Message.objects.exists()


def test_an_exclusive_licence_is_not_offered_without_the_photographers_signature():
    estimate = drafted(exclusivity="trade")
    with pytest.raises(actions.EstimateIncomplete, match="signature"):
        sent(estimate)
    assert sent(estimate, signed_by="Tindra Aldermoor").signed_by == "Tindra Aldermoor"


def test_a_reminder_goes_out_once_a_day():
    estimate = sent()
    actions.remind_client(estimate, at=AT + timedelta(days=3))
    with pytest.raises(actions.ReminderTooSoon):
        actions.remind_client(estimate, at=AT + timedelta(days=3, hours=2))
    assert Message.objects.filter(subject__contains="reminder").count() == 1


def test_acceptance_freezes_the_option_confirms_the_shoot_and_agrees_an_unplaced_licence():
    estimate = drafted(pictures=6)
    extra = add_line(estimate.options.get(), what="Portrait", unit_price=Decimal(150), is_optional=True)
    left_out = AgreedPicture.objects.first()
    estimate.options.get().pictures.remove(left_out)
    sent(estimate)
    estimate = Estimate.objects.get()

    actions.accept_estimate(
        estimate,
        letter="A",
        keys=[str(extra.pk)],
        name="Maro Lantadze",
        role="Owner",
        order_number="WL-77",
        at=AT + timedelta(days=1),
    )

    taken = accepted_from_json(estimate.accepted_snapshot)
    shoot, licence = Shoot.objects.get(), Licence.objects.get()
    assert estimate.state == EstimateState.ACCEPTED
    assert [line.what for line in taken.taken][-1] == "Portrait"
    assert taken.sums.gross == sums_with(estimate, estimate.accepted_option.lines.all(), estimate.accepted_option).gross
    assert (shoot.state, shoot.order_number) == ("confirmed", "WL-77")
    assert AgreedPicture.objects.filter(state="agreed").count() == 5
    left_out.refresh_from_db()
    assert left_out.state == "left_out"
    assert (licence.state, licence.is_placed, licence.origin) == ("accepted", False, f"estimate:{estimate.pk}")
    assert licence.fee_net == EstimateLine.objects.get(kind="usage").unit_price
    assert Job.objects.get(kind="estimate_accepted").facts == {"estimate": estimate.pk}
    assert set(Message.objects.values_list("to", flat=True)) == {
        "maro@walnutlantern.example",
        "tindra@aldermoor.example",
    }


def test_the_signature_under_an_exclusive_estimate_stands_under_its_licence():
    accepted(sent(drafted(exclusivity="trade"), signed_by="Tindra Aldermoor"))
    assert Licence.objects.get().signed_by == "Tindra Aldermoor"


def test_the_name_of_who_accepted_stands_in_the_chain_only_concealed():
    accepted()
    rows = Evidence.objects.filter(kind="accepted", subject__startswith="estimate")
    assert rows.count() == 1
    assert "Maro" not in str(rows.get().payload)
    assert first_broken_link() is None


def test_nothing_is_accepted_after_the_last_day():
    estimate = sent()
    late = datetime(2026, 11, 11, 23, 30, tzinfo=UTC)  # already the 12th where the business is
    with pytest.raises(actions.EstimateExpired):
        accepted(estimate, at=late)
    assert Shoot.objects.get().state == "pencilled"


def test_an_order_number_is_asked_for_where_the_client_needs_one():
    estimate = sent(client=ClientFactory(is_order_number_required=True))
    with pytest.raises(actions.OrderNumberMissing):
        accepted(estimate)


def test_an_option_or_line_from_elsewhere_is_refused():
    estimate = sent()
    for letter, keys in (("B", []), ("A", ["4711"])):
        with pytest.raises(actions.OptionUnknown):
            actions.accept_estimate(
                estimate, letter=letter, keys=keys, name="Maro", role="Owner", order_number="", at=AT
            )


def test_a_declined_or_called_back_estimate_cannot_be_accepted():
    estimate = sent()
    actions.decline_estimate(estimate, reason="The budget went into the oven.", at=AT)
    assert estimate.declined_reason == "The budget went into the oven."
    with pytest.raises(actions.EstimateDecided, match="declined"):
        accepted(estimate)
    other = sent()
    actions.call_back_estimate(other, at=AT)
    with pytest.raises(actions.EstimateDecided, match="called back"):
        accepted(other)


def test_opening_the_page_is_recorded_once():
    estimate = sent()
    actions.note_shown(estimate, link=PrivateLink.objects.get(), at=AT)
    assert Evidence.objects.filter(kind="shown").count() == 1


def test_a_yes_that_could_not_be_taken_is_kept_and_told_once():
    estimate = sent()
    why = Refusal("Licence L-9 stands against it.", "Nothing was granted.", "It is free from 1 May 2027.")
    rows = [
        actions.note_stopped_acceptance(estimate, letter="A", name="Maro Lantadze", role="Owner", why=why, at=AT)
        for _twice in range(2)
    ]
    assert rows[0] == rows[1]
    assert "Licence L-9 stands against it." in rows[0].text
    assert Message.objects.filter(body__contains="Licence L-9").count() == 1
    assert Evidence.objects.filter(kind="stopped").count() == 1
    actions.mark_question_answered(rows[0], at=AT)
    again = actions.note_stopped_acceptance(estimate, letter="A", name="Maro Lantadze", role="Owner", why=why, at=AT)
    assert again != rows[0]


def test_a_question_reaches_the_owner_and_waits_until_answered():
    estimate = sent()
    question = actions.ask_question(estimate, name="Maro", text="Is Sunday possible?", at=AT)
    assert Message.objects.filter(to="tindra@aldermoor.example", body__contains="Is Sunday possible?").exists()
    actions.mark_question_answered(question, at=AT)
    assert question.answered_at == AT


def test_an_accepted_estimate_stands_until_its_new_version_is_accepted():
    first = accepted()
    old_licence = Licence.objects.get()
    fresh = drafting.revise_estimate(first, at=AT)
    assert (fresh.number, fresh.issue, fresh.state) == (first.number, 2, "draft")
    assert drafting.revise_estimate(first, at=AT) == fresh

    fresh = sent(fresh, at=AT + timedelta(days=1))
    first.refresh_from_db()
    assert first.state == "accepted"

    accepted(fresh, at=AT + timedelta(days=2))
    first.refresh_from_db()
    old_licence.refresh_from_db()
    assert first.state == "superseded"
    assert (old_licence.state, old_licence.cut_on) == ("superseded", date(2026, 10, 30))
    assert Licence.objects.get(state="accepted").supersedes == old_licence


def test_sending_a_new_version_replaces_one_still_open():
    first = sent()
    fresh = drafting.revise_estimate(first, at=AT)
    sent(fresh)
    first.refresh_from_db()
    assert first.state == "superseded"
    with pytest.raises(actions.EstimateDecided, match="newer version"):
        accepted(first)


@pytest.mark.parametrize(
    ("day", "percent", "fee"),
    [
        (date(2026, 11, 6), 0, "0.00"),  # Friday, 5 working days before Saturday 14 November
        (date(2026, 11, 10), 50, "390.00"),
        (date(2026, 11, 14), 100, "780.00"),
    ],
)
def test_cancelling_a_confirmed_shoot_costs_what_the_accepted_terms_say(day, percent, fee):
    estimate = accepted()
    at = datetime(day.year, day.month, day.day, 10, tzinfo=UTC)
    due = actions.call_off_shoot(estimate, kind="cancelled", reason="The oven broke", by="owner", at=at)
    assert (due.percent, due.amount_net) == (percent, Decimal(fee))
    assert Shoot.objects.get().state == "cancelled"
    assert Job.objects.get(kind="shoot_cancelled").facts["fee"] == due.pk


def test_postponing_for_weather_is_free_once():
    estimate = accepted()
    at = datetime(2026, 11, 13, 10, tzinfo=UTC)
    free = actions.call_off_shoot(
        estimate, kind="weather", reason="Storm", by="owner", at=at, new_first_on=date(2026, 11, 21)
    )
    assert free.amount_net == 0
    from shoots.brief.actions import confirm_shoot

    confirm_shoot(Shoot.objects.get(), at=at)
    again = actions.call_off_shoot(
        estimate, kind="weather", reason="Storm", by="owner", at=datetime(2026, 11, 20, 10, tzinfo=UTC)
    )
    assert again.amount_net == 390
    assert CancellationFee.objects.count() == 2


def test_putting_off_to_no_day_and_then_cancelling_costs_nothing_more():
    estimate = accepted()
    at = datetime(2026, 11, 2, 10, tzinfo=UTC)
    actions.call_off_shoot(estimate, kind="postponed", reason="Oven broke", by="", at=at)
    due = actions.call_off_shoot(estimate, kind="cancelled", reason="Oven stays broken", by="", at=at)
    assert (due.percent, due.amount_net) == (0, 0)


def test_the_licence_of_a_cancelled_shoot_grants_nothing_more():
    estimate = accepted()
    actions.call_off_shoot(estimate, kind="cancelled", reason="The oven broke", by="", at=AT)
    assert Licence.objects.get().state == "declined"


def test_the_licence_of_a_shoot_put_off_stands():
    estimate = accepted()
    actions.call_off_shoot(estimate, kind="postponed", reason="The oven broke", by="", at=AT)
    assert Licence.objects.get().state == "accepted"


def test_an_estimate_of_a_cancelled_shoot_can_be_neither_accepted_nor_reminded_of():
    estimate = sent()
    cancel_shoot(estimate.shoot, reason="The oven broke", by="", at=AT)
    with pytest.raises(actions.JobClosed, match="The shoot was cancelled"):
        accepted(estimate)
    with pytest.raises(actions.JobClosed):
        actions.remind_client(estimate, at=AT + timedelta(days=1))
    assert (Estimate.objects.get().state, Licence.objects.exists()) == ("sent", False)


def test_a_new_version_cannot_be_accepted_once_the_shoot_is_cancelled():
    first = accepted()
    second = sent(drafting.revise_estimate(first, at=AT))
    actions.call_off_shoot(first, kind="cancelled", reason="The oven broke", by="", at=AT)
    with pytest.raises(actions.JobClosed, match="The shoot was cancelled"):
        accepted(second)


def test_an_estimate_of_a_cancelled_shoot_is_not_sent():
    draft = drafted()
    cancel_shoot(draft.shoot, reason="The oven broke", by="", at=AT)
    with pytest.raises(actions.JobClosed, match="was cancelled"):
        sent(draft)


def test_a_new_version_waits_until_the_invoice_is_credited(quick_papers):
    first = done()
    invoice = bill_job(f"estimate:{first.number}", issued_on=DAY, at=MONTH_END)
    draft = drafting.revise_estimate(first, at=MONTH_END)
    with pytest.raises(actions.JobClosed, match=invoice.number) as refused:
        sent(draft, at=MONTH_END)
    assert "credit note first" in refused.value.what_to_do
    draft.refresh_from_db()
    assert draft.state == "draft"
    cancel_by_credit_note(invoice, reason="More pictures", at=MONTH_END)
    second = accepted(sent(draft, at=MONTH_END), at=MONTH_END)
    assert bill_job(f"estimate:{first.number}", issued_on=DAY, at=MONTH_END).estimate == second


def test_a_version_sent_before_the_job_was_billed_is_politely_refused(quick_papers):
    first = done()
    second = sent(drafting.revise_estimate(first, at=MONTH_END), at=MONTH_END)
    invoice = bill_job(f"estimate:{first.number}", issued_on=DAY, at=MONTH_END)
    with pytest.raises(actions.JobClosed, match="billed already") as refused:
        accepted(second, at=MONTH_END)
    assert invoice.number not in str(refused.value)
    cancel_by_credit_note(invoice, reason="More pictures", at=MONTH_END)
    assert accepted(second, at=MONTH_END).state == "accepted"


def test_a_billed_job_is_not_cancelled_before_its_invoice(quick_papers):
    first = done()
    bill_job(f"estimate:{first.number}", issued_on=DAY, at=MONTH_END)
    with pytest.raises(actions.JobClosed, match="billed already"):
        actions.call_off_shoot(first, kind="cancelled", reason="The oven broke", by="", at=MONTH_END)
    assert not CancellationFee.objects.exists()


def test_a_second_estimate_leaves_the_pictures_of_the_first_agreed():
    first = accepted()
    promised = list(first.accepted_option.pictures.all())
    loose = AgreedPictureFactory(shoot=first.shoot, title="In no estimate")
    second = beside(first, order_number="")
    states = {picture.pk: picture.state for picture in AgreedPicture.objects.all()}
    assert {states[picture.pk] for picture in promised} == {"agreed"}
    assert (states[second.accepted_option.pictures.get().pk], states[loose.pk]) == ("agreed", "left_out")


def test_a_second_estimate_leaves_the_order_number_of_the_shoot():
    first = accepted(order_number="PO-1")
    beside(first, order_number="PO-2")
    assert Shoot.objects.get().order_number == "PO-1"


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_of_two_people_who_accept_in_the_same_moment_one_wins_and_the_other_is_told():
    estimate = drafted()
    drafting.add_option(estimate, copied_from="A")
    sent(estimate)
    start, told = threading.Barrier(2), []

    def accept(letter):
        start.wait()
        try:
            accepted(Estimate.objects.get(), letter=letter)
            told.append(letter)
        except actions.EstimateDecided as refusal:
            told.append(refusal.what_happened)
        finally:
            connection.close()

    threads = [threading.Thread(target=accept, args=(letter,)) for letter in "AB"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    winner = Estimate.objects.get().accepted_option.letter
    assert sorted(told) == sorted(
        [winner, "This estimate has been accepted already, from another page or by somebody else."]
    )
    assert Licence.objects.count() == 1
    assert Evidence.objects.filter(kind="accepted", subject__startswith="estimate").count() == 1
