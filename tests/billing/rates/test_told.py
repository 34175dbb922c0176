from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.rates.fees import UNLIMITED, Exclusive, UseItem, usage_fee
from billing.rates.starting_card import STARTING_CARD
from billing.rates.told import TEXTS, UseTold, any_number_of_copies, fee_told
from billing.rates.working import fee_data
from shared.words.phrases import LICENCE_LANGUAGES

DAY = date(2026, 11, 14)


def item(places=("DE",), *, media=("web.own", "web.social"), months=24, copies=None, exclusive=Exclusive.NONE):
    return UseItem(
        frozenset({"advertising"}), frozenset(media), frozenset(places), DAY, months, copies, exclusive, None
    )


def told(*items, pictures=6, language="en", **also):
    fee = usage_fee(STARTING_CARD, pictures, items)
    uses = [UseTold(sorted(each.classes), sorted(each.media), sorted(each.territories)) for each in items]
    return fee_told(fee_data(fee), uses, currency="EUR", language=language, is_least=fee.is_minimum, **also)


def test_a_fee_opens_to_factors_a_client_understands():
    fee = told(item())
    # 180 × 1.2 × 0.9 × 1 × 1.5 × 5.85 = 1,705.86, up to 1,710: by hand from the starting card
    assert [(step.name, step.reason, step.figure) for step in fee.parts[0].steps] == [
        ("Starting fee for one picture", "", "€180.00"),
        ("What it is for", "Advertising", "× 1.2"),
        ("Where it is shown", "Website and social media", "× 0.9"),
        ("In which countries", "Germany", "× 1"),
        ("For how long", "24\u00a0months, not exclusive", "× 1.5"),
        ("How many pictures", "6\u00a0pictures, the later ones for less", "× 5.85"),
    ]
    assert fee.end == "That is €1,705.86, rounded up to €1,710.00."
    assert fee.parts[0].uses == ""


def test_the_client_reads_the_countries_asked_for_not_the_wider_ones_the_card_reckoned_by():
    items = (item(("DE", "AT", "CH")),)
    fee = usage_fee(STARTING_CARD, 6, items)
    assert fee.lines[0].territories.codes == ("europe",)  # or the test could not fail
    said = next(step.reason for step in told(*items).parts[0].steps if step.name == "In which countries")
    assert said == "Austria, Switzerland and Germany"


def test_each_line_names_its_uses_and_the_sums_are_added_up():
    fee = told(item(), item(media=("print.menu",), months=12, copies=900))
    assert [part.uses for part in fee.parts] == ["Use 1", "Use 2"]
    # 1,705.86 and 180 × 1.2 × 0.4 × 1 × 1 × 0.6 × 5.85 = 303.264, together 2,009.124
    assert [part.sum for part in fee.parts] == ["€1,705.86", "€303.26"]
    assert fee.end == "Together €2,009.12, rounded up to €2,010.00."
    assert ("How many are printed", "900\u00a0copies", "× 0.6") in [
        (step.name, step.reason, step.figure) for step in fee.parts[1].steps
    ]


def test_the_least_fee_and_another_money_are_said():
    least = told(item(media=("web.own",), months=1), pictures=1)
    assert "the least fee is" in least.end
    changed = told(item(), offered=(Decimal("1609.45"), "CHF", Decimal("0.9412")))
    assert changed.end.endswith("€1,710.00 at 0.9412 is CHF1,609.45.")


def test_an_optional_use_says_what_it_adds_to_the_fee_without_it():
    fee = told(item(), item(media=("print.menu",), months=12, copies=900), added=Decimal(300))
    assert fee.end == (
        "Together €2,009.12, rounded up to €2,010.00. Use 2 is the added one. Without it the fee is €1,710.00, with it €300.00 more."
    )
    free = told(item(), item(), added=Decimal(0))
    assert free.end.endswith("is the added one. Without it the fee is the same.")
    changed = told(item(), item(), added=Decimal(300), offered=(Decimal("282.36"), "CHF", Decimal("0.9412")))
    assert changed.end.endswith("€300.00 at 0.9412 is CHF282.36.")


def test_nothing_is_told_of_a_fee_kept_for_other_uses():
    kept = fee_data(usage_fee(STARTING_CARD, 6, [item()]))
    use = UseTold(("advertising",), ("web.own",), ("DE",))
    assert fee_told(kept, [use, use], currency="EUR", language="en") is None
    assert fee_told({}, [use], currency="EUR", language="en") is None


@pytest.mark.parametrize("language", LICENCE_LANGUAGES)
def test_every_language_has_every_sentence_with_the_same_places(language):
    assert TEXTS[language].keys() == TEXTS["en"].keys()
    for name, text in TEXTS["en"].items():
        places = {piece.split("}")[0] for piece in text.split("{")[1:]}
        assert {piece.split("}")[0] for piece in TEXTS[language][name].split("{")[1:]} == places, name


@given(
    st.lists(
        st.builds(
            item,
            st.sampled_from([("DE",), ("DE", "AT", "CH"), ("world",)]),
            media=st.sampled_from([("web.own",), ("print.menu",), ("all",)]),
            months=st.sampled_from([None, 1, 7, 24, 1200]),
            copies=st.sampled_from([1, 900, 2_000_000, UNLIMITED]),
            exclusive=st.sampled_from(list(Exclusive)),
        ),
        min_size=1,
        max_size=3,
    ),
    st.integers(1, 60),
    st.sampled_from([each for each in LICENCE_LANGUAGES if each != "en"]),
)
def test_no_word_of_the_card_is_left_untold_and_the_factors_multiply_out(items, pictures, language):
    fee = usage_fee(STARTING_CARD, pictures, items)
    found = told(*items, pictures=pictures, language=language)
    kept = fee_data(fee)["lines"]
    for line, part in zip(kept, found.parts, strict=True):
        product = Fraction(1)
        for _name, value, _reason in line["working"]:
            product *= Fraction(value)
        assert product == Fraction(line["sum"])
        skipped = sum(reason == "not counted" for _, _, reason in line["working"])
        assert len(part.steps) == len(line["working"]) - skipped
        for step in part.steps[1:]:
            assert step.reason
            assert not any(
                word in step.reason for word in ("exclusive", "without end", "month", "copies", "copy", "picture")
            ), step.reason


def test_any_number_of_copies_is_said_in_the_clients_language():
    assert any_number_of_copies("en") == "any number of copies"
    assert any_number_of_copies("de") == "beliebig viele Exemplare"
