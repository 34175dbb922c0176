from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from billing.cards.trying import Asked, Case, try_fee
from billing.rates.fees import InvalidItem, UseItem, usage_fee
from billing.rates.starting_card import STARTING_CARD as CARD


def use(media: str = "web.own", places: str = "DE", months: int | None = 12, **more: object) -> UseItem:
    return UseItem(
        frozenset(["advertising"]),
        frozenset(media.split()),
        frozenset(places.split()),
        date(2027, 3, 1),
        months,
        **more,
    )  # type: ignore[arg-type]


def test_a_new_use_costs_its_fee_and_the_steps_multiply_to_the_sum() -> None:
    found = try_fee(CARD, Asked(Case.NEW, 5, use(places="DE AT CH")))
    assert found.to_pay == D(1080)  # worked by hand: 180 × 1.2 × 0.5 × 2 × 1 × 5
    product = D(1)
    for step in found.steps:
        product *= step.value
    assert product == found.exact == D(1080)
    assert [(step.name, step.reason) for step in found.steps][1:4] == [
        ("What it is for", "Advertising"),
        ("Where it is shown", "Website"),
        ("In which countries", "Europe"),
    ]
    assert not found.is_rounded


def test_the_wider_cover_at_the_same_fee_is_offered() -> None:
    assert try_fee(CARD, Asked(Case.NEW, 5, use(places="DE AT CH"))).wider == (
        "Europe instead of Austria, Switzerland and Germany",
    )
    assert try_fee(CARD, Asked(Case.NEW, 5, use())).wider == ()


def test_the_bands_tell_what_more_pictures_cost() -> None:
    found = try_fee(CARD, Asked(Case.NEW, 12, use()))
    assert [(band.pictures, band.fee, band.is_asked) for band in found.bands] == [
        (pictures, usage_fee(CARD, pictures, [use()]).fee, pictures == 12) for pictures in (1, 5, 10, 12, 20, 50)
    ]
    assert [band.each for band in found.bands] == sorted((band.each for band in found.bands), reverse=True)


def test_a_fee_below_the_minimum_is_the_minimum() -> None:
    found = try_fee(CARD, Asked(Case.NEW, 1, use("web.email", months=1)))
    assert (found.to_pay, found.fee.is_minimum, found.is_rounded) == (D(90), True, False)


def test_a_change_costs_the_difference_and_handling_and_never_gives_back() -> None:
    new = usage_fee(CARD, 5, [use("web")]).fee
    assert try_fee(CARD, Asked(Case.CHANGE, 5, use("web"), agreed_fee=D(500))).to_pay == new - 500 + 40
    assert try_fee(CARD, Asked(Case.CHANGE, 5, use("web"), agreed_fee=D(99_999))).to_pay == 0


def test_a_renewal_is_priced_as_a_licence_from_the_end_on() -> None:
    found = try_fee(CARD, Asked(Case.RENEWAL, 5, use(), more_months=24))
    assert found.to_pay == usage_fee(CARD, 5, [use(months=24)]).fee
    with pytest.raises(InvalidItem):
        try_fee(CARD, Asked(Case.RENEWAL, 5, use(months=None), more_months=12))


def test_a_use_found_costs_its_fee_times_the_factor_and_handling() -> None:
    fee = usage_fee(CARD, 5, [use()]).fee
    assert try_fee(CARD, Asked(Case.FOUND, 5, use(), late_factor=F(2))).to_pay == 2 * fee + 40
