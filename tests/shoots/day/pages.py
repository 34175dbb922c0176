from datetime import UTC, datetime

from django.urls import reverse

from shoots.day.actions import press_take
from tests.factories.plan import planned_shoot
from tests.house.pages import Deed, Page


def _shoot_path(rows):
    return reverse("on_set", args=[planned_shoot(rows).pk])


def _shot(name):
    return lambda rows: reverse(name, args=[planned_shoot().shots.first().pk])


def _take(rows):
    shot = planned_shoot().shots.first()
    return reverse("undo_take", args=[press_take(shot, outcome="done", at=datetime(2026, 11, 14, 9, 0, tzinfo=UTC)).pk])


PAGES = {
    "on_set": Page(_shoot_path, lists=True),
    "press_take": Deed(_shot("press_take")),
    "undo_take": Deed(_take),
    "ok_shot": Deed(_shot("ok_shot")),
    "take_back_ok": Deed(_shot("take_back_ok")),
}
