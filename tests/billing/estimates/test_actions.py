import threading
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import connection

from billing.estimates import actions
from billing.estimates.models import CancellationFee, Estimate, EstimateLine, EstimateOption, EstimateState
from billing.estimates.queries import SumTooLarge, drafted_words, estimate_in_full, sums_with
from billing.estimates.snapshot import accepted_from_json, estimate_from_json
from billing.invoices.actions import cancel_by_credit_note
from billing.months.actions import bill_job
from shared.edits import EditedMeanwhile
from shared.errors import Refusal
from shared.evidence.models import Evidence
from shared.evidence.queries import first_broken_link
from shared.links.models import PrivateLink
from shared.outbox.models import Job, Message
from shoots.brief.actions import cancel_shoot
from shoots.brief.models import AgreedPicture, Shoot
from shoots.licences.models import Licence
from tests.factories.billing import AT, accepted, beside, drafted, sent, shoot_to_quote
from tests.factories.clients import ClientFactory, KitchenFactory
from tests.factories.invoices import DAY, MONTH_END, done
from tests.factories.licences import ADVERTISING
from tests.factories.shared import BusinessProfileFactory
from tests.factories.shoots import AgreedPictureFactory, ShootFactory

pytestmark = pytest.mark.django_db


def add_line(option, **also):
    given = {"what": "Groceries", "quantity": Decimal(1), "unit_price": Decimal(120), "order": 50} | also
    return EstimateLine.objects.create(option=option, **given)


def typed(estimate, **values):
    """What the edit page hands to the action: every option and line as it is, with some values changed."""
    estimate = estimate_in_full(estimate.pk)
    for name, value in values.items():
        setattr(estimate, name, value)
    edits = [
        actions.OptionEdit(option, list(option.pictures.all()), list(option.lines.all()))
        for option in estimate.options.all()
    ]
    return estimate, edits


def test_a_first_draft_takes_rates_days_pictures_kitchen_and_use_from_the_shoot():
    estimate = drafted(pictures=9, kitchen=KitchenFactory(distance_km=Decimal(23)))
    lines = {line.kind: line for line in estimate.options.get().lines.all()}

    assert estimate.number == "E-2026-001"
    assert (lines["shooting_day"].quantity, lines["shooting_day"].unit_price) == (1, 780)
    assert lines["finishing"].quantity == Decimal("3.75")
    assert lines["finishing"].working == "25\xa0min a picture: 9 × 25\xa0min = 3.75\xa0h"
    assert lines["travel"].quantity == 46
    assert lines["travel"].working == "23\xa0km there, 23\xa0km back"
    # 180 × 1.2 × 0.9 × 1.5 × 8.4 = 2,449.44, up to the step of 5: by hand from the starting card
    assert lines["usage"].unit_price == 2450
    assert "2,450.00" in lines["usage"].working
    assert estimate.valid_until == date(2026, 11, 11)


def test_four_hours_on_set_are_a_half_day():
    from datetime import time

    estimate = drafted(from_time=time(9), until_time=time(13))
    line = estimate.options.get().lines.get(kind="half_day")
    assert (line.unit_price, line.unit) == (470, "half_day")


def test_changing_the_number_of_pictures_reckons_finishing_and_licence_anew():
    estimate, edits = typed(drafted(pictures=6))
    edits[0].option.pictures_count = 9
    actions.save_estimate(estimate, fields=["opening"], version=estimate.version, options=edits, at=AT)
    lines = {line.kind: line for line in EstimateLine.objects.all()}
    assert lines["finishing"].quantity == Decimal("3.75")
    assert lines["usage"].unit_price == 2450


def test_a_price_typed_for_the_licence_stays_when_nothing_about_it_changed():
    estimate, edits = typed(drafted())
    for line in edits[0].lines:
        if line.kind == "usage":
            line.unit_price = Decimal(540)
    actions.save_estimate(estimate, fields=["opening"], version=estimate.version, options=edits, at=AT)
    assert EstimateLine.objects.get(kind="usage").unit_price == 540


def test_two_people_editing_one_draft_the_second_is_told():
    estimate, edits = typed(drafted(), opening="Dear Maro")
    actions.save_estimate(estimate, fields=["opening"], version=estimate.version, options=edits, at=AT)
    late, edits = typed(estimate, opening="Hello Maro")
    with pytest.raises(EditedMeanwhile):
        actions.save_estimate(late, fields=["opening"], version=late.version - 1, options=edits, at=AT)
    assert Estimate.objects.get().opening == "Dear Maro"


