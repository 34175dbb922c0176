import threading
from datetime import date

import pytest
from django.db import connection

from clients.actions import add_trade, keep_trades
from clients.models import Trade, TradeWord
from clients.trades import TradeRefused
from shared.edits import EditedMeanwhile
from shared.errors import Refusal
from shared.evidence.models import Evidence
from shoots.brief.actions import agree_selling_on
from shoots.brief.models import SellingOn
from shoots.licences.actions import LicenceConflict, accept_licence, keep_licence_paper
from shoots.licences.conflicts import find_conflicts
from shoots.licences.models import Licence
from shoots.licences.queries import grant_of, licence_for_paper, licence_shown
from shoots.licences.snapshot import says_the_same
from shoots.trades.actions import (
    ShownOtherwise,
    TradeIsGone,
    TradesClash,
    TradeStays,
    join_trades,
    remove_trade,
    rename_trade,
)
from shoots.trades.queries import join_preview, trade_rows
from tests.factories.clients import ClientFactory
from tests.factories.licences import ADVERTISING, AT, agreed, free_shoot, granted, offered, picture_of
from tests.factories.shoots import ShootFactory

pytestmark = [pytest.mark.both, pytest.mark.django_db]

WHO = {"by": "Tindra Aldermoor", "at": AT}
ALONE_IN_TRADE = {**ADVERTISING, "exclusivity": "trade"}


def roastery():
    return ClientFactory(name="Rook Roastery", trade="coffee", language="de")


def drinks(trade="hot drinks"):
    return ClientFactory(name="Gable Drinks", trade=trade)


def trade(name):
    keep_trades([name])
    return Trade.objects.get(name=name)


def join(gone="hot drinks", into="coffee", **also):
    one, other = trade(gone), trade(into)
    seen = also.pop("seen", None) or join_preview(one, other, AT.date()).seen
    return join_trades(one, into=other, seen=seen, **WHO)


def renamed(row, name, names=None):
    return rename_trade(row, name=name, names=names or {}, version=row.version, **WHO)


# Renamed


def test_a_renamed_trade_takes_clients_offers_and_shoots_along_and_leaves_agreed_words():
    picture = picture_of()
    held = granted([picture], licensee=roastery(), use=ALONE_IN_TRADE)
    offer = offered([picture_of()], licensee=held.licensee)
    shoot = agree_selling_on(ShootFactory(), selling_on="not_to", not_to=["wine", "coffee"], at=AT)
    renamed(trade("coffee"), "coffee roasters", {"de": "Kaffeeröster"})
    for row in (held, offer, shoot, held.licensee):
        row.refresh_from_db()
    assert (held.trade, held.trade_listed) == ("coffee", "coffee roasters")
    assert (offer.trade, offer.trade_listed) == ("coffee roasters", "coffee roasters")
    assert shoot.selling_on_not_to == ["wine", "coffee roasters"]
    assert held.licensee.trade == "coffee roasters"
    assert Evidence.objects.get(kind="trade_renamed").payload["was"] == "coffee"


def test_what_is_agreed_goes_on_meaning_its_trade_under_the_new_name():
    picture = picture_of()
    granted([picture], licensee=roastery(), use=ALONE_IN_TRADE)
    renamed(trade("coffee"), "coffee roasters")
    rival = offered([picture], licensee=drinks("coffee roasters"), use=ALONE_IN_TRADE)
    with pytest.raises(LicenceConflict):
        accept_licence(rival, accepted_by="Runa Tallow", signed_by="Tindra Aldermoor", at=AT)


def test_the_name_before_stays_with_its_trade():
    renamed(trade("coffee"), "coffee roasters")
    assert keep_trades(["Coffee"]) == ["coffee roasters"]
    with pytest.raises(TradeRefused, match="it is a name of coffee roasters"):
        add_trade("coffee")


