import hashlib
import hmac

from django.conf import settings
from django.db.models import Q, QuerySet

from shared.access.models import User


def people() -> QuerySet[User]:
    """Everybody who may sign in or once could, those who can first."""
    return User.objects.order_by("-is_active", "first_name", "username")


def person_named(name: str) -> User | None:
    """The person with this sign-in name or e-mail address; None when nobody or more than one has it."""
    found = User.objects.filter(Q(username__iexact=name.strip()) | Q(email__iexact=name.strip()))[:2]
    return found[0] if len(found) == 1 else None


def books_have_an_owner() -> bool:
    """Is there anybody at all? Until then only the welcome page opens."""
    return User.objects.exists()


def welcome_token() -> str:
    """The word in the welcome page's address: only who can read the server's start or its key knows it."""
    return hmac.new(settings.SECRET_KEY.encode(), b"welcome", hashlib.sha256).hexdigest()[:32]


def address_hash(address: str) -> str:
    """A network address as the table of failed sign-ins keeps it."""
    return hmac.new(settings.SECRET_KEY.encode(), f"address:{address}".encode(), hashlib.sha256).hexdigest()
