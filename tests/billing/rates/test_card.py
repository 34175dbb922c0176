from dataclasses import replace
from datetime import date
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.rates.card import (
    Card,
    InvalidCard,
    Priced,
    PriceTree,
    band_factor,
    card_data,
    check_card,
    read_card,
    with_own_codes,
    written,
)
from billing.rates.fees import UseItem, usage_fee
from billing.rates.starting_card import STARTING_CARD as CARD
from shoots.uses.media_tree import MEDIA
from shoots.uses.stored import with_node
from shoots.uses.territory_tree import TERRITORIES
from shoots.uses.trees import Node, Trees


def paths(card: Card) -> list[str]:
    return [remark.path for remark in check_card(card).errors]


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"base": F(0)}, "base"),
        ({"step": F(-5)}, "step"),
        ({"minimum": F(91)}, "minimum"),
        ({"handling": F(-1)}, "handling"),
        ({"term": ((1, F(1)), (12, F(2)))}, "term"),
        ({"term": ((0, F(0)), (12, F(2)))}, "term"),
        ({"term": ((0, F(1)), (12, F(2)), (12, F(3)))}, "term"),
        ({"term": ((0, F(1)), (12, F("0.9")))}, "term"),
        ({"term": ((0, F(1)), (12, F(2)), (24, F("3.1")))}, "term"),
        ({"term_perpetual": F(3)}, "term_perpetual"),
        ({"exclusivity": {"none": F(1), "trade": F(3), "picture": F(2)}}, "exclusivity"),
        ({"exclusivity": {"none": F("1.1"), "trade": F(3), "picture": F(4)}}, "exclusivity"),
        ({"exclusivity": {"none": F(1)}}, "exclusivity"),
        ({"picture_bands": ((5, F(1)), (None, F("1.1")))}, "picture_bands"),
        ({"picture_bands": ((5, F(1)), (5, F("0.9")), (None, F("0.8")))}, "picture_bands"),
        ({"picture_bands": ((5, F(1)),)}, "picture_bands"),
        ({"picture_bands": ((5, F(0)), (None, F("0.8")))}, "picture_bands"),
        ({"copy_bands": ((1000, F(1)), (None, F("0.9")))}, "copy_bands"),
        ({"copy_bands": ((1000, F(1)), (2000, F("2.1")), (None, F(3)))}, "copy_bands"),
    ],
)
def test_an_unfair_card_is_refused_at_the_figure(change: dict[str, object], path: str) -> None:
    assert path in paths(replace(CARD, **change))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("change", "at", "words"),
    [
        # From 0 to 12 months the factor rises by .5, so by at most .5 in the next twelve.
        (
            {"term": ((0, F("0.5")), (12, F(1)), (24, F("1.6")))},
            24,
            "Enter at most 1.5 here, or raise the factor at 12 months",
        ),
        ({"term": ((0, F("0.5")), (12, F(1)), (24, F("0.9")))}, 24, "12 months weigh more"),
        ({"term": ((0, F(1)), (3, F(2)), (10, F("4.3334")))}, 10, "Enter at most 4.3333 here"),
        ({"picture_bands": ((5, F(1)), (10, F("1.1")), (None, F(1)))}, 10, "A further picture"),
        ({"copy_bands": ((1000, F(1)), (5000, F("0.9")), (None, F(1)))}, 5000, "More copies"),
        ({"copy_bands": ((1000, F(1)), (2000, F("2.1")), (None, F(3)))}, 2000, "1,000 and 1,000 copies"),
        ({"copy_bands": ((1000, F(1)), (None, F("2.1")))}, None, "1,000 and 1,000 copies"),
    ],
)
def test_a_remark_names_the_point_or_band_it_is_about(change: dict[str, object], at: int | None, words: str) -> None:
    remark = check_card(replace(CARD, **change)).errors[0]  # type: ignore[arg-type]
    assert remark.at == at
    assert words in remark.sentence


def test_the_most_that_is_offered_is_accepted() -> None:
    points = ((0, F(1)), (3, F(2)), (10, F("4.3333")))
    assert paths(replace(CARD, term=points, term_perpetual=F(5))) == []


def test_copies_bought_apart_may_cost_as_much_as_together_but_not_less() -> None:
    assert paths(replace(CARD, copy_bands=((1000, F(1)), (None, F(2))))) == []
    assert paths(replace(CARD, copy_bands=((1000, F(1)), (None, F("2.01"))))) == ["copy_bands"]


def test_a_card_that_misses_a_code_in_use_is_refused() -> None:
    found = check_card(CARD, media={"web.own", "cups"}, territories={"DE", "world"})
    assert [remark.path for remark in found.errors] == ["media.cups"]
    assert not found.is_fair


