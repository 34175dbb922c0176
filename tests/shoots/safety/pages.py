from datetime import UTC, datetime

from django.urls import reverse

from shoots.safety.actions import put_food_out, tick_safety
from tests.factories.safety import safe_shoot
from tests.house.pages import Deed, Page, Panel, Paper

AT = datetime(2026, 11, 14, 8, 0, tzinfo=UTC)


def _of_shoot(name):
    return lambda rows: reverse(name, args=[safe_shoot(max(rows, 1)).pk])


def _page(rows):
    shoot = safe_shoot(rows)
    tick_safety(shoot, items=["arm", "lamps", "cables"][:rows], name="Jorun Aldermoor", at=AT)
    for dish in shoot.dishes.all():
        put_food_out(dish, at=AT, by="Jorun Aldermoor")
    return reverse("shoot_safety", args=[shoot.pk])


def _tick(rows):
    made = tick_safety(safe_shoot(), items=["arm"], name="Jorun Aldermoor", at=AT)
    return reverse("take_back_tick", args=[made[0].pk])


def _out(rows):
    return reverse("take_back_food_out", args=[put_food_out(safe_shoot().dishes.get(), at=AT, by="Jorun").pk])


PAGES = {
    "shoot_safety": Page(_page, lists=True),
    "tick_safety": Deed(_of_shoot("tick_safety")),
    "begin_light": Deed(_of_shoot("begin_light")),
    "take_back_tick": Deed(_tick),
    "put_food_out": Deed(lambda rows: reverse("put_food_out", args=[safe_shoot().dishes.get().pk])),
    "take_back_food_out": Deed(_out),
    "safety_paper": Paper(_of_shoot("safety_paper")),
    "shoot_safety_panel": Panel(_of_shoot("shoot_safety_panel"), lists=True),
}
