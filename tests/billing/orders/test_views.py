from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from billing.estimates import actions as drafting
from billing.estimates.models import Estimate, EstimateLine, EstimateOption, LineKind
from billing.estimates.queries import estimate_in_full
from billing.months.actions import bill_job
from billing.orders import actions
from clients.models import Client as House
from shared.evidence.models import Evidence
from shared.outbox.models import Message
from shoots.brief.actions import cancel_shoot
from shoots.brief.models import Shoot
from shoots.licences.models import Licence
from tests.factories.billing import accepted, drafted, offer_link, sent
from tests.factories.clients import ClientFactory
from tests.factories.invoices import DAY, MONTH_END, done
from tests.factories.licences import ALONE, agreed
from tests.factories.shoots import ShootFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client_for, owner):
    return client_for(owner)


def test_the_send_page_says_what_is_missing_and_sends_once_all_is_there(office):
    estimate = drafted(at=timezone.now())
    Estimate.objects.update(valid_until=None)
    address = reverse("send_estimate", args=[estimate.pk])
    assert "It has no day until which it is valid." in office.get(address).content.decode()
    assert office.post(address, {"to": "maro@walnutlantern.example", "to_name": "Maro"}).status_code == 422
    Estimate.objects.update(valid_until=timezone.now().date() + timedelta(days=14))
    assert office.post(address, {"to": "no address", "to_name": "Maro"}).status_code == 422
    assert office.post(address, {"to": "maro@walnutlantern.example", "to_name": "Maro"}).status_code == 302
    assert office.post(address, {"to": "maro@walnutlantern.example", "to_name": "Maro"}).status_code == 302
    assert Message.objects.count() == 1


@pytest.fixture
def offered(client_for):
    """An open offer with two options, the second with an optional line, and a stranger's browser."""
    estimate = drafted(at=timezone.now())
    drafting.add_option(estimate, copied_from="A")
    line = EstimateLine.objects.create(
        option=EstimateOption.objects.get(letter="B"), what="Portrait", unit_price=150, is_optional=True, order=50
    )
    estimate = sent(estimate, at=timezone.now())
    return client_for(None), offer_link(estimate), str(line.pk)


YES = {"do": "accept", "name": "Maro Lantadze", "role": "Owner", "may_order": "on"}


def test_the_client_sees_totals_with_optional_lines_before_accepting(offered):
    stranger, page, line = offered
    estimate = Estimate.objects.get()
    plain = stranger.get(page + "sums/", {"option": "B"}).content.decode()
    added = stranger.get(page + "sums/", {"option": "B", "lines": [line]}).content.decode()
    without_script = stranger.post(page, {"do": "show", "option": "B", "lines": [line]}).content.decode()
    option = next(each for each in estimate_in_full(estimate.pk).options.all() if each.letter == "B")
    before = sum(each.quantity * each.unit_price for each in option.lines.all() if not each.is_optional).quantize(
        Decimal("0.01")
    )
    # 19% VAT, half a cent up, by hand: the sums of the lines before and with the portrait of 150.00
    whole = (before * Decimal("1.19")).quantize(Decimal("0.01"))
    more = ((before + 150) * Decimal("1.19")).quantize(Decimal("0.01"))
    assert f"Accept option B for €{whole:,}" in plain
    assert f"Accept option B for €{more:,}" in added
    assert f"Accept option B for €{more:,}" in without_script


def test_the_fee_of_an_optional_use_opens_for_the_client_before_and_after_it_is_taken(client_for):
    estimate = drafted(at=timezone.now())
    drafting.add_item(estimate, letter="A", use=ALONE | {"exclusivity": "none"}, is_optional=True)
    estimate = sent(estimate, at=timezone.now())
    stranger, page = client_for(None), offer_link(estimate)
    line = EstimateLine.objects.get(item__isnull=False)
    fee = Decimal(EstimateLine.objects.get(kind=LineKind.USAGE, item=None).figures["fee"])
    said = f"is the added one. Without it the fee is €{fee:,.2f}, with it €{line.unit_price:,.2f} more."
    assert said in stranger.get(page).content.decode()
    stranger.post(page, YES | {"lines": [str(line.pk)]})
    assert said in stranger.get(page).content.decode()


