from django.urls import reverse

from tests.factories.light import lit_shoot
from tests.house.pages import Page, Panel


def _path(name):
    return lambda rows: reverse(name, args=[lit_shoot(windows=rows, shots=rows).pk])


PAGES = {
    "shoot_light": Page(_path("shoot_light"), lists=True),
    "edit_light": Page(_path("edit_light")),
    "three_hours": Page(_path("three_hours"), lists=True),
    "shoot_light_panel": Panel(_path("shoot_light_panel"), lists=True),
    "shoot_lens": Page(_path("shoot_lens")),
}
