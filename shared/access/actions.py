from datetime import datetime, timedelta

from django.contrib.auth import authenticate
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from shared.access.models import Role, SignInFailure, Submission, User
from shared.access.queries import address_hash, person_named
from shared.access.throttle import TRIES_OF_AN_ADDRESS, WITHIN, minutes_to_wait, wait_until
from shared.business.queries import business_or_none
from shared.errors import Refusal
from shared.links.actions import call_back_links, make_link, mark_used
from shared.links.models import PrivateLink
from shared.outbox.actions import queue_mail
from shared.outbox.models import Message

INVITE = "invite"
INVITE_LASTS = timedelta(days=7)
SUBMISSIONS_KEPT = timedelta(days=7)


class SignInRefused(Refusal):
    """Name and password do not fit, or the person may no longer sign in. Which of these is not said."""

    def __init__(self) -> None:
        super().__init__("This name and password do not fit together.", "", "Check both and try again.")


class SignInThrottled(Refusal):
    """Too many wrong tries."""

    status = 429

    def __init__(self, minutes: int) -> None:
        self.minutes = minutes
        wait = "1 minute" if minutes == 1 else f"{minutes} minutes"
        super().__init__(
            "There were too many wrong tries.",
            "Nobody is locked out for good.",
            f"Wait {wait}, then sign in. The right password is not taken before.",
        )


class PasswordRefused(Refusal):
    """The new password is too easy, or the old one is wrong."""


class NameTaken(Refusal):
    """Somebody signs in with this address already."""

    def __init__(self, email: str) -> None:
        super().__init__(
            f"Somebody signs in with {email} already.",
            "Nobody was invited.",
            "Use another address, or open the person on the list.",
        )


class OwnerStays(Refusal):
    """An owner cannot shut the door on themselves."""

    def __init__(self) -> None:
        super().__init__("You cannot shut yourself out.", "Nothing was changed.", "Another owner can do it.")


def check_sign_in(name: str, password: str, *, address: str, at: datetime) -> User:
    """The person with this name (or e-mail) and password. Raises ``SignInRefused`` or ``SignInThrottled``.

    Failures are counted for name and address together, and for the address alone, for a quarter of an hour.
    """
    name, where = name.strip().lower()[:150], address_hash(address)
    recent = SignInFailure.objects.filter(address_hash=where, at__gt=at - WITHIN)
    for failures, tries in ((recent.filter(name=name), {}), (recent, {"free_tries": TRIES_OF_AN_ADDRESS})):
        until = wait_until(list(failures.values_list("at", flat=True)), at=at, **tries)
        if until is not None:
            raise SignInThrottled(minutes_to_wait(until, at))
    person = person_named(name)
    user = authenticate(username=person.username if person else name, password=password)
    if not isinstance(user, User):
        SignInFailure.objects.filter(at__lte=at - WITHIN).delete()
        SignInFailure.objects.create(name=name, address_hash=where, at=at)
        raise SignInRefused
    SignInFailure.objects.filter(name=name, address_hash=where).delete()
    return user


@transaction.atomic
def invite_person(*, name: str, email: str, role: Role, language: str, at: datetime) -> tuple[User, Message]:
    """Makes a person who cannot sign in yet, and a message with a private link on which they set their password."""
    if person_named(email) is not None:
        raise NameTaken(email)
    person = User(username=email.lower(), email=email, first_name=name[:150], role=role)
    person.set_unusable_password()
    try:
        with transaction.atomic():
            person.save()
    except IntegrityError as twin:
        raise NameTaken(email) from twin
    return person, _send_invitation(person, language, at)


@transaction.atomic
def invite_again(person: User, *, language: str, at: datetime) -> Message:
    """A new link to set the password; links sent before open nothing any more. Also for somebody who forgot theirs."""
    call_back_links(subject_of(person), purpose=INVITE, at=at)
    return _send_invitation(person, language, at)


@transaction.atomic
def set_password_by_link(person: User, password: str, *, link: PrivateLink, at: datetime) -> None:
    """Sets the password of an invited person and closes the link. Raises ``PasswordRefused``."""
    _check_password(person, password)
    person.set_password(password)
    person.save(update_fields=["password"])
    mark_used(link, at)


@transaction.atomic
def change_password(person: User, *, old: str, new: str) -> None:
    """Raises ``PasswordRefused`` when the old one is wrong or the new one too easy."""
    if not person.check_password(old):
        raise PasswordRefused(
            "The old password is wrong.", "Your password is as it was.", "Type the one you signed in with."
        )
    _check_password(person, new)
    person.set_password(new)
    person.save(update_fields=["password"])


@transaction.atomic
def shut_out_person(person: User, *, by: User, at: datetime) -> None:
    """From now on the person cannot sign in; where they are signed in, it ends. Raises ``OwnerStays``."""
    if person.pk == by.pk:
        raise OwnerStays
    call_back_links(subject_of(person), purpose=INVITE, at=at)
    person.is_active = False
    person.save(update_fields=["is_active"])


def let_in_person(person: User) -> None:
    """Somebody who was shut out may sign in again, with the password they had."""
    person.is_active = True
    person.save(update_fields=["is_active"])


@transaction.atomic
def make_owner(*, name: str, email: str, password: str) -> User:
    """The first person of new books. Raises ``PasswordRefused``."""
    owner = User(username=email.lower(), email=email, first_name=name[:150], role=Role.OWNER)
    _check_password(owner, password)
    owner.set_password(password)
    owner.save()
    return owner


def forget_old_submissions(at: datetime) -> int:
    """Drops the keys of forms that were sent long ago; how many."""
    return Submission.objects.filter(at__lt=at - SUBMISSIONS_KEPT).delete()[0]


def subject_of(person: User) -> str:
    """How links and messages name a person who signs in: user:2."""
    return f"user:{person.pk}"


def _send_invitation(person: User, language: str, at: datetime) -> Message:
    profile = business_or_none(at)
    link = make_link(INVITE, subject=subject_of(person), expires_at=at + INVITE_LASTS, at=at, person=person.first_name)
    words = {
        "name": person.first_name,
        "house": profile.name if profile else "Plate Ledger",
        "role": person.role,
        "link": link,
        "last_on": link.expires_at.date(),
    }
    return queue_mail(
        to=person.email,
        to_name=person.first_name,
        template="invite",
        language=language,
        context=words,
        at=at,
        about=subject_of(person),
    )


def _check_password(person: User, password: str) -> None:
    try:
        validate_password(password, person)
    except ValidationError as easy:
        raise PasswordRefused(
            " ".join(easy.messages), "The password was not set.", "Choose a longer or less common one."
        ) from easy
