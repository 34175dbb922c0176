from datetime import UTC, date, datetime

import pytest
from django.db import transaction

from shared.evidence.models import Evidence
from shared.states import MoveRefused
from shoots.brief.actions import (
    DaysReversed,
    PartTaken,
    ShootHasNoDate,
    add_dish,
    add_dishes,
    agree_pictures,
    agree_selling_on,
    cancel_shoot,
    change_agreed_picture,
    change_dish,
    change_part,
    change_shoot,
    confirm_shoot,
    give_part,
    leave_out_picture,
    lock_shoots,
    mark_delivered,
    mark_shot,
    move_agreed_picture,
    move_dish,
    open_shoot,
    pencil_shoot,
    postpone_shoot,
    release_hold,
    remove_dish,
    take_back_delivered,
    take_back_shot,
    take_part_away,
    take_up_picture,
    use_correction_round,
    want_pictures,
)
from shoots.brief.models import AgreedPicture, ShootState
from tests.factories.clients import ClientFactory, PersonFactory
from tests.factories.shoots import AgreedPictureFactory, DishFactory, ShootFactory, ShootPersonFactory

pytestmark = pytest.mark.django_db
AT = datetime(2026, 10, 28, 9, tzinfo=UTC)


def test_an_enquiry_is_paid_and_used_by_the_client_unless_said_otherwise():
    client, agency = ClientFactory(), ClientFactory()
    own = open_shoot(client, title="Winter menu", at=AT)
    through_agency = open_shoot(agency, title="Broths", at=AT, licensee=client)
    assert (own.state, own.billing_party, own.licensee, own.selling_on) == (
        ShootState.ENQUIRY,
        client,
        client,
        "not_agreed",
    )
    assert (through_agency.billing_party, through_agency.licensee) == (agency, client)
    assert own.moves.get().reason == "Enquiry opened"


def test_a_shoot_goes_from_enquiry_to_delivered_and_each_move_is_kept():
    shoot = ShootFactory()
    pencil_shoot(shoot, held_until=date(2026, 11, 5), at=AT, by="Tindra")
    assert (shoot.state, shoot.held_until) == ("pencilled", date(2026, 11, 5))
    confirm_shoot(shoot, at=AT)
    assert (shoot.state, shoot.held_until) == ("confirmed", None)
    mark_shot(shoot, shot_on=date(2026, 11, 14), at=AT)
    mark_delivered(shoot, delivered_on=date(2026, 12, 1), at=AT)
    assert (shoot.shot_on, shoot.delivered_on) == (date(2026, 11, 14), date(2026, 12, 1))
    assert [move.became for move in shoot.moves.order_by("pk")] == ["pencilled", "confirmed", "shot", "delivered"]
    assert shoot.moves.order_by("pk").first().by == "Tindra"


def test_marks_set_by_mistake_can_be_taken_back():
    shoot = ShootFactory(state="shot", shot_on=date(2026, 11, 14))
    mark_delivered(shoot, delivered_on=date(2026, 12, 1), at=AT)
    take_back_delivered(shoot, at=AT)
    assert (shoot.state, shoot.delivered_on) == ("shot", None)
    take_back_shot(shoot, at=AT)
    assert (shoot.state, shoot.shot_on) == ("confirmed", None)


def test_a_hold_can_be_given_up():
    shoot = ShootFactory(state="pencilled", held_until=date(2026, 11, 5))
    release_hold(shoot, at=AT)
    assert (shoot.state, shoot.held_until) == ("enquiry", None)


def test_no_day_no_pencil():
    shoot = ShootFactory(first_on=None)
    with pytest.raises(ShootHasNoDate):
        pencil_shoot(shoot, held_until=None, at=AT)
    assert not shoot.moves.exists()


@pytest.mark.both
def test_a_cancelled_shoot_cannot_come_back_and_the_refusal_says_how_it_stands():
    shoot = ShootFactory(state="confirmed")
    cancel_shoot(shoot, reason="Kitchen flooded", by="Tindra", at=AT)
    with pytest.raises(MoveRefused, match="cancelled"):
        confirm_shoot(shoot, at=AT)
    assert shoot.moves.count() == 1


def test_a_postponed_shoot_keeps_its_old_day_in_the_history():
    shoot = ShootFactory(state="confirmed")
    postpone_shoot(shoot, new_first_on=date(2027, 1, 9), at=AT, reason="Cook is ill")
    move = shoot.moves.get()
    assert (shoot.state, shoot.first_on, move.old_first_on, move.new_first_on) == (
        "postponed",
        date(2027, 1, 9),
        date(2026, 11, 14),
        date(2027, 1, 9),
    )
    postpone_shoot(confirm_shoot(shoot, at=AT), new_first_on=None, at=AT)
    assert shoot.first_on is None


def test_a_postponed_shoot_cannot_end_before_it_begins():
    shoot = ShootFactory(state="confirmed")
    with pytest.raises(DaysReversed):
        postpone_shoot(shoot, new_first_on=date(2027, 1, 9), new_last_on=date(2027, 1, 8), at=AT)
    shoot.refresh_from_db()
    assert shoot.state == "confirmed"


