from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.expenses.charging import ChargeKind, InvalidCost, charge_on, under_cap


def test_a_studio_that_reclaims_tax_passes_on_the_net() -> None:
    charged = charge_on(D("77.11"), D("12.31"), ChargeKind.AT_COST, reclaims_tax=True)
    assert charged is not None
    assert (charged.net, charged.markup, charged.is_disbursement) == (D("64.80"), 0, False)


def test_a_studio_that_cannot_reclaim_passes_on_the_gross() -> None:
    charged = charge_on(D("77.11"), D("12.31"), ChargeKind.AT_COST, reclaims_tax=False)
    assert charged is not None
    assert charged.net == D("77.11")


def test_a_mark_up_is_taken_of_what_is_passed_on() -> None:
    charged = charge_on(D("119.00"), D("19.00"), ChargeKind.WITH_MARKUP, markup_percent=D("12.5"), reclaims_tax=True)
    assert charged is not None
    assert (charged.base, charged.markup, charged.net) == (D("100.00"), D("12.50"), D("112.50"))
    at_cost = charge_on(D("119.00"), D("19.00"), ChargeKind.AT_COST, markup_percent=D("12.5"), reclaims_tax=True)
    assert at_cost is not None
    assert at_cost.net == D("100.00")


def test_money_laid_out_is_passed_on_to_the_cent() -> None:
    charged = charge_on(D("120.00"), D("19.16"), ChargeKind.DISBURSEMENT, reclaims_tax=True)
    assert charged is not None
    assert (charged.net, charged.is_disbursement) == (D("120.00"), True)
    with pytest.raises(InvalidCost, match="without mark-up"):
        charge_on(D(120), D(0), ChargeKind.DISBURSEMENT, markup_percent=D(5), reclaims_tax=True)


def test_an_own_cost_is_not_charged() -> None:
    assert charge_on(D(120), D(0), ChargeKind.NOT, reclaims_tax=True) is None


@pytest.mark.parametrize("tax", ["-1", "120", "121"])
def test_a_receipt_cannot_be_all_tax(tax: str) -> None:
    with pytest.raises(InvalidCost):
        charge_on(D(120), D(tax), ChargeKind.AT_COST, reclaims_tax=True)


def test_costs_above_the_cap_wait_for_a_yes() -> None:
    capped = under_cap([D("40.00"), D("32.40")], D("60.00"))
    assert (capped.actual, capped.billed, capped.excess) == (D("72.40"), D("60.00"), D("12.40"))
    raised = under_cap([D("40.00"), D("32.40")], D("60.00"), raised_to=[D("65.00"), D("72.40")])
    assert (raised.billed, raised.excess) == (D("72.40"), 0)


@given(
    st.lists(st.integers(0, 10**6).map(lambda each: D(each) / 100), max_size=5),
    st.integers(0, 10**6).map(lambda each: D(each) / 100),
)
def test_what_is_billed_is_never_above_the_cap_and_nothing_is_lost(costs: list[D], cap: D) -> None:
    capped = under_cap(costs, cap)
    assert capped.billed <= cap
    assert capped.billed + capped.excess == sum(costs)
