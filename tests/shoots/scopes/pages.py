from datetime import UTC, date, datetime

from django.urls import reverse

from shoots.scopes.actions import add_medium, add_region
from shoots.uses.models import TreeVersion
from tests.house.pages import Deed, Page

WHO = {"by": "Tindra Aldermoor", "at": datetime(2026, 11, 26, 9, 0, tzinfo=UTC), "on": date(2026, 11, 26)}


def _added(rows):
    for _ in range(rows):
        number = TreeVersion.objects.count()
        add_region(f"DE-{number}", names={"en": f"Valley {number}"}, **WHO)
        add_medium(parent="web", names={"en": f"Letter {number}"}, is_own_promotion=False, **WHO)
    return reverse("media_and_places")


def _region(rows):
    _added(1)
    return reverse("rename_code", args=["territories", TreeVersion.objects.get(name="territories-2").nodes[-1]["code"]])


PAGES = {
    "media_and_places": Page(_added, lists=True),
    "rename_code": Page(_region),
    "add_medium": Deed(lambda rows: reverse("add_medium")),
    "add_region": Deed(lambda rows: reverse("add_region")),
    "remove_code": Deed(lambda rows: reverse("remove_code", args=["media", "web.own"])),
}
