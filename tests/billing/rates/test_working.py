import json
from datetime import date
from fractions import Fraction as F

from billing.rates.fees import UseItem, usage_fee
from billing.rates.starting_card import STARTING_CARD as CARD
from billing.rates.working import WiderOffer, fee_data, four_decimals, wider_offers


def item(*places):
    return UseItem(frozenset({"advertising"}), frozenset({"web.own"}), frozenset(places), date(2027, 3, 1), 12)


def test_the_working_of_a_fee_survives_json():
    data = fee_data(usage_fee(CARD, 5, [item("DE")]))
    assert json.loads(json.dumps(data)) == data
    assert [name for name, _, _ in data["lines"][0]["working"]] == [
        "base", "classes", "media", "territories", "term", "copies", "pictures",
    ]  # fmt: skip


def test_a_wider_area_at_the_same_fee_is_offered():
    # Germany, Austria and Switzerland apart weigh 2.2, Europe 2: section 8 of the project's method.
    asked = usage_fee(CARD, 5, [item("DE", "AT", "CH")])
    (offer,) = wider_offers(asked)
    assert offer == WiderOffer((0,), "territories", ("europe",))
    assert usage_fee(CARD, 5, [item(*offer.codes)]).fee == asked.fee
    assert wider_offers(usage_fee(CARD, 5, [item("DE")])) == ()


def test_sums_are_read_with_four_decimals_half_up():
    assert [four_decimals(each) for each in (F(0), F("6728.67"), F(1, 3), F("0.00005"), F("0.99995"))] == [
        "0.0000", "6728.6700", "0.3333", "0.0001", "1.0000",
    ]  # fmt: skip
