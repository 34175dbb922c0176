from datetime import date

from shared.words.formats import plain_spaces
from shoots.licences.availability import FREE, Selling, SellingOn, offers
from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.licences.wishes import common_wishes, sale_of
from shoots.uses.intended import Exclusivity
from shoots.uses.trees import UnknownCode

TODAY = date(2026, 11, 20)
WISHES = {wish.key: wish for wish in common_wishes("DE")}
HELD = Grant(
    id="7", licensee="2", pictures=frozenset({"3"}), classes=frozenset({"advertising"}), media=frozenset({"web.display"}), territories=frozenset({"DE"}),
    use_from=date(2026, 3, 1), use_until=date(2027, 3, 1), state=State.PAID,
)  # fmt: skip
ALONE = Grant(**{name: getattr(HELD, name) for name in HELD.__slots__ if name != "exclusivity"}, exclusivity=Exclusivity.PICTURE)  # fmt: skip


def sale(key, *grants, selling_on=FREE):
    (offer,) = offers([WISHES[key].starting(TODAY)], picture="3", grants=grants, selling_on=selling_on)
    return sale_of(WISHES[key], offer, TODAY, selling_on=selling_on, holders={"7": "Kvernmoor Mill"})


def words(found):
    return plain_spaces(f"{found.words}. {found.detail}")


def test_every_wish_is_a_use_that_the_trees_know():
    try:
        assert all(wish.starting(TODAY) for wish in WISHES.values())
    except UnknownCode as error:  # pragma: no cover
        raise AssertionError(error.code) from None
    assert WISHES["own"].detail == "Own promotion, worldwide"
    assert WISHES["online_ad"].use_values["use_territories"] == ["DE"]


def test_a_picture_nobody_holds_is_free_also_exclusively():
    assert words(sale("own")) == "Free, also exclusive. "


def test_beside_a_plain_licence_a_wish_is_free_but_not_alone():
    found = sale("online_ad", HELD)
    assert words(found) == "Free, not exclusive. Exclusive only from 1 Mar 2027: Kvernmoor Mill holds it"
    assert (found.shared_from, found.exclusive_from) == (TODAY, date(2027, 3, 1))


def test_behind_an_exclusive_licence_a_wish_waits():
    assert words(sale("online_ad", ALONE)) == "Free from 1 Mar 2027. Kvernmoor Mill holds it"
    assert words(sale("magazine", ALONE)) == "Free, also exclusive. "


def test_without_the_clients_word_nothing_is_free():
    found = sale("own", selling_on=SellingOn())
    assert (found.look, found.shared_from) == ("look", None)
    assert "has not agreed to selling on" in found.detail


def test_named_trades_depend_on_the_buyer():
    found = sale("own", selling_on=SellingOn(Selling.NOT_TO, not_to=frozenset({"bakery"})))
    assert "not to bakery" in found.detail


def test_after_a_date_says_that_date():
    found = sale("own", selling_on=SellingOn(Selling.AFTER, after=date(2027, 2, 28)))
    assert words(found) == "Free from 1 Mar 2027. the client agreed to selling on after that day"
