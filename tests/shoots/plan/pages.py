from datetime import UTC, datetime

from django.urls import reverse

from shared.links.queries import link_path
from shoots.plan.actions import make_cook_sheet_link
from shoots.plan.queries import shoot_for_sheets
from tests.factories.plan import dish_read, planned_shoot
from tests.factories.releases import shoot_with_cook
from tests.house.pages import Deed, Page, Panel, Paper

AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def _shoot(rows):
    return planned_shoot(rows)


def _path(name):
    return lambda rows: reverse(name, args=[_shoot(max(rows, 1)).pk])


def _dish(name):
    return lambda rows: reverse(name, args=[dish_read().pk])


def _moment(name):
    return lambda rows: reverse(name, args=[dish_read().moments.first().pk])


def _shot(name):
    return lambda rows: reverse(name, args=[_shoot(1).shots.filter(moment__isnull=False).first().pk])


def _link(rows):
    shoot = shoot_for_sheets(_shoot(rows).pk).get()
    return link_path(make_cook_sheet_link(shoot, at=datetime.now(UTC)))


PAGES = {
    "shot_list": Page(_path("shot_list"), lists=True),
    "make_shot_list": Deed(lambda rows: reverse("make_shot_list", args=[shoot_with_cook().pk])),
    "add_shots": Deed(lambda rows: reverse("add_shots", args=[shoot_with_cook().pk])),
    "shoot_plan_panel": Panel(_path("shoot_plan_panel"), lists=True),
    "edit_shot": Page(_shot("edit_shot")),
    "mark_in_list": Deed(_path("mark_in_list")),
    "leave_unasked_shots": Deed(_path("leave_unasked_shots")),
    "take_up_shots": Deed(_path("take_up_shots")),
    "remove_shot": Deed(_shot("remove_shot")),
    "day_sheets": Page(_path("day_sheets"), lists=True),
    "cook_sheet_paper": Paper(_path("cook_sheet_paper")),
    "cook_sheet_length_panel": Panel(_path("cook_sheet_length_panel"), lists=True),
    "choose_cook_sheet": Deed(_path("choose_cook_sheet")),
    "send_cook_sheet": Deed(_path("send_cook_sheet")),
    "make_cook_sheet_link": Deed(_path("make_cook_sheet_link")),
    "call_back_cook_sheet": Deed(_path("call_back_cook_sheet")),
    "call_sheet_paper": Paper(_path("call_sheet_paper")),
    "send_call_sheet": Deed(_path("send_call_sheet")),
    "read_cook_sheet": Page(_link, seen_by="stranger", lists=True),
    "read_cook_sheet_paper": Paper(lambda rows: _link(1) + "paper/", seen_by="stranger"),
}
