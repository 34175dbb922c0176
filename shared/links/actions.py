import uuid
from datetime import datetime

from django.conf import settings
from django.db import transaction
from django.db.models import F, Value
from django.db.models.functions import Coalesce

from shared.links.models import PrivateLink
from shared.links.queries import find_link, link_url
from shared.links.tokens import token_for, token_hash

__all__ = ["call_back_link", "call_back_links", "find_link", "link_url", "make_link", "mark_opened", "mark_used"]


def make_link(
    purpose: str, *, subject: str, expires_at: datetime, at: datetime, person: object | None = None
) -> PrivateLink:
    """A private link to ``subject`` (``estimate:12``). Its token is never stored: ``link_url`` derives it when needed."""
    link_id = uuid.uuid4()
    return PrivateLink.objects.create(
        id=link_id,
        purpose=purpose,
        subject=subject,
        token_hash=token_hash(token_for(str(link_id), settings.SECRET_KEY)),
        person_name=str(person)[:120] if person is not None else "",
        made_at=at,
        expires_at=expires_at,
    )


def call_back_link(link: PrivateLink, at: datetime) -> None:
    """From now on the link opens nothing. Calling back twice keeps the first moment."""
    PrivateLink.objects.filter(pk=link.pk, called_back_at=None).update(called_back_at=at)
    link.refresh_from_db()


def call_back_links(subject: str, *, purpose: str, at: datetime) -> int:
    """Calls back every open link of a purpose to one thing; how many there were."""
    return PrivateLink.objects.filter(subject=subject, purpose=purpose, called_back_at=None).update(called_back_at=at)


@transaction.atomic
def mark_opened(link: PrivateLink, at: datetime) -> None:
    """Counts an opening and remembers the first and the last."""
    PrivateLink.objects.filter(pk=link.pk).update(
        first_opened_at=Coalesce(F("first_opened_at"), Value(at)), last_opened_at=at, times_opened=F("times_opened") + 1
    )
    link.refresh_from_db()


def mark_used(link: PrivateLink, at: datetime) -> None:
    """Remembers the moment the link's purpose was fulfilled (accepted, signed); the first moment stays."""
    PrivateLink.objects.filter(pk=link.pk, used_at=None).update(used_at=at)
    link.refresh_from_db()
