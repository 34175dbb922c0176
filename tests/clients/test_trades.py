import pytest

from clients.trades import is_same_trade, trade_key


@pytest.mark.parametrize("typed", ["bakery", "Bakery", "BAKERY ", " bakery\u00a0"])
def test_one_trade_is_one_however_it_is_typed(typed):
    assert trade_key(typed) == "bakery"
    assert is_same_trade("Bakery", typed)


def test_accents_may_be_typed_in_one_letter_or_two():
    assert is_same_trade("Caf\u00e9", "cafe\u0301")
    assert trade_key("Großhandel") == trade_key("GROSSHANDEL")


def test_different_trades_differ_and_one_not_known_counts_as_any():
    assert not is_same_trade("bakery", "coffee")
    assert is_same_trade("bakery", None)
    assert is_same_trade("", "coffee")
    assert is_same_trade(" ", "coffee")
