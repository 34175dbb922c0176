from django.urls import reverse

from shared.links.models import PrivateLink
from shared.links.queries import link_path
from shoots.releases.actions import Sheet, withdraw_release
from tests.factories.releases import AT, offered_release, scan, shoot_with_cook, signed_print, signed_release
from tests.factories.shoots import ShootFactory
from tests.house.pages import Deed, Page, Panel, Paper


def _rows(rows):
    shoot = shoot_with_cook()
    return [offered_release(shoot) for _ in range(rows)]


def _release(rows):
    return _rows(max(rows, 1))[0]


def _listed(rows):
    _rows(rows)
    return reverse("releases")


def _link(release):
    return link_path(PrivateLink.objects.get(subject=f"release:{release.pk}"))


def _of_kitchen(rows):
    shoot = shoot_with_cook()
    for _ in range(rows):
        offered_release(shoot, kind="property", kitchen=shoot.kitchen)
    return reverse("kitchen_releases_panel", args=[shoot.kitchen_id])


def _withdrawn():
    return withdraw_release(signed_release(), reason="Left the house", at=AT)


def _shoots_beside(name):
    """The form for a shoot whose house has so many others to name."""

    def make(rows):
        shoot = shoot_with_cook()
        for _ in range(rows):
            ShootFactory(client=shoot.client, licensee=shoot.licensee)
        return reverse(name, args=[shoot.pk])

    return make


PAGES = {
    "person_releases_panel": Panel(
        lambda rows: reverse("person_releases_panel", args=[_rows(rows)[0].person_id]), lists=True
    ),
    "kitchen_releases_panel": Panel(_of_kitchen, lists=True),
    "releases": Page(_listed, lists=True),
    "new_release": Page(_shoots_beside("new_release"), lists=True),
    "release_page": Page(lambda rows: reverse("release_page", args=[_release(rows).pk])),
    "sign_release_here": Page(lambda rows: reverse("sign_release_here", args=[_release(rows).pk])),
    "sign_release": Page(lambda rows: _link(_release(rows)), seen_by="stranger"),
    "release_paper": Paper(lambda rows: reverse("release_paper", args=[signed_release().pk])),
    "release_paper_by_link": Paper(lambda rows: _link(signed_release()) + "paper/", seen_by="stranger"),
    "send_release_link": Deed(lambda rows: reverse("send_release_link", args=[_release(rows).pk])),
    "call_back_release": Deed(lambda rows: reverse("call_back_release", args=[_release(rows).pk])),
    "print_release": Paper(lambda rows: reverse("print_release", args=[_release(rows).pk])),
    "print_release_by_link": Paper(lambda rows: _link(_release(rows)) + "print/", seen_by="stranger"),
    "record_signed_print": Page(lambda rows: reverse("record_signed_print", args=[_release(rows).pk])),
    "record_foreign_paper": Page(_shoots_beside("record_foreign_paper"), lists=True),
    "release_sheet": Paper(
        lambda rows: reverse(
            "release_sheet", args=[signed_print(sheets=[Sheet(scan(), "1.pdf"), Sheet(scan(), "2.pdf")]).pk, 2]
        )
    ),
    "withdraw_release": Page(lambda rows: reverse("withdraw_release", args=[signed_release().pk])),
    "shoot_releases_line": Panel(
        lambda rows: reverse("shoot_releases_line", args=[_rows(rows)[0].shoot_id]), lists=True
    ),
    "decide_withdrawal": Page(lambda rows: reverse("decide_withdrawal", args=[_withdrawn().pk])),
    "shoot_releases_panel": Panel(
        lambda rows: reverse("shoot_releases_panel", args=[_rows(rows)[0].shoot_id]), lists=True
    ),
}
