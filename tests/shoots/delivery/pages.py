from django.urls import reverse

from shoots.brief.models import AgreedPicture
from shoots.delivery.models import Delivery
from tests.factories import delivery as make
from tests.factories.releases import show_cook
from tests.house.pages import Deed, Page, Panel, Paper


def _delivery(rows):
    return make.delivered(make.ready_shoot(max(rows, 1)))


def _first(rows):
    delivery = _delivery(rows)
    return f"{make.pick_up(delivery)}{delivery.pictures.order_by('pk').first().pk}/"


def _leave_out(rows):
    shoot = make.ready_shoot()
    agreed = AgreedPicture.objects.filter(shoot=shoot).first()
    return reverse("leave_out_undelivered", args=[shoot.pk, agreed.pk])


def _of_release(rows):
    shoot = make.ready_shoot(1)
    make.delivered(shoot)
    for place in range(1, rows):
        again = Delivery.objects.create(number=f"again-{place}", shoot=shoot, sent_at=make.AT)
        again.pictures.set(shoot.pictures.all())
    return reverse("release_deliveries_panel", args=[show_cook(shoot.pictures.all()).pk])


PAGES = {
    "shoot_delivery": Page(
        lambda rows: reverse("shoot_delivery", args=[make.ready_shoot(max(rows, 1)).pk]), lists=True
    ),
    "shoot_delivery_panel": Panel(
        lambda rows: reverse("shoot_delivery_panel", args=[make.ready_shoot(max(rows, 1)).pk]), lists=True
    ),
    "leave_out_undelivered": Deed(_leave_out),
    "release_deliveries_panel": Panel(_of_release, lists=True),
    "delivery_page": Page(lambda rows: reverse("delivery_page", args=[_delivery(rows).pk]), lists=True),
    "send_delivery_link": Deed(lambda rows: reverse("send_delivery_link", args=[_delivery(rows).pk])),
    "call_back_delivery": Deed(lambda rows: reverse("call_back_delivery", args=[_delivery(rows).pk])),
    "receive_delivery": Page(lambda rows: make.pick_up(_delivery(rows)), seen_by="stranger", lists=True),
    "delivered_archive": Paper(lambda rows: f"{make.pick_up(_delivery(rows))}all.zip", seen_by="stranger"),
    "delivered_picture": Paper(_first, seen_by="stranger"),
    "delivered_thumbnail": Paper(lambda rows: f"{_first(rows)}thumbnail.jpg", seen_by="stranger"),
}
