from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.estimates.pricing import Discount, InvalidPricing, LineKind, OfferedLine, price_line, price_option
from billing.sums.tax import Reason, TaxCase
from billing.sums.totals import Category

STANDARD = TaxCase(Category.STANDARD, D(19))
WINTER_MENU = [
    OfferedLine("1", LineKind.PREPARATION, D(4), D(65)),
    OfferedLine("2", LineKind.SHOOTING_DAY, D(1), D(780)),
    OfferedLine("3", LineKind.FINISHING, D("3.75"), D(60)),
    OfferedLine("4", LineKind.USAGE, D(9), D(60)),
    OfferedLine("5", LineKind.ASSISTANT, D(1), D(190), is_at_cost=True),
    OfferedLine("6", LineKind.FOOD_AND_PROPS, D(1), D(120), is_at_cost=True, is_at_most=True),
    OfferedLine("7", LineKind.MILEAGE, D(46), D("0.42")),
]
lines = st.lists(
    st.builds(
        OfferedLine, st.uuids().map(str), st.sampled_from(LineKind), st.integers(0, 5000).map(lambda each: D(each) / 100),
        st.integers(0, 200000).map(lambda each: D(each) / 100), st.sampled_from([D(0), D(10), D("12.5")]),
        is_at_cost=st.booleans(), is_optional=st.booleans(),
    ),
    max_size=8, unique_by=lambda line: line.key,
)  # fmt: skip


def test_the_winter_menu_comes_to_what_the_paper_says() -> None:
    option = price_option(WINTER_MENU, STANDARD, deposit_percent=D(40))
    assert [str(each.net) for each in option.lines] == [
        "260.00",
        "780.00",
        "225.00",
        "540.00",
        "190.00",
        "120.00",
        "19.32",
    ]
    assert (option.net, option.tax, option.gross) == (D("2134.32"), D("405.52"), D("2539.84"))
    assert (option.deposit_gross, option.deposit_tax, option.deposit_net) == (D("1015.94"), D("162.21"), D("853.73"))


def test_an_optional_line_counts_when_it_is_chosen() -> None:
    portrait = OfferedLine("8", LineKind.OTHER, D(1), D(150), is_optional=True)
    without = price_option([*WINTER_MENU, portrait], STANDARD)
    chosen = price_option([*WINTER_MENU, portrait], STANDARD, chosen_optional={"8"})
    assert without.net == D("2134.32")
    assert [each.net for each in without.left_out] == [D("150.00")]
    assert chosen.net == D("2284.32")
    assert chosen.left_out == ()


def test_only_an_optional_line_can_be_chosen() -> None:
    with pytest.raises(InvalidPricing, match="not optional lines"):
        price_option(WINTER_MENU, STANDARD, chosen_optional={"2"})


def test_a_mark_up_is_shown_apart() -> None:
    priced = price_line(OfferedLine("1", LineKind.KIT, D(3), D("33.33"), markup_percent=D(15)), STANDARD)
    assert (priced.base, priced.markup, priced.net) == (D("99.99"), D("15.00"), D("114.99"))


def test_a_discount_is_taken_off_own_work_only() -> None:
    option = price_option(WINTER_MENU, STANDARD, discount=Discount("Regular client", percent=D(10)))
    assert option.discount == D("182.43")
    assert option.net == D("2134.32") - D("182.43")
    fixed = price_option(WINTER_MENU, STANDARD, discount=Discount("Regular client", amount=D(100)))
    assert (fixed.discount, fixed.net) == (D("100.00"), D("2034.32"))


@pytest.mark.parametrize(
    "make",
    [
        lambda: price_option(WINTER_MENU, STANDARD, discount=Discount("Gift", amount=D(2000))),
        lambda: price_option(WINTER_MENU, STANDARD, deposit_percent=D(101)),
        lambda: Discount("Gift", percent=D(5), amount=D(5)),
        lambda: Discount("Gift", percent=D(101)),
        lambda: OfferedLine("1", LineKind.OTHER, D(-1), D(5)),
        lambda: OfferedLine("1", LineKind.OTHER, D(1), D(5), markup_percent=D(-1)),
        lambda: OfferedLine("1", LineKind.OTHER, D(1), D(5), markup_percent=D(5), is_disbursement=True),
    ],
)
def test_what_cannot_be_offered_is_refused(make: object) -> None:
    with pytest.raises(InvalidPricing):
        make()  # type: ignore[operator]


def test_a_disbursement_stands_beside_taxed_work_without_tax() -> None:
    permit = OfferedLine("8", LineKind.OTHER, D(1), D(120), is_disbursement=True)
    option = price_option([*WINTER_MENU, permit], STANDARD, deposit_percent=D(50))
    assert [(group.category, group.base) for group in option.groups] == [("S", D("2134.32")), ("E", D("120.00"))]
    assert [(group.category, group.gross) for group in option.deposit] == [("S", D("1269.92")), ("E", D("60.00"))]


def test_work_outside_the_scope_of_tax_stays_in_one_group() -> None:
    permit = OfferedLine("8", LineKind.OTHER, D(1), D(120), is_disbursement=True)
    option = price_option([*WINTER_MENU, permit], TaxCase(Category.OUTSIDE_SCOPE, D(0), Reason.OUTSIDE_SCOPE))
    assert [(group.category, group.gross) for group in option.groups] == [("O", D("2254.32"))]


def test_an_option_without_lines_comes_to_nothing() -> None:
    assert (price_option([], STANDARD).gross, price_option([], STANDARD).deposit_gross) == (0, 0)


@given(lines, st.integers(0, 100).map(D), st.integers(0, 100).map(D))
def test_the_sums_of_an_option_always_add_up(offered: list[OfferedLine], off: D, deposit: D) -> None:
    option = price_option(offered, STANDARD, discount=Discount("Gift", percent=off), deposit_percent=deposit)
    assert sum(each.net for each in option.lines) - option.discount == option.net
    assert option.net + option.tax == option.gross
    assert 0 <= option.deposit_gross <= option.gross + D("0.02")
    assert len(option.lines) + len(option.left_out) == len(offered)
