"""A shoot that was shot, its agreed pictures kept, licensed and ready to go; and deliveries made of it."""

from datetime import date
from typing import Any

from shared.links.models import PrivateLink
from shared.links.queries import link_path
from shoots.brief.models import AgreedPicture, Shoot, ShootState
from shoots.delivery.actions import deliver_pictures
from shoots.delivery.models import Delivery
from shoots.pictures.models import Picture
from tests.factories import licences as make
from tests.factories.shoots import AgreedPictureFactory

AT = make.AT
TODAY = date(2026, 11, 20)


def promised(shoot: Shoot, **also: Any) -> Picture:
    """A picture that keeps a promise of its own."""
    agreed = AgreedPictureFactory(shoot=shoot, state=AgreedPicture.State.AGREED)
    picture = make.picture_of(shoot, **also)
    picture.agreed_pictures.add(agreed)
    return picture


def ready_shoot(pictures: int = 2, *, state: str = ShootState.SHOT, language: str = "en") -> Shoot:
    """Its licence is placed, nothing is missing."""
    shoot = make.free_shoot(state=state, shot_on=date(2026, 11, 14), client__language=language)
    rows = [promised(shoot) for _ in range(pictures)]
    make.placed(shoot, on=rows, first_day=TODAY, language=language)
    return shoot


def delivered(shoot: Shoot | None = None, **also: Any) -> Delivery:
    chosen = {"email": "maro@walnutlantern.example", "name": "Maro Lantadze", "at": AT}
    return deliver_pictures(shoot or ready_shoot(), **{**chosen, **also})


def pick_up(delivery: Delivery) -> str:
    """The path of the client's page."""
    return link_path(PrivateLink.objects.get(subject=f"delivery:{delivery.pk}", called_back_at=None))
