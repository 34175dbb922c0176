from urllib.parse import urlencode

from django.urls import reverse

from tests.factories import licences as make
from tests.house.pages import Page, Paper

QUESTION = [
    ("use_kind", "advertising"), ("use_more_media", "web.display"), ("use_places", "DE"), ("use_places", "AT"), ("use_months", "12"),
    ("exclusivity", "none"), ("first_day", "2026-12-01"),
]  # fmt: skip


def asked_of(pictures, name="can_i_sell", **also):
    """The address that asks about pictures; ``also`` puts or replaces a field."""
    pairs = [pair for pair in QUESTION if pair[0] not in also] + list(also.items())
    return f"{reverse(name)}?{urlencode([*pairs, ('pictures', ','.join(str(each.pk) for each in pictures))])}"


def _held(rows):
    """A shoot with so many pictures, every one held alone by a rival, and as many whose client never agreed."""
    shoot = make.free_shoot()
    pictures = [make.picture_of(shoot) for _ in range(max(rows, 1))]
    for picture in pictures:
        make.granted([picture], use=make.ALONE)
    return pictures


PAGES = {
    "can_i_sell": Page(lambda rows: asked_of(_held(rows)), lists=True),
    "can_i_sell_table": Paper(lambda rows: asked_of(_held(rows), "can_i_sell_table"), lists=True),
}
