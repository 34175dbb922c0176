import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.trades import LONGEST_TRADE, TradeRefused, is_same_trade, name_in, read_names, read_trade, trade_key


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


@given(st.text(max_size=70))
def test_a_name_on_the_list_reads_as_itself_and_as_one_trade(typed):
    try:
        name = read_trade(typed)
    except TradeRefused:
        return
    assert read_trade(name) == name
    assert trade_key(name) == trade_key(typed) != ""
    assert len(name) <= LONGEST_TRADE
    assert not set(name) & set(",;\n")


@pytest.mark.parametrize("typed", ["", " ", "12", "tea, coffee", "tea; coffee", "x" * 61, "\ufdfa" * 20])
def test_what_is_no_name_of_one_trade_is_refused(typed):
    with pytest.raises(TradeRefused, match="The list of trades is as it was"):
        read_trade(typed)


def test_names_by_language_leave_out_the_empty_ones_and_say_which_is_wrong():
    assert read_names({"de": " Bäckerei ", "fr": " "}) == {"de": "Bäckerei"}
    with pytest.raises(TradeRefused) as refused:
        read_names({"de": "Bäckerei", "sv": "1"})
    assert refused.value.part == "sv"


def test_a_paper_says_the_trade_in_its_language_else_as_the_list_does():
    names = {"de": "Bäckerei", "sv": "bageri"}
    assert [name_in(names, language, "bakery") for language in ("de-AT", "sv", "fr")] == [
        "Bäckerei",
        "bageri",
        "bakery",
    ]
