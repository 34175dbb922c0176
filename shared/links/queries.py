from datetime import datetime

from django.conf import settings
from django.db.models import QuerySet
from django.urls import get_resolver, reverse

from shared.errors import Refusal
from shared.links.models import PrivateLink
from shared.links.purposes import landing_page
from shared.links.tokens import token_for, token_hash


class LinkUnknown(Refusal):
    """No private link of this purpose has this token."""

    status = 404

    def __init__(self) -> None:
        super().__init__(
            "We do not know this link.",
            "Nothing was opened and nothing was changed.",
            "Check that the whole address was copied from the e-mail, or ask the person who sent it for a new link.",
        )


class LinkExpired(Refusal):
    """The link's time is over."""

    status = 410

    def __init__(self, link: PrivateLink) -> None:
        self.link = link
        super().__init__(
            "This link has expired.",
            "What you did with it before is kept.",
            "Ask the person who sent it for a new link.",
        )


class LinkCalledBack(Refusal):
    """The studio called the link back."""

    status = 410

    def __init__(self, link: PrivateLink) -> None:
        self.link = link
        super().__init__(
            "This link was called back by the studio that sent it.",
            "What you did with it before is kept.",
            "Look for a newer e-mail from the studio, or ask for a new link.",
        )


class LinkKeyLost(Refusal):
    """The link was made with another key than the house has now: books restored on a new machine."""

    def __init__(self, link: PrivateLink) -> None:
        self.link = link
        super().__init__(
            "The address of this link can no longer be shown: these books were restored without the key that made it.",
            "The link still opens for whoever has its address.",
            "Make a new link and send that.",
        )


def find_link(token: str, purpose: str, at: datetime) -> PrivateLink:
    """The link of this purpose with this token, if it still opens at ``at``.

    Raises ``LinkUnknown``, ``LinkExpired`` or ``LinkCalledBack``.
    """
    link = PrivateLink.objects.filter(token_hash=token_hash(token), purpose=purpose).first()
    if link is None:
        raise LinkUnknown
    if link.called_back_at is not None:
        raise LinkCalledBack(link)
    if link.expires_at <= at:
        raise LinkExpired(link)
    return link


def link_token(link: PrivateLink) -> str:
    """The token of ``link``, derived anew from the house's key. Raises ``LinkKeyLost`` when that is not the key that made it."""
    token = token_for(str(link.id), settings.SECRET_KEY)
    if token_hash(token) != link.token_hash:
        raise LinkKeyLost(link)
    return token


def link_path(link: PrivateLink) -> str:
    """The path of the page this link opens."""
    _ = get_resolver().url_patterns  # loads the pages, which name their landing
    return reverse(landing_page(link.purpose), kwargs={"token": link_token(link)})


def link_url(link: PrivateLink) -> str:
    """The whole address, as it is written in an e-mail."""
    return settings.SITE_ADDRESS + link_path(link)


def shown_path(link: PrivateLink | None) -> str:
    """The path of the page this link opens, for a page that shows it; empty where there is no link, or its key is lost."""
    try:
        return link_path(link) if link else ""
    except LinkKeyLost:
        return ""


def shown_url(link: PrivateLink | None) -> str:
    """The whole address, for a page that shows it; empty where there is no link, or its key is lost (``parts/link_address.html``)."""
    path = shown_path(link)
    return settings.SITE_ADDRESS + path if path else ""


def links_for(subject: str) -> QuerySet[PrivateLink]:
    """All links to one thing, the newest first."""
    return PrivateLink.objects.filter(subject=subject).order_by("-made_at")