def test_the_client_accepts_exactly_one_option(offered):
    stranger, page, line = offered
    none_chosen = stranger.post(page, YES)
    assert none_chosen.status_code == 422
    assert "Choose one of the options first." in none_chosen.content.decode()
    assert stranger.post(page, YES | {"option": "B", "lines": [line]}).status_code == 302
    after = stranger.get(page).content.decode()
    assert "Maro Lantadze (Owner) accepted option B" in after
    assert "Own promotion of Walnut Lantern:</b>" in after  # what may be done with the pictures stays to be read
    assert Shoot.objects.get().state == "confirmed"


def test_two_options_taken_at_once_are_refused_and_both_stay_open(offered):
    stranger, page, _line = offered
    answer = stranger.post(page, YES | {"option": ["A", "B"]})
    assert answer.status_code == 422
    said = "More than one option came in at once. Nothing was ordered."
    assert said in answer.content.decode()
    assert Estimate.objects.get().state == "sent"
    assert stranger.post(page, YES | {"option": ["A", "A"]}).status_code == 302  # the same one twice is one


def test_a_yes_that_a_rival_licence_stops_is_told_to_the_owner_and_not_to_the_client(client_for, office):
    estimate = drafted(at=timezone.now())
    estimate.options.update(exclusivity="picture")
    sent(estimate, at=timezone.now(), signed_by="Tindra Aldermoor")
    stranger, page = client_for(None), offer_link(estimate)
    rival = ClientFactory(name="Spoon & Lamp")
    Shoot.objects.update(selling_on="free")
    agreed(estimate.shoot, licensee=rival, billing_party=rival, terms=ALONE | {"use_media": ["all"]}, at=timezone.now())
    letters = Message.objects.count()
    for _again in range(2):
        answer = stranger.post(page, YES | {"option": "A"})
        assert answer.status_code == 422
        said = answer.content.decode()
        assert "It cannot be accepted just now. Nothing was ordered. The photographer has been told" in said
        assert "Spoon" not in said
    estimate.refresh_from_db()
    assert estimate.state == "sent"
    stopped = estimate.questions.get()
    assert stopped.kind == "stopped"
    number = Licence.objects.exclude(licensee=estimate.shoot.licensee).get().number
    assert number in stopped.text
    assert Message.objects.count() == letters + 1
    assert Message.objects.filter(to="tindra@aldermoor.example", body__contains=number).exists()
    assert Evidence.objects.filter(kind="stopped").count() == 1
    assert "could not accept" in office.get("/").content.decode()
    assert "A yes that could not be taken" in office.get(f"/estimates/{estimate.pk}/").content.decode()


def test_without_the_tick_nothing_is_ordered_and_the_name_is_kept(offered):
    stranger, page, _line = offered
    answer = stranger.post(page, {"do": "accept", "option": "A", "name": "Maro Lantadze", "role": "Owner"})
    assert answer.status_code == 422
    assert "This needs your tick." in answer.content.decode()
    assert 'value="Maro Lantadze"' in answer.content.decode()


def test_a_second_person_who_accepts_meets_a_polite_page(offered):
    stranger, page, _line = offered
    stranger.post(page, YES | {"option": "A"})
    late = stranger.post(page, YES | {"option": "B", "name": "Ivo Pellander"})
    assert late.status_code == 409
    assert "Your answer came too late" in late.content.decode()
    assert "Maro Lantadze (Owner) accepted option A" in late.content.decode()


