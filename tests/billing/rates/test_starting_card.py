from billing.rates.card import check_card
from billing.rates.starting_card import CLASS_FACTORS, MEDIA_FACTORS, STARTING_CARD, TERRITORY_FACTORS
from shoots.uses.media_tree import MEDIA
from shoots.uses.territory_tree import TERRITORIES


def test_the_shipped_card_is_fair_and_prices_every_code_in_use() -> None:
    found = check_card(STARTING_CARD, media=MEDIA.nodes, territories=TERRITORIES.nodes)
    assert (found.errors, found.warnings) == ((), ())


def test_no_factor_is_for_a_code_that_does_not_exist() -> None:
    assert set(MEDIA_FACTORS) == set(MEDIA.nodes)
    assert set(TERRITORY_FACTORS) <= set(TERRITORIES.nodes)
    assert set(CLASS_FACTORS) == {"all", "editorial", "advertising", "stock"}


def test_the_card_hangs_its_codes_where_the_trees_in_use_do() -> None:
    for prices, tree in ((STARTING_CARD.media, MEDIA), (STARTING_CARD.territories, TERRITORIES)):
        for code, node in tree.nodes.items():
            assert (prices.nodes[code].parent, prices.nodes[code].exhaustive, prices.nodes[code].counted) == (
                node.parent,
                node.exhaustive,
                node.counted,
            )