def test_a_total_beyond_ten_digits_is_refused_and_nothing_is_saved():
    from billing.estimates.queries import SumTooLarge

    estimate, edits = typed(drafted())
    edits[0].lines[0].quantity = Decimal(9999999999)
    with pytest.raises(SumTooLarge, match="ten digits"):
        actions.save_estimate(estimate, fields=["opening"], version=estimate.version, options=edits, at=AT)
    assert not EstimateLine.objects.filter(quantity__gt=1000).exists()


def test_an_option_is_copied_with_its_lines_and_removed_again():
    estimate = drafted()
    option = actions.add_option(estimate, copied_from="A")
    assert option.letter == "B"
    assert option.lines.count() == estimate.options.get(letter="A").lines.count()
    actions.remove_option(estimate, letter="A")
    assert estimate.options.get().letter == "A"
    with pytest.raises(actions.LastOption):
        actions.remove_option(estimate, letter="A")


def three(**also):
    """Six pictures wanted, one day, two years in Germany: drafted in three sizes."""
    from tests.factories.billing import shoot_to_quote

    return actions.draft_three_options(shoot_to_quote(**also), at=AT)


def quantities(option):
    return {line.what: line.quantity for line in option.lines.all()}


def test_three_options_are_drafted_at_once_and_say_what_sets_them_apart():
    smaller, asked, larger = three().options.all()
    assert [each.title for each in (smaller, asked, larger)] == [
        "Smaller: 3 pictures",
        "As asked: 6 pictures",
        "Larger: 9 pictures",
    ]
    assert smaller.summary.replace("\xa0", " ") == (
        "3 pictures instead of 6; 0.5 days on set instead of 1; use for 12 months instead of 24 months"
    )
    assert larger.summary.replace("\xa0", " ").endswith(
        "use for 36 months instead of 24 months; for Europe instead of Germany"
    )
    assert asked.summary == "What we talked about"
    assert [each.pictures.count() for each in (smaller, asked, larger)] == [3, 6, 6]  # nobody named the other three yet
    assert quantities(smaller).keys() - quantities(asked).keys() == {"Half day on set"}
    assert (quantities(larger)["Day on set"], quantities(larger)["Half day on set"]) == (1, 1)
    # 180 × 1.2 × .9 × 1 × 3 = 583.20, up to 585; 180 × 1.2 × .9 × 2 × 1.9 × 8.4 = 6,205.248, up to 6,210: by hand from the starting card
    assert [each.lines.get(kind="usage").unit_price for each in (smaller, larger)] == [585, 6210]


def test_sizes_beside_a_draft_leave_it_and_what_was_typed_in_it_alone():
    estimate = drafted()
    option = estimate.options.get()
    option.lines.filter(kind="shooting_day").update(unit_price=850)
    option.lines.filter(kind="preparation").delete()
    add_line(option, what="Fire watch", unit_price=Decimal(90))
    EstimateLine.objects.filter(kind="usage").update(unit_price=400)
    before = list(option.lines.values("what", "quantity", "unit_price"))
    smaller, larger = actions.add_sizes(estimate, of="A")
    assert (list(option.lines.values("what", "quantity", "unit_price")), smaller.letter, larger.letter) == (
        before,
        "B",
        "C",
    )
    for each in (smaller, larger):
        lines = {line.what: line for line in each.lines.all()}
        assert (lines["Day on set"].quantity, lines["Day on set"].unit_price, lines["Fire watch"].unit_price) == (
            1,
            850,
            90,
        )
        assert "Getting ready" not in lines
        assert "on set" not in each.summary
    assert larger.lines.get(kind="usage").unit_price == 6210
    with pytest.raises(actions.ThreeOptionsAtMost):
        actions.add_sizes(estimate, of="A")


def test_with_one_place_left_only_the_smaller_is_added():
    estimate = drafted()
    actions.add_option(estimate, copied_from="A")
    assert [each.title for each in actions.add_sizes(estimate, of="A")] == ["Smaller: 3 pictures"]


def test_where_nothing_is_smaller_or_larger_nothing_is_added():
    estimate = drafted(pictures=0)
    estimate.options.update(pictures_count=0, use_months=None, use_territories=["world"])
    assert [each.use_months for each in actions.add_sizes(estimate, of="A")] == [60]  # shorter is all there is
    actions.remove_option(estimate, letter="B")
    estimate.options.update(use_months=3, use_territories=["world"])
    assert [each.use_months for each in actions.add_sizes(estimate, of="A")] == [6]


