import pytest

from shared.access.queries import address_hash, books_have_an_owner, people, person_named, welcome_token
from tests.factories.shared import UserFactory

pytestmark = pytest.mark.django_db


def test_somebody_is_found_by_name_or_address_and_two_of_one_name_are_nobody() -> None:
    tindra = UserFactory(username="tindra", email="tindra@aldermoor.example")
    assert person_named("TINDRA") == person_named("tindra@aldermoor.example ") == tindra
    UserFactory(username="other", email="tindra@aldermoor.example")
    assert person_named("tindra@aldermoor.example") is None
    assert person_named("nobody") is None


def test_those_shut_out_stand_last() -> None:
    assert not books_have_an_owner()
    UserFactory(first_name="Aba", is_active=False), UserFactory(first_name="Zita")
    assert [person.first_name for person in people()] == ["Zita", "Aba"]
    assert books_have_an_owner()


def test_the_welcome_word_is_the_same_each_time_and_belongs_to_these_books(settings: object) -> None:
    word = welcome_token()
    assert word == welcome_token()
    assert len(word) == 32
    settings.SECRET_KEY = "another"  # type: ignore[attr-defined]
    assert welcome_token() != word
    assert address_hash("10.0.0.1") != address_hash("10.0.0.2")
