from decimal import Decimal

import pytest

from billing.budgets.forms import BudgetForm


def form(budget: str, option: str = "A") -> BudgetForm:
    return BudgetForm({"budget": budget, "option": option}, letters=["A", "B"], currency="EUR")


def test_a_sum_is_read_as_people_write_it():
    typed = form("2,500.50")
    assert typed.is_valid()
    assert typed.cleaned_data == {"budget": Decimal("2500.50"), "option": "A"}


@pytest.mark.parametrize(("budget", "option"), [("0", "A"), ("-5", "A"), ("", "A"), ("99999999999", "A"), ("100", "C")])
def test_what_is_no_budget_or_no_option_is_refused(budget, option):
    assert not form(budget, option).is_valid()
