"""Options of several uses: licensing.md §8 worked as options, the fee shared out, licences agreed and replaced, cards frozen."""

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from billing.estimates import actions
from billing.estimates.items import shares
from billing.estimates.models import Estimate, EstimateOption, OptionItem
from billing.estimates.queries import card_of, estimate_in_full, estimate_shown, items_of, missing_before_sending
from billing.estimates.snapshot import estimate_from_json
from billing.rates.fees import MOST_ITEMS
from billing.rates.models import RateCard
from billing.rates.queries import usage_card, usage_kept
from billing.rates.starting_card import STARTING_CARD
from shared.business.models import BusinessProfile
from shared.papers.kept import as_json
from shoots.licences.models import Licence, LicenceState
from tests.factories.billing import AT, accepted, drafted, sent

D = Decimal
WEB = {
    "is_own_promotion": False, "use_classes": ["advertising"], "use_media": ["web.own", "web.social"], "use_territories": ["DE"], "use_months": 12,
    "exclusivity": "none", "exclusive_months": None, "use_copies": None,
}  # fmt: skip
MENU = {**WEB, "use_media": ["print.menu"], "use_copies": 900}


def option_of(estimate: Estimate, **use: object) -> EstimateOption:
    """The draft's option with this use as its first."""
    option = estimate.options.get()
    EstimateOption.objects.filter(pk=option.pk).update(**{**WEB, **use})
    return estimate.options.get()


def with_menu() -> Estimate:
    estimate = drafted(pictures=6)
    option_of(estimate)
    actions.add_item(estimate, letter="A", use=MENU)
    return estimate


@pytest.mark.django_db
def test_website_and_menu_are_two_lines() -> None:
    # licensing.md §8: two lines 1,137.24 + 303.264 (one line 1,642.68), 1,440.504, fee 1,445
    estimate = with_menu()
    line = estimate.options.get().lines.get(kind="usage")
    assert line.unit_price == D(1445)
    assert line.figures["total"] == "1440.5040"
    assert [(each["items"], each["sum"]) for each in line.figures["lines"]] == [([0], "1137.24"), ([1], "303.264")]


@pytest.mark.django_db
def test_each_use_becomes_a_licence_and_the_fees_sum_up() -> None:
    estimate = accepted(sent(with_menu()))
    web, menu = Licence.objects.filter(origin=f"estimate:{estimate.pk}").order_by("pk")
    assert (web.use_media, web.use_copies) == (WEB["use_media"], None)
    assert (menu.use_media, menu.use_copies) == (["print.menu"], 900)
    assert web.fee_net + menu.fee_net == D(1445)
    assert menu.fee_net == D("304.21")  # 1,445 × 303.264 / 1,440.504 = 304.2105…, cut to the cent
    shown = estimate_from_json(estimate.snapshot)
    assert [use.copies for use in shown.options[0].further_uses] == [900]


@pytest.mark.django_db
def test_six_uses_and_no_more() -> None:
    estimate = drafted(pictures=1)
    option_of(estimate)
    for _ in range(MOST_ITEMS - 1):
        actions.add_item(estimate, letter="A", use=MENU)
    with pytest.raises(actions.SixUsesAtMost):
        actions.add_item(estimate, letter="A", use=MENU)
    accepted(sent(estimate))
    licences = Licence.objects.filter(origin=f"estimate:{estimate.pk}")
    assert licences.count() == MOST_ITEMS
    assert sum(each.fee_net for each in licences) == estimate.options.get().lines.get(kind="usage").unit_price


@pytest.mark.django_db
def test_a_use_taken_off_is_reckoned_anew() -> None:
    estimate = with_menu()
    item = OptionItem.objects.get()
    actions.remove_item(estimate, item=item.pk)
    actions.remove_item(estimate, item=item.pk)  # from a second tab: no fault
    assert estimate.options.get().lines.get(kind="usage").unit_price == D(1140)  # 1,137.24 up to the step of 5
    sent(estimate)
    with pytest.raises(actions.EstimateNotDraft):
        actions.add_item(estimate, letter="A", use=MENU)


