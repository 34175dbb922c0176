from datetime import date

import pytest

from shoots.uses.intended import (
    Exclusivity,
    IntendedUse,
    InvalidUse,
    Use,
    class_bits,
    class_names,
    is_own_promotion,
    own_promotion_of_house,
)

GOOD = {
    "classes": frozenset({"advertising"}),
    "media": frozenset({"web.own"}),
    "territories": frozenset({"DE"}),
    "use_from": date(2027, 3, 1),
    "use_until": date(2029, 3, 1),
}
INTENDED = {"classes": GOOD["classes"], "media": GOOD["media"], "territories": GOOD["territories"], "months": 24}


def test_classes_are_bits_one_two_and_four():
    assert class_bits(["editorial"]) == 1
    assert class_bits(["advertising"]) == 2
    assert class_bits(["stock"]) == 4
    assert class_names(5) == ("editorial", "stock")


@pytest.mark.parametrize(
    ("wrong", "path", "sentence"),
    [
        ({"classes": frozenset()}, "classes", "Choose at least one class of use."),
        (
            {"classes": frozenset({"poetry"})},
            "classes",
            "“poetry” is not a class of use: choose editorial, advertising or stock.",
        ),
        ({"media": frozenset()}, "media", "Choose at least one medium."),
        ({"media": frozenset({"fax"})}, "media", "“fax” is not a known medium."),
        ({"territories": frozenset()}, "territories", "Choose at least one territory."),
        ({"territories": frozenset({"XX"})}, "territories", "“XX” is not a known territory."),
        (
            {"use_until": date(2027, 3, 1)},
            "use_until",
            "The last day of use is before the first day. Choose a last day on or after it.",
        ),
        ({"copies": -1}, "copies", "The number of copies can't be below 0."),
    ],
)
def test_a_use_refuses_to_be_wrong_at_birth(wrong, path, sentence):
    with pytest.raises(InvalidUse) as refusal:
        Use(**{**GOOD, **wrong})
    assert (refusal.value.path, str(refusal.value)) == (path, sentence)


@pytest.mark.parametrize(
    ("wrong", "path"),
    [
        ({"months": 0}, "months"),
        ({"months": 1201}, "months"),
        ({"exclusive_months": 0}, "exclusive_months"),
        ({"copies": -5}, "copies"),
        ({"media": frozenset()}, "media"),
    ],
)
def test_an_intended_use_refuses_to_be_wrong_at_birth(wrong, path):
    with pytest.raises(InvalidUse) as refusal:
        IntendedUse(**{**INTENDED, **wrong})
    assert refusal.value.path == path


def test_a_use_of_one_day_and_a_perpetual_use_are_good():
    assert Use(**{**GOOD, "use_until": date(2027, 3, 2)}).use_until == date(2027, 3, 2)
    assert Use(**{**GOOD, "use_until": None}).use_until is None


def test_an_intended_use_starts_on_the_day_it_is_given():
    use = IntendedUse(**INTENDED, copies=900).starting(date(2026, 12, 1))
    assert (use.use_from, use.use_until, use.copies) == (date(2026, 12, 1), date(2028, 12, 1), 900)


def test_a_term_past_the_year_9999_is_refused_with_a_sentence():
    with pytest.raises(InvalidUse) as refusal:
        IntendedUse(**INTENDED).starting(date(9998, 1, 1))
    assert "9999" in str(refusal.value)


def test_own_promotion_of_the_house_is_website_and_social_media_not_exclusive():
    use = own_promotion_of_house(["DE"])
    assert use == IntendedUse(
        classes=frozenset({"advertising"}),
        media=frozenset({"web.own", "web.social"}),
        territories=frozenset({"DE"}),
        months=24,
        exclusivity=Exclusivity.NONE,
    )
    assert is_own_promotion(use.classes, use.media)


def test_advertising_in_a_bought_medium_or_another_class_is_no_own_promotion():
    advertising = frozenset({"advertising"})
    assert not is_own_promotion(advertising, frozenset({"web.own", "web.display"}))
    assert not is_own_promotion(frozenset({"advertising", "stock"}), frozenset({"web.own"}))
