"""Releases as they come about: through the action, with the studio's profile and a cook."""

from collections.abc import Iterable
from datetime import UTC, datetime
from io import BytesIO
from typing import Any

import pikepdf
from PIL import Image

from shoots.brief.models import Part, Shoot
from shoots.pictures.actions import name_person
from shoots.pictures.models import Picture
from shoots.releases.actions import Sheet, offer_release, record_signed_print, sign_release
from shoots.releases.models import Release
from tests.factories.clients import PersonFactory
from tests.factories.shared import BusinessProfileFactory
from tests.factories.shoots import ShootFactory, ShootPersonFactory

AT = datetime(2026, 11, 14, 7, 30, tzinfo=UTC)
SIGNATURE = "M40 180L120 60L180 200L260 90L420 150"


def shoot_with_cook(**also: Any) -> Shoot:
    """A shoot at Walnut Lantern where Maro Lantadze cooks and speaks German."""
    BusinessProfileFactory()
    shoot = ShootFactory(title="Winter menu", client__name="Walnut Lantern", **also)
    cook = PersonFactory(name="Maro Lantadze", language="de", email="maro@walnut-lantern.example")
    ShootPersonFactory(shoot=shoot, person=cook, part=Part.COOK)
    return shoot


def offered_release(shoot: Shoot | None = None, *, at: datetime = AT, **also: Any) -> Release:
    """Own promotion of the house, in German and English, waiting for the cook."""
    shoot = shoot or shoot_with_cook()
    cook = also.pop("person") if "person" in also else shoot.people.get(part=Part.COOK).person
    chosen: dict[str, Any] = {
        "kind": Release.Kind.MODEL,
        "person": cook,
        "own_promotion_of": shoot.licensee,
        "use_classes": frozenset({"advertising"}),
        "use_media": frozenset({"web.own", "web.social"}),
        "pictures_promised": 3,
        "first_language": "de",
        "second_language": "en",
        "prevailing_language": "de",
    }
    return offer_release(shoot, **{**chosen, **also}, at=at)


def signed_release(shoot: Shoot | None = None, *, at: datetime = AT, **also: Any) -> Release:
    """The same, signed by finger on the cook's phone."""
    release = offered_release(shoot, at=at, **also)
    return sign_release(
        release, text_sha256=release.text_sha256, signer_name=release.signer_name, capacity="guardian" if release.is_minor else "self",
        signature_path=SIGNATURE, is_of_full_age=True, via="private link", at=at,
    )  # fmt: skip


def scan(pages: int = 1, *, kind: str = "PDF") -> bytes:
    """A scan of a signed paper: a PDF of blank pages, or a small JPEG or PNG."""
    out = BytesIO()
    if kind == "PDF":
        with pikepdf.new() as paper:
            for _ in range(pages):
                paper.add_blank_page()
            paper.save(out, deterministic_id=True)
    else:
        Image.new("RGB", (40, 60), "white").save(out, kind)
    return out.getvalue()


def signed_print(shoot: Shoot | None = None, **also: Any) -> Release:
    """A release whose print was signed with a pen the day it was made, scanned as one PDF."""
    offered = {
        name: also.pop(name)
        for name in list(also)
        if name in ("is_minor", "guardian_name", "reach", "also_for", "minor_signs")
    }
    release = offered_release(shoot, **offered)
    chosen: dict[str, Any] = {
        "sheets": [Sheet(scan(), "paper.pdf")],
        "signed_on": AT.date(),
        "signer_name": release.signer_name,
        "capacity": "guardian" if release.is_minor else "self",
    }
    return record_signed_print(release, **{**chosen, **also}, at=AT)


def show_cook(pictures: Iterable[Picture]) -> Release:
    """The cook joins the shoot of these pictures, is named in them as recognisable, and has signed for own promotion of the house."""
    pictures = list(pictures)
    shoot = pictures[0].shoot
    cook = ShootPersonFactory(shoot=shoot, person__name="Maro Lantadze", part=Part.COOK).person
    release = signed_release(shoot)
    name_person(pictures, cook, recognisable="yes")
    return release