@pytest.mark.django_db
def test_options_and_versions_keep_their_uses() -> None:
    estimate = with_menu()
    assert actions.add_option(estimate, copied_from="A").further_items.get().use_copies == 900
    fresh = actions.revise_estimate(accepted(sent(estimate)), at=AT)
    assert fresh.options.get(letter="A").further_items.get().use_copies == 900
    assert (fresh.card, fresh.card_sha256) == (estimate.card, estimate.card_sha256)


@pytest.mark.django_db
def test_a_changed_estimate_replaces_every_licence_of_the_one_before() -> None:
    first = accepted(sent(with_menu()))
    fresh = actions.revise_estimate(first, at=AT)
    actions.remove_item(fresh, item=fresh.options.get().further_items.get().pk)
    second = accepted(sent(fresh))
    old = Licence.objects.filter(origin=f"estimate:{first.pk}")
    assert [each.state for each in old] == [LicenceState.SUPERSEDED] * 2
    assert Licence.objects.get(origin=f"estimate:{second.pk}").supersedes_id == old.order_by("pk")[0].pk


@pytest.mark.django_db
def test_the_card_is_frozen_when_the_draft_is_made() -> None:
    estimate = drafted(pictures=6)
    option_of(estimate)
    dearer = {**usage_kept(None), "base": "360"}
    RateCard.objects.update(usage=dearer)
    actions.add_item(estimate, letter="A", use=MENU)
    assert estimate.options.get().lines.get(kind="usage").unit_price == D(1445)
    assert len(estimate.card_sha256) == 64
    assert usage_card(card_of(estimate)) == STARTING_CARD


@pytest.mark.django_db
def test_everything_in_print_without_copies_is_said_before_sending() -> None:
    estimate = drafted(pictures=6)
    option_of(estimate)
    actions.add_item(estimate, letter="A", use={**MENU, "use_media": ["all"], "use_copies": None})
    said = missing_before_sending(
        estimate_in_full(estimate.pk), business=BusinessProfile.objects.get(), on=AT.date() + timedelta(days=1)
    )
    assert any("how many copies are printed" in sentence for sentence in said)


@pytest.mark.django_db
def test_a_snapshot_older_than_several_uses_is_read() -> None:
    estimate = estimate_in_full(drafted(pictures=6).pk)
    assert len(items_of(estimate.options.all()[0])) == 1
    kept = as_json(estimate_shown(estimate, business=BusinessProfile.objects.get(), on=AT.date()))
    for option in kept["options"]:
        del option["further_uses"]
    assert estimate_from_json(kept).options[0].further_uses == ()


@given(
    agreed=st.decimals(0, 100_000, places=2),
    weights=st.lists(st.fractions(0, 10_000), min_size=1, max_size=6),
)
def test_shares_sum_to_what_was_agreed(agreed: Decimal, weights: list[Fraction]) -> None:
    parts = shares(agreed, [((index,), weight) for index, weight in enumerate(weights)], len(weights))
    assert sum(parts) == agreed
    assert all(part >= 0 for part in parts)
    assert all(part == part.quantize(D("0.01")) for part in parts)


def test_a_line_of_several_uses_stands_at_its_first() -> None:
    assert shares(D(100), [((0, 2), Fraction(3)), ((1,), Fraction(1))], 3) == (D(75), D(25), D(0))
    assert shares(D(100), [], 3) == (D(100), D(0), D(0))


@pytest.mark.django_db
def test_uses_are_added_and_taken_off_on_their_page(client_for: Any, owner: Any) -> None:
    estimate = drafted(pictures=6)
    option_of(estimate)
    office = client_for(owner)
    path = reverse("option_uses", args=[estimate.pk, "A"])
    typed = {
        "use_kind": "own_promotion", "use_media": ["print.menu"], "use_places": ["DE"], "use_months": "12", "use_copies": "900", "exclusivity": "none",
    }  # fmt: skip
    assert office.post(path, {**typed, "use_places": []}).status_code == 422
    assert office.post(path, typed).status_code == 302
    assert OptionItem.objects.get().use_copies == 900
    assert "303.264" in office.get(path).content.decode()
    assert office.post(path, {"remove": OptionItem.objects.get().pk}).status_code == 302
    assert not OptionItem.objects.exists()
