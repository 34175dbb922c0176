from datetime import UTC, datetime

from django.urls import reverse

from shoots.day.actions import press_take, undo_take
from tests.factories.plan import planned_shoot
from tests.house.pages import Deed, Page, Paper

AT = datetime(2026, 11, 14, 9, 0, tzinfo=UTC)


def _shoot_path(rows):
    return reverse("on_set", args=[planned_shoot(rows).pk])


def _of_shoot(name):
    return lambda rows: reverse(name, args=[planned_shoot(rows).pk])


def _log(rows):
    shoot = planned_shoot()
    for shot in shoot.shots.all()[:rows]:
        undo_take(press_take(shot, outcome="done", at=AT, by=f"{shot.pk}"), at=AT)
    return reverse("set_log", args=[shoot.pk])


def _shot(name):
    return lambda rows: reverse(name, args=[planned_shoot().shots.first().pk])


def _take(rows):
    shot = planned_shoot().shots.first()
    return reverse("undo_take", args=[press_take(shot, outcome="done", at=AT).pk])


PAGES = {
    "on_set": Page(_shoot_path, lists=True),
    "set_worker": Paper(_of_shoot("set_worker")),
    "set_state": Paper(_of_shoot("set_state"), lists=True),
    "send_marks": Deed(_of_shoot("send_marks")),
    "write_mark": Deed(_of_shoot("write_mark")),
    "set_log": Page(_log, lists=True),
    "end_of_day": Page(_of_shoot("end_of_day"), lists=True),
    "edit_hold_limits": Page(lambda rows: reverse("edit_hold_limits")),
    "press_take": Deed(_shot("press_take")),
    "undo_take": Deed(_take),
    "ok_shot": Deed(_shot("ok_shot")),
    "take_back_ok": Deed(_shot("take_back_ok")),
}