def test_the_order_number_is_asked_for_on_the_page(client_for):
    estimate = sent(at=timezone.now(), client=ClientFactory(is_order_number_required=True))
    page, stranger = offer_link(estimate), client_for(None)
    assert "needs an order number" in stranger.post(page, YES | {"option": "A"}).content.decode()
    assert stranger.post(page, YES | {"option": "A", "order_number": "WL-7"}).status_code == 302


def test_a_client_declines_with_a_reason_or_asks(offered):
    stranger, page, _line = offered
    assert stranger.post(page, {"do": "ask", "text": ""}).status_code == 422
    assert stranger.post(page, {"do": "ask", "text": "Is Sunday possible?", "asker": "Maro"}).status_code == 302
    assert stranger.post(page, {"do": "decline", "reason": ""}).status_code == 422
    assert stranger.post(page, {"do": "decline", "reason": "Too dear."}).status_code == 302
    assert "was declined" in stranger.get(page).content.decode()


def test_expired_called_back_and_replaced_estimates_say_so(client_for):
    stranger = client_for(None)
    estimate = sent(at=timezone.now())
    page = offer_link(estimate)
    actions.call_back_estimate(estimate, at=timezone.now())
    assert "was called back" in stranger.get(page).content.decode()
    old = sent(drafted(at=timezone.now()), at=timezone.now())
    sent(drafting.revise_estimate(old, at=timezone.now()), at=timezone.now())
    assert "replaced by a newer version" in stranger.get(offer_link(old)).content.decode()
    late = sent(drafted(at=timezone.now() - timedelta(days=20)), at=timezone.now() - timedelta(days=20))
    assert "was valid until" in stranger.get(offer_link(late)).content.decode()
    assert stranger.post(offer_link(late), YES | {"option": "A"}).status_code == 409


def test_a_german_client_reads_german_figures(client_for):
    estimate = sent(at=timezone.now(), client=House.objects.create(name="Walnut Lantern", language="de"))
    html = client_for(None).get(offer_link(estimate) + "?option=A").content.decode()
    assert '<html lang="de"' in html
    assert "1.710,00\xa0€" in html
    assert "Eigenwerbung von Walnut Lantern" in html


def test_reminder_version_and_question_buttons_work(office):
    estimate = sent(at=timezone.now())
    question = actions.ask_question(estimate, name="Maro", text="Sunday?", at=timezone.now())
    office.post(reverse("remind_client", args=[estimate.pk]))
    office.post(reverse("answer_question", args=[question.pk]))
    assert "Answered" in office.get(reverse("estimate", args=[estimate.pk])).content.decode()
    assert office.post(reverse("remind_client", args=[estimate.pk])).status_code == 409
    office.post(reverse("revise_estimate", args=[estimate.pk]))
    assert Estimate.objects.get(issue=2).state == "draft"
    office.post(reverse("discard_estimate", args=[Estimate.objects.get(issue=2).pk]))
    office.post(reverse("call_back_estimate", args=[estimate.pk]))
    assert Estimate.objects.get().state == "called_back"


def test_cancelling_a_confirmed_shoot_shows_what_the_terms_say_and_follows_them(office):
    estimate = accepted(at=timezone.now())
    soon = timezone.now().date()
    Shoot.objects.update(first_on=soon)
    address = reverse("estimate_cancel_shoot", args=[estimate.shoot_id])
    assert "€780.00" in office.get(address).content.decode()
    assert office.post(address, {"kind": "cancelled", "reason": ""}).status_code == 422
    assert office.post(address, {"kind": "cancelled", "reason": "The oven broke"}).status_code == 302
    assert Shoot.objects.get().state == "cancelled"


def test_what_was_accepted_adds_up_on_the_page_with_its_discount(client_for):
    estimate = drafted()
    estimate.options.update(discount_percent=Decimal("7.5"), discount_reason="Second shoot")
    taken = accepted(sent(estimate))
    page = " ".join(client_for(None).get(offer_link(taken)).content.decode().split())
    assert "Discount 7.5%: Second shoot" in page
    assert "came by e-mail" not in page  # no mail server is set


