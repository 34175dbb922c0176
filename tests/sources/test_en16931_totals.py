"""EN 16931-1:2017 totals and VAT breakdown, as its validation rules state them.

Rules: ConnectingEurope/eInvoicing-EN16931, rules 1.3.16 (30 March 2026), BR-CO-10 to BR-CO-17, BR-S-08, BR-S-09, BR-DEC, BR-O-11; OpenPEPPOL
peppol-bis-invoice-3, 3.0.19, R040 and R120. The worked examples are our own figures; as complete documents they passed the published XSD
and rule sheets of both. Where the sheets tolerate up to 1.00 (BR-CO-17, BR-S-09) ours tolerates nothing.
Deposit and remainder by difference: common practice, no source.
"""

from decimal import Decimal as D

import pytest

from billing.sums.totals import (
    Adjustment,
    Category,
    InvalidTotals,
    Line,
    TaxGroup,
    WholeAdjustment,
    after_deposits,
    deposit_groups,
    percentage,
    tax_group,
    totals,
)

S, E, O = Category.STANDARD, Category.EXEMPT, Category.OUTSIDE_SCOPE  # noqa: E741 the category's own letter


def test_example_1_plain() -> None:
    found = totals([Line(D(2), D("950.00"), S, D(19)), Line(D(1), D("1200.00"), S, D(19))])
    assert (found.line_total, found.net, found.tax, found.gross, found.due) == (
        D("3100.00"),
        D("3100.00"),
        D("589.00"),
        D("3689.00"),
        D("3689.00"),
    )


def test_example_2_two_rates_and_half_cents_in_lines() -> None:
    lines = [
        Line(D("1.5"), D("933.33"), S, D(19)),
        Line(D(1), D("480.00"), S, D(7)),
        Line(D("183.4"), D("0.42"), S, D(19)),
    ]
    assert [line.net for line in lines] == [D("1400.00"), D("480.00"), D("77.03")]
    found = totals(lines)
    assert [(group.base, group.tax) for group in found.groups] == [
        (D("1477.03"), D("280.64")),
        (D("480.00"), D("33.60")),
    ]
    assert (found.tax, found.net, found.gross) == (D("314.24"), D("1957.03"), D("2271.27"))


def test_example_3_discount_and_surcharge_on_the_whole() -> None:
    found = totals(
        [Line(D(3), D("890.00"), S, D(19)), Line(D(1), D("300.00"), S, D(7))],
        allowances=[WholeAdjustment(percentage(D(10), D("2670.00"), "Long job"), S, D(19))],
        charges=[WholeAdjustment(Adjustment(D("45.50"), "Rush"), S, D(19))],
    )
    assert (found.line_total, found.allowance_total, found.charge_total, found.net) == (
        D("2970.00"),
        D("267.00"),
        D("45.50"),
        D("2748.50"),
    )
    assert [(group.base, group.tax) for group in found.groups] == [
        (D("2448.50"), D("465.22")),
        (D("300.00"), D("21.00")),
    ]
    assert found.gross == D("3234.72")


def test_example_4_discount_on_a_line() -> None:
    line = Line(D(12), D("38.75"), S, D(19), allowances=(percentage(D(5), D("465.00"), "Repeat order"),))
    found = totals([line])
    assert (line.net, found.tax, found.gross) == (D("441.75"), D("83.93"), D("525.68"))


def test_example_5_tax_is_rounded_per_group_not_per_line() -> None:
    found = totals([Line(D(1), D("1.03"), S, D(19))] * 5)
    assert (found.tax, found.gross) == (D("0.98"), D("6.13"))


def test_example_6_half_a_cent_and_its_negative_twin() -> None:
    assert totals([Line(D(1), D("1.50"), S, D(7))]).tax == D("0.11")
    twin = totals([Line(D(-1), D("1.50"), S, D(7))])
    assert (twin.tax, twin.gross) == (D("-0.11"), D("-1.61"))


def test_example_7_deposit_and_final_invoice() -> None:
    deposit = tax_group(S, D(19), D("1000.00"))
    assert (deposit.tax, deposit.gross) == (D("190.00"), D("1190.00"))
    final = totals([Line(D(2), D("950.00"), S, D(19)), Line(D(1), D("600.00"), S, D(19))], prepaid=deposit.gross)
    assert (final.net, final.tax, final.gross, final.due) == (D("2500.00"), D("475.00"), D("2975.00"), D("1785.00"))


def test_example_8_disbursement_beside_taxed_work() -> None:
    work = Line(D(1), D("950.00"), S, D(19))
    found = totals([work, Line(D(1), D("120.00"), E, D(0))])
    assert (found.net, found.tax, found.gross) == (D("1070.00"), D("180.50"), D("1250.50"))
    with pytest.raises(InvalidTotals) as refused:
        totals([work, Line(D(1), D("120.00"), O, D(0))])
    assert refused.value.rule == "BR-O-11"


def test_example_9_small_business() -> None:
    found = totals([Line(D("0.5"), D("900.00"), E, D(0))])
    assert (found.net, found.tax, found.gross) == (D("450.00"), D("0.00"), D("450.00"))


@pytest.mark.parametrize("off", ["0.50", "0.01", "-0.01"])
def test_the_sheets_let_a_wrong_group_pass_ours_does_not(off: str) -> None:
    """A VAT amount off by 0.50 with everything else consistent passes BR-CO-17 and BR-S-09 in the published sheets."""
    with pytest.raises(InvalidTotals) as refused:
        TaxGroup(S, D(19), D("3100.00"), D("589.00") + D(off))
    assert refused.value.rule == "BR-CO-17"


def test_three_lines_of_12_49_are_taxed_together() -> None:
    """3 × 12.49 at 19 %: 7.12 on the sum; 3 × 2.37 = 7.11 per line is wrong."""
    assert totals([Line(D(1), D("12.49"), S, D(19))] * 3).tax == D("7.12")


def test_half_of_1234_57_as_deposit_leaves_a_cent_less_tax() -> None:
    whole = totals([Line(D(1), D("1234.57"), S, D(20))])
    (deposit,) = deposit_groups(whole.groups, D(50))
    (left,) = after_deposits(whole.groups, [deposit])
    assert (deposit.tax, left.tax) == (D("123.46"), D("123.45"))


def test_a_recharged_cost_carries_tax_and_a_disbursement_does_not() -> None:
    fee, cost = Line(D(1), D("1000.00"), S, D(20)), D("120.00")
    assert totals([fee, Line(D(1), cost, S, D(20))]).gross == D("1344.00")
    assert totals([fee, Line(D(1), cost, E, D(0))]).gross == D("1320.00")