def test_a_factor_of_nothing_is_refused() -> None:
    free = PriceTree("media", [Priced("all", None, F(3), exhaustive=True), Priced("web", "all", F(0))])
    assert paths(replace(CARD, media=free)) == ["media.web"]


def test_a_price_that_is_never_used_is_a_warning() -> None:
    odd = PriceTree(
        "media",
        [Priced("all", None, F(3), exhaustive=True), Priced("web", "all", F(4)), Priced("print", "all", F("0.5"))],
    )
    dear = PriceTree(
        "media", [Priced("all", None, F(3), exhaustive=True), Priced("web", "all", F(1)), Priced("print", "all", F(1))]
    )
    assert [remark.path for remark in check_card(replace(CARD, media=odd)).warnings] == ["media.web"]
    assert [remark.path for remark in check_card(replace(CARD, media=dear)).warnings] == ["media.all"]
    assert check_card(replace(CARD, media=dear)).is_fair


def test_codes_that_make_no_tree_are_refused() -> None:
    with pytest.raises(InvalidCard) as refused:
        PriceTree("media", [Priced("web", "all", F(1))])
    assert refused.value.path == "media.web"


def test_the_first_band_large_enough_counts() -> None:
    assert [band_factor(CARD.copy_bands, count) for count in (1, 1000, 1001, 1_000_001, None)] == [
        F("0.6"),
        F("0.6"),
        F("0.75"),
        F("2.8"),
        F("2.8"),
    ]


def test_a_card_is_kept_as_plain_data_and_read_back() -> None:
    kept = card_data(CARD)
    assert kept["base"] == "180"
    assert read_card(kept) == CARD


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"base": 180}, "card.base"),
        ({"base": "much"}, "card.base"),
        ({"base": "1e999999999"}, "card.base"),
        ({"base": "1/0"}, "card.base"),
        ({"colour": "1"}, "card.colour"),
        ({"term": "long"}, "card.term"),
        ({"term": [[0, "1"], [12]]}, "card.term[1]"),
        ({"term": [[0.5, "1"]]}, "card.term[0]"),
        ({"term": [[0, 1]]}, "card.term[0][1]"),
        ({"exclusivity": {"none": "1", "trade": "2"}}, "card.exclusivity.picture"),
        ({"media": {}}, "card.media"),
        ({"media": {"all": "3"}}, "card.media.all"),
        ({"media": {"all": {"parent": None, "factor": 3}}}, "card.media.all.factor"),
        ({"media": {"all": {"parent": None, "factor": "3", "exhaustive": 1}}}, "card.media.all"),
        ({"media": {"all": {"parent": None, "factor": "3", "shade": True}}}, "card.media.all.shade"),
        ({"media": {"web": {"parent": "all", "factor": "3"}}}, "card.media.web"),
    ],
)
def test_wrong_data_is_refused_with_its_path(change: dict[str, object], path: str) -> None:
    with pytest.raises(InvalidCard) as refused:
        read_card({**card_data(CARD), **change})
    assert refused.value.path == path


def test_missing_data_is_refused_with_its_path() -> None:
    kept = card_data(CARD)
    del kept["step"]
    for wrong, path in ((kept, "card.step"), ("a card", "card")):
        with pytest.raises(InvalidCard) as refused:
            read_card(wrong)
        assert refused.value.path == path


@given(st.fractions())
def test_figures_are_written_exactly(value: F) -> None:
    assert F(written(value)) == value


def test_a_code_the_studio_added_costs_what_lies_above_it_and_no_card_is_refused_for_it():
    media = with_node(MEDIA, Node("print.towels", "print"), kind="media", version="media-2")
    places = with_node(TERRITORIES, Node("DE-BY", "DE"), kind="territories", version="territories-2")
    card = with_own_codes(CARD, Trees(media, places))
    assert card.media.factor("print.towels") == CARD.media.factor("print")
    assert card.territories.factor("DE-BY") == CARD.territories.factor("DE")
    assert card.media.nodes["print.towels"].counted
    assert check_card(card, media=media.nodes, territories=places.nodes).is_fair
    assert check_card(CARD, media=MEDIA.nodes, territories=TERRITORIES.nodes).is_fair
    assert with_own_codes(CARD, Trees(MEDIA, TERRITORIES)) is CARD
    by_place = {
        place: usage_fee(card, 1, [UseItem(frozenset({"editorial"}), frozenset({"print.towels"}), frozenset({place}), date(2027, 1, 1), 12, 500)]).fee
        for place in ("DE-BY", "DE", "US")
    }  # fmt: skip
    assert by_place["DE-BY"] == by_place["DE"] < by_place["US"]
