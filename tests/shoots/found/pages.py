from django.urls import reverse

from shoots.found.models import FoundUse
from tests.factories import found as make
from tests.factories import licences
from tests.house.pages import Deed, Page, Panel, Paper


def _uses(rows):
    """So many uses of pictures of one shoot, each with its screenshot and a licence on its picture."""
    shoot = licences.free_shoot()
    found = []
    for _ in range(max(rows, 1)):
        picture = licences.picture_of(shoot)
        licence = licences.granted([picture])
        found.append(make.used_by(licence.licensee, picture))
    return found


def _one(rows):
    """One use of so many pictures, with as many screenshots and letters."""
    shoot = licences.free_shoot()
    pictures = [licences.picture_of(shoot) for _ in range(max(rows, 1))]
    client = licences.granted(pictures).licensee
    shots = [make.Upload(make.screenshot(600 + place), f"banner-{place}.png") for place in range(max(rows, 1))]
    found = make.recorded(pictures, client=client, user_name="", screenshots=shots)
    for _ in range(max(rows, 1)):
        make.written(found)
    return FoundUse.objects.get(pk=found.pk)


def _page(name, make_one=_one):
    return lambda rows: reverse(name, args=[make_one(rows).pk])


def _shot(name):
    def path(rows):
        found = make.recorded()
        return reverse(name, args=[found.pk, found.shots.get().pk])

    return path


def _letter(rows):
    letter = make.written()
    return reverse("found_letter", args=[letter.found_id, letter.version])


def _pick(rows):
    shoot = licences.free_shoot()
    pictures = [licences.picture_of(shoot) for _ in range(max(rows, 1) + 1)]
    return reverse("found_pictures", args=[make.recorded(pictures[:1]).pk])


def _record(rows):
    return f"{reverse('record_found')}?picture={licences.picture_of().pk}"


PAGES = {
    "found_uses": Page(lambda rows: [_uses(rows), reverse("found_uses")][1], lists=True),
    "record_found": Page(_record),
    "found_page": Page(_page("found_page"), lists=True),
    "change_found": Page(_page("change_found")),
    "found_pictures": Page(_pick, lists=True),
    "add_screenshots": Deed(_page("add_screenshots")),
    "found_shot": Paper(_shot("found_shot")),
    "found_shot_shown": Paper(_shot("found_shot_shown")),
    "record_outcome": Deed(_page("record_outcome")),
    "offer_for_found": Page(_page("offer_for_found"), lists=True),
    "write_letter": Page(_page("write_letter"), lists=True),
    "found_letter": Paper(_letter),
    "send_found_letter": Deed(_page("send_found_letter")),
    "found_question": Paper(_page("found_question")),
    "picture_found_panel": Panel(
        lambda rows: reverse("picture_found_panel", args=[_one(rows).pictures.first().pk]), lists=True
    ),
    "client_found_panel": Panel(
        lambda rows: reverse("client_found_panel", args=[_uses(rows)[0].client_id]), lists=True
    ),
    "licence_found_panel": Panel(
        lambda rows: reverse("licence_found_panel", args=[_one(rows).client.licences.first().pk]), lists=True
    ),
}
