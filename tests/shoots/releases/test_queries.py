from datetime import timedelta

import pytest

from shoots.releases.actions import withdraw_release
from shoots.releases.queries import (
    asked_and_unasked,
    best_release,
    first_choices,
    known_of,
    release_in_full,
    releases_listed,
    releases_of,
    releases_waiting,
    sign_context,
    terms_of,
)
from tests.factories.releases import AT, offered_release, shoot_with_cook, signed_release

pytestmark = pytest.mark.django_db


def test_releases_are_found_by_person_shoot_number_and_state():
    signed = signed_release()
    for text in ("Maro", "Winter", signed.number, "walnut lantern"):
        assert list(releases_listed(text=text)) == [signed]
    assert list(releases_listed(state="offered")) == []
    assert list(releases_of(signed.shoot)) == [signed]
    assert release_in_full(signed.pk).get() == signed


def test_only_unanswered_releases_wait():
    shoot = shoot_with_cook()
    waiting = offered_release(shoot)
    signed_release(shoot)
    assert list(releases_waiting()) == [waiting]


def test_a_withdrawal_after_the_signature_is_what_speaks():
    shoot = shoot_with_cook()
    first = signed_release(shoot)
    later = signed_release(shoot, at=AT + timedelta(days=1))
    assert best_release([first, later]) == later
    withdraw_release(later, reason="No", at=AT + timedelta(days=2))
    later.refresh_from_db()
    assert best_release([first, later]) == later
    assert terms_of(later).is_withdrawn
    assert best_release([]) is None


def test_a_release_of_own_promotion_is_limited_to_the_house():
    signed = signed_release()
    terms = terms_of(signed)
    assert (terms.is_signed, terms.own_promotion_of) == (True, str(signed.shoot.licensee_id))


def test_nobody_is_asked_twice_in_the_panel():
    shoot = shoot_with_cook()
    assert [part.person.name for part in asked_and_unasked(shoot)["unasked"]] == ["Maro Lantadze"]
    offered_release(shoot)
    found = asked_and_unasked(shoot)
    assert (found["unasked"], len(found["releases"]), found["unasked_kitchen"]) == ([], 1, shoot.kitchen)


def test_the_sign_page_can_show_one_language_or_both():
    release = offered_release()
    assert [lang for lang, _ in sign_context(release, "")["titles"]] == ["de", "en"]
    assert [lang for lang, _ in sign_context(release, "en")["titles"]] == ["en"]
    assert known_of(release)["signer_name"] == "Maro Lantadze"


def test_a_new_release_starts_in_the_signers_language():
    chosen = first_choices(shoot_with_cook())
    assert (chosen["first_language"], chosen["second_language"], chosen["prevailing_language"]) == ("de", "en", "en")
