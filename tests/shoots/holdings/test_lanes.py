from datetime import date

from shoots.holdings.lanes import Held, client_chart, first_month, picture_chart, shoot_chart, touches
from shoots.licences.availability import FREE, offers
from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.licences.wishes import common_wishes, sale_of

TODAY = date(2026, 11, 20)
WISHES = common_wishes("DE")


def held(media="web.display", **change):
    terms = {
        "id": "7", "licensee": "2", "pictures": frozenset({"3"}), "classes": frozenset({"advertising"}), "media": frozenset({media}),
        "territories": frozenset({"DE"}), "use_from": date(2026, 3, 1), "use_until": date(2027, 1, 1), "state": State.PAID,
    }  # fmt: skip
    return Held(Grant(**{**terms, **change}), "Kvernmoor Mill", "Advertising", "/licences/7/")


def chart(*on, clashing=()):
    grants = [each.grant for each in on]
    found = offers([wish.starting(TODAY) for wish in WISHES], picture="3", grants=grants, selling_on=FREE)
    names = {each.grant.id: each.who for each in on}
    sales = [
        sale_of(wish, offer, TODAY, selling_on=FREE, holders=names) for wish, offer in zip(WISHES, found, strict=True)
    ]
    urls = {wish.key: f"/licences/grant/?use={wish.key}" for wish in WISHES}
    return picture_chart("Who may use it", TODAY, held=on, sales=sales, clashing=clashing, grant_urls=urls)


def lane(found, name):
    return next(each for each in found.lanes if each.name == name)


def test_a_chart_begins_eight_months_back():
    assert first_month(TODAY) == date(2026, 3, 1)
    assert first_month(date(2026, 2, 28)) == date(2025, 6, 1)


def test_a_licence_touches_a_wish_by_class_medium_and_territory():
    wishes = {wish.key: wish for wish in WISHES}
    assert touches(held().grant, wishes["online_ad"])
    assert not touches(held().grant, wishes["print_ad"])
    assert not touches(held(territories=frozenset({"FR"})).grant, wishes["online_ad"])


def test_a_lane_shows_who_holds_and_from_when_it_is_free():
    bars = lane(chart(held()), "Advertising online").bars
    assert [bar.kind for bar in bars] == ["granted", "free", "free"]
    assert bars[2].from_on == date(2027, 1, 1)
    assert bars[2].url.endswith("&first=2027-01-01")


def test_an_offer_that_clashes_is_shown_as_asking():
    (bar, *_free) = lane(chart(held(state=State.OFFERED), clashing={"7"}), "Advertising online").bars
    assert (bar.kind, bar.words) == ("clash", "Kvernmoor Mill asks")


def test_a_licence_no_wish_meets_has_its_own_lane():
    found = chart(held(media="internal"))
    assert found.lanes[-1].name == "Advertising"


def test_a_clients_chart_leads_to_the_renewal():
    found = client_chart("What they may use", TODAY, held=[held()], renewals={"7": "/licences/7/renew/"})
    assert [(bar.kind, bar.url) for bar in found.lanes[0].bars] == [
        ("granted", "/licences/7/"),
        ("free", "/licences/7/renew/"),
    ]


def test_a_shoots_chart_has_a_lane_a_licence_by_holder_and_none_for_what_its_months_do_not_show():
    old = held(id="6", use_from=date(2020, 1, 1), use_until=date(2021, 1, 1))
    declined = held(id="8", state=State.DECLINED)
    found = shoot_chart("Who holds what", TODAY, held=[held(), old, declined])
    assert [each.name for each in found.lanes] == ["Kvernmoor Mill"]
    assert [bar.kind for bar in found.lanes[0].bars] == ["granted"]
