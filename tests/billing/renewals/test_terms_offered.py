from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from billing.rates.card import Card
from billing.rates.fees import Exclusive, InvalidItem, UseItem, change_fee, usage_fee
from billing.rates.starting_card import STARTING_CARD
from billing.renewals.terms_offered import PAYS_WITHIN_MONTHS, term_of, terms_offered
from tests.factories.rate_cards import fair_cards

FIRST = date(2026, 12, 20)


def use(months: int = 12, **also) -> UseItem:
    known = {"classes": {"advertising"}, "media": {"web.display"}, "territories": {"DE"}} | also
    sets = {name: frozenset(known.pop(name)) for name in ("classes", "media", "territories")}
    return UseItem(**sets, use_from=FIRST, months=months, **known)


def test_a_year_is_renewed_for_a_year_for_two_and_without_end_by_the_shipped_card() -> None:
    # licensing.md 8: 180 x 1.2 x .9 x 1 = 194.40 a year, one picture; two years x 1.5 = 291.60; perpetual x 5 = 972
    found = terms_offered(STARTING_CARD, 1, use())
    assert [(each.months, each.fee.fee, each.times, each.instead) for each in found] == [
        (12, Decimal(195), 1, None),
        (24, Decimal(295), 2, Decimal(390)),
        (None, Decimal(975), 6, Decimal(1170)),
    ]
    assert [each.saves for each in found] == [0, 95, 195]


def test_without_end_is_not_offered_where_it_pays_only_after_ten_years() -> None:
    # 72 months are 2.5 + 12/60 = 2.7, without end is 5: two renewals are dearer, but after twelve years
    assert [each.months for each in terms_offered(STARTING_CARD, 1, use(72))] == [72, 144]
    assert PAYS_WITHIN_MONTHS == 120


def test_a_longer_term_at_the_minimum_costs_the_same_and_is_offered() -> None:
    tiny = use(1, classes={"editorial"}, media={"web.own"}, territories={"AT"})
    assert [(each.months, each.fee.fee) for each in terms_offered(STARTING_CARD, 1, tiny)][:2] == [(1, 90), (2, 90)]


def test_what_was_exclusive_for_a_part_stays_so_and_for_longer_than_the_renewal_throughout() -> None:
    alone = use(24, exclusive=Exclusive.TRADE, exclusive_months=12)
    assert term_of(STARTING_CARD, 1, alone, 24) == usage_fee(STARTING_CARD, 1, [alone])
    shorter = term_of(STARTING_CARD, 1, alone, 6)
    assert shorter.lines[0].working[4].value == Fraction(7, 10) * Fraction(3, 2)


def test_what_never_ends_is_not_renewed() -> None:
    with pytest.raises(ValueError, match="never ends"):
        terms_offered(STARTING_CARD, 1, use(None))
    with pytest.raises(InvalidItem):
        terms_offered(STARTING_CARD, 0, use())


ODD_USES = st.builds(
    use, months=st.integers(1, 240), classes=st.sampled_from([{"advertising"}, {"editorial"}, {"stock", "advertising"}]),
    media=st.sampled_from([{"web.own"}, {"web.own", "web.display"}, {"web"}]), territories=st.sampled_from([{"DE"}, {"DE", "AT"}, {"world"}]),
    exclusive=st.sampled_from(list(Exclusive)),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(fair_cards(), ODD_USES, st.integers(1, 30))
def test_a_longer_renewal_is_never_cheaper_and_never_dearer_than_renewing_again(
    card: Card, item: UseItem, pictures: int
) -> None:
    same, *longer = terms_offered(card, pictures, item)
    assert same.fee.fee == usage_fee(card, pictures, [item]).fee
    for each in longer:
        assert each.fee.fee >= same.fee.fee
        assert each.saves > 0
        assert each.instead == each.times * same.fee.fee
        if each.months is None:
            assert (each.times == 2) or (each.times - 1) * same.fee.fee <= each.fee.fee
    assert usage_fee(card, pictures + 1, [item]).fee >= same.fee.fee


@settings(max_examples=80, deadline=None)
@given(fair_cards(), ODD_USES, ODD_USES, st.integers(0, 1_000_000).map(lambda each: Decimal(each) / 100))
def test_a_change_costs_the_new_fee_less_the_old_one_plus_handling_and_never_pays_back(
    card: Card, old: UseItem, new: UseItem, agreed: Decimal
) -> None:
    fee = usage_fee(card, 1, [new]).fee
    change = change_fee(card, fee, agreed)
    assert change >= 0
    assert Fraction(change) - max(Fraction(0), Fraction(fee) - Fraction(agreed) + card.handling) < Fraction(1, 100)
    assert Fraction(change) >= max(Fraction(0), Fraction(fee) - Fraction(agreed) + card.handling)
    was = usage_fee(card, 1, [old]).fee
    assert change_fee(card, max(fee, was), was) >= change_fee(card, fee, was)
