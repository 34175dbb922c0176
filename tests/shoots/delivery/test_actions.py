from datetime import date, timedelta

import pytest

from shared.evidence.queries import evidence_about
from shared.links.models import PrivateLink
from shared.outbox.models import Job, Message
from shared.states import MoveRefused
from shoots.brief.models import AgreedPicture, ShootState
from shoots.delivery import actions
from shoots.delivery.models import Delivery
from shoots.delivery.queries import checklist_of
from shoots.licences.actions import place_licence
from shoots.licences.models import Licence
from tests.factories.delivery import AT, TODAY, delivered, promised, ready_shoot
from tests.factories.licences import agreed, granted

pytestmark = pytest.mark.django_db


def state_of(shoot):
    shoot.refresh_from_db()
    return shoot.state


def test_a_delivery_marks_the_shoot_begins_the_licence_and_writes_to_the_client():
    shoot = ready_shoot()
    delivery = delivered(shoot)
    assert (delivery.number, delivery.pictures.count(), delivery.is_final) == ("D-2026-001", 2, True)
    assert state_of(shoot) == ShootState.DELIVERED
    assert shoot.delivered_on == TODAY
    assert Licence.objects.get().delivered_on == TODAY
    message = Message.objects.get()
    assert message.to == "maro@walnutlantern.example"
    assert "2 pictures of Winter menu are ready for you" in message.body
    assert message.link.subject == f"delivery:{delivery.pk}"
    facts = Job.objects.get(kind="shoot_delivered").facts
    assert facts == {"shoot": shoot.pk, "delivery": delivery.pk, "delivered_on": "2026-11-20"}
    assert [row.kind for row in evidence_about(f"delivery:{delivery.pk}")] == ["delivered"]


def test_a_delivery_without_an_address_writes_to_nobody_and_still_has_its_link():
    delivery = delivered(email="")
    assert not Message.objects.exists()
    assert PrivateLink.objects.filter(subject=f"delivery:{delivery.pk}").exists()


def test_a_blocked_picture_holds_the_delivery_back_with_its_reason():
    shoot = ready_shoot()
    late = promised(shoot, caption="")
    with pytest.raises(actions.NotReadyToDeliver, match=f"{late.number} has no caption"):
        delivered(shoot)
    assert state_of(shoot) == ShootState.SHOT
    assert not shoot.deliveries.exists()


def test_blocked_pictures_may_be_left_out():
    shoot = ready_shoot()
    late = promised(shoot, is_checked=False)
    delivery = delivered(shoot, leave_out=True)
    assert delivery.pictures.count() == 2
    assert late.agreed_pictures.get().state == AgreedPicture.State.LEFT_OUT
    assert state_of(shoot) == ShootState.DELIVERED


def test_ready_pictures_may_go_now_and_the_others_later():
    shoot = ready_shoot()
    late = promised(shoot, caption="")
    first = delivered(shoot, only_ready=True)
    assert (first.is_final, state_of(shoot)) == (False, ShootState.SHOT)
    late.caption = "Leek rolls"
    late.save()
    licence = Licence.objects.get()
    licence.licence_pictures.create(picture=late)
    last = delivered(shoot)
    assert list(last.pictures.all()) == [late]
    assert state_of(shoot) == ShootState.DELIVERED
    with pytest.raises(actions.NotReadyToDeliver, match="Every picture is delivered"):
        delivered(shoot)


def test_only_what_was_shot_is_delivered():
    with pytest.raises(actions.NotShotYet):
        delivered(ready_shoot(state=ShootState.CONFIRMED))


def test_the_client_says_once_that_they_arrived():
    delivery = actions.receive_delivery(delivered(), received_by="Maro Lantadze", at=AT)
    assert (delivery.state, delivery.received_by) == ("received", "Maro Lantadze")
    assert len(checklist_of(delivery.shoot, TODAY).received) == 2
    with pytest.raises(MoveRefused):
        actions.receive_delivery(delivery, received_by="Maro Lantadze", at=AT)


def test_a_delivery_called_back_closes_its_link_and_opens_the_shoot_again():
    shoot = ready_shoot()
    delivery = delivered(shoot)
    actions.call_back_delivery(delivery, at=AT)
    assert not PrivateLink.objects.filter(called_back_at=None).exists()
    assert state_of(shoot) == ShootState.SHOT
    assert Licence.objects.get().delivered_on is None
    assert delivered(shoot).number == "D-2026-002"


def test_what_the_client_received_stays_begun_when_called_back():
    delivery = actions.receive_delivery(delivered(), received_by="Maro Lantadze", at=AT)
    actions.call_back_delivery(delivery, at=AT)
    assert Licence.objects.get().delivered_on == TODAY


def test_what_the_client_received_since_the_page_was_opened_stays_begun_too():
    delivery = delivered()
    read_before = Delivery.objects.get(pk=delivery.pk)
    actions.receive_delivery(delivery, received_by="Maro Lantadze", at=AT)
    actions.call_back_delivery(read_before, at=AT)
    assert Licence.objects.get().delivered_on == TODAY


def test_a_licence_placed_after_its_pictures_went_out_begins_with_that_delivery():
    shoot = ready_shoot(1)
    delivery = delivered(shoot)
    later = agreed(shoot, at=AT + timedelta(days=30), origin="estimate:2")
    later = place_licence(
        later, pictures=delivery.pictures.all(), first_day=date(2027, 1, 1), at=AT + timedelta(days=31)
    )
    assert (later.delivered_on, later.use_from) == (TODAY, date(2027, 1, 1))
    actions.call_back_delivery(delivery, at=AT + timedelta(days=32))
    later.refresh_from_db()
    assert later.delivered_on is None


def test_a_licence_granted_on_delivery_of_pictures_that_went_out_begins_at_once():
    delivery = delivered(ready_shoot(1))
    assert granted(list(delivery.pictures.all()), begins="on_delivery").delivered_on == TODAY


def test_a_new_link_closes_the_old_one():
    delivery = delivered()
    actions.send_delivery_link(delivery, email="pay@walnutlantern.example", at=AT)
    assert PrivateLink.objects.filter(called_back_at=None).count() == 1
    actions.call_back_delivery(delivery, at=AT)
    with pytest.raises(actions.Refusal):
        actions.send_delivery_link(delivery, email="pay@walnutlantern.example", at=AT)


def test_downloads_are_recorded():
    delivery = delivered()
    actions.record_download(delivery, what="all", at=AT)
    assert [row.kind for row in evidence_about(f"delivery:{delivery.pk}")] == ["delivered", "downloaded"]
