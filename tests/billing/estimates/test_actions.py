from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from billing.estimates import actions
from billing.estimates.adding_up import SumTooLarge
from billing.estimates.models import Estimate, EstimateLine, EstimateOption, OptionItem
from billing.estimates.queries import card_of, drafted_words, estimate_in_full
from billing.estimates.snapshot import estimate_from_json
from billing.rates.models import RateCard
from billing.rates.queries import usage_card, usage_kept
from billing.rates.starting_card import STARTING_CARD
from shared.edits import EditedMeanwhile
from shoots.brief.models import AgreedPicture
from tests.factories.billing import AT, MENU, accepted, add_line, drafted, option_of, sent, shoot_to_quote, with_menu
from tests.factories.clients import ClientFactory, KitchenFactory
from tests.factories.licences import ADVERTISING
from tests.factories.shared import BusinessProfileFactory
from tests.factories.shoots import ShootFactory

pytestmark = pytest.mark.django_db


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
    from billing.estimates.adding_up import SumTooLarge

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


def test_a_clash_of_dates_is_said_before_sending():
    from billing.estimates.queries import check_before_sending
    from shared.business.models import BusinessProfile

    ShootFactory(title="Spring menu", client=ClientFactory(name="Spoon & Lamp"), state="confirmed")
    estimate = drafted()
    notes = check_before_sending(estimate_in_full(estimate.pk), business=BusinessProfile.objects.get())
    assert notes == ["Clash of dates: Spring menu for Spoon & Lamp is confirmed on 14\xa0Nov\xa02026."]


def test_an_estimate_is_a_draft_by_what_the_books_say_not_by_the_row_in_hand():
    in_hand = drafted()
    sent(Estimate.objects.get())
    with pytest.raises(actions.EstimateNotDraft, match="is sent"):
        actions.need_draft(in_hand)


def test_a_locked_estimate_is_read_as_it_is_then():
    in_hand = drafted()
    Estimate.objects.update(opening="Dear Maro, changed meanwhile")
    actions.lock_estimate(in_hand)
    assert in_hand.opening == "Dear Maro, changed meanwhile"


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


def test_website_and_menu_are_two_lines() -> None:
    # licensing.md §8: two lines 1,137.24 + 303.264 (one line 1,642.68), 1,440.504, fee 1,445
    estimate = with_menu()
    line = estimate.options.get().lines.get(kind="usage")
    assert line.unit_price == Decimal(1445)
    assert line.figures["total"] == "1440.5040"
    assert [(each["items"], each["sum"]) for each in line.figures["lines"]] == [([0], "1137.24"), ([1], "303.264")]


def test_a_use_taken_off_is_reckoned_anew() -> None:
    estimate = with_menu()
    item = OptionItem.objects.get()
    actions.remove_item(estimate, item=item.pk)
    actions.remove_item(estimate, item=item.pk)  # from a second tab: no fault
    assert estimate.options.get().lines.get(kind="usage").unit_price == Decimal(1140)  # 1,137.24 up to the step of 5
    sent(estimate)
    with pytest.raises(actions.EstimateNotDraft):
        actions.add_item(estimate, letter="A", use=MENU)


def test_options_and_versions_keep_their_uses() -> None:
    estimate = with_menu()
    assert actions.add_option(estimate, copied_from="A").further_items.get().use_copies == 900
    fresh = actions.revise_estimate(accepted(sent(estimate)), at=AT)
    assert fresh.options.get(letter="A").further_items.get().use_copies == 900
    assert (fresh.card, fresh.card_sha256) == (estimate.card, estimate.card_sha256)


def test_the_card_is_frozen_when_the_draft_is_made() -> None:
    estimate = drafted(pictures=6)
    option_of(estimate)
    dearer = {**usage_kept(None), "base": "360"}
    RateCard.objects.update(usage=dearer)
    actions.add_item(estimate, letter="A", use=MENU)
    assert estimate.options.get().lines.get(kind="usage").unit_price == Decimal(1445)
    assert len(estimate.card_sha256) == 64
    assert usage_card(card_of(estimate)) == STARTING_CARD


def test_one_use_of_an_option_is_optional_and_goes_with_its_line() -> None:
    estimate = drafted(pictures=6)
    actions._reckon_anew(option_of(estimate), estimate)
    item = actions.add_item(estimate, letter="A", use=MENU, is_optional=True)
    second = actions.add_item(estimate, letter="A", use=MENU)
    for again in (
        lambda: actions.add_item(estimate, letter="A", use=MENU, is_optional=True),
        lambda: actions.change_item(estimate, item=second.pk, use=MENU, is_optional=True),
    ):
        with pytest.raises(actions.OneOptionalUse):
            again()
    # The menu is in the option now, so the same menu adds nothing but what the step rounds up
    row = estimate_in_full(estimate.pk)
    option = row.options.all()[0]
    line = next(each for each in option.lines.all() if each.item_id == item.pk)
    edit = actions.OptionEdit(
        option, list(option.pictures.all()), [each for each in option.lines.all() if each != line], [line.pk]
    )
    actions.save_estimate(row, fields=["opening"], version=row.version, options=[edit], at=AT)
    assert list(OptionItem.objects.all()) == [second]


def test_a_fee_typed_by_hand_stays_when_only_an_optional_use_comes_changes_and_goes() -> None:
    estimate = drafted(pictures=6)
    actions._reckon_anew(option_of(estimate), estimate)
    licence = estimate.options.get().lines.filter(kind="usage", item=None)
    licence.update(unit_price=Decimal("999.00"))
    item = actions.add_item(estimate, letter="A", use=MENU, is_optional=True)
    actions.change_item(estimate, item=item.pk, use={**MENU, "use_copies": 5_000}, is_optional=True)
    assert licence.get().unit_price == Decimal("999.00")
    actions.remove_item(estimate, item=item.pk)
    assert licence.get().unit_price == Decimal("999.00")
    actions.add_item(estimate, letter="A", use=MENU)
    assert licence.get().unit_price != Decimal("999.00"), "what is granted has changed"


def test_a_use_is_changed_where_it_stands() -> None:
    estimate = with_menu()
    first, second = OptionItem.objects.get(), actions.add_item(estimate, letter="A", use={**MENU, "use_copies": 50_000})
    actions.change_item(estimate, item=first.pk, use={**MENU, "use_copies": 5_000}, is_optional=False)
    assert [each.use_copies for each in estimate.options.get().further_items.all()] == [5_000, 50_000]
    actions.remove_item(estimate, item=second.pk)
    # 180 × 1.2 × .4 × 1 × 1 × .75 × 5.85 = 379.08; with 1,137.24 it is 1,516.32, up to 1,520
    assert estimate.options.get().lines.get(kind="usage").unit_price == Decimal(1520)
    actions.change_item(estimate, item=first.pk, use=MENU, is_optional=True)
    assert [each.unit_price for each in estimate.options.get().lines.filter(kind="usage").order_by("order")] == [
        1140,
        305,
    ]
    actions.change_item(estimate, item=first.pk, use=MENU, is_optional=False)
    assert estimate.options.get().lines.get(kind="usage").unit_price == Decimal(1445)
    with pytest.raises(actions.UseGone):
        actions.change_item(estimate, item=second.pk, use=MENU, is_optional=False)
    sent(estimate)
    with pytest.raises(actions.EstimateNotDraft):
        actions.change_item(estimate, item=first.pk, use=MENU, is_optional=False)
