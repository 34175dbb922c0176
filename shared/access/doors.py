"""Who may open which page. Every view carries exactly one door; ``shared.access.middleware.Doors`` stands before it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponseBase
from django.utils import timezone

from shared.access.models import Role
from shared.links.actions import mark_opened
from shared.links.purposes import set_landing
from shared.links.queries import find_link

View = Callable[..., HttpResponseBase]

OWNER = frozenset({Role.OWNER})
STUDIO = frozenset({Role.OWNER, Role.ASSISTANT})
BOOKS = frozenset({Role.OWNER, Role.ACCOUNTANT})
EVERYONE = frozenset({Role.OWNER, Role.ASSISTANT, Role.ACCOUNTANT})
NOBODY: frozenset[Role] = frozenset()

READING = frozenset({"GET", "HEAD", "OPTIONS"})


@dataclass(frozen=True, slots=True)
class Door:
    """How a view is closed: by role (``reads``, ``writes``), by private link (``purpose``), or not at all."""

    kind: str
    reads: frozenset[Role] = field(default=NOBODY)
    writes: frozenset[Role] = field(default=NOBODY)
    purpose: str = ""

    def lets_in(self, role: str, method: str) -> bool:
        """May someone with this role use this method here?"""
        return role in (self.reads if method in READING else self.writes)


def door(*, reads: frozenset[Role], writes: frozenset[Role] = NOBODY) -> Callable[[View], View]:
    """Opens a page to the roles in ``reads`` and its forms to those in ``writes``."""

    def close(view: View) -> View:
        view.door = Door("role", reads=reads, writes=writes)  # type: ignore[attr-defined]
        return view

    return close


def open_door(view: View) -> View:
    """Opens a page to strangers: signing in, the welcome page, a check anyone may make."""
    view.door = Door("open")  # type: ignore[attr-defined]
    return view


def link_door(purpose: str, *, lands: bool = False) -> Callable[[View], View]:
    """Opens a page to whoever holds a private link of this purpose; the view finds it as ``request.link``.

    The page's address must have a ``<str:token>`` part. ``link_url`` leads to the first page closed with a purpose,
    or to the one that says ``lands=True``. Opening by a stranger is counted; the studio's own look is not.
    """

    def close(view: View) -> View:
        @wraps(view)
        def with_link(request: HttpRequest, *args: Any, token: str, **kwargs: Any) -> HttpResponseBase:
            at = timezone.now()
            link = find_link(token, purpose, at)
            if request.method == "GET" and not request.user.is_authenticated:
                mark_opened(link, at)
            request.link = link  # type: ignore[attr-defined]
            return view(request, *args, token=token, **kwargs)

        with_link.door = Door("link", purpose=purpose)  # type: ignore[attr-defined]
        set_landing(purpose, view.__name__, decided=lands)
        return with_link

    return close
