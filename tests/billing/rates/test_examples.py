from dataclasses import replace
from decimal import Decimal
from fractions import Fraction as F

import pytest

from billing.rates.card import Card, CardCheck, Priced, PriceTree, Remark, check_card
from billing.rates.examples import code_in_words, decimal_of, examples, price_examples, warnings_in_words
from billing.rates.starting_card import STARTING_CARD as CARD
from shared.words.formats import plain_spaces


def priced(card: Card = CARD, before: Card | None = None, country: str = "DE") -> dict[str, Decimal]:
    found = price_examples(card, country=country, currency="EUR", before=before)
    return {each.example.name: each.fee for each in found}


@pytest.mark.parametrize(
    ("name", "fee"),
    [
        # Reckoned by hand from the starting values; base 180.
        ("Website and posts", "2450"),  # × 1.2 × (.5 + .4) × 1 × 1.5 × (5 + 4 × .85) = 2,449.44
        ("Menu card", "305"),  # × 1.2 × .4 × 1 × 1 × .6 × 5.85 = 303.264
        ("Picture in a magazine", "90"),  # × .5 × .5 × 1 × .35 × .6 = 9.45: the minimum
        (
            "Packaging, trade shut out",
            "8075",
        ),  # × 1.2 × 1.2 × 1 × (1.5 + .5 × 1.5) × 1.3 × 10.65 = 8,074.404
        ("Everything, nobody else", "113400"),  # × 2 × 3 × 3 × (5 + 1.5 × 5) × 2.8
    ],
)
def test_the_examples_cost_what_their_working_says(name: str, fee: str) -> None:
    assert priced()[name] == Decimal(fee)


def test_a_working_names_each_factor_and_how_it_ends() -> None:
    workings = {
        each.example.name: plain_spaces(each.working) for each in price_examples(CARD, country="AT", currency="EUR")
    }
    assert workings["Menu card"] == (
        "€180.00 × advertising 1.2 × menu 0.4 × Austria 0.6 × 12 months 1 × 900 copies 0.6 × 6 pictures 5.85 = €181.96, rounded up."
    )
    assert workings["Picture in a magazine"].endswith("= €5.67, so the minimum counts.")
    assert workings["Everything, nobody else"].endswith("unlimited copies 2.8 × 1 picture 1 = €113,400.00.")
    assert "copies" not in workings["Website and posts"]


def test_the_fee_before_is_told_where_it_differs() -> None:
    dearer = replace(CARD, base=F(200))
    menu = {each.example.name: each for each in price_examples(dearer, country="DE", currency="EUR", before=CARD)}
    assert (menu["Menu card"].fee, menu["Menu card"].before) == (Decimal(340), Decimal(305))
    assert menu["Menu card"].is_changed
    assert not menu["Picture in a magazine"].is_changed
    assert not any(each.is_changed for each in price_examples(CARD, country="DE", currency="EUR"))


def test_a_country_the_card_does_not_have_counts_as_germany() -> None:
    assert priced(country="XX") == priced()
    assert all("DE" in each.item.territories or "world" in each.item.territories for each in examples("DE"))


def test_what_is_odd_is_one_sentence_with_the_names() -> None:
    cheap = PriceTree(
        "territories",
        [replace(node, factor=F("0.5")) if node.code == "europe" else node for node in CARD.territories.nodes.values()],
    )
    (sentence,) = warnings_in_words(check_card(replace(CARD, territories=cheap)))
    assert (
        sentence
        == "Austria, Belgium, Switzerland and 8 more: dearer than the wider one it belongs to, so this factor is never used."
    )


def test_a_whole_dearer_than_its_parts_is_told() -> None:
    dear = PriceTree(
        "media", [Priced("all", None, F(3), exhaustive=True), Priced("web", "all", F(1)), Priced("print", "all", F(1))]
    )
    assert warnings_in_words(check_card(replace(CARD, media=dear)))[0].startswith(
        "All media: dearer than all its parts"
    )
    assert warnings_in_words(CardCheck((Remark("base", "x"),), ())) == ()


def test_codes_have_names() -> None:
    assert [code_in_words("classes", "all"), code_in_words("classes", "stock")] == ["All classes", "Stock sale"]
    assert [code_in_words("media", "print.menu"), code_in_words("territories", "NL")] == ["Menu", "Netherlands"]
    assert decimal_of(F("0.35")) == Decimal("0.35")
