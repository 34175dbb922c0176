import json
from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from hypothesis import HealthCheck, given, settings

from billing.cards.card_file import InvalidCardFile
from billing.cards.changes import Change
from billing.cards.queries import (
    card_changes,
    card_to_export,
    file_of,
    place_in_words,
    rate_kinds,
    read_file,
    versions,
    what_import_does,
)
from billing.rates.card import Card, Priced, PriceTree, card_data
from billing.rates.models import RATE_FIELDS, RateCard
from billing.rates.queries import starting_rates, usage_card
from billing.rates.starting_card import STARTING_CARD
from billing.rates.starting_card import STARTING_CARD as CARD
from tests.factories.billing import RateCardFactory, drafted
from tests.factories.rate_cards import fair_cards

pytestmark = pytest.mark.django_db
FIRST = date(2026, 1, 1)


@settings(max_examples=10, deadline=None, suppress_health_check=list(HealthCheck))
@given(fair_cards())
def test_rates_and_fees_come_back_from_their_file(usage: Card) -> None:
    card = RateCard(valid_from=FIRST, day_rate=D("912.50"), km_rate=D("0.4275"), usage=card_data(usage))
    card.clean_fields(exclude=["usage"])
    found = read_file(file_of(card))
    assert found.usage == usage == usage_card(card)
    assert found.rates == {name: getattr(card, name) for name in found.rates}


def test_every_rate_is_in_the_file() -> None:
    assert {*rate_kinds(), "valid_from", "currency"} == set(RATE_FIELDS)


@pytest.mark.parametrize(
    ("change", "path", "words"),
    [
        ({"day_rate": "0"}, "rates.day_rate", "above 0"),
        ({"hours_in_day": "25"}, "rates.hours_in_day", "up to 24 hours"),
        ({"deposit_percent": "100.5"}, "rates.deposit_percent", "0 to 100"),
        ({"cancellation_percent": "80", "cancellation_day_percent": "70"}, "rates.cancellation_day_percent", "at least as much"),
        ({"currency": "XXQ"}, "currency", "three letters"),
        ({"currency": "JPY"}, "currency", "two decimals"),
    ],
)  # fmt: skip
def test_the_checks_of_the_page_hold_for_a_file(change: dict[str, str], path: str, words: str) -> None:
    data = json.loads(file_of(starting_rates(FIRST)))
    for name, value in change.items():
        (data if name in data else data["rates"])[name] = value
    with pytest.raises(InvalidCardFile) as refused:
        read_file(json.dumps(data, indent=1).encode())
    found = refused.value.problems[0]
    assert (found.path, words in found.sentence, found.line > 1) == (path, True, True)


def test_fees_beyond_anything_are_refused() -> None:
    high = replace(STARTING_CARD, base=F(100_000), term_perpetual=F(100), exclusivity={**STARTING_CARD.exclusivity, "picture": F(100)})  # fmt: skip
    card = starting_rates(FIRST)
    card.usage = card_data(high)
    with pytest.raises(InvalidCardFile, match="100 million"):
        read_file(file_of(card))


def test_what_an_import_does_is_told_by_old_and_new() -> None:
    RateCardFactory()
    usage = replace(STARTING_CARD, base=F(200))
    card = RateCard(valid_from=FIRST, day_rate=D(900), usage=card_data(usage))
    card.clean_fields(exclude=["usage"])
    would = what_import_does(read_file(file_of(card)), date(2026, 7, 1))
    assert [(each.name, each.old, each.new) for each in would.changes] == [
        ("Day on set", "€780.00 a day", "€900.00 a day"),
        ("Base fee", "€180.00", "€200.00"),
    ]
    assert would.correct is None
    assert what_import_does(would.file, FIRST).correct is not None


def test_the_card_to_export_is_that_asked_for_or_in_use() -> None:
    assert card_to_export(None, FIRST).pk is None
    card = RateCardFactory()
    assert card_to_export(None, date(2026, 5, 5)) == card_to_export(card.pk, FIRST) == card
    with pytest.raises(RateCard.DoesNotExist):
        card_to_export(card.pk + 1, FIRST)


def test_the_history_counts_the_estimates_of_each_card(django_assert_num_queries) -> None:
    RateCardFactory()
    drafted()
    RateCardFactory(valid_from=date(2026, 12, 1), day_rate=D(900), usage=card_data(replace(STARTING_CARD, base=F(200))))
    with django_assert_num_queries(3):
        later, first = versions()
    assert (first.estimates, first.last_on, first.changes) == (1, date(2026, 11, 30), ())
    assert (first.has_starting_rates, first.has_starting_fees) == (True, True)
    assert (later.estimates, later.last_on, [each.name for each in later.changes]) == (
        0,
        None,
        ["Day on set", "Base fee"],
    )
    assert (later.has_starting_rates, later.has_starting_fees) == (False, False)


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
        ("Deposit", "40%", "50%"),
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


def test_a_path_is_told_as_the_pages_call_it() -> None:
    said = {
        "valid_from": "Valid from", "rates.day_rate": "Rates and terms: Day on set", "rates.surprise": "", "card.base": "Usage fees: Base fee",
        "card.term[4][1]": "For how long, line 5", "card.term_perpetual": "For how long: Without end", "card.copy_bands": "How many copies in print",
        "card.exclusivity.trade": "Who is shut out: Other firms of the same trade", "card.media.web.own.factor": "Where it is shown: Website",
        "card.territories.DE": "In which countries: Germany", "card.territories.XX": "In which countries", "card.odd": "", "": "",
    }  # fmt: skip
    assert {path: place_in_words(path) for path in said} == said
