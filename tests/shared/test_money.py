from decimal import Decimal as D
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.money import CurrencyMix, InvalidMoney, InvalidShare, Money, round_exact, round_money, share, total

cents = st.integers(-(10**9), 10**9).map(lambda each: Money(D(each) / 100, "EUR"))
weights = st.lists(st.integers(0, 1000).map(D), min_size=1, max_size=8).filter(any)


@pytest.mark.parametrize(
    ("exact", "rounded"),
    [
        ("2.665", "2.67"),
        ("-2.665", "-2.67"),
        ("0.105", "0.11"),
        ("0.1049999", "0.10"),
        ("-0.004", "0.00"),
        ("7", "7.00"),
    ],
)
def test_half_a_cent_goes_away_from_zero(exact: str, rounded: str) -> None:
    assert str(round_money(D(exact))) == rounded


@given(st.integers(-(10**12), 10**12), st.integers(1, 10**6))
def test_a_fraction_is_rounded_as_its_decimal_is_and_never_moved_by_more_than_half_a_cent(
    above: int, below: int
) -> None:
    exact = Fraction(above, below)
    rounded = round_exact(exact)
    assert abs(Fraction(rounded) - exact) <= Fraction(1, 200)
    assert round_exact(-exact) == -rounded
    assert round_exact(Fraction(above, 1000)) == round_money(D(above) / 1000)


def test_yen_have_no_decimals_and_dinars_three() -> None:
    assert str(round_money(D("1499.5"), "JPY")) == "1500"
    assert str(round_money(D("1.0005"), "KWD")) == "1.001"


def test_money_keeps_two_decimals_however_it_was_typed() -> None:
    assert str(Money(D(5), "EUR")) == "5.00 EUR"
    assert Money(D("5.10"), "EUR") == Money(D("5.1"), "EUR")


def test_money_refuses_floats() -> None:
    with pytest.raises(InvalidMoney):
        Money(2.5, "EUR")  # type: ignore[arg-type]
    with pytest.raises(InvalidMoney):
        round_money(2.5)  # type: ignore[arg-type]


@pytest.mark.parametrize("amount", ["0.001", "NaN", "Infinity"])
def test_money_refuses_what_is_not_whole_coins(amount: str) -> None:
    with pytest.raises(InvalidMoney):
        Money(D(amount), "EUR")


@pytest.mark.parametrize("currency", ["", "eur", "EURO", "E1R"])
def test_money_refuses_what_is_no_currency(currency: str) -> None:
    with pytest.raises(InvalidMoney):
        Money(D(1), currency)


def test_two_currencies_do_not_mix() -> None:
    with pytest.raises(CurrencyMix):
        Money(D(1), "EUR") + Money(D(1), "GBP")
    with pytest.raises(CurrencyMix):
        Money(D(1), "EUR") < Money(D(1), "GBP")  # noqa: B015


def test_sums_add_subtract_and_compare() -> None:
    three, two = Money(D(3), "EUR"), Money(D(2), "EUR")
    assert three - two == Money(D(1), "EUR")
    assert -three < two <= two < three >= two > -two
    assert total([three, two], "EUR") == Money(D(5), "EUR")
    assert not total([], "EUR")
    assert three.percent(D("16.5")) == Money(D("0.50"), "EUR")
    assert two.times(D("0.125")) == Money(D("0.25"), "EUR")


def test_odd_cents_go_to_the_parts_that_lost_most_and_then_to_the_earlier() -> None:
    assert [str(part.amount) for part in share(Money(D("0.05"), "EUR"), [D(50), D(50)])] == ["0.03", "0.02"]
    assert [str(part.amount) for part in share(Money(D(100), "EUR"), [D(1), D(1), D(1)])] == ["33.34", "33.33", "33.33"]
    assert [str(part.amount) for part in share(Money(D("-0.05"), "EUR"), [D(50), D(50)])] == ["-0.03", "-0.02"]


@pytest.mark.parametrize("bad", [[], [D(0)], [D(2), D(-1)]])
def test_a_sum_is_not_shared_by_nothing(bad: list[D]) -> None:
    with pytest.raises(InvalidShare):
        share(Money(D(1), "EUR"), bad)


@given(cents, weights)
def test_sharing_loses_no_cent_and_no_part_is_a_cent_off(whole: Money, by: list[D]) -> None:
    parts = share(whole, by)
    assert total(parts, "EUR") == whole
    for part, weight in zip(parts, by, strict=True):
        assert abs(part.amount - whole.amount * weight / sum(by)) < D("0.01")


@given(cents, weights)
def test_a_shared_credit_mirrors_its_invoice(whole: Money, by: list[D]) -> None:
    assert share(-whole, by) == tuple(-part for part in share(whole, by))


@given(cents, cents)
def test_adding_is_undone_by_subtracting(one: Money, other: Money) -> None:
    assert one + other - other == one
    assert one + other == other + one
