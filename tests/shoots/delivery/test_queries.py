from datetime import timedelta

import pytest

from shoots.brief.models import AgreedPicture
from shoots.delivery.actions import call_back_delivery
from shoots.delivery.checklist import Step
from shoots.delivery.models import Delivery
from shoots.delivery.queries import address_for, checklist_of, deliveries_touched_by, licence_words_of, size_of
from shoots.licences.models import Licence
from shoots.pictures.models import Assessment, Picture
from tests.factories.delivery import AT, TODAY, delivered, promised, ready_shoot
from tests.factories.licences import free_shoot, granted, picture_of
from tests.factories.releases import show_cook

pytestmark = pytest.mark.django_db


def steps_missing(shoot):
    return [each.step for line in checklist_of(shoot, TODAY).blocked for each in line.missing]


def test_a_left_picture_keeps_no_promise():
    shoot = ready_shoot(1)
    shoot.pictures.update(state=Picture.State.LEFT)
    assert steps_missing(shoot) == [Step.PRESENT]


def test_a_picture_not_assessed_and_not_licensed_waits_for_both():
    shoot = free_shoot()
    promised(shoot, people=Assessment.NOT_ASSESSED)
    assert steps_missing(shoot) == [Step.RELEASED, Step.RIGHTS]


def test_without_any_agreed_picture_the_chosen_ones_are_the_list():
    shoot = free_shoot()
    picture = picture_of(shoot)
    (line,) = checklist_of(shoot, TODAY).lines
    assert (line.promise.key, line.promise.pictures[0].key) == (None, picture.pk)


def test_a_licence_of_another_house_lets_nothing_out_to_this_client():
    shoot = free_shoot()
    granted([promised(shoot)])
    assert steps_missing(shoot) == [Step.RIGHTS]


def test_a_licence_that_ended_lets_nothing_out():
    shoot = ready_shoot(1)
    last = Licence.objects.get().last_day
    assert checklist_of(shoot, last).to_send
    assert not checklist_of(shoot, last + timedelta(days=1)).to_send


def test_a_picture_left_out_is_not_asked_for():
    shoot = ready_shoot()
    shoot.agreed_pictures.filter(pk=shoot.agreed_pictures.first().pk).update(state=AgreedPicture.State.LEFT_OUT)
    assert len(checklist_of(shoot, TODAY).lines) == 1


def test_the_words_of_the_licence_stand_in_the_clients_language():
    delivery = delivered(ready_shoot(language="de"))
    ((number, sentences),) = licence_words_of(delivery, "de")
    assert number == "L-2026-001"
    assert sentences[0].startswith("Eigenwerbung von Walnut Lantern")
    assert licence_words_of(delivery, "en")[0][1][0].startswith("Own promotion")


def test_size_and_address():
    delivery = delivered()
    assert size_of(delivery) == sum(picture.original.size for picture in delivery.pictures.all())
    assert address_for(delivery.shoot)[1] == "Walnut Lantern"


def test_what_a_withdrawal_touches_are_the_deliveries_still_open_that_show_the_person():
    shoot, other = ready_shoot(1), ready_shoot(1)
    delivery, elsewhere = delivered(shoot), delivered(other)
    release = show_cook(shoot.pictures.all())
    (found,) = deliveries_touched_by(release, AT)
    assert (found, found.open_until is None, elsewhere == found) == (delivery, False, False)
    late = found.open_until + timedelta(days=1)
    assert [each.open_until for each in deliveries_touched_by(release, late)] == [None]  # waits for its receipt
    Delivery.objects.update(state=Delivery.State.RECEIVED)
    assert deliveries_touched_by(release, late) == []
    assert deliveries_touched_by(release, AT) == [delivery]
    call_back_delivery(delivery, at=AT)
    assert deliveries_touched_by(release, AT) == []
