import pytest
from django.urls import reverse

from shared.links.models import PrivateLink
from shared.links.queries import link_path
from shoots.releases.actions import sign_release
from shoots.releases.models import Release
from shoots.releases.queries import first_choices
from tests.factories.clients import PersonFactory
from tests.factories.releases import AT, SIGNATURE, offered_release, shoot_with_cook, signed_release
from tests.factories.shoots import ShootFactory, ShootPersonFactory

pytestmark = pytest.mark.django_db


def link_to(release):
    return link_path(PrivateLink.objects.get(subject=f"release:{release.pk}", called_back_at=None))


def yes(release, **change):
    return {
        "agree": "yes",
        "text_sha256": release.text_sha256,
        "signer_name": "Maro Lantadze",
        "is_of_full_age": "on",
        "has_read": "on",
        "signature": SIGNATURE,
        **change,
    }


def test_a_release_is_made_from_the_shoot(client_for, assistant):
    shoot = shoot_with_cook()
    answer = client_for(assistant).post(
        reverse("new_release", args=[shoot.pk]), {**first_choices(shoot), "scope": "house", "signer": ""}
    )
    release = Release.objects.get()
    assert answer.url == reverse("release_page", args=[release.pk])


def test_a_form_with_an_error_keeps_what_was_typed(client_for, owner):
    shoot = shoot_with_cook()
    answer = client_for(owner).post(
        reverse("new_release", args=[shoot.pk]),
        {**first_choices(shoot), "scope": "house", "signer": "", "media": [], "email": "cook@lantern.example"},
    )
    assert answer.status_code == 422
    assert b"cook@lantern.example" in answer.content


def test_the_cook_signs_on_the_private_link_without_a_log_in(client_for):
    release = offered_release()
    stranger = client_for(None)
    assert b"Erlaubnis, Ihr Bild zu nutzen" in stranger.get(link_to(release)).content
    assert stranger.post(link_to(release), yes(release)).status_code == 302
    release.refresh_from_db()
    assert release.state == "signed"
    paper = stranger.get(link_to(release) + "paper/")
    assert b"".join(paper.streaming_content).startswith(b"%PDF")


def test_saying_no_needs_no_name(client_for):
    release = offered_release()
    client_for(None).post(link_to(release), {"refuse": "yes", "reason": ""})
    release.refresh_from_db()
    assert release.state == "refused"


def test_someone_under_age_is_told_who_has_to_sign(client_for):
    release = offered_release()
    answer = client_for(None).post(link_to(release), yes(release, is_of_full_age=""))
    assert answer.status_code == 422
    assert b"A parent or guardian has to sign" in answer.content


def test_a_second_press_finds_it_signed(client_for):
    release = signed_release()
    answer = client_for(None).post(link_to(release), yes(release))
    assert answer.status_code == 422
    assert Release.objects.get(pk=release.pk).signed_at == release.signed_at


@pytest.mark.parametrize("name", ["release_page", "sign_release_here", "release_paper", "withdraw_release"])
def test_strangers_and_the_accountant_are_refused(client_for, accountant, name):
    path = reverse(name, args=[signed_release().pk])
    assert client_for(None).get(path).status_code == 302
    assert client_for(accountant).get(path).status_code == 403


def test_a_release_without_an_answer_has_no_paper(client_for, owner):
    assert client_for(owner).get(reverse("release_paper", args=[offered_release().pk])).status_code == 404


def test_it_is_signed_on_the_photographers_phone_called_back_sent_again_and_withdrawn(client_for, owner):
    studio, release = client_for(owner), offered_release()
    studio.post(reverse("send_release_link", args=[release.pk]), {"email": "maro@lantern.example"})
    studio.post(reverse("send_release_link", args=[release.pk]), {"email": "maro"})
    studio.post(reverse("sign_release_here", args=[release.pk]), yes(release))
    studio.post(reverse("withdraw_release", args=[release.pk]), {"reason": "Left the house"})
    release.refresh_from_db()
    assert (release.state, release.signer_email) == ("withdrawn", "maro@lantern.example")
    other = offered_release(release.shoot)
    studio.post(reverse("call_back_release", args=[other.pk]))
    other.refresh_from_db()
    assert other.state == "called_back"


def test_the_panel_and_the_list_name_the_release(client_for, owner):
    release = offered_release()
    for path in (reverse("shoot_releases_panel", args=[release.shoot_id]), reverse("releases") + "?text=Maro"):
        assert b"Maro Lantadze" in client_for(owner).get(path).content


def test_the_line_of_the_end_of_the_day_says_who_signed_and_who_did_not(client_for, owner):
    release = offered_release()
    said = client_for(owner).get(reverse("shoot_releases_line", args=[release.shoot_id])).content.decode()
    assert "Maro Lantadze: not signed yet." in said