def test_what_the_client_says_about_selling_on_goes_into_the_evidence_chain():
    shoot = agree_selling_on(
        ShootFactory(), selling_on="not_to", not_to=["restaurant"], note="By phone, Maro", by="Tindra", at=AT
    )
    row = Evidence.objects.get(kind="selling_on_agreed")
    assert (shoot.selling_on, shoot.selling_on_not_to) == ("not_to", ["restaurant"])
    assert row.subject == f"shoot:{shoot.pk}"
    assert (row.payload["was"], row.payload["became"], row.payload["not_to"]) == (
        "not_agreed",
        "not_to",
        ["restaurant"],
    )
    assert "Maro" not in str(row.payload)
    agree_selling_on(shoot, selling_on="after", after=date(2027, 2, 28), not_to=["bakery"], at=AT)
    assert (shoot.selling_on_after, shoot.selling_on_not_to) == (date(2027, 2, 28), [])


def test_rounds_of_corrections_are_counted_one_by_one():
    shoot = ShootFactory()
    use_correction_round(shoot, at=AT)
    use_correction_round(shoot, at=AT)
    assert shoot.corrections_used == 2
    assert shoot.moves.first().reason == "Round 2 of corrections, 1 included"


def test_a_changed_day_goes_into_the_history():
    shoot = ShootFactory()
    shoot.first_on = date(2026, 11, 15)
    change_shoot(shoot, fields=["first_on"], version=1, at=AT)
    assert shoot.moves.get().reason == "Day changed"
    shoot.title = "Winter menu, second try"
    change_shoot(shoot, fields=["title"], version=2, at=AT)
    assert shoot.moves.count() == 1


def test_dishes_stand_in_the_order_they_were_named_and_can_be_moved():
    shoot = ShootFactory()
    add_dish(shoot, name="Bread boat", allergens=["wheat", "egg"], allergens_told_by="Maro Lantadze")
    add_dishes(shoot, names=["Leek rolls", "Bean stew"])
    move_dish(shoot.dishes.get(name="Bean stew"), places=-1)
    assert [dish.name for dish in shoot.dishes.all()] == ["Bread boat", "Bean stew", "Leek rolls"]
    move_dish(shoot.dishes.get(name="Bread boat"), places=-1)
    assert shoot.dishes.first().name == "Bread boat"


def test_a_picture_whose_title_begins_with_a_dish_is_of_that_dish():
    shoot = open_shoot(
        ClientFactory(), title="Winter menu", at=AT, dishes=["Bread", "Bread boat"],
        pictures=["bread boat, the last end", "Bread from above", "The room"],
    )  # fmt: skip
    found = [(picture.title, picture.dish and picture.dish.name) for picture in shoot.agreed_pictures.order_by("order")]
    assert found == [("bread boat, the last end", "Bread boat"), ("Bread from above", "Bread"), ("The room", None)]


def test_a_dish_taken_off_leaves_its_picture_wanted():
    picture = AgreedPictureFactory()
    picture.dish = DishFactory(shoot=picture.shoot)
    picture.save()
    dish = change_dish(picture.dish, fields=["name"], version=1)
    remove_dish(dish)
    picture.refresh_from_db()
    assert (picture.dish, picture.state) == (None, "wanted")


def test_wanted_pictures_are_added_many_at_once_and_agreed_by_name():
    shoot = ShootFactory()
    first, second = want_pictures(shoot, titles=["Bread boat from above", "Hands and dough"], orientation="upright")
    (third,) = want_pictures(shoot, titles=["Portrait of the cook"])
    assert (first.order, second.order, third.order, third.orientation) == (0, 1, 2, "any")
    assert agree_pictures(shoot, pictures=[first, third]) == 2
    assert set(shoot.agreed_pictures.filter(state="agreed")) == {first, third}


def test_a_picture_left_out_stays_on_the_list_and_can_be_taken_up_again():
    picture = AgreedPictureFactory(state=AgreedPicture.State.AGREED)
    leave_out_picture(picture)
    assert picture.state == "left_out"
    take_up_picture(picture)
    assert picture.state == "wanted"


def test_a_picture_can_be_changed_and_moved():
    first = AgreedPictureFactory(order=0)
    second = AgreedPictureFactory(order=1, shoot=first.shoot)
    move_agreed_picture(second, places=-1)
    assert list(first.shoot.agreed_pictures.all()) == [second, first]
    first.title = "Bread boat, cut open"
    change_agreed_picture(first, fields=["title"], version=1)
    first.refresh_from_db()
    assert first.title == "Bread boat, cut open"


def test_a_part_is_given_once_and_can_be_taken_away():
    shoot, person = ShootFactory(), PersonFactory()
    give_part(shoot, person=person, part="cook", brings="Clay pots")
    row = give_part(shoot, person=person, part="cook", brings="Clay pots and a board")
    assert shoot.people.get().brings == "Clay pots and a board"
    give_part(shoot, person=person, part="decides")
    row.part = "decides"
    with pytest.raises(PartTaken, match="already"):
        change_part(row, fields=["part"])
    row.part = "food_stylist"
    change_part(row, fields=["part"])
    take_part_away(row)
    take_part_away(shoot.people.get())
    other = ShootPersonFactory(shoot=shoot)
    assert list(shoot.people.all()) == [other]


def test_shoots_are_locked_once_each_in_the_order_of_their_keys_and_none_is_no_shoot(django_assert_num_queries):
    one, other = ShootFactory(), ShootFactory()
    with transaction.atomic(), django_assert_num_queries(1):
        lock_shoots(other.pk, None, one.pk, one.pk)
    with transaction.atomic(), django_assert_num_queries(0):
        lock_shoots(None)
