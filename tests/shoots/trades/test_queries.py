import pytest

from clients.models import Trade
from shoots.brief.models import SellingOn
from shoots.trades.queries import (
    Uses,
    join_preview,
    shoots_closed_to_trades,
    shoots_naming,
    trade_rows,
    uses_by_trade,
)
from tests.factories.clients import ClientFactory
from tests.factories.licences import AT, granted, picture_of
from tests.factories.shoots import ShootFactory
from tests.shoots.trades.pages import ALONE_IN_TRADE

pytestmark = pytest.mark.django_db


def coffee_held():
    return granted([picture_of()], licensee=ClientFactory(name="Rook Roastery", trade="coffee"), use=ALONE_IN_TRADE)


def test_a_trade_is_counted_where_it_is_named():
    coffee_held()
    closed = ShootFactory(selling_on=SellingOn.NOT_TO, selling_on_not_to=["coffee", "wine"])
    assert uses_by_trade()["coffee"] == Uses(clients=1, licences=1, shoots=1)
    assert {trade.name: uses.in_words() for trade, uses in trade_rows()}["wine"] == "1 shoot"
    assert shoots_closed_to_trades() == [closed]


@pytest.mark.parametrize(
    ("uses", "words"),
    [(Uses(), "not used"), (Uses(2, 1, 0), "2 clients, 1 licence"), (Uses(0, 3, 1), "3 licences, 1 shoot")],
)
def test_uses_in_words(uses, words):
    assert (uses.in_words(), uses.is_none) == (words, words == "not used")


def test_the_shoots_of_a_trade_are_those_closed_to_it_and_those_of_its_licences():
    held = coffee_held()
    closed = ShootFactory(selling_on=SellingOn.NOT_TO, selling_on_not_to=["coffee"])
    ShootFactory(selling_on=SellingOn.NOT_TO, selling_on_not_to=["wine"])
    assert shoots_naming("coffee") == {held.shoot_id, closed.pk}


def test_what_joining_would_do_is_told_with_numbers_holders_and_days():
    held = coffee_held()
    other = granted(list(held.pictures.all()), licensee=ClientFactory(name="Gable Drinks", trade="dairy"))
    closed = ShootFactory(selling_on=SellingOn.NOT_TO, selling_on_not_to=["dairy"])
    ShootFactory(selling_on=SellingOn.NOT_TO, selling_on_not_to=["dairy", "coffee"])
    dairy, coffee = (Trade.objects.get(name=name) for name in ("dairy", "coffee"))
    found = join_preview(dairy, coffee, AT.date())
    (told,) = found.told
    assert (told.numbers, told.holders) == ((held.number, other.number), ("Rook Roastery", "Gable Drinks"))
    assert told.shared.replace("\N{NO-BREAK SPACE}", " ").endswith("1 Dec 2026 to 30 Nov 2027")
    assert found.closed == (closed,)
    assert found.stopping == ()
    assert found.seen != join_preview(coffee, dairy, AT.date()).seen