def test_finishing_is_a_line_a_kind_of_picture():
    from tests.factories.billing import shoot_to_quote

    shoot = shoot_to_quote(pictures=6)
    first, second, *_others = shoot.agreed_pictures.all()
    for picture, kind in ((first, "cut_out"), (second, "composite")):
        AgreedPicture.objects.filter(pk=picture.pk).update(finishing=kind)
    estimate = actions.draft_estimate(shoot, at=AT)
    # By hand: 4 × 25, 40 and 90 minutes at 60 an hour
    hours = {line.finishing: line.quantity for line in EstimateLine.objects.filter(kind="finishing")}
    assert hours == {"simple": Decimal("1.6667"), "cut_out": Decimal("0.6667"), "composite": Decimal("1.5")}
    EstimateLine.objects.filter(finishing="simple").update(unit_price=70)
    estimate, edits = typed(estimate)
    edits[0].option.pictures_count = 5
    left = [picture for picture in edits[0].pictures if picture.pk != first.pk]
    edits = [actions.OptionEdit(edits[0].option, left, edits[0].lines)]
    actions.save_estimate(estimate, fields=["opening"], version=estimate.version, options=edits, at=AT)
    lines = {line.finishing: line for line in EstimateLine.objects.filter(kind="finishing")}
    assert {kind: line.quantity for kind, line in lines.items()} == {
        "simple": Decimal("1.6667"),
        "composite": Decimal("1.5"),
    }
    assert (lines["simple"].unit_price, lines["composite"].what) == (70, "Finishing, composites")


def test_a_fourth_option_is_refused():
    estimate = drafted()
    actions.add_option(estimate, copied_from="A")
    actions.add_option(estimate, copied_from="A")
    with pytest.raises(actions.ThreeOptionsAtMost):
        actions.add_option(estimate, copied_from="A")


def test_a_line_moves_up():
    estimate = drafted()
    second = estimate.options.get().lines.all()[1]
    actions.move_line(estimate, line=second.pk, places=-1)
    assert estimate.options.get().lines.first() == second


def test_a_draft_can_be_discarded_and_a_sent_estimate_cannot():
    estimate = drafted()
    actions.discard_estimate(estimate)
    assert not Estimate.objects.exists()
    with pytest.raises(actions.EstimateNotDraft):
        actions.discard_estimate(sent())


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
    with pytest.raises(actions.EstimateNotDraft):
        actions.save_estimate(estimate, fields=["opening"], version=estimate.version, options=[], at=AT)


def taxed_more_from_new_year():
    BusinessProfileFactory()
    BusinessProfileFactory(valid_from=date(2027, 1, 1), tax_percent=Decimal(21))


def test_a_draft_made_after_midnight_keeps_the_vat_of_its_day():
    taxed_more_from_new_year()
    at = datetime(2026, 12, 31, 23, 30, tzinfo=UTC)  # 00:30 on 1 January in Berlin
    estimate, edits = typed(drafted(at=at))
    assert estimate.tax_percent == 21
    actions.save_estimate(estimate, fields=[], version=estimate.version, options=edits, at=at)
    assert Estimate.objects.get().tax_percent == 21


def test_a_draft_saved_and_one_sent_later_carry_the_vat_of_that_day():
    taxed_more_from_new_year()
    later = datetime(2027, 1, 3, 9, tzinfo=UTC)
    row = drafted(at=datetime(2026, 12, 20, 9, tzinfo=UTC))
    assert row.tax_percent == 19
    estimate = sent(row, at=later)
    assert Estimate.objects.get().tax_percent == estimate.tax_percent == 21
    assert estimate_from_json(estimate.snapshot).tax_percent == 21

    row = drafted(at=datetime(2026, 12, 20, 9, tzinfo=UTC))
    estimate, edits = typed(row)
    actions.save_estimate(estimate, fields=[], version=estimate.version, options=edits, at=later)
    assert Estimate.objects.get(pk=row.pk).tax_percent == 21


def test_a_new_version_carries_the_vat_of_its_day():
    taxed_more_from_new_year()
    old = accepted(at=datetime(2026, 12, 20, 9, tzinfo=UTC))
    fresh = actions.revise_estimate(old, at=datetime(2027, 1, 3, 9, tzinfo=UTC))
    assert (old.tax_percent, fresh.tax_percent) == (19, 21)


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


def test_a_clash_of_dates_is_said_before_sending():
    from billing.estimates.queries import check_before_sending
    from shared.business.models import BusinessProfile

    ShootFactory(title="Spring menu", client=ClientFactory(name="Spoon & Lamp"), state="confirmed")
    estimate = drafted()
    notes = check_before_sending(estimate_in_full(estimate.pk), business=BusinessProfile.objects.get())
    assert notes == ["Clash of dates: Spring menu for Spoon & Lamp is confirmed on 14\xa0Nov\xa02026."]


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


