"""The base licence of a published usage-rate method, and what the starting card makes of its two forms. Its structure only: no figure of it is taken.

The method: one fee covers a first licence of any two media for one year, or any one medium for two years, in one country; all further use is
a share of a base rate. The licence begins with the first use, expected within six months of delivery; terms under six months are for the web.
Sources: the UK Association of Photographers, "Licensing, usage and your B.U.R." (home.the-aop.org/information/usage-calculator/explanation-of-b-u-r),
read as a stored copy on 26 November 2026; softfocus.co.za "Photography Base Usage Rate (BUR)" says the same; exposed.co.za "Buyouts based on BUR"
adds that time and media are interchangeable and the territory is not. The shares themselves are not public in a form to check against.
The starting card's factors: common practice, no source.
"""

from datetime import date
from fractions import Fraction as F
from itertools import combinations

import pytest

from billing.rates.fees import UseItem, term_factor, usage_fee
from billing.rates.starting_card import STARTING_CARD as CARD
from shoots.uses.territory_tree import COUNTRIES

TWO_YEARS = F(
    3, 2
)  # what the starting card takes for the second form's term; the published method takes two media's worth, F(2)
LEAVES = [code for code in CARD.media.nodes if not CARD.media.tree.children(code)]


def total(media: tuple[str, ...], months: int, places: frozenset[str] = frozenset({"GB"})) -> F:
    # 25,000 copies weigh 1, so that print and web are compared by medium alone.
    return usage_fee(
        CARD, 1, [UseItem(frozenset({"advertising"}), frozenset(media), places, date(2027, 1, 4), months, 25_000)]
    ).total


def test_a_year_in_one_country_is_where_the_card_stands_at_one_as_the_published_licence_does() -> None:
    assert term_factor(CARD, 12) == 1
    assert CARD.territories.factor("DE") == 1


@pytest.mark.parametrize("medium", LEAVES)
def test_one_medium_for_two_years_costs_less_than_two_for_a_year_of_the_same_weight(medium: str) -> None:
    # The published method takes both for the same fee. The card differs: a second year adds half of the first, a second medium its whole
    # factor. A term that doubles in price would make two one-year licences as cheap as a two-year one, and long use is the cheaper by the month.
    two_years = total((medium,), 24)
    assert two_years == TWO_YEARS * total((medium,), 12)
    assert two_years < 2 * total((medium,), 12)


def test_two_media_for_a_year_cost_their_sum_or_the_wider_medium() -> None:
    for pair in combinations(LEAVES, 2):
        alone = [total((medium,), 12) for medium in pair]
        assert max(alone) <= total(pair, 12) <= sum(alone)
    # Of two media far apart in the tree nothing is saved; it is their sum, as two media's worth is in the published method.
    assert total(("web.own", "print.brochure"), 12) == total(("web.own",), 12) + total(("print.brochure",), 12)


def test_the_two_forms_are_the_same_fee_where_the_second_medium_weighs_half_of_the_first() -> None:
    # Where the card and the published method agree: email (0.3) beside advertisements in print would be 1.3; website 0.5 beside print 1 is 1.5.
    assert total(("print.ad", "web.own"), 12) == total(("print.ad",), 24)


def test_the_territory_is_not_interchangeable_but_changes_the_fee_alone() -> None:
    one = total(("web.own",), 12, frozenset({"DE"}))
    for place in sorted(COUNTRIES & set(CARD.territories.nodes)):
        both = total(("web.own",), 12, frozenset({"DE", place}))
        assert both >= one
    # One country is the base licence; no choice of fewer months or media pays for a second country of the same weight.
    assert total(("web.own",), 12, frozenset({"DE", "CA"})) == 2 * one


def test_under_half_a_year_the_card_has_prices_for_the_web_too() -> None:
    # The published method finds less than six months unrealistic in advertising, and negotiable on the web: the card prices it for both.
    assert 0 < total(("web.own",), 3) < total(("web.own",), 6) < total(("web.own",), 12)
