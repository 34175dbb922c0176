from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

from billing.cards.changes import Change, card_changes
from billing.rates.card import Card, Priced, PriceTree, card_data
from billing.rates.models import RateCard
from billing.rates.starting_card import STARTING_CARD as CARD


def rates(usage: Card = CARD, **values: object) -> RateCard:
    card = RateCard(valid_from=date(2026, 1, 1), usage=card_data(usage), **values)
    card.clean_fields(exclude=["usage"])
    return card


def with_country(code: str, factor: F) -> Card:
    nodes = [
        Priced(node.code, node.parent, factor if node.code == code else node.factor, exhaustive=node.exhaustive)
        for node in CARD.territories.nodes.values()
    ]
    return replace(CARD, territories=PriceTree("territories", nodes))


def test_a_card_does_not_differ_from_itself() -> None:
    assert card_changes(rates(), rates()) == ()


def test_rates_are_told_in_their_units() -> None:
    found = card_changes(
        rates(), rates(km_rate=D("0.425"), deposit_percent=50, finishing_minutes=30, rounds_included=2)
    )
    assert [(each.name, each.old, each.new) for each in found] == [
        ("Finishing one picture takes", "25 minutes", "30 minutes"),
        ("Travel", "€0.42 a km", "€0.425 a km"),
        ("Deposit", "40\u00a0%" if "\u00a0" in found[2].old else "40%", found[2].new),
        ("Rounds of corrections included", "1", "2"),
    ]


def test_a_country_leaving_the_others_is_told_by_both_factors() -> None:
    assert card_changes(rates(), rates(with_country("NO", F("0.7")))) == (
        Change("In which countries", "Norway", "0.3", "0.7"),
    )
    assert card_changes(rates(), rates(with_country("AT", F("0.3")))) == (
        Change("In which countries", "Austria", "0.6", "0.3"),
    )


def test_a_point_that_is_new_has_nothing_beside_it() -> None:
    longer = replace(CARD, term=(*CARD.term, (180, F(4))))
    assert card_changes(rates(), rates(longer)) == (Change("For how long", "180 months", "—", "4"),)
