from datetime import timedelta

import pytest

from shared.access.actions import (
    INVITE,
    NameTaken,
    OwnerStays,
    PasswordRefused,
    SignInRefused,
    SignInThrottled,
    change_password,
    check_sign_in,
    forget_old_submissions,
    invite_again,
    invite_person,
    let_in_person,
    make_owner,
    set_password_by_link,
    shut_out_person,
    subject_of,
)
from shared.access.models import Role, SignInFailure, Submission, User
from shared.links.queries import LinkCalledBack, find_link, link_token
from shared.outbox.letters import full_text
from shared.outbox.models import Message
from tests.factories.shared import EARLY

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)
PASSWORD = "walnut oil and smoke"


@pytest.fixture
def tindra() -> User:
    return make_owner(name="Tindra Aldermoor", email="tindra@aldermoor.example", password=PASSWORD)


def invited() -> tuple[User, Message]:
    return invite_person(
        name="Ivo Pellander", email="Ivo@lantern.example", role=Role.ASSISTANT, language="en", at=EARLY
    )


def test_the_first_person_of_new_books_is_their_owner(tindra: User) -> None:
    assert tindra.is_owner
    assert tindra.check_password(PASSWORD)
    with pytest.raises(PasswordRefused, match=r"too common|too short"):
        make_owner(name="Maro", email="maro@lantern.example", password="password")
    assert User.objects.count() == 1


def test_one_signs_in_with_the_address_or_the_name_in_any_case(tindra: User) -> None:
    for name in ("tindra@aldermoor.example", " TINDRA@aldermoor.example "):
        assert check_sign_in(name, PASSWORD, address="10.0.0.1", at=EARLY) == tindra


def test_who_guesses_waits_and_the_right_password_is_not_taken_before(tindra: User) -> None:
    for second in range(5):
        with pytest.raises(SignInRefused):
            check_sign_in(tindra.email, "a guess", address="10.0.0.1", at=EARLY + timedelta(seconds=second))
    with pytest.raises(SignInThrottled, match="Wait 15 minutes"):
        check_sign_in(tindra.email, PASSWORD, address="10.0.0.1", at=EARLY + timedelta(seconds=5))
    assert check_sign_in(tindra.email, PASSWORD, address="10.0.0.2", at=EARLY + MINUTE) == tindra
    assert check_sign_in(tindra.email, PASSWORD, address="10.0.0.1", at=EARLY + 16 * MINUTE) == tindra
    assert not SignInFailure.objects.filter(name=tindra.email).exists()


def test_one_address_that_tries_many_names_waits_too(tindra: User) -> None:
    for number in range(30):
        with pytest.raises(SignInRefused):
            check_sign_in(f"somebody{number}", "a guess", address="10.0.0.1", at=EARLY)
    with pytest.raises(SignInThrottled):
        check_sign_in(tindra.email, PASSWORD, address="10.0.0.1", at=EARLY)


def test_the_table_of_failures_holds_no_address(tindra: User) -> None:
    with pytest.raises(SignInRefused):
        check_sign_in(tindra.email, "a guess", address="10.0.0.1", at=EARLY)
    assert "10.0.0.1" not in str(SignInFailure.objects.values().get())


def test_an_invited_person_sets_the_password_on_a_private_link(tindra: User) -> None:
    ivo, message = invited()
    assert message.link is not None
    assert message.link.subject == subject_of(ivo)
    assert "/invited/" in full_text(message)
    with pytest.raises(SignInRefused):
        check_sign_in(ivo.email, "", address="10.0.0.1", at=EARLY)
    with pytest.raises(PasswordRefused, match=r"too similar|too short|too common"):
        set_password_by_link(ivo, "ivo@lantern.example", link=message.link, at=EARLY)
    set_password_by_link(ivo, PASSWORD, link=message.link, at=EARLY)
    assert message.link.used_at == EARLY
    assert check_sign_in("ivo@lantern.example", PASSWORD, address="10.0.0.1", at=EARLY) == ivo


def test_nobody_is_invited_twice(tindra: User) -> None:
    invited()
    with pytest.raises(NameTaken, match="already"):
        invited()
    assert Message.objects.count() == 1


def test_a_new_link_closes_the_one_before(tindra: User) -> None:
    ivo, first = invited()
    second = invite_again(ivo, language="en", at=EARLY + MINUTE)
    assert first.link is not None
    assert second.link is not None
    with pytest.raises(LinkCalledBack):
        find_link(link_token(first.link), INVITE, EARLY + MINUTE)
    assert find_link(link_token(second.link), INVITE, EARLY + MINUTE)


def test_a_person_shut_out_cannot_sign_in_until_let_in_again(tindra: User) -> None:
    ivo, message = invited()
    assert message.link is not None
    set_password_by_link(ivo, PASSWORD, link=message.link, at=EARLY)
    shut_out_person(ivo, by=tindra, at=EARLY)
    with pytest.raises(SignInRefused):
        check_sign_in(ivo.email, PASSWORD, address="10.0.0.1", at=EARLY)
    let_in_person(ivo)
    assert check_sign_in(ivo.email, PASSWORD, address="10.0.0.1", at=EARLY) == ivo


def test_an_owner_cannot_shut_herself_out(tindra: User) -> None:
    with pytest.raises(OwnerStays):
        shut_out_person(tindra, by=tindra, at=EARLY)


def test_a_password_changes_only_with_the_old_one(tindra: User) -> None:
    with pytest.raises(PasswordRefused, match="old password is wrong"):
        change_password(tindra, old="a guess", new="smoke and plum stones")
    with pytest.raises(PasswordRefused):
        change_password(tindra, old=PASSWORD, new="12345678901")
    change_password(tindra, old=PASSWORD, new="smoke and plum stones")
    tindra.refresh_from_db()
    assert tindra.check_password("smoke and plum stones")


def test_keys_of_forms_sent_long_ago_are_dropped() -> None:
    Submission.objects.create(at=EARLY - timedelta(days=8))
    kept = Submission.objects.create(at=EARLY - timedelta(days=6))
    assert forget_old_submissions(EARLY) == 1
    assert Submission.objects.get() == kept
