from decimal import Decimal as D

import pytest

from billing.invoices.payment_code import NoPaymentCode, payment_code

ACCOUNT = {"name": "Tindra Aldermoor", "iban": "DE02 1203 0000 0000 2020 51", "bic": "BYLADEM1001"}


def test_the_code_holds_account_sum_and_reference_line_by_line() -> None:
    said = payment_code(**ACCOUNT, amount=D("1458.21"), reference="RF602026001").split("\n")  # type: ignore[arg-type]
    assert said == [
        "BCD", "002", "1", "SCT", "BYLADEM1001", "Tindra Aldermoor", "DE02120300000000202051", "EUR1458.21", "", "RF602026001",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "change",
    [{"currency": "GBP"}, {"amount": D(0)}, {"amount": D(-5)}, {"amount": D(1000000000)}, {"iban": ""}, {"name": ""}],
)
def test_there_is_no_code_for_other_currencies_nothing_to_pay_or_no_account(change: dict[str, object]) -> None:
    with pytest.raises(NoPaymentCode):
        payment_code(**{**ACCOUNT, "amount": D(1), **change})  # type: ignore[arg-type]


def test_a_name_is_cut_and_the_whole_stays_within_331_bytes() -> None:
    said = payment_code(**{**ACCOUNT, "name": "ü" * 90}, amount=D(1), reference="RF602026001")  # type: ignore[arg-type]
    assert said.split("\n")[5] == "ü" * 70
    assert len(said.encode()) <= 331
