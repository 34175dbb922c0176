from dataclasses import replace
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.sums.totals import (
    Adjustment,
    Category,
    InvalidAdjustment,
    InvalidLine,
    InvalidTotals,
    Line,
    TaxGroup,
    Totals,
    WholeAdjustment,
    after_deposits,
    deposit_groups,
    percentage,
    tax_group,
    totals,
)

S, E, O = Category.STANDARD, Category.EXEMPT, Category.OUTSIDE_SCOPE  # noqa: E741 the category's own letter
RATES = st.sampled_from([D(7), D(19), D("5.5"), D(20)])
lines_of_any_kind = st.lists(
    st.builds(
        lambda quantity, price, rate: Line(D(quantity) / 100, D(price) / 1000, S, rate),
        st.integers(-5000, 5000), st.integers(0, 10**7), RATES,
    ),
    min_size=1, max_size=8,
)  # fmt: skip


def line(net: str, rate: int = 19) -> Line:
    return Line(D(1), D(net), S if rate else E, D(rate))


@given(lines_of_any_kind)
def test_totals_follow_from_the_lines_the_slow_way_too(lines: list[Line]) -> None:
    found = totals(lines)
    assert found.net == sum(each.net for each in lines)
    for group in found.groups:
        exact = sum(each.net for each in lines if each.rate == group.rate) * group.rate / 100
        assert abs(group.tax - exact) <= D("0.005")
    assert found.gross == found.due == found.net + sum(group.tax for group in found.groups)


@given(lines_of_any_kind)
def test_a_credit_mirrors_its_invoice_to_the_cent(lines: list[Line]) -> None:
    credit = totals([replace(each, quantity=-each.quantity) for each in lines])
    assert credit.gross == -totals(lines).gross


@given(lines_of_any_kind, st.randoms())
def test_the_order_of_lines_does_not_matter(lines: list[Line], chance: object) -> None:
    mixed = lines.copy()
    chance.shuffle(mixed)  # type: ignore[attr-defined]
    assert totals(mixed) == totals(lines)


@given(lines_of_any_kind, st.integers(0, 100).map(D))
def test_deposit_and_remainder_make_the_whole(lines: list[Line], percent: D) -> None:
    whole = totals(lines)
    deposit = deposit_groups(whole.groups, percent)
    left = after_deposits(whole.groups, deposit)
    assert sum(each.gross for each in left) + sum(each.gross for each in deposit) == whole.gross


def test_a_price_may_be_for_several_units() -> None:
    assert Line(D(250), D("12.5"), S, D(19), price_base=D(100)).net == D("31.25")


def test_discounts_and_surcharges_of_a_line_come_after_its_rounding() -> None:
    off = percentage(D(5), D("465.00"), "Repeat order")
    assert Line(D(12), D("38.75"), S, D(19), allowances=(off,), charges=(Adjustment(D(2), "Rush"),)).net == D("443.75")


@pytest.mark.parametrize(
    ("make", "refusal"),
    [
        (lambda: Line(D(1), D(-1), S, D(19)), InvalidLine),
        (lambda: Line(D(1), D(1), S, D(0)), InvalidLine),
        (lambda: Line(D(1), D(1), E, D(19)), InvalidLine),
        (lambda: Line(D(1), D(1), S, D(19), price_base=D(0)), InvalidLine),
        (lambda: Adjustment(D("1.005"), "x"), InvalidAdjustment),
        (lambda: Adjustment(D(-1), "x"), InvalidAdjustment),
        (lambda: Adjustment(D(1), " "), InvalidAdjustment),
        (lambda: Adjustment(D(1), "x", percent=D(5)), InvalidAdjustment),
        (lambda: Adjustment(D(24), "x", percent=D(5), base=D("465.00")), InvalidAdjustment),
        (lambda: WholeAdjustment(Adjustment(D(1), "x"), E, D(19)), InvalidLine),
        (lambda: TaxGroup(S, D(19), D("100.00"), D("19.50")), InvalidTotals),
        (lambda: TaxGroup(S, D(19), D("100.001"), D("19.00")), InvalidTotals),
        (lambda: totals([]), InvalidTotals),
    ],
)
def test_what_is_wrong_is_refused_at_birth(make: object, refusal: type[Exception]) -> None:
    with pytest.raises(refusal):
        make()  # type: ignore[operator]


@pytest.mark.parametrize(
    ("field", "value", "rule"),
    [
        ("tax", "589.01", "BR-CO-14"),
        ("net", "3100.01", "BR-CO-13"),
        ("gross", "3689.01", "BR-CO-15"),
        ("due", "3688.99", "BR-CO-16"),
        ("allowance_total", "1.00", "BR-CO-13"),
        ("gross", "3689.001", "BR-DEC"),
    ],
)
def test_totals_that_are_a_cent_off_are_refused_with_the_rule(field: str, value: str, rule: str) -> None:
    right = totals([Line(D(2), D(950), S, D(19)), line("1200.00")])
    with pytest.raises(InvalidTotals) as refused:
        replace(right, **{field: D(value)})
    assert refused.value.rule == rule


def test_a_group_stands_once_and_outside_scope_stands_alone() -> None:
    half = tax_group(S, D(19), D("50.00"))
    with pytest.raises(InvalidTotals, match="BR-CO-18"):
        Totals(D(100), D(0), D(0), D(100), (half, half), D("19.00"), D("119.00"), due=D("119.00"))
    with pytest.raises(InvalidTotals, match="BR-O-11"):
        totals([line("950.00"), Line(D(1), D(120), O, D(0))])


def test_a_rate_that_only_the_deposit_had_stays_as_a_negative_remainder() -> None:
    left = after_deposits([tax_group(S, D(19), D(100))], [tax_group(S, D(7), D(10))])
    assert [(each.rate, each.gross) for each in left] == [(D(19), D("119.00")), (D(7), D("-10.70"))]


def test_cash_rounding_does_not_touch_the_tax() -> None:
    found = totals([line("10.02")], rounding=D("-0.02"))
    assert (found.tax, found.gross, found.due) == (D("1.90"), D("11.92"), D("11.90"))
