"""Uses seen in the wild, as the photographer records them."""

import io
from datetime import UTC, date, datetime
from typing import Any

from PIL import Image, ImageDraw

from clients.models import Client
from shoots.found.actions import Upload, record_use, write_letter
from shoots.found.models import FoundLetter, FoundUse
from shoots.pictures.models import Picture
from tests.factories.licences import picture_of
from tests.factories.shared import BusinessProfileFactory

AT = datetime(2026, 11, 20, 9, 0, tzinfo=UTC)
SEEN = date(2026, 11, 18)
ONLINE = {"use_classes": ["advertising"], "use_media": ["web.display"], "use_territories": ["DE"]}


def screenshot(width: int = 640, height: int = 400, *, kind: str = "PNG") -> bytes:
    """A page with a grey frame on it."""
    picture = Image.new("RGB", (width, height), "white")
    ImageDraw.Draw(picture).rectangle((40, 60, width // 2, height - 40), fill=(118, 118, 118))
    out = io.BytesIO()
    picture.save(out, kind)
    return out.getvalue()


def recorded(pictures: list[Picture] | None = None, *, at: datetime = AT, **also: Any) -> FoundUse:
    """Online advertising in Germany, seen on 18 November 2026, used by somebody who is no client."""
    BusinessProfileFactory()
    facts = {"place": "Banner on a page about soup", "seen_on": SEEN, "user_name": "Fennel Yard", **ONLINE}
    shots = also.pop("screenshots", [Upload(screenshot(), "banner.png")])
    return record_use(
        pictures=[picture_of()] if pictures is None else pictures, screenshots=shots, at=at, **{**facts, **also}
    )


def used_by(client: Client, picture: Picture, **also: Any) -> FoundUse:
    return recorded([picture], client=client, user_name="", **also)


def written(found: FoundUse | None = None, *, at: datetime = AT, **also: Any) -> FoundLetter:
    asked = {"language": "en", "asks": ["permission", "licence", "take_down"], "answer_by": date(2026, 12, 4)}
    return write_letter(found or recorded(), **{**asked, **also}, at=at)
