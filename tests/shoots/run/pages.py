from datetime import UTC, datetime

from django.urls import reverse

from shared.links.queries import link_path
from shoots.run.actions import make_run_feed
from tests.factories.plan import planned_shoot
from tests.house.pages import Deed, Page, Paper


def _path(name, *more):
    return lambda rows: reverse(name, args=[planned_shoot(max(rows, 1)).pk, *more])


def _dish_path(name):
    dish = planned_shoot(1).dishes.get()
    return reverse(name, args=[dish.shoot_id, dish.pk])


def _feed(rows):
    return link_path(make_run_feed(planned_shoot(max(rows, 1)), at=datetime.now(UTC)))


PAGES = {
    "run_of_day": Page(_path("run_of_day"), lists=True),
    "improve_run": Deed(_path("improve_run")),
    "edit_run": Page(_path("edit_run")),
    "edit_run_activity": Page(_path("edit_run_activity", "first")),
    "unpin_run_activity": Deed(_path("unpin_run_activity", "first")),
    "write_run_times": Deed(_path("write_run_times")),
    "undo_run_move": Deed(_path("undo_run_move")),
    "pin_run_activity": Deed(_path("pin_run_activity", "first")),
    "move_dish_to_day": Deed(lambda rows: _dish_path("move_dish_to_day")),
    "drop_nice_shots": Deed(_path("drop_nice_shots")),
    "take_shots_back": Deed(_path("take_shots_back")),
    "make_run_feed": Deed(_path("make_run_feed")),
    "call_back_run_feed": Deed(_path("call_back_run_feed")),
    "run_feed": Paper(_feed, seen_by="stranger"),
    "run_paper": Paper(_path("run_paper")),
    "run_calendar": Paper(_path("run_calendar")),
}
