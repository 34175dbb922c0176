from django.urls import reverse

from shoots.pictures.actions import name_person
from tests.factories.clients import PersonFactory
from tests.factories.pictures import picture_of
from tests.factories.releases import shoot_with_cook, signed_release
from tests.house.pages import Deed, Page, Panel, Paper


def _shoot(rows):
    shoot = shoot_with_cook()
    for n in range(rows):
        picture_of(shoot, seed=n)
    return shoot


def _of_shoot(name):
    return lambda rows: reverse(name, args=[_shoot(rows).pk])


def _of_picture(name):
    return lambda rows: reverse(name, args=[_shoot(1).pictures.get().pk])


def _listed(rows):
    _shoot(rows)
    return reverse("pictures")


def _page(rows):
    picture = _shoot(1).pictures.get()
    for _ in range(rows):
        name_person([picture], PersonFactory(), recognisable="yes")
    return reverse("picture_page", args=[picture.pk])


def _of_release(rows):
    shoot = _shoot(rows)
    cook = shoot.people.get().person
    name_person(shoot.pictures.all(), cook, recognisable="yes")
    return reverse("release_pictures_panel", args=[signed_release(shoot).pk])


PAGES = {
    "release_pictures_panel": Panel(_of_release, lists=True),
    "pictures": Page(_listed, lists=True),
    "shoot_pictures": Page(_of_shoot("shoot_pictures"), lists=True),
    "shoot_pictures_line": Panel(_of_shoot("shoot_pictures_line"), lists=True),
    "shoot_pictures_panel": Panel(_of_shoot("shoot_pictures_panel"), lists=True),
    "picture_page": Page(_page, lists=True),
    "picture_thumbnail": Paper(_of_picture("picture_thumbnail")),
    "picture_preview": Paper(_of_picture("picture_preview")),
    "picture_original": Paper(_of_picture("picture_original")),
    "take_in_picture": Deed(_of_shoot("take_in_picture")),
    "mark_pictures": Deed(_of_shoot("mark_pictures")),
    "assess_picture": Deed(_of_picture("assess_picture")),
}
