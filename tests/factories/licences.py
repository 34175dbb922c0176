"""Licences as they come about: agreed by the house's own action, granted on pictures that are there."""

from datetime import UTC, date, datetime
from decimal import Decimal
from itertools import count
from typing import Any

from clients.models import Client
from shoots.brief.models import Exclusivity, SellingOn, Shoot
from shoots.licences.actions import agree_licence, grant_licence, offer_licence, place_licence
from shoots.licences.models import Begins, Licence
from shoots.pictures.models import Assessment, Picture
from tests.factories import pictures
from tests.factories.clients import ClientFactory
from tests.factories.shared import BusinessProfileFactory
from tests.factories.shoots import ShootFactory

AT = datetime(2026, 11, 20, 9, 0, tzinfo=UTC)
FIRST = date(2026, 12, 1)
OWN = {
    "is_own_promotion": True, "use_classes": ["advertising"], "use_media": ["web.own", "web.social"], "use_territories": ["DE"], "use_months": 24,
    "exclusivity": "none", "exclusive_months": None, "use_copies": None,
}  # fmt: skip
ADVERTISING = {**OWN, "is_own_promotion": False, "use_media": ["web.paid_social", "web.display"], "use_months": 12}
ALONE = {**ADVERTISING, "exclusivity": Exclusivity.PICTURE.value}
_numbers = count(1)


def free_shoot(**also: Any) -> Shoot:
    """A shoot of Walnut Lantern whose pictures may be sold to others."""
    BusinessProfileFactory()
    return ShootFactory(title="Winter menu", client__name="Walnut Lantern", selling_on=SellingOn.FREE, **also)


def picture_of(shoot: Shoot | None = None, **also: Any) -> Picture:
    """A picture of food alone: nobody and nothing of others to be recognised, chosen, captioned and checked."""
    return pictures.picture_of(
        shoot or free_shoot(),
        seed=next(_numbers),
        **{
            "title": "Bread boat with egg yolk",
            "caption": "Bread boat with egg yolk, Walnut Lantern",
            "alt_text": "Bread boat with egg yolk, from above",
            "state": Picture.State.CHOSEN,
            "people": Assessment.NONE,
            "properties": Assessment.NONE,
            "is_checked": True,
            **also,
        },
    )


def agreed(shoot: Shoot | None = None, *, at: datetime = AT, **also: Any) -> Licence:
    """Own promotion for two years from delivery, agreed with an estimate, not placed yet."""
    BusinessProfileFactory()
    shoot = shoot or free_shoot()
    chosen: dict[str, Any] = {
        "shoot": shoot,
        "licensee": shoot.licensee,
        "billing_party": shoot.billing_party,
        "use": Shoot(**(also.pop("terms", None) or OWN)),
        "pictures_agreed": 6,
        "begins": Begins.ON_DELIVERY,
        "begins_on": None,
        "lapse_days": 30,
        "fee_net": Decimal(540),
        "currency": "EUR",
        "origin": "estimate:1",
        "accepted_by": "Maro Lantadze",
    }
    return agree_licence(**{**chosen, **also}, at=at)


def placed(shoot: Shoot | None = None, *, at: datetime = AT, on: list[Picture] | None = None, **also: Any) -> Licence:
    """The same, placed on pictures from 1 December 2026."""
    shoot = shoot or (on[0].shoot if on else free_shoot())
    first = also.pop("first_day", FIRST)
    return place_licence(agreed(shoot, at=at, **also), pictures=on or [picture_of(shoot)], first_day=first, at=at)


def terms(ticked: list[Picture], **also: Any) -> dict[str, Any]:
    """What ``offer_licence`` and ``grant_licence`` want: online advertising in Germany for a year, for Kvernmoor Mill."""
    also.setdefault("licensee", None)
    if also["licensee"] is None:
        also["licensee"] = Client.objects.filter(name="Kvernmoor Mill").first() or kvernmoor()
    return {"pictures": ticked, "use": ADVERTISING, "first_day": FIRST, "fee_net": Decimal(1080), **also}


def kvernmoor() -> Client:
    return ClientFactory(name="Kvernmoor Mill", trade="bakery")


def oystercatcher() -> Client:
    return ClientFactory(name="Oystercatcher Pantry", trade="grocer")


def offered(ticked: list[Picture] | None = None, *, at: datetime = AT, **also: Any) -> Licence:
    return offer_licence(**terms(ticked or [picture_of()], **also), at=at)


def granted(ticked: list[Picture] | None = None, *, at: datetime = AT, **also: Any) -> Licence:
    """Granted to Kvernmoor Mill, not paid yet; use begins on payment."""
    words = {
        "accepted_by": also.pop("accepted_by", "Runa Tallow"),
        "signed_by": also.pop("signed_by", "Tindra Aldermoor"),
    }
    return grant_licence(**words, **terms(ticked or [picture_of()], **also), at=at)


def paid_at_once(count: int) -> list[Licence]:
    """So many licences without a fee on one picture, each in another country, thus running or to come; one at least."""
    picture = picture_of()
    places = ["DE", "AT", "CH", "FR", "IT"][: max(count, 1)]
    return [granted([picture], fee_net=Decimal(0), use={**ADVERTISING, "use_territories": [place]}) for place in places]