def test_a_name_of_another_trade_is_refused_in_every_language():
    add_trade("roastery", names={"fr": "torréfaction"})
    for name, names, part in (("Torréfaction", {}, "name"), ("cafeteria", {"it": "torréfaction"}, "it")):
        with pytest.raises(TradeRefused) as refused:
            renamed(trade("wine"), name, names)
        assert refused.value.part == part
    assert Trade.objects.get(name="wine").names["it"] == "vino"


def test_of_two_edits_the_second_is_told():
    row = trade("coffee")
    renamed(row, "coffee roasters")
    with pytest.raises(EditedMeanwhile):
        renamed(row, "coffee houses")


def test_a_kept_certificate_and_its_sentences_stay_as_they_were_agreed():
    held = granted([picture_of()], licensee=roastery(), use=ALONE_IN_TRADE)
    paper, words = keep_licence_paper(held, at=AT), list(held.frozen["sentences"])
    assert "(Kaffee)" in " ".join(words)
    assert paper.snapshot["trade"] == "Kaffee"
    renamed(trade("coffee"), "coffee roasters", {"de": "Kaffeeröster"})
    join("coffee roasters", "wine")
    held.refresh_from_db()
    assert held.frozen["sentences"] == words
    assert says_the_same(paper.snapshot, licence_shown(licence_for_paper(held.pk).get(), version=2, at=AT))
    fresh = granted([picture_of()], licensee=ClientFactory(trade="coffee", language="de"), use=ALONE_IN_TRADE)
    assert "(Wein)" in " ".join(fresh.frozen["sentences"])


# Joined


def test_joined_trades_shut_each_other_out_and_the_log_says_so():
    while granted().pk % 10 != 8:  # the ninth and the tenth: by their keys as text the tenth would be named first
        pass
    picture = picture_of()
    held = granted([picture], licensee=roastery(), use=ALONE_IN_TRADE)
    other = granted([picture], licensee=drinks())
    shoot = agree_selling_on(ShootFactory(), selling_on="not_to", not_to=["hot drinks", "coffee"], at=AT)
    join()
    other.refresh_from_db()
    shoot.refresh_from_db()
    assert (other.trade, other.trade_listed) == ("hot drinks", "coffee")
    assert shoot.selling_on_not_to == ["coffee"]
    assert not Trade.objects.filter(name="hot drinks").exists()
    assert keep_trades(["Hot drinks"]) == ["coffee"]
    said = Evidence.objects.get(kind="trades_joined").payload
    assert (said["gone"], said["into"], said["clashes"]) == ("hot drinks", "coffee", [[held.number, other.number]])


def test_two_exclusive_licences_keep_their_trades_apart():
    picture = picture_of()
    first = granted([picture], licensee=roastery(), use=ALONE_IN_TRADE)
    second = granted([picture], licensee=drinks(), use=ALONE_IN_TRADE)
    with pytest.raises(TradesClash) as refused:
        join()
    assert first.number in str(refused.value)
    assert second.number in str(refused.value)
    assert Trade.objects.filter(name="hot drinks").exists()
    assert not Evidence.objects.filter(kind="trades_joined").exists()


def test_an_unplaced_exclusive_licence_counts_for_every_picture_of_its_shoot():
    shoot = free_shoot()
    picture = picture_of(shoot)
    shoot.licensee = drinks()
    shoot.save()
    agreed(shoot, terms=ALONE_IN_TRADE, signed_by="Tindra Aldermoor")
    granted([picture], licensee=roastery(), use=ALONE_IN_TRADE)
    with pytest.raises(TradesClash):
        join()


def test_nothing_is_joined_that_was_not_shown():
    picture = picture_of()
    granted([picture], licensee=roastery(), use=ALONE_IN_TRADE)
    seen = join_preview(trade("hot drinks"), trade("coffee"), AT.date()).seen
    granted([picture], licensee=drinks())
    with pytest.raises(ShownOtherwise):
        join(seen=seen)
    with pytest.raises(TradeRefused, match="itself"):
        join("coffee", "coffee")