def test_the_client_reads_that_the_shoot_was_cancelled_or_billed_and_cannot_accept(client_for):
    at, stranger = timezone.now(), client_for(None)
    house = House.objects.create(name="Walnut Lantern", language="de")
    off = sent(drafted(at=at, client=house), at=at)
    cancel_shoot(off.shoot, reason="Kitchen flooded", by="", at=at)
    page = stranger.get(offer_link(off)).content.decode()
    assert "Die Aufnahme wurde abgesagt" in page
    assert 'value="accept"' not in page
    answer = stranger.post(offer_link(off), YES | {"option": "A"})
    assert (answer.status_code, Estimate.objects.get().state) == (409, "sent")


def test_a_shoot_put_off_to_no_day_is_cancelled_free_of_charge_by_its_page(office):
    estimate = accepted(at=timezone.now())
    Shoot.objects.update(first_on=None, state="postponed")
    address = reverse("estimate_cancel_shoot", args=[estimate.shoot_id])
    assert "cancelling it is free of charge" in office.get(address).content.decode()
    office.post(address, {"kind": "cancelled", "reason": "The oven broke"})
    assert (Shoot.objects.get().state, estimate.cancellation_fees.get().amount_net) == ("cancelled", 0)


def test_the_send_page_names_the_invoice_that_bills_the_job(office, quick_papers):
    first = done()
    invoice = bill_job(f"estimate:{first.number}", issued_on=DAY, at=MONTH_END)
    draft = drafting.revise_estimate(first, at=MONTH_END)
    page = office.get(reverse("send_estimate", args=[draft.pk])).content.decode()
    assert f"Cancel invoice {invoice.number} by credit note first." in page


def test_a_shoot_put_off_is_cancelled_by_its_accepted_terms_too(office):
    agreed, loose = accepted(at=timezone.now()).shoot, ShootFactory(state="postponed")
    Shoot.objects.filter(pk=agreed.pk).update(state="postponed")
    for shoot in (agreed, loose):
        way = reverse("estimate_cancel_shoot", args=[shoot.pk])
        assert (
            f'href="{way}">Cancel the shoot</a>' in office.get(reverse("shoot_page", args=[shoot.pk])).content.decode()
        )
    assert office.get(way)["Location"] == reverse("cancel_shoot", args=[loose.pk])


def test_the_client_opens_a_fee_but_reads_nothing_of_margin_costs_or_the_wider_cover(client_for, office):
    estimate = drafted(at=timezone.now())
    estimate.options.update(use_territories=["DE", "AT", "CH"])
    drafting._reckon_anew(estimate.options.get(), estimate)
    EstimateLine.objects.create(
        option=estimate.options.get(), what="Kitchen hand", unit_price=200, quantity=2, unit="day", markup_percent=10, order=50
    )  # fmt: skip
    estimate = sent(estimate, at=timezone.now())
    page = client_for(None).get(offer_link(estimate) + "?option=A").content.decode()
    assert "How this fee comes about" in page
    assert "Starting fee for one picture" in page
    for unsaid in ("Europe", "Break-even", "mark-up", "€200.00", "10%", "live on"):
        assert unsaid not in page, unsaid
    preview = office.get(reverse("estimate_preview", args=[estimate.pk])).content.decode()
    assert "How this fee comes about" in preview


def test_an_older_snapshot_without_opened_fees_still_shows_its_page(client_for):
    estimate = sent(at=timezone.now())
    kept = estimate.snapshot
    for option in kept["options"]:
        for line in option["lines"]:
            del line["fee"], line["is_own_working"]
    Estimate.objects.filter(pk=estimate.pk).update(snapshot=kept)
    page = client_for(None).get(offer_link(estimate)).content.decode()
    assert "rounded up to €1,710.00" in page
