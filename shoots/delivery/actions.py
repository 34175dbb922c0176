from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db import transaction

from shared.business.queries import current_business, today
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.links.actions import call_back_links, make_link, mark_used
from shared.links.models import PrivateLink
from shared.numbers.actions import take_number
from shared.outbox.actions import queue_mail, tell_fact
from shared.states import move
from shoots.brief.actions import leave_out_picture, mark_delivered, take_back_delivered
from shoots.brief.models import AgreedPicture, Shoot, ShootState
from shoots.delivery.checklist import why_not
from shoots.delivery.models import Delivery
from shoots.delivery.queries import HANDED_OVER, checklist_of, licences_begun_with, licences_to_begin
from shoots.licences.actions import begin_on_delivery
from shoots.life.actions import take_back_begin
from shoots.pictures.models import Picture

PURPOSE = "delivery"
LINK_DAYS = 60
DELIVERY_MOVES: dict[str, frozenset[str]] = {
    "sent": frozenset({"received", "called_back"}),
    "received": frozenset({"called_back"}),
    "called_back": frozenset(),
}


class NotReadyToDeliver(Refusal):
    """Something is missing before the pictures may go out."""

    def __init__(self, why: str) -> None:
        super().__init__(
            why, "Nothing was sent.", "Mend what is missing, or leave the blocked pictures out and deliver the others."
        )


class NotShotYet(Refusal):
    """Only a shoot that was shot is delivered."""

    def __init__(self, shoot: Shoot) -> None:
        super().__init__(
            f"{shoot} is {shoot.get_state_display().lower()}, not shot.",
            "Nothing was sent.",
            "Mark the shoot as shot first.",
        )


@transaction.atomic
def deliver_pictures(
    shoot: Shoot,
    *,
    leave_out: bool = False,
    only_ready: bool = False,
    email: str = "",
    name: str = "",
    note: str = "",
    by: str = "",
    at: datetime,
) -> Delivery:
    """Hand the pictures that are ready over by private link; use of licences *on delivery* begins.

    While an agreed picture is blocked it is refused, unless ``leave_out`` takes the blocked ones off the list, or ``only_ready``
    sends the others now and keeps the shoot open. The last delivery marks the shoot as delivered. Raises NotReadyToDeliver,
    NotShotYet.
    """
    shoot = Shoot.objects.select_for_update().get(pk=shoot.pk)
    if shoot.state not in (ShootState.SHOT, ShootState.DELIVERED):
        raise NotShotYet(shoot)
    on = today(at)
    checklist = checklist_of(shoot, on)
    if not checklist.to_send or (checklist.blocked and not (leave_out or only_ready)):
        raise NotReadyToDeliver(why_not(checklist))
    is_final = leave_out or not checklist.blocked
    if leave_out:
        keys = [line.promise.key for line in checklist.blocked if line.promise.key is not None]
        for agreed in AgreedPicture.objects.filter(pk__in=keys):
            leave_out_picture(agreed)
    pictures = list(Picture.objects.filter(pk__in=checklist.pictures_to_send).order_by("number"))
    delivery = Delivery.objects.create(
        number=take_number("delivery", on=on),
        shoot=shoot,
        note=note,
        is_final=is_final,
        sent_to=email,
        sent_to_name=name,
        sent_at=at,
    )
    delivery.pictures.set(pictures)
    for licence in licences_to_begin(pictures):
        begin_on_delivery(licence, delivered_on=on, at=at)
    _record(delivery, pictures, at)
    link = _link(delivery, at)
    if email:
        _write(delivery, link, count=len(pictures), at=at)
    if is_final and shoot.state == ShootState.SHOT:
        mark_delivered(shoot, delivered_on=on, at=at, by=by, reason=f"Delivery {delivery.number}")
        tell_fact("shoot_delivered", at=at, shoot=shoot.pk, delivery=delivery.pk, delivered_on=on.isoformat())
    return delivery


