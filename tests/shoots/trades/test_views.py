import pytest
from django.urls import reverse

from clients.actions import add_trade
from clients.models import Client, Trade
from shoots.licences.models import Licence
from tests.factories.clients import ClientFactory
from tests.factories.licences import granted, offered, picture_of
from tests.shoots.trades.pages import ALONE_IN_TRADE

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client_for, owner):
    return client_for(owner)


def at(name, page="edit_trade"):
    return reverse(page, args=[Trade.objects.get(name=name).pk])


def test_a_trade_is_added_and_one_that_is_there_is_told(desk):
    assert desk.post(reverse("trades"), {"name": "smoked fish", "de": "Räucherfisch"}).status_code == 302
    assert Trade.objects.get(name="smoked fish").names == {"de": "Räucherfisch"}
    again = desk.post(reverse("trades"), {"name": "räucherfisch"})
    assert again.status_code == 422
    assert "it is a name of smoked fish" in again.content.decode()


def test_a_trade_is_renamed_and_a_stale_form_is_told(desk):
    house = ClientFactory(trade="coffee")
    typed = {"name": "coffee roasters", "de": "Kaffeeröster", "version": "1"}
    assert desk.post(at("coffee"), typed).status_code == 302
    assert Client.objects.get(pk=house.pk).trade == "coffee roasters"
    late = desk.post(at("coffee roasters"), typed | {"name": "coffee houses"})
    assert (late.status_code, "Someone changed this" in late.content.decode()) == (422, True)
    taken = desk.post(at("wine"), {"name": "coffee", "version": "1"})
    assert (taken.status_code, "a name of coffee roasters" in taken.content.decode()) == (422, True)


def test_two_trades_are_joined_only_as_shown(desk):
    add_trade("hot drinks")
    picture = picture_of()
    granted([picture], licensee=ClientFactory(name="Rook Roastery", trade="coffee"), use=ALONE_IN_TRADE)
    other = granted([picture], licensee=ClientFactory(name="Gable Drinks", trade="hot drinks"))
    into = Trade.objects.get(name="coffee")
    page = desk.get(at("hot drinks", "join_trade"), {"into": into.pk})
    assert other.number in page.content.decode()
    chosen = {"into": into.pk, "seen": "something else"}
    assert desk.post(at("hot drinks", "join_trade"), chosen).status_code == 409
    done = desk.post(at("hot drinks", "join_trade"), chosen | {"seen": page.context["preview"].seen})
    assert done.status_code == 302
    assert Licence.objects.get(pk=other.pk).trade_listed == "coffee"


def test_exclusive_rivals_leave_no_button_to_join_them(desk):
    add_trade("hot drinks")
    picture = picture_of()
    for trade in ("coffee", "hot drinks"):
        granted([picture], licensee=ClientFactory(trade=trade), use=ALONE_IN_TRADE)
    into = Trade.objects.get(name="coffee")
    page = desk.get(at("hot drinks", "join_trade"), {"into": into.pk})
    assert "These forbid it" in page.content.decode()
    assert "Join them as" not in page.content.decode()
    seen = page.context["preview"].seen
    refused = desk.post(at("hot drinks", "join_trade"), {"into": into.pk, "seen": seen})
    assert (refused.status_code, "would clash" in refused.content.decode()) == (409, True)


def test_without_a_second_trade_the_page_asks_for_it(desk):
    page = desk.get(at("wine", "join_trade"))
    assert (page.status_code, "With which trade" in page.content.decode()) == (422, True)


def test_an_unused_trade_is_taken_out_and_a_used_one_says_by_whom_it_is_used(desk):
    ClientFactory(trade="coffee")
    assert desk.post(at("beer", "remove_trade")).url == reverse("trades")
    assert not Trade.objects.filter(name="beer").exists()
    told = desk.post(at("coffee", "remove_trade"), follow=True)
    assert "1 client names it" in told.content.decode()


# In the forms that ask for a trade


def test_a_client_gets_a_new_trade_without_leaving_the_form(desk):
    house = ClientFactory(trade="coffee")
    page = desk.get(reverse("edit_client", args=[house.pk]))
    typed = {name: value for name, value in page.context["form"].initial.items() if value not in (None, False)}
    typed |= {"version": "1", "country": "DE", "currency": "EUR"}
    told = desk.post(reverse("edit_client", args=[house.pk]), typed | {"trade": "clock maker"})
    assert "“clock maker” is not on the list of trades" in told.content.decode()
    desk.post(reverse("edit_client", args=[house.pk]), typed | {"new_trade": " smoked  fish "})
    house.refresh_from_db()
    assert house.trade == "smoked fish"
    assert Trade.objects.filter(name="smoked fish").exists()
    desk.post(reverse("edit_client", args=[house.pk]), typed | {"version": "2", "new_trade": "Kaffee"})
    house.refresh_from_db()
    assert house.trade == "coffee"


def test_what_a_shoot_is_closed_to_is_ticked_or_added(desk):
    shoot = offered([picture_of()]).shoot
    said = {"selling_on": "not_to", "not_to": ["coffee"], "new_trades": "smoked fish, Wein", "note": "Maro by phone"}
    assert desk.post(reverse("selling_on", args=[shoot.pk]), said).status_code == 302
    shoot.refresh_from_db()
    assert shoot.selling_on_not_to == ["coffee", "smoked fish", "wine"]
    told = desk.post(reverse("selling_on", args=[shoot.pk]), said | {"not_to": ["clock maker"]})
    assert "“clock maker” is not on the list of trades" in told.content.decode()


def test_can_i_sell_asks_of_a_trade_on_the_list_or_of_any_other(desk):
    picture = picture_of()
    granted([picture], licensee=ClientFactory(trade="coffee"), use=ALONE_IN_TRADE)
    use = {"use_kind": "advertising", "use_more_media": "web.paid_social", "use_places": "DE", "use_months": "12", "exclusivity": "none"}  # fmt: skip
    asked = use | {"pictures": str(picture.pk), "first_day": "2027-01-01"}

    def answer(**of):
        page = desk.get(reverse("can_i_sell"), asked | of)
        return page.context["rows"][0].answer

    assert answer(trade="wine") == "yes"
    assert answer(new_trade="clock maker") == "yes"
    assert answer(new_trade="Kaffee") == answer(trade="coffee") == answer() != "yes"
    assert not Trade.objects.filter(name="clock maker").exists()
    assert desk.get(reverse("can_i_sell"), asked | {"trade": "clock maker"}).status_code == 422


def test_a_licence_is_granted_in_another_trade_than_the_clients_own(desk):
    picture = picture_of()
    house = ClientFactory(trade="hotel")
    offered([picture], licensee=house, trade="smoked fish")
    licence = Licence.objects.get(licensee=house)
    assert (licence.trade, licence.trade_listed) == ("smoked fish", "smoked fish")
    house.refresh_from_db()
    assert house.trade == "hotel"
