from datetime import date, timedelta

import pytest

from shoots.holdings import queries
from shoots.licences.queries import with_people
from shoots.life.actions import decline_licence
from shoots.pictures.actions import name_person
from shoots.pictures.models import Picture
from shoots.releases.actions import withdraw_release
from tests.factories.licences import AT, agreed, free_shoot, granted, kvernmoor, offered, picture_of, placed
from tests.factories.releases import shoot_with_cook, show_cook, signed_release

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 20)


def test_a_withdrawn_release_shows_in_what_a_picture_is_cleared_for():
    shoot = shoot_with_cook()
    release, picture = signed_release(shoot), picture_of(shoot)
    name_person([picture], shoot.people.get().person, recognisable="yes")
    placed(shoot, on=[picture])
    withdraw_release(release, reason="Changed her mind", at=AT)
    picture = with_people(Picture.objects.all()).get()
    (row,) = queries.picture_answer(picture, TODAY)["rows"]
    assert row["cleared"]["verdict"] == "not_cleared"
    assert "Maro Lantadze: the release was withdrawn" in row["cleared"]["notes"]


def test_a_client_holds_what_was_not_declined():
    client = kvernmoor()
    licence = granted(licensee=client)
    decline_licence(offered(licensee=client), at=AT)
    assert list(queries.held_by(client)) == [licence]
    answer = queries.client_answer(client, TODAY)
    assert len(answer["standing"]) == 1
    assert len(answer["chart"].lanes) == 1


def test_what_a_withdrawal_touches_are_the_licences_not_ended_that_show_the_person():
    shoot = free_shoot()
    shown, other = picture_of(shoot), picture_of(shoot)
    running, elsewhere = placed(shoot, on=[shown], first_day=TODAY), granted([other])
    unplaced, offer = agreed(shoot), offered([shown])
    release = show_cook([shown])
    found = list(queries.licences_touched_by(release, TODAY))
    assert set(found) == {running, unplaced, offer}
    assert elsewhere not in found
    ended = running.use_until + timedelta(days=1)
    assert running not in queries.licences_touched_by(release, ended)
