"""What every page's frame needs: the house name, the places, which books are open."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils import timezone

from shared.access.models import Role
from shared.business.queries import business_or_none

PLACES = (
    ("Today", "today", (Role.OWNER, Role.ASSISTANT, Role.ACCOUNTANT), ("today",)),
    ("Shoots", "shoots", (Role.OWNER, Role.ASSISTANT), ("shoots", "releases")),
    ("Clients", "clients", (Role.OWNER, Role.ASSISTANT, Role.ACCOUNTANT), ("clients", "kitchens", "persons")),
    ("Pictures", "pictures", (Role.OWNER, Role.ASSISTANT), ("pictures", "licences", "found")),
    (
        "Money",
        "money",
        (Role.OWNER, Role.ACCOUNTANT),
        ("money", "estimates", "invoices", "expenses", "payments", "months", "rates"),
    ),
    ("Estimates", "estimates", (Role.ASSISTANT,), ("estimates", "expenses")),
)


def house(request: HttpRequest) -> dict[str, Any]:
    """Frame of a signed-in page; private-link pages use the name and nothing else."""
    profile = business_or_none(timezone.now())
    user = getattr(request, "user", None)
    frame: dict[str, Any] = {
        "house_name": profile.name if profile else "Plate Ledger",
        "books": settings.BOOKS,
        "books_bar": "Demo books. Nothing here is real." if settings.BOOKS == "demo" else "Your own books.",
        "places": [],
        "is_signed_in": bool(user and user.is_authenticated),
    }
    if not frame["is_signed_in"]:
        return frame
    first = request.path.strip("/").split("/")[0] or "today"
    for label, name, roles, prefixes in PLACES:
        if user.role in roles:
            try:
                frame["places"].append({"label": label, "url": reverse(name), "is_current": first in prefixes})
            except NoReverseMatch:
                continue
    return frame
