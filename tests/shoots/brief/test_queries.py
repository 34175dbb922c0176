from datetime import date

import pytest

from shoots.brief.queries import (
    parts_of_person,
    shoot_in_full,
    shoots_clashing,
    shoots_coming,
    shoots_in_kitchen,
    shoots_listed,
    shoots_of_client,
    shoots_past,
    use_of,
)
from tests.factories.clients import ClientFactory, PersonFactory
from tests.factories.shoots import AgreedPictureFactory, DishFactory, ShootFactory, ShootPersonFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 10)


def test_coming_shoots_stand_first_nearest_on_top_and_past_ones_below_newest_first():
    past, older = ShootFactory(first_on=date(2026, 11, 1)), ShootFactory(first_on=date(2026, 9, 1))
    undated = ShootFactory(first_on=None)
    later, soon = ShootFactory(first_on=date(2026, 12, 3)), ShootFactory(first_on=date(2026, 11, 14))
    running = ShootFactory(first_on=date(2026, 11, 9), last_on=date(2026, 11, 10))
    off = ShootFactory(first_on=date(2026, 11, 20), state="cancelled")
    assert list(shoots_listed(TODAY)) == [running, soon, later, undated, off, past, older]
    assert list(shoots_coming(TODAY)) == [running, soon, later, undated]
    assert list(shoots_past(TODAY)) == [off, past, older]


def test_a_shoot_is_found_by_title_client_dish_person_and_filtered_by_state_and_client():
    shoot = ShootFactory(title="Winter menu", state="confirmed")
    other = ShootFactory(title="Rye week")
    DishFactory(shoot=shoot, name="Bean stew in clay")
    ShootPersonFactory(shoot=shoot, person=PersonFactory(name="Ivo Pellander"))
    for words in ("winter", "bean clay", "ivo", shoot.client.name):
        assert list(shoots_listed(TODAY, text=words)) == [shoot]
    assert list(shoots_listed(TODAY, state="confirmed")) == [shoot]
    assert list(shoots_listed(TODAY, state="open", client=other.client)) == [other]


def test_a_list_counts_dishes_and_the_pictures_still_wanted():
    shoot = ShootFactory()
    DishFactory(shoot=shoot), DishFactory(shoot=shoot)
    AgreedPictureFactory(shoot=shoot), AgreedPictureFactory(shoot=shoot, state="left_out")
    row = shoots_listed(TODAY).get()
    assert (row.dishes_count, row.pictures_count) == (2, 1)


def test_only_pencilled_and_confirmed_shoots_on_a_common_day_clash():
    shoot = ShootFactory(first_on=date(2026, 11, 14), last_on=date(2026, 11, 15))
    clashing = ShootFactory(first_on=date(2026, 11, 15), state="confirmed")
    long = ShootFactory(first_on=date(2026, 11, 10), last_on=date(2026, 11, 14), state="pencilled")
    ShootFactory(first_on=date(2026, 11, 14), state="enquiry")
    ShootFactory(first_on=date(2026, 11, 16), state="confirmed")
    ShootFactory(first_on=None, state="confirmed")
    assert list(shoots_clashing(shoot.first_on, shoot.last_on, apart_from=shoot)) == [long, clashing]
    assert clashing not in shoots_clashing(date(2026, 11, 15), apart_from=clashing)


def test_a_client_sees_the_shoots_it_orders_pays_or_uses():
    agency, house = ClientFactory(), ClientFactory()
    shoot = ShootFactory(client=agency, licensee=house)
    ShootFactory()
    assert list(shoots_of_client(agency)) == list(shoots_of_client(house)) == [shoot]
    assert list(shoots_in_kitchen(shoot.kitchen)) == [shoot]


def test_a_person_s_parts_and_a_shoot_in_full():
    row = ShootPersonFactory()
    assert list(parts_of_person(row.person)) == [row]
    assert list(shoot_in_full(row.shoot_id).get().people.all()) == [row]


def test_the_intended_use_of_a_shoot_by_the_names_of_its_fields():
    use = use_of(ShootFactory())
    assert (use["use_media"], use["use_months"], use["is_own_promotion"]) == (["web.own", "web.social"], 24, True)
    assert len(use) == 8