@transaction.atomic
def send_delivery_link(delivery: Delivery, *, email: str, at: datetime) -> PrivateLink:
    """Write a fresh private link to ``email``; the earlier one is called back. Raises MoveRefused once called back."""
    delivery = Delivery.objects.select_for_update().get(pk=delivery.pk)
    if delivery.state == Delivery.State.CALLED_BACK:
        raise Refusal("This delivery was called back.", "No link was sent.", "Deliver the pictures anew.")
    call_back_links(_subject(delivery), purpose=PURPOSE, at=at)
    Delivery.objects.filter(pk=delivery.pk).update(sent_to=email)
    delivery.refresh_from_db()
    link = _link(delivery, at)
    _write(delivery, link, count=delivery.pictures.count(), at=at)
    return link


@transaction.atomic
def receive_delivery(
    delivery: Delivery, *, received_by: str, link: PrivateLink | None = None, at: datetime
) -> Delivery:
    """The client says that the pictures arrived. Raises MoveRefused when it was said before, or called back."""
    move(
        delivery,
        Delivery.State.RECEIVED,
        moves=DELIVERY_MOVES,
        noun="delivery",
        received_at=at,
        received_by=received_by,
    )
    record_evidence(
        "received", subject=_subject(delivery), payload={"number": delivery.number, "by": conceal(received_by)}, at=at
    )
    if link is not None:
        mark_used(link, at)
    return delivery


@transaction.atomic
def record_download(delivery: Delivery, *, what: str, at: datetime) -> None:
    """The client fetched a picture, or all as one file, by the private link."""
    record_evidence("downloaded", subject=_subject(delivery), payload={"number": delivery.number, "what": what}, at=at)


@transaction.atomic
def call_back_delivery(delivery: Delivery, *, by: str = "", at: datetime) -> Delivery:
    """Close the private link: it opens nothing from now on. A shoot delivered by it is shot again.

    Use that began with it begins with the next delivery, unless the client said that the pictures arrived.
    """
    shoot = Shoot.objects.select_for_update().get(pk=delivery.shoot_id)  # before its licences, as everywhere
    was_received = Delivery.objects.select_for_update().get(pk=delivery.pk).state == Delivery.State.RECEIVED
    move(delivery, Delivery.State.CALLED_BACK, moves=DELIVERY_MOVES, noun="delivery", called_back_at=at)
    call_back_links(_subject(delivery), purpose=PURPOSE, at=at)
    if not was_received:
        for licence in licences_begun_with(delivery, today(delivery.sent_at)):
            take_back_begin(licence, at=at)
    others = shoot.deliveries.filter(state__in=HANDED_OVER, is_final=True)
    if delivery.is_final and shoot.state == ShootState.DELIVERED and not others.exists():
        take_back_delivered(shoot, at=at, by=by, reason=f"Delivery {delivery.number} called back")
    record_evidence("called_back", subject=_subject(delivery), payload={"number": delivery.number}, at=at)
    return delivery


def _subject(delivery: Delivery) -> str:
    return f"delivery:{delivery.pk}"


def _link(delivery: Delivery, at: datetime) -> PrivateLink:
    expires = at + timedelta(days=LINK_DAYS)
    return make_link(
        PURPOSE, subject=_subject(delivery), expires_at=expires, at=at, person=delivery.sent_to_name or None
    )


def _record(delivery: Delivery, pictures: Iterable[Picture], at: datetime) -> None:
    payload = {
        "number": delivery.number,
        "pictures": [f"{picture.number} {picture.sha256}" for picture in pictures],
        "is_final": delivery.is_final,
        "to": conceal(delivery.sent_to) if delivery.sent_to else "",
    }
    record_evidence("delivered", subject=_subject(delivery), payload=payload, at=at)


def _write(delivery: Delivery, link: PrivateLink, *, count: int, at: datetime) -> None:
    client = delivery.shoot.client
    queue_mail(
        to=delivery.sent_to,
        to_name=delivery.sent_to_name,
        template="delivery_sent",
        language=client.language,
        context={
            "delivery": delivery,
            "shoot": delivery.shoot,
            "name": delivery.sent_to_name or client.name,
            "count": count,
            "expires_on": today(link.expires_at),
            "business": current_business(today(at)),
            "link": link,
        },
        at=at,
        about=_subject(delivery),
    )
