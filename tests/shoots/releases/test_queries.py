from datetime import timedelta

import pytest

from shared.business.models import BusinessProfile
from shoots.releases.actions import withdraw_release
from shoots.releases.queries import (
    asked_and_unasked,
    best_release,
    first_choices,
    known_of,
    minor_signs_from,
    person_wanted,
    release_in_full,
    releases_listed,
    releases_of,
    releases_waiting,
    shoots_named,
    shoots_to_name,
    sign_context,
    terms_of,
    things_released,
)
from tests.factories.releases import AT, offered_release, shoot_with_cook, signed_print, signed_release
from tests.factories.shoots import ShootFactory, ShootPersonFactory

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


def test_a_release_for_several_shoots_is_found_at_each_of_them_and_at_no_other():
    shoot = shoot_with_cook()
    cook = shoot.people.get().person
    named, apart = (ShootFactory(client=shoot.client, licensee=shoot.licensee) for _ in range(2))
    for each in (named, apart):
        ShootPersonFactory(shoot=each, person=cook)
    release = signed_release(shoot, reach="named", also_for=[named])
    assert set(shoots_named(release)) == {shoot, named}
    assert asked_and_unasked(named)["wider"] == [release]
    assert asked_and_unasked(named)["unasked"] == []
    assert asked_and_unasked(apart)["wider"] == []
    assert [part.person for part in asked_and_unasked(apart)["unasked"]] == [cook]


def test_a_thing_of_several_shoots_is_known_at_each_of_them():
    shoot = shoot_with_cook()
    named, apart = (ShootFactory(client=shoot.client, licensee=shoot.licensee) for _ in range(2))
    offered_release(shoot, kind="property", person=None, property_description="Plates", reach="named", also_for=[named])
    assert [things_released(each) for each in (shoot, named, apart)] == [["Plates"], ["Plates"], []]


def test_a_cancelled_shoot_is_not_offered_to_name():
    shoot = shoot_with_cook()
    ShootFactory(client=shoot.client, licensee=shoot.licensee, state="cancelled")
    assert list(shoots_to_name(shoot)) == []


def test_the_age_is_the_studio_s_own_and_nobody_s_before_it_is_set():
    shoot_with_cook()
    assert minor_signs_from() is None
    BusinessProfile.objects.update(minor_signs_from=14)
    assert minor_signs_from() == 14


@pytest.mark.parametrize("about", ["", "person:", "person:x", "kitchen:1", "person:" + "9" * 30, "person:999"])
def test_whom_an_address_does_not_name_is_nobody(about):
    assert person_wanted(about) is None


def test_whom_an_address_names_is_found():
    person = shoot_with_cook().people.get().person
    assert person_wanted(f"person:{person.pk}") == person


def test_a_release_signed_with_a_pen_is_read_like_any_other():
    by_pen, on_screen = terms_of(signed_print()), terms_of(signed_release())
    assert (by_pen.is_signed, by_pen.media, by_pen.classes) == (on_screen.is_signed, on_screen.media, on_screen.classes)