def test_a_person_and_a_kitchen_show_their_releases(client_for, owner, accountant):
    studio, shoot = client_for(owner), shoot_with_cook()
    about_cook = offered_release(shoot)
    about_place = offered_release(shoot, kind="property", kitchen=shoot.kitchen)  # the cook signs for the place
    of_person = studio.get(reverse("person_releases_panel", args=[about_cook.person_id])).content.decode()
    assert reverse("release_page", args=[about_cook.pk]) in of_person
    assert reverse("release_page", args=[about_place.pk]) in of_person
    of_kitchen = studio.get(reverse("kitchen_releases_panel", args=[shoot.kitchen_id])).content.decode()
    assert reverse("release_page", args=[about_place.pk]) in of_kitchen
    assert reverse("release_page", args=[about_cook.pk]) not in of_kitchen
    stranger = PersonFactory()
    assert b"No release yet." in studio.get(reverse("person_releases_panel", args=[stranger.pk])).content
    assert client_for(accountant).get(reverse("kitchen_releases_panel", args=[shoot.kitchen_id])).status_code == 403


def test_a_release_stays_open_when_the_key_of_its_link_is_lost(client_for, owner, settings):
    release = offered_release()
    settings.SECRET_KEY = "the books were restored without their key"
    page = client_for(owner).get(reverse("release_page", args=[release.pk])).content.decode()
    assert "can no longer be shown" in page
    assert "Send a new link" in page


def test_a_release_signed_with_another_name_says_so_to_the_studio(client_for, owner):
    own, other = signed_release(), offered_release()
    sign_release(
        other, text_sha256=other.text_sha256, signer_name="Zed Otherwise", capacity="self", signature_path=SIGNATURE,
        is_of_full_age=True, via="private link", at=AT,
    )  # fmt: skip
    said = "Not the name of the release"
    studio = client_for(owner)
    assert said not in studio.get(reverse("release_page", args=[own.pk])).content.decode()
    assert said in studio.get(reverse("release_page", args=[other.pk])).content.decode()


def test_a_guardian_signs_on_the_private_link_for_somebody_under_age(client_for, owner):
    release = offered_release(is_minor=True, guardian_name="Ilo Lantadze", signer_email="ilo@walnut-lantern.example")
    page = client_for(None).get(link_to(release)).content.decode()
    assert "Ich bin Elternteil oder Vormund und darf unterschreiben" in page
    assert "Someone under age cannot sign alone" not in page
    as_child = client_for(None).post(link_to(release), yes(release))
    assert as_child.status_code == 422
    assert b"for a parent or guardian to sign" in as_child.content
    client_for(None).post(link_to(release), yes(release, signer_name="Ilo Lantadze", is_guardian="on"))
    release.refresh_from_db()
    assert release.is_signed_by_guardian
    page = client_for(owner).get(reverse("release_page", args=[release.pk])).content.decode()
    assert "Ilo Lantadze signs as parent or guardian" in page
    assert "Not the name of the release" not in page


def test_a_release_for_every_shoot_of_a_house_is_made_and_shown_at_the_others(client_for, owner):
    studio, shoot = client_for(owner), shoot_with_cook()
    cook = shoot.people.get().person
    path = reverse("new_release", args=[shoot.pk])
    studio.post(path, {**first_choices(shoot), "scope": "house", "signer": "", "is_minor": "", "reach": "house"})
    release = Release.objects.get()
    assert (release.reach, release.reach_house) == ("house", shoot.licensee)
    other = ShootFactory(client=shoot.client, licensee=shoot.licensee)
    ShootPersonFactory(shoot=other, person=cook)
    panel = reverse("shoot_releases_panel", args=[other.pk])
    assert "Not asked yet" in studio.get(panel).content.decode()
    sign_release(
        release, text_sha256=release.text_sha256, signer_name=cook.name, capacity="self", signature_path=SIGNATURE,
        is_of_full_age=True, via="private link", at=AT,
    )  # fmt: skip
    said = studio.get(panel).content.decode()
    assert "counts here too" in said
    assert reverse("release_page", args=[release.pk]) in said
    assert f"person:{cook.pk}" not in said


def test_a_withdrawal_asks_for_a_decision_and_the_list_reminds_of_it(client_for, owner):
    studio, release = client_for(owner), signed_release()
    answer = studio.post(reverse("withdraw_release", args=[release.pk]), {"reason": "Left the house"})
    decide = reverse("decide_withdrawal", args=[release.pk])
    assert answer["Location"] == decide
    page = studio.get(decide).content.decode()
    for panel in ("release_licences_panel", "release_deliveries_panel", "release_pictures_panel"):
        assert reverse(panel, args=[release.pk]) in page
    assert "legal question" in page
    assert "1 withdrawal waits" in studio.get(reverse("releases")).content.decode()
    typed = studio.post(decide, {"decision": "some", "words": ""})
    assert typed.status_code == 422
    studio.post(decide, {"decision": "some", "words": "The menu ends, the website stays."})
    release.refresh_from_db()
    assert (release.decision, release.decision_words) == ("some", "The menu ends, the website stays.")
    assert "wait for your decision" not in studio.get(reverse("releases")).content.decode()
    assert (
        "The menu ends, the website stays." in studio.get(reverse("release_page", args=[release.pk])).content.decode()
    )


def test_nothing_is_decided_about_a_release_that_stands(client_for, owner):
    release = signed_release()
    answer = client_for(owner).post(reverse("decide_withdrawal", args=[release.pk]), {"decision": "keep", "words": ""})
    assert b"is not withdrawn" in answer.content
    release.refresh_from_db()
    assert release.decision == ""