def test_a_trade_that_is_gone_is_neither_joined_nor_renamed():
    gone = trade("hot drinks")
    join()
    with pytest.raises(TradeIsGone):
        join_trades(gone, into=trade("wine"), seen="", **WHO)
    with pytest.raises(TradeIsGone):
        renamed(gone, "warm drinks")


# Taken out


def test_only_a_trade_that_nothing_names_is_taken_out():
    for use in (roastery, lambda: ShootFactory(selling_on=SellingOn.NOT_TO, selling_on_not_to=["wine"])):
        use()
    for name in ("coffee", "wine"):
        with pytest.raises(TradeStays, match="names it"):
            remove_trade(trade(name), **WHO)
    remove_trade(trade("beer"), **WHO)
    assert not TradeWord.objects.filter(key__in=["beer", "öl"]).exists()
    assert keep_trades(["beer"]) == ["beer"]  # typed again it is on the list again
    assert {row.name for row, uses in trade_rows() if not uses.is_none} >= {"coffee", "wine"}


# At once


def at_once(*deeds):
    """Each in a thread and a connection of its own, begun together: what each came to."""
    start, told = threading.Barrier(len(deeds)), {}

    def hand(place, deed):
        try:
            start.wait(timeout=10)
            deed()
            told[place] = "done"
        except Refusal as refused:
            told[place] = type(refused).__name__
        finally:
            connection.close()

    hands = [threading.Thread(target=hand, args=pair) for pair in enumerate(deeds)]
    [each.start() for each in hands]
    [each.join(timeout=60) for each in hands]
    return [told.get(place) for place in range(len(deeds))]


def standing_rivals():
    rows = Licence.objects.filter(state__in=["accepted", "paid"])
    return find_conflicts(
        grant_of(row, [str(key) for key in row.pictures.values_list("pk", flat=True)]) for row in rows
    )


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("_turn", range(3))
def test_joining_and_agreeing_at_once_leave_no_two_exclusive_rivals(_turn):
    picture = picture_of()
    granted([picture], licensee=roastery(), use=ALONE_IN_TRADE)
    rival = offered([picture], licensee=drinks(), use=ALONE_IN_TRADE)
    one, other = trade("hot drinks"), trade("coffee")
    seen = join_preview(one, other, AT.date()).seen
    joined, said_yes = at_once(
        lambda: join_trades(one, into=other, seen=seen, **WHO),
        lambda: accept_licence(rival, accepted_by="Runa Tallow", signed_by="Tindra Aldermoor", at=AT),
    )
    assert (joined, said_yes) in {("done", "LicenceConflict"), ("TradesClash", "done")}
    assert standing_rivals() == []


@pytest.mark.django_db(transaction=True)
def test_granting_while_its_trade_is_joined_names_the_trade_that_stays_or_stops_it():
    picture = picture_of()
    house = drinks()
    one, other = trade("hot drinks"), trade("coffee")
    granted([picture], licensee=roastery(), use=ALONE_IN_TRADE)
    seen = join_preview(one, other, AT.date()).seen
    joined, said_yes = at_once(
        lambda: join_trades(one, into=other, seen=seen, **WHO),
        lambda: granted([picture], licensee=house, use=ALONE_IN_TRADE),
    )
    assert (joined, said_yes) in {("done", "LicenceConflict"), ("TradesClash", "done")}
    assert standing_rivals() == []
    listed = set(Trade.objects.values_list("name", flat=True))
    assert set(Licence.objects.values_list("trade_listed", flat=True)) <= listed


@pytest.mark.django_db(transaction=True)
def test_of_two_joins_crosswise_one_is_done():
    one, other = trade("hot drinks"), trade("coffee")
    there, back = (join_preview(*pair, date(2026, 11, 20)).seen for pair in ((one, other), (other, one)))
    told = at_once(
        lambda: join_trades(one, into=other, seen=there, **WHO), lambda: join_trades(other, into=one, seen=back, **WHO)
    )
    assert sorted(told) == ["TradeIsGone", "done"]
    assert Trade.objects.filter(name__in=["hot drinks", "coffee"]).count() == 1
