from django.urls import reverse

from tests.factories.kit import CameraFactory, OwnLensFactory
from tests.factories.light import lit_shoot
from tests.house.pages import Deed, Page, Panel


def _path(name):
    return lambda rows: reverse(name, args=[lit_shoot(windows=rows, shots=rows).pk])


def _kit(rows):
    CameraFactory.create_batch(rows)
    OwnLensFactory.create_batch(rows)
    return reverse("kit")


def _of(name, factory):
    return lambda rows: reverse(name, args=[factory().pk])


def _shot(rows):
    return reverse("shot_lens_panel", args=[lit_shoot(shots=1).shots.first().pk])


PAGES = {
    "shoot_light": Page(_path("shoot_light"), lists=True),
    "edit_light": Page(_path("edit_light")),
    "three_hours": Page(_path("three_hours"), lists=True),
    "shoot_light_panel": Panel(_path("shoot_light_panel"), lists=True),
    "shoot_lens": Page(_path("shoot_lens")),
    "shots_lens": Page(_path("shots_lens"), lists=True),
    "shots_lens_panel": Panel(_path("shots_lens_panel"), lists=True),
    "shot_lens_panel": Panel(_shot),
    "add_cards_for_lights": Deed(_path("add_cards_for_lights")),
    "kit": Page(_kit, lists=True),
    "add_camera": Deed(lambda rows: reverse("add_camera")),
    "add_lens": Deed(lambda rows: reverse("add_lens")),
    "edit_camera": Page(_of("edit_camera", CameraFactory)),
    "edit_lens": Page(_of("edit_lens", OwnLensFactory)),
    "remove_camera": Deed(_of("remove_camera", CameraFactory)),
    "remove_lens": Deed(_of("remove_lens", OwnLensFactory)),
}
