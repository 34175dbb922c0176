from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db.models.signals import pre_save

from billing.estimates.models import EstimateLine
from billing.rates import actions
from billing.rates.card import Card, read_card
from billing.rates.models import MileageRate, RateCard
from billing.rates.queries import rate_card_on, starting_rates, usage_card
from billing.rates.starting_card import STARTING_CARD
from shared.edits import EditedMeanwhile
from tests.factories.billing import AT, RateCardFactory, drafted

pytestmark = pytest.mark.django_db


def values(**also):
    card = starting_rates(date(2026, 7, 1))
    return {name: getattr(card, name) for name in actions.RATE_FIELDS} | also


def test_new_rates_count_from_their_first_day_on():
    RateCardFactory()
    actions.set_rates(values(day_rate=Decimal(820)))
    assert rate_card_on(date(2026, 6, 30)).day_rate == 780
    assert rate_card_on(date(2026, 7, 1)).day_rate == 820


def test_two_cards_from_one_day_are_refused():
    RateCardFactory(valid_from=date(2026, 7, 1))
    with pytest.raises(actions.RatesFromThatDay, match="1 Jul 2026"):
        actions.set_rates(values())


def test_two_people_saving_a_first_card_of_a_day_at_once_are_told():
    def other_person(sender, instance, **_):
        RateCard.objects.bulk_create([starting_rates(instance.valid_from)])  # after the look, before the writing

    pre_save.connect(other_person, sender=RateCard)
    try:
        with pytest.raises(actions.RatesFromThatDay, match="1 Jul 2026"):
            actions.set_rates(values(day_rate=Decimal(820)))
    finally:
        pre_save.disconnect(other_person, sender=RateCard)
    assert not RateCard.objects.filter(day_rate=820).exists()


def test_a_stale_page_of_rates_is_told():
    card = RateCardFactory(valid_from=date(2026, 7, 1))
    actions.set_rates(values(), card=RateCard.objects.get(), version=1)
    with pytest.raises(EditedMeanwhile):
        actions.set_rates(values(), card=card, version=1)


def test_a_mileage_rate_of_the_same_day_replaces_the_old_one():
    given = {
        "name": "Car",
        "valid_from": date(2026, 1, 1),
        "unit": "km",
        "threshold": None,
        "rate_above": None,
        "source": "from memory",
    }
    actions.set_mileage_rate({**given, "rate": Decimal("0.30")})
    actions.set_mileage_rate({**given, "rate": Decimal("0.38")})
    assert MileageRate.objects.get().rate == Decimal("0.38")


# Usage fees


def dearer(base: int = 200) -> Card:
    return replace(STARTING_CARD, base=Fraction(base))


def bases() -> dict[date, Fraction]:
    """The base fee of each rate card, by its first day."""
    return {card.valid_from: usage_card(card).base for card in RateCard.objects.all()}


def test_new_usage_fees_count_from_their_first_day_on_and_leave_the_rates_alone():
    RateCardFactory(day_rate=Decimal(820))
    card = actions.start_usage_card(dearer(), valid_from=date(2026, 7, 1))
    assert card.day_rate == 820
    assert bases() == {date(2026, 1, 1): 180, date(2026, 7, 1): 200}
    assert read_card(RateCard.objects.get(pk=card.pk).usage) == dearer()


def test_usage_fees_may_be_the_first_thing_a_studio_sets():
    card = actions.start_usage_card(dearer(), valid_from=date(2026, 7, 1))
    assert (RateCard.objects.get(), card.day_rate) == (card, 780)


def test_a_rate_card_of_that_day_takes_new_fees_if_it_has_none_of_its_own():
    same = RateCardFactory(valid_from=date(2026, 7, 1))
    actions.start_usage_card(dearer(), valid_from=date(2026, 7, 1))
    assert bases() == {same.valid_from: 200}
    with pytest.raises(actions.UsageFeesFromThatDay, match="1 Jul 2026"):
        actions.start_usage_card(dearer(220), valid_from=date(2026, 7, 1))
    assert bases() == {same.valid_from: 200}


def test_later_rate_cards_carry_new_fees_on_up_to_the_next_fees_of_their_own():
    for month in (1, 4, 8, 10):
        RateCardFactory(valid_from=date(2026, month, 1))
    actions.start_usage_card(dearer(300), valid_from=date(2026, 8, 1))
    actions.start_usage_card(dearer(200), valid_from=date(2026, 3, 1))
    fees = {day.month: int(base) for day, base in bases().items()}
    assert fees == {1: 180, 3: 200, 4: 200, 8: 300, 10: 300}


def test_a_correction_reaches_the_rate_cards_that_carried_the_fees_on():
    first, later = RateCardFactory(), RateCardFactory(valid_from=date(2026, 4, 1))
    actions.set_usage_card(first, dearer(), version=1)
    assert bases() == {first.valid_from: 200, later.valid_from: 200}
    later.refresh_from_db()
    assert later.version == 2


def test_a_stale_page_of_usage_fees_is_told_and_changes_no_card():
    first, later = RateCardFactory(), RateCardFactory(valid_from=date(2026, 4, 1))
    actions.set_usage_card(RateCard.objects.get(pk=first.pk), dearer(), version=1)
    with pytest.raises(EditedMeanwhile):
        actions.set_usage_card(first, dearer(300), version=1)
    assert bases() == {first.valid_from: 200, later.valid_from: 200}


def test_fees_that_count_anyway_are_not_saved_again():
    RateCardFactory()
    with pytest.raises(actions.UsageFeesUnchanged):
        actions.start_usage_card(STARTING_CARD, valid_from=date(2026, 7, 1))
    assert RateCard.objects.count() == 1


def test_an_unfair_card_is_never_saved():
    card = RateCardFactory()
    unfair = replace(STARTING_CARD, minimum=Fraction(91))
    for save in (
        lambda: actions.set_usage_card(card, unfair, version=1),
        lambda: actions.start_usage_card(unfair, valid_from=date(2026, 7, 1)),
    ):
        with pytest.raises(actions.UnfairUsageCard, match="multiple of the step"):
            save()
    assert bases() == {card.valid_from: 180}


def test_an_estimate_drafted_before_keeps_its_licence_fee():
    def licence_fee(estimate):
        return EstimateLine.objects.get(option__estimate=estimate, kind="usage").unit_price

    before = drafted(at=AT)
    # 6 pictures, advertising, website and social media, Germany, 24 months: 180 × 1.2 × .9 × 1.5 × 5.85 = 1,705.86
    assert licence_fee(before) == 1710
    actions.start_usage_card(dearer(360), valid_from=AT.date() + timedelta(days=1))
    assert licence_fee(drafted(at=AT + timedelta(days=1))) == 3415
    assert licence_fee(before) == 1710
