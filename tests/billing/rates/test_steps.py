from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

from billing.rates.fees import UseItem, usage_fee
from billing.rates.starting_card import STARTING_CARD
from billing.rates.steps import Step, lines_in_words, named, steps_in_words
from billing.rates.working import fee_data

WEB = UseItem(frozenset({"advertising"}), frozenset({"web.own", "web.social"}), frozenset({"DE"}), date(2026, 3, 1), 12)
MENU = UseItem(frozenset({"advertising"}), frozenset({"print.menu"}), frozenset({"DE"}), date(2026, 3, 1), 12, 900)


def test_the_lines_of_a_kept_fee_open_to_the_cent():
    """licensing.md §8: own web and social beside a menu of 900 copies, 6 pictures: two lines, 1,137.24 and 303.264."""
    lines = lines_in_words(fee_data(usage_fee(STARTING_CARD, 6, [WEB, MENU])))
    assert [(line.uses, line.exact, line.sum) for line in lines] == [
        ((1,), D("1137.24"), D("1137.24")),
        ((2,), D("303.264"), D("303.26")),
    ]
    names = [step.name for step in lines[0].steps]
    assert names[:5] == ["Base fee", "What it is for", "Where it is shown", "In which countries", "For how long"]
    assert lines[0].steps[2].reason == "Website and Social media"
    product = F(1)
    for step in lines[0].steps:
        product *= F(step.value)
    assert product == F("1137.24")
    assert lines_in_words({}) == ()


def test_a_reason_begins_with_a_capital_and_codes_are_named():
    assert steps_in_words([("term", F(3, 2), "24 months")]) == (Step("For how long", D("1.5"), "24 months"),)
    assert named("territories", ["DE", "AT"]) == "Germany and Austria"
