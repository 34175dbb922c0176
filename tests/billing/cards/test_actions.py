from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from billing.cards.actions import RatesAreInUse, RatesChangedMeanwhile, import_rates
from billing.cards.card_file import InvalidCardFile
from billing.cards.queries import file_of, read_file, what_import_does
from billing.rates.actions import set_usage_card
from billing.rates.card import card_data
from billing.rates.models import RateCard
from billing.rates.queries import starting_rates, usage_card
from billing.rates.starting_card import STARTING_CARD
from tests.factories.billing import RateCardFactory

pytestmark = pytest.mark.django_db
JULY = date(2026, 7, 1)


def file_with(**values: object) -> bytes:
    usage = replace(STARTING_CARD, base=F(200))
    card = RateCard(valid_from=JULY, usage=card_data(usage), **values)
    card.clean_fields(exclude=["usage"])
    return file_of(card)


def seen(content: bytes, valid_from: date = JULY) -> str:
    return what_import_does(read_file(content), valid_from).seen


def test_a_file_is_taken_wholly() -> None:
    RateCardFactory()
    content = file_with(day_rate=D(900), lapse_days=21)
    card = import_rates(content, valid_from=JULY, seen=seen(content))
    card.refresh_from_db()
    assert (card.day_rate, card.lapse_days, usage_card(card).base) == (D(900), 21, 200)
    assert file_of(card) == content
    assert RateCard.objects.count() == 2


def test_the_same_file_twice_is_said() -> None:
    content = file_with(day_rate=D(900))
    import_rates(content, valid_from=JULY, seen=seen(content))
    with pytest.raises(RatesAreInUse, match="count since 1 Jul 2026 already"):
        import_rates(content, valid_from=JULY, seen=seen(content))
    with pytest.raises(RatesAreInUse):
        import_rates(content, valid_from=date(2026, 8, 1), seen="")
    assert RateCard.objects.count() == 1


def test_the_starting_values_can_be_made_ones_own() -> None:
    content = file_of(starting_rates(JULY))
    card = import_rates(content, valid_from=JULY, seen=seen(content))
    assert (card.day_rate, usage_card(card)) == (D(780), STARTING_CARD)


def test_rates_of_that_very_day_are_corrected() -> None:
    card = RateCardFactory(valid_from=JULY)
    content = file_with(day_rate=D(900))
    assert import_rates(content, valid_from=JULY, seen=seen(content)).pk == card.pk
    card.refresh_from_db()
    assert (card.day_rate, usage_card(card).base) == (D(900), 200)


def test_later_rates_that_carried_the_fees_on_carry_the_new_ones() -> None:
    RateCardFactory()
    later = RateCardFactory(valid_from=date(2026, 9, 1))
    content = file_with()
    import_rates(content, valid_from=JULY, seen=seen(content))
    later.refresh_from_db()
    assert usage_card(later).base == 200


def test_rates_another_person_saved_meanwhile_are_not_written_over() -> None:
    card = RateCardFactory()
    content = file_with(day_rate=D(900))
    looked_at = seen(content)
    set_usage_card(card, replace(STARTING_CARD, base=F(300)), version=card.version)
    with pytest.raises(RatesChangedMeanwhile):
        import_rates(content, valid_from=JULY, seen=looked_at)
    RateCardFactory(valid_from=JULY)
    with pytest.raises(RatesChangedMeanwhile):
        import_rates(content, valid_from=JULY, seen=looked_at)
    assert set(RateCard.objects.values_list("day_rate", flat=True)) == {D(780)}


def test_a_broken_file_changes_nothing() -> None:
    content = file_with(day_rate=D(900)).replace(b'"base": "200"', b'"base": "0"')
    with pytest.raises(InvalidCardFile):
        import_rates(content, valid_from=JULY, seen="0.0")
    assert not RateCard.objects.exists()
