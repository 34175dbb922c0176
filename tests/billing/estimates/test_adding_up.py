from decimal import Decimal as D
from types import SimpleNamespace
from typing import Any

import pytest

from billing.estimates.adding_up import SumTooLarge, amount_of, offered_line, sums_with

ESTIMATE = SimpleNamespace(tax_category="S", tax_percent=D(19), deposit_percent=D(40))
OPTION = SimpleNamespace(letter="B", discount_percent=D(0), discount_reason="")


def line(price: str, quantity: str = "1", **also: Any) -> SimpleNamespace:
    given = {
        "key": "7", "kind": "other", "quantity": D(quantity), "unit_price": D(price), "markup_percent": D(0), "is_at_most": False,
        "is_at_cost": False, "is_disbursement": False,
    }  # fmt: skip
    return SimpleNamespace(**given | also)


def test_lines_add_up_with_tax_and_deposit() -> None:
    # By hand: 780 + 2 × 65 = 910.00, 19% of it 172.90, 40% of 1,082.90 is 433.16
    sums = sums_with(ESTIMATE, [line("780"), line("65", "2")], OPTION)
    assert (sums.net, sums.tax, sums.gross, sums.deposit) == (D(910), D("172.90"), D("1082.90"), D("433.16"))


def test_what_is_paid_in_the_clients_name_stands_beside_the_net_without_tax() -> None:
    sums = sums_with(ESTIMATE, [line("910"), line("50", is_disbursement=True)], OPTION)
    assert (sums.lines_net, sums.net, sums.untaxed, sums.tax, sums.gross) == (910, 910, 50, D("172.90"), D("1132.90"))


def test_a_discount_comes_off_before_tax() -> None:
    # By hand: 5% of 910 is 45.50, leaves 864.50, 19% of it 164.26 (164.255)
    option = SimpleNamespace(letter="B", discount_percent=D(5), discount_reason="Second shoot")
    sums = sums_with(ESTIMATE, [line("910")], option)
    assert (sums.discount, sums.net, sums.tax) == (D("45.50"), D("864.50"), D("164.26"))


def test_a_sum_beyond_ten_digits_names_its_option() -> None:
    with pytest.raises(SumTooLarge, match="Option B adds up to more than ten digits"):
        sums_with(ESTIMATE, [line("9999999999")], OPTION)


def test_a_line_comes_to_quantity_times_rate_and_its_mark_up() -> None:
    assert amount_of(line("190", "2", markup_percent=D(10))) == D(418)
    assert offered_line(line("190")).key == "7"
