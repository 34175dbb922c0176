"""The client's page of an estimate, each state walked by hand in a real browser, with and without script, by keyboard, at desk and phone."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.utils import timezone

from billing.estimates import actions as drafting
from billing.estimates.models import ClientQuestion, Estimate, EstimateLine, EstimateOption
from billing.invoices.models import Invoice
from billing.orders import actions
from shared.evidence.models import Evidence
from shoots.brief.actions import cancel_shoot
from shoots.brief.models import SellingOn
from tests.factories.billing import accepted, drafted, offer_link, sent
from tests.factories.clients import ClientFactory
from tests.factories.licences import ALONE, agreed
from tests.house.test_pages import DESK, PHONE, too_wide, violations

pytestmark = pytest.mark.django_db(transaction=True)


def offered(*, at: Any = None, signed_by: str = "", **of_options: Any) -> Estimate:
    """Two options, the second with two optional lines and more pictures."""
    at = at or timezone.now()
    estimate = drafted(at=at)
    drafting.add_option(estimate, copied_from="A")
    second = EstimateOption.objects.get(estimate=estimate, letter="B")
    EstimateOption.objects.filter(pk=second.pk).update(title="With a portrait")
    for order, (what, price) in enumerate((("Portrait of the cook", "150"), ("A second table", "80.55"))):
        EstimateLine.objects.create(
            option=second, what=what, unit_price=Decimal(price), is_optional=True, order=50 + order
        )
    estimate.options.update(**of_options) if of_options else None
    return sent(estimate, at=at, signed_by=signed_by)


def check(page: Any) -> None:
    """Read well at both widths: no finding of axe, nothing wider than the phone, one heading of the page, one main act."""
    for size in (PHONE, DESK):
        page.set_viewport_size(size)
        assert violations(page) == []
        assert too_wide(page) == []
    assert page.locator("h1").count() == 1
    assert page.locator(".btn.main:visible").count() <= 1


def sign(page: Any, name: str = "Maro Lantadze") -> None:
    page.get_by_label("Your full name").fill(name)
    page.get_by_label("Your role").fill("Owner")
    page.get_by_label("I may order").check()


@pytest.fixture(params=[True, False], ids=["script", "no script"])
def client_page(request: Any, browser: Any, watch: Any) -> Any:
    context = browser.new_context(java_script_enabled=request.param, locale="en-GB")
    page = watch(context.new_page())
    page.has_script = request.param
    yield page
    context.close()


def test_an_option_is_taken_by_keyboard_alone_and_every_sum_follows(
    live_server: Any, browser: Any, watch: Any, worked: Any, tally: Any
) -> None:
    estimate = offered()
    page = watch(browser.new_page())
    hands = tally(page)
    hands.open(live_server.url + offer_link(estimate))
    check(page)
    assert page.get_by_role("radio", checked=True).count() == 0  # nothing is chosen for the client
    page.get_by_role("radio", name="A:").focus()
    page.keyboard.press("ArrowDown")
    page.get_by_role("button", name="Accept option B for €3,451.00").wait_for()
    portrait = page.get_by_label("Portrait of the cook")
    portrait.focus()
    page.keyboard.press("Space")
    # By hand: 260 + 780 + 150 + 1,710 + 150 = 3,050.00; 19% is 579.50; in all 3,629.50; 40% is 1,451.80
    page.get_by_role("button", name="Accept option B for €3,629.50").wait_for()
    assert portrait.evaluate("it => it === document.activeElement")  # the place on the page is kept
    assert page.locator("#sum-said").inner_text().strip() == "B: With a portrait: to pay €3,629.50"
    assert "40% deposit, €1,451.80" in page.locator("#adds-up").inner_text()
    page.get_by_text("How this fee comes about").focus()
    page.keyboard.press("Enter")
    assert page.get_by_text("That is €1,705.86, rounded up to €1,710.00.").is_visible()
    check(page)
    sign(page)
    page.get_by_role("button", name="Accept option B for").press("Enter")
    hands.presses, hands.typed = 5, 2  # the option, the optional line, the fee, the tick, the yes; name and role
    page.get_by_text("Maro Lantadze (Owner) accepted option B for €3,629.50").wait_for()
    check(page)
    worked(timezone.now())
    deposit = Invoice.objects.get()
    estimate.refresh_from_db()
    assert estimate.accepted_snapshot["sums"]["gross"] == "3629.50"
    assert deposit.gross == Decimal("1451.80")  # the same rounding as the page
    assert estimate.accepted_address == "127.0.0.1"
    assert Evidence.objects.filter(kind="accepted", subject=f"estimate:{estimate.pk}").count() == 1


def test_totals_come_by_a_press_and_a_forgotten_field_keeps_what_was_chosen(live_server: Any, client_page: Any) -> None:
    page, estimate = client_page, offered()
    page.goto(live_server.url + offer_link(estimate))
    page.get_by_role("radio", name="B:").check()
    if not page.has_script:
        page.get_by_role("button", name="Show totals").first.click()
    page.get_by_label("A second table").check()
    if not page.has_script:
        page.get_by_role("button", name="Show totals").last.click()
    # 2,900.00 + 80.55 = 2,980.55; 19% is 566.3045, 566.30; in all 3,546.85
    page.get_by_role("button", name="Accept option B for €3,546.85").wait_for()
    page.get_by_label("Your full name").fill("Maro Lantadze")
    page.get_by_role("button", name="Accept option B").click()
    assert page.get_by_text("This is missing").first.is_visible() or page.locator(".summary").is_visible()
    assert page.get_by_label("Your full name").input_value() == "Maro Lantadze"
    assert page.get_by_label("A second table").is_checked()
    assert Estimate.objects.get().state == "sent"
    if page.has_script:
        check(page)
    sign(page)
    page.get_by_role("button", name="Accept option B for €3,546.85").click()
    page.get_by_text("accepted option B for €3,546.85").wait_for()


def test_a_question_and_a_no_are_as_easy_as_a_yes(live_server: Any, client_page: Any) -> None:
    page, estimate = client_page, offered()
    page.goto(live_server.url + offer_link(estimate))
    page.get_by_role("link", name="Ask a question").click()
    page.locator("summary", has_text="Ask a question").click()
    page.get_by_label("Your question").fill("Is Sunday possible?")
    page.get_by_role("button", name="Send the question").click()
    page.get_by_text("Your question is kept and on its way.").wait_for()
    assert ClientQuestion.objects.get().text == "Is Sunday possible?"
    page.get_by_role("link", name="Decline").click()
    page.locator("summary", has_text="Decline").click()
    page.get_by_role("button", name="Decline the estimate").click()  # without a reason
    assert Estimate.objects.get().state == "sent"
    page.locator("#decline textarea, #decline input:not([type=hidden])").first.fill("Too dear for this year.")
    page.get_by_role("button", name="Decline the estimate").click()
    page.get_by_text("This estimate was declined on").wait_for()
    assert Estimate.objects.get().declined_reason == "Too dear for this year."
    if page.has_script:
        check(page)


def expired(estimate: Estimate) -> str:
    Estimate.objects.filter(pk=estimate.pk).update(valid_until=timezone.localdate() - timedelta(days=1))
    return "This estimate was valid until"


def replaced(estimate: Estimate) -> str:
    sent(drafting.revise_estimate(estimate, at=timezone.now()), at=timezone.now())
    return "This estimate was replaced by a newer version."


def called_back(estimate: Estimate) -> str:
    actions.call_back_estimate(estimate, at=timezone.now())
    return "This estimate was called back."


def cancelled(estimate: Estimate) -> str:
    cancel_shoot(estimate.shoot, reason="Kitchen flooded", by="", at=timezone.now())
    return "The shoot was cancelled, so this estimate can no longer be accepted."


def answered(estimate: Estimate) -> str:
    accepted(estimate, at=timezone.now())
    return "Maro Lantadze (Owner) accepted option A"


def refused(estimate: Estimate) -> str:
    actions.decline_estimate(estimate, reason="Too dear.", at=timezone.now())
    return "This estimate was declined on"


def test_what_happens_while_the_page_is_open_is_told_politely_and_nothing_is_ordered_twice(
    live_server: Any, client_page: Any
) -> None:
    page = client_page
    for happens in (expired, replaced, called_back, cancelled, answered, refused):
        estimate = offered()
        page.goto(live_server.url + offer_link(estimate) + "?option=B")
        sign(page, "Ivo Pellander")
        said = happens(Estimate.objects.get(pk=estimate.pk))
        before = Evidence.objects.filter(kind="accepted").count()
        page.get_by_role("button", name="Accept option B").click()
        page.get_by_role("heading", name="Your answer came too late").wait_for()
        assert said in page.locator("main").inner_text()
        assert page.get_by_role("button", name="Accept").count() == 0
        assert Evidence.objects.filter(kind="accepted").count() == before
        if page.has_script:
            check(page)
        page.goto(live_server.url + offer_link(estimate))  # opened later, it says so without alarm
        assert said in page.locator("main").inner_text()
        assert page.get_by_role("alert").count() == 0


def test_a_yes_that_a_rival_licence_stops_keeps_what_was_typed_and_names_nobody(
    live_server: Any, client_page: Any
) -> None:
    page, estimate = client_page, offered(signed_by="Tindra Aldermoor", exclusivity="picture")
    rival = ClientFactory(name="Spoon & Lamp")
    estimate.shoot.selling_on = SellingOn.FREE  # else nothing could be agreed with anybody but its client
    estimate.shoot.save()
    agreed(estimate.shoot, licensee=rival, billing_party=rival, terms=ALONE | {"use_media": ["all"]}, at=timezone.now())
    page.goto(live_server.url + offer_link(estimate) + "?option=A")
    sign(page)
    page.get_by_role("button", name="Accept option A").click()
    page.get_by_text("It cannot be accepted just now. Nothing was ordered.").first.wait_for()
    assert "Spoon" not in page.content()
    assert page.get_by_label("Your full name").input_value() == "Maro Lantadze"
    assert Estimate.objects.get().state == "sent"
    if page.has_script:
        check(page)


def test_names_that_do_not_end_and_sums_of_ten_digits_stay_on_the_phone(
    live_server: Any, browser: Any, watch: Any
) -> None:
    estimate, long = drafted(at=timezone.now(), title="W" * 60), "Gewürzschrankbeschriftungsetikettenentwurf" * 2
    option = EstimateOption.objects.get(estimate=estimate)
    for order, is_optional in ((90, False), (91, True)):
        EstimateLine.objects.create(
            option=option, what=long, unit_price=Decimal(4000000000), is_optional=is_optional, order=order
        )
    drafting.add_option(estimate, copied_from="A")
    EstimateOption.objects.filter(estimate=estimate, letter="B").update(title=long)
    page = watch(browser.new_page())
    page.goto(live_server.url + offer_link(sent(estimate, at=timezone.now())) + "?option=B")
    check(page)