def test_only_a_draft_changes_its_card_or_its_money():
    estimate = sent()
    with pytest.raises(actions.EstimateNotDraft):
        actions.use_card_of_today(estimate, at=AT)
    with pytest.raises(actions.EstimateNotDraft):
        actions.offer_in_currency(estimate, currency="CHF", rate=Decimal(1), rate_on=AT.date(), source="Our bank")


def test_money_that_grows_beyond_ten_digits_is_refused_and_the_draft_is_as_it_was():
    estimate = drafted()
    before = list(estimate.options.get().lines.values_list("unit_price", flat=True))
    with pytest.raises(SumTooLarge):
        actions.offer_in_currency(
            estimate, currency="IDR", rate=Decimal(99_999_999), rate_on=AT.date(), source="Our bank"
        )
    assert list(estimate.options.get().lines.values_list("unit_price", flat=True)) == before


def test_a_question_reaches_the_owner_and_waits_until_answered():
    estimate = sent()
    question = actions.ask_question(estimate, name="Maro", text="Is Sunday possible?", at=AT)
    assert Message.objects.filter(to="tindra@aldermoor.example", body__contains="Is Sunday possible?").exists()
    actions.mark_question_answered(question, at=AT)
    assert question.answered_at == AT


def test_an_accepted_estimate_stands_until_its_new_version_is_accepted():
    first = accepted()
    old_licence = Licence.objects.get()
    fresh = actions.revise_estimate(first, at=AT)
    assert (fresh.number, fresh.issue, fresh.state) == (first.number, 2, "draft")
    assert actions.revise_estimate(first, at=AT) == fresh

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
    fresh = actions.revise_estimate(first, at=AT)
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
    second = sent(actions.revise_estimate(first, at=AT))
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
    draft = actions.revise_estimate(first, at=MONTH_END)
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
    second = sent(actions.revise_estimate(first, at=MONTH_END), at=MONTH_END)
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
    actions.add_option(estimate, copied_from="A")
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


def alpine_draft():
    estimate = drafted()
    estimate.options.update(use_territories=["DE", "AT", "CH"], use_months=24)
    actions._reckon_anew(estimate.options.get(), estimate)
    return estimate


def test_a_wider_use_is_taken_at_the_same_fee_and_only_then_told_to_the_client():
    estimate = alpine_draft()
    before = estimate.options.get().lines.get(kind="usage")
    assert actions.take_wider_use(estimate, letter="A", key="territories-0")
    option = estimate.options.get()
    after = option.lines.get(kind="usage")
    assert (option.use_territories, option.is_own_promotion) == (["europe"], True)
    assert (after.unit_price, after.figures["fee"]) == (before.unit_price, before.figures["fee"])
    assert "aimed at Europe" in after.working
    assert not actions.take_wider_use(
        estimate, letter="A", key="territories-0"
    )  # pressed twice: nothing more is on offer
    snapshot = sent(estimate).snapshot
    assert "Europe" in snapshot["options"][0]["use"]["sentences"][0]
    untold = sent(alpine_draft()).snapshot
    assert "Europe" not in str(untold)


def test_a_wider_use_of_a_sent_estimate_is_refused():
    estimate = sent(alpine_draft())
    with pytest.raises(actions.EstimateNotDraft):
        actions.take_wider_use(estimate, letter="A", key="territories-0")


@pytest.mark.django_db
def test_in_another_language_what_stands_as_drafted_is_said_anew_and_what_was_typed_stays():
    estimate = actions.draft_three_options(shoot_to_quote(), at=AT)
    actions.add_item(estimate, letter="B", use=ADVERTISING, is_optional=True)
    typed = EstimateLine.objects.filter(option__estimate=estimate, option__letter="A", kind="preparation").get()
    typed.what = "A quiet word with the cook"
    typed.save()
    other = EstimateOption.objects.get(estimate=estimate, letter="C")
    other.title = "All of it"
    other.save()
    english = drafted_words(estimate, "en")
    german = drafted_words(estimate, "de")
    row = estimate_in_full(estimate.pk)
    row.language = "de"
    actions.save_estimate(row, fields=["language"], version=row.version, options=[], at=AT)
    row = estimate_in_full(estimate.pk)
    texts = [row.opening]
    for option in row.options.all():
        texts += [option.title, option.summary]
        texts += [text for line in option.lines.all() for text in (line.what, line.working)]
    only_english = set(english) - set(german)
    assert not only_english & set(texts)
    assert {"A quiet word with the cook", "All of it"} <= set(texts)
    assert row.opening.startswith("Guten Tag")
    drafted = [text for text in texts if text and text not in ("A quiet word with the cook", "All of it")]
    assert set(drafted) <= set(german)
