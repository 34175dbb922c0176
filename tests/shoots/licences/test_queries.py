from datetime import date, timedelta
from decimal import Decimal

import pytest

from shoots.licences import actions, queries
from shoots.licences.models import Licence
from shoots.pictures.models import Picture
from tests.factories.licences import AT, FIRST, OWN, agreed, free_shoot, granted, kvernmoor, offered, picture_of, placed
from tests.factories.releases import shoot_with_cook, signed_release
from tests.factories.shoots import ShootFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 20)


def ending(days, **also):
    """Running, its last day so many days from today."""
    last = TODAY + timedelta(days=days)
    return granted(fee_net=Decimal(0), first_day=date(2026, 1, 1), last_day=last, **also)


def test_licences_end_soon_up_to_the_sixtieth_day():
    inside, _outside, _over = ending(60), ending(61), ending(-1)
    assert list(queries.licences_ending(TODAY)) == [inside]


def test_a_licence_with_a_renewal_on_its_way_does_not_ask_for_one():
    licence = ending(10)
    renewal = actions.renew_licence(licence, months=12, fee_net=Decimal(90), at=AT)
    assert not queries.licences_ending(TODAY)
    actions.decline_licence(renewal, at=AT)
    assert list(queries.licences_ending(TODAY)) == [licence]


def test_those_that_ended_in_a_span_are_found():
    over = ending(-1)
    assert list(queries.licences_ending_before(TODAY, after=TODAY - timedelta(days=7))) == [over]


def test_the_list_finds_by_word_state_and_client():
    picture = picture_of()
    licence = granted([picture])
    waiting, offer = agreed(), offered()
    assert set(queries.licences_listed(TODAY, text=f"kvernmoor {picture.number}")) == {licence}
    assert set(queries.licences_listed(TODAY, state="unplaced")) == {waiting}
    assert set(queries.licences_listed(TODAY, state="offered")) == {offer}
    assert set(queries.licences_listed(TODAY, client=waiting.licensee)) == {waiting}
    assert queries.counts_on(TODAY)["unplaced"] == 1


@pytest.mark.parametrize("state", ["ending", "running", "coming", "unplaced", "offered", "ended", "off"])
def test_every_state_of_the_filter_can_be_asked_for(state):
    assert list(queries.licences_listed(TODAY, state=state)) == []


def test_an_unplaced_licence_stands_on_every_picture_of_its_shoot():
    shoot = free_shoot()
    pictures = [picture_of(shoot), picture_of(shoot)]
    agreed(shoot)
    (holding,) = queries.holdings_on(pictures)
    assert holding.grant.pictures == {str(picture.pk) for picture in pictures}
    assert (holding.grant.is_placed, holding.grant.use_from) == (False, TODAY)


def test_a_withdrawn_release_shows_in_what_a_picture_is_cleared_for():
    from shoots.pictures.actions import name_person
    from shoots.releases.actions import withdraw_release

    shoot = shoot_with_cook()
    release, picture = signed_release(shoot), picture_of(shoot)
    name_person([picture], shoot.people.get().person, recognisable="yes")
    placed(shoot, on=[picture])
    withdraw_release(release, reason="Changed her mind", at=AT)
    picture = queries.with_people(Picture.objects.all()).get()
    (row,) = queries.picture_answer(picture, TODAY)["rows"]
    assert row["cleared"]["verdict"] == "not_cleared"
    assert "Maro Lantadze: the release was withdrawn" in row["cleared"]["notes"]


def test_a_client_holds_what_was_not_declined():
    client = kvernmoor()
    licence = granted(licensee=client)
    actions.decline_licence(offered(licensee=client), at=AT)
    assert list(queries.held_by(client)) == [licence]
    answer = queries.client_answer(client, TODAY)
    assert len(answer["standing"]) == 1
    assert len(answer["chart"].lanes) == 1


def test_what_stands_against_a_wish_is_said_before_anything_is_granted():
    picture = picture_of()
    found = queries.what_stands_against(
        licensee=kvernmoor(), pictures=[picture], use=OWN, first_day=FIRST, last_day=None
    )
    assert (found["last_day"], found["clashes"], found["is_for_sale"]) == (date(2028, 11, 30), [], True)


def test_chosen_pictures_are_suggested_up_to_the_number_agreed():
    shoot = free_shoot()
    pictures = [picture_of(shoot) for _ in range(3)]
    picture_of(shoot, state=Picture.State.NEW)
    assert queries.suggested_pictures(agreed(shoot)) == [picture.pk for picture in pictures]
    licence = agreed(shoot, pictures_agreed=2)
    assert len(queries.suggested_pictures(licence)) == 2
    assert queries.may_take_more(licence)


def test_words_of_an_offer_are_those_it_would_be_granted_with():
    assert "Kvernmoor Mill" in queries.sentences_of(offered())[0]
    assert queries.sentences_of(agreed())[0].startswith("Own promotion of Walnut Lantern")


def test_a_wish_begins_the_grant_form():
    assert queries.grant_start("magazine", TODAY)["use_media"] == ["print.editorial"]
    assert queries.grant_start("", TODAY) == {}
    assert Licence.objects.count() == 0


def test_the_address_is_that_of_who_orders_else_of_the_books():
    client = kvernmoor()
    client.invoice_email = "books@kvernmoor.example"
    assert queries.address_of(client) == ("books@kvernmoor.example", "Kvernmoor Mill")


def test_a_shoot_to_choose_from_stands_below_later_ones_and_the_clients_own_above_all():
    early, undated, late = (
        picture_of(ShootFactory(first_on=day)).shoot for day in (date(2026, 9, 1), None, date(2026, 11, 1))
    )
    assert list(queries.shoots_with_pictures()) == [late, early, undated]
    assert list(queries.shoots_with_pictures(early.client)) == [early, late, undated]
