from dataclasses import replace
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.rates.card import Card, PriceTree, Remark, check_card
from billing.rates.sheet import CLASSES, MEDIA_CODES, WIDE, Sheet, card_of, place_of, row_of, sheet_of
from billing.rates.starting_card import STARTING_CARD as CARD
from shoots.uses.media_tree import MEDIA
from shoots.uses.territory_tree import COUNTRIES, TERRITORIES

FACTORS = st.decimals(min_value="0.0001", max_value="100", places=4).map(F)


def test_a_card_taken_apart_and_put_together_is_the_same_card() -> None:
    assert card_of(sheet_of(CARD)) == CARD


@given(st.data())
def test_every_row_that_is_typed_comes_back(data: st.DataObject) -> None:
    figures = {name: data.draw(FACTORS) for name in sheet_of(CARD).figures}
    places = data.draw(st.lists(st.sampled_from(sorted(COUNTRIES)), unique=True, max_size=20))
    countries = tuple(((place,), figures["territories_rest"] + n) for n, place in enumerate(places, start=1))
    points = data.draw(
        st.dictionaries(st.integers(1, 10**6), FACTORS, max_size=5).map(lambda found: tuple(sorted(found.items())))
    )
    sheet = Sheet(figures, points, points, points, countries)
    again = sheet_of(card_of(sheet))
    assert again.figures == figures
    assert (again.term, again.picture_bands, again.copy_bands) == (points, points, points)
    assert dict(again.countries) == dict(countries)


def test_every_code_in_use_has_a_row() -> None:
    assert set(MEDIA_CODES) == set(MEDIA.nodes)
    assert set(WIDE) | COUNTRIES == set(TERRITORIES.nodes)
    assert len({row_of("media", code) for code in MEDIA_CODES}) == len(MEDIA_CODES)
    assert check_card(card_of(sheet_of(CARD)), media=MEDIA.nodes, territories=TERRITORIES.nodes).is_fair


def test_countries_of_one_factor_are_one_line_and_the_commonest_factor_is_the_rest() -> None:
    sheet = sheet_of(CARD)
    assert sheet.countries[0] == (("US",), F("1.7"))
    assert {factor: len(codes) for codes, factor in sheet.countries}[F("0.6")] == 9
    assert sheet.figures["territories_rest"] == F("0.3")


def test_a_code_the_card_does_not_have_yet_shows_the_shipped_factor() -> None:
    older = PriceTree("media", [node for code, node in CARD.media.nodes.items() if code != "web.platforms"])
    card: Card = replace(CARD, media=older)
    assert sheet_of(card).figures["media_web_platforms"] == F("0.4")
    assert set(card_of(sheet_of(card)).media.nodes) == set(MEDIA.nodes)


def test_points_and_bands_are_put_in_order() -> None:
    mixed = replace(sheet_of(CARD), term=((24, F("1.5")), (12, F(1))), copy_bands=((5000, F(1)), (10, F("0.5"))))
    card = card_of(mixed)
    assert [months for months, _ in card.term] == [0, 12, 24]
    assert [limit for limit, _ in card.copy_bands] == [10, 5000, None]


@pytest.mark.parametrize(
    ("remark", "place"),
    [
        (Remark("base", ""), ("base", None)),
        (Remark("media.print.menu", ""), ("media_print_menu", None)),
        (Remark("classes.stock", ""), ("classes_stock", None)),
        (Remark("territories.europe", ""), ("territories_europe", None)),
        (Remark("territories.DE", ""), ("territories_rest", None)),
        (Remark("exclusivity", ""), ("exclusivity_picture", None)),
        (Remark("term", "", 24), ("term", 24)),
        (Remark("term", "", 0), ("term_start", None)),
        (Remark("term", ""), ("term_start", None)),
        (Remark("term_perpetual", ""), ("term_perpetual", None)),
        (Remark("copy_bands", "", 5000), ("copy_bands", 5000)),
        (Remark("copy_bands", ""), ("copy_bands_rest", None)),
        (Remark("picture_bands", ""), ("picture_bands_rest", None)),
    ],
)
def test_a_remark_is_shown_at_its_row(remark: Remark, place: tuple[str, int | None]) -> None:
    assert place_of(remark) == place
    assert place[0] in sheet_of(CARD).figures or place[1] is not None


def test_classes_are_those_of_the_card() -> None:
    assert set(CLASSES) == set(CARD.classes.nodes)
