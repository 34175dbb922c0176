from django.urls import reverse

from tests.factories.licences import paid_at_once
from tests.factories.releases import show_cook
from tests.house.pages import Page, Panel


def _paid(rows):
    return paid_at_once(rows)[0]


def _of_release(rows):
    picture = paid_at_once(rows)[0].pictures.get()
    return reverse("release_licences_panel", args=[show_cook([picture]).pk])


PAGES = {
    "release_licences_panel": Panel(_of_release, lists=True),
    "client_licences": Page(lambda rows: reverse("client_licences", args=[_paid(rows).licensee_id]), lists=True),
    "client_licences_panel": Panel(
        lambda rows: reverse("client_licences_panel", args=[_paid(rows).licensee_id]), lists=True
    ),
    "picture_licences_panel": Panel(
        lambda rows: reverse("picture_licences_panel", args=[_paid(rows).pictures.get().pk]), lists=True
    ),
    "shoot_licences": Page(lambda rows: reverse("shoot_licences", args=[_paid(rows).shoot_id]), lists=True),
    "shoot_licences_panel": Panel(
        lambda rows: reverse("shoot_licences_panel", args=[_paid(rows).shoot_id]), lists=True
    ),
}
