import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from shared.business.queries import today
from shared.links.models import PrivateLink
from shared.links.queries import link_path
from shared.words.formats import plain_spaces
from shoots.releases.actions import sign_release
from shoots.releases.models import Release
from shoots.releases.queries import first_choices
from tests.factories.clients import PersonFactory
from tests.factories.releases import AT, SIGNATURE, offered_release, scan, shoot_with_cook, signed_print, signed_release
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


def papers(*names):
    return [SimpleUploadedFile(name, scan(kind="PNG" if name.endswith("png") else "PDF")) for name in names]


def test_it_is_printed_signed_with_a_pen_and_the_scan_recorded(client_for, owner):
    studio, release = client_for(owner), offered_release(at=timezone.now())
    page = studio.get(reverse("release_page", args=[release.pk])).content.decode()
    assert reverse("print_release", args=[release.pk]) in page
    paper = studio.get(reverse("print_release", args=[release.pk]))
    assert (paper["Content-Type"], paper.content[:5]) == ("application/pdf", b"%PDF-")
    record = reverse("record_signed_print", args=[release.pk])
    assert release.text_code in studio.get(record).content.decode()
    given = {"has_same_text": "on", "signer_name": "Maro Lantadze", "capacity": "self", "email": ""}
    given["signed_on"] = today(timezone.now()).isoformat()
    wrong = studio.post(record, {**given, "signed_on": "1 Jan 2020", "sheets": papers("one.pdf")})
    assert wrong.status_code == 422
    assert "Nobody can have signed it on 1 Jan 2020" in plain_spaces(wrong.content.decode())
    assert "Choose the scan again" in wrong.content.decode()
    answer = studio.post(record, {**given, "sheets": papers("one.pdf", "two.png")})
    assert answer.url == reverse("release_page", args=[release.pk])
    page = studio.get(answer.url).content.decode()
    assert "with a pen on" in page
    assert b"".join(studio.get(reverse("release_paper", args=[release.pk])).streaming_content) == scan()
    second = studio.get(reverse("release_sheet", args=[release.pk, 2]))
    assert (second["Content-Type"], b"".join(second.streaming_content)) == ("image/png", scan(kind="PNG"))
    assert studio.get(reverse("release_sheet", args=[release.pk, 3])).status_code == 404
    assert studio.get(record).url == reverse("release_page", args=[release.pk])
    assert studio.get(reverse("print_release", args=[release.pk])).status_code == 409


def test_a_file_that_is_no_paper_is_refused_in_plain_words(client_for, owner):
    studio, release = client_for(owner), offered_release(at=timezone.now())
    given = {
        "has_same_text": "on",
        "signer_name": "Maro Lantadze",
        "capacity": "self",
        "signed_on": today(timezone.now()).isoformat(),
    }
    answer = studio.post(
        reverse("record_signed_print", args=[release.pk]),
        {**given, "sheets": [SimpleUploadedFile("yes.pdf", b"Maro says yes")]},
    )
    assert answer.status_code == 422
    assert "inside it is text" in answer.content.decode()
    release.refresh_from_db()
    assert release.state == "offered"


def test_a_paper_with_words_of_its_own_is_recorded_with_its_limits(client_for, owner):
    studio, shoot = client_for(owner), shoot_with_cook()
    path = reverse("record_foreign_paper", args=[shoot.pk])
    assert path in studio.get(reverse("new_release", args=[shoot.pk])).content.decode()
    given = {
        "about": f"person:{shoot.people.get().person_id}", "reach": "shoot", "scope": "named", "classes": ["editorial"], "media": ["print"],
        "paper_wording": "House form, March 2025", "signer_name": "Maro Lantadze", "capacity": "self", "signed_on": "9 Mar 2025",
    }  # fmt: skip
    assert studio.post(path, {**given, "paper_wording": "", "sheets": papers("a.pdf")}).status_code == 422
    future = studio.post(path, {**given, "signed_on": "9 Mar 2999", "sheets": papers("a.pdf")})
    assert "is still to come" in future.content.decode()
    assert not Release.objects.exists()
    answer = studio.post(path, {**given, "sheets": papers("a.pdf")})
    page = studio.get(answer.url).content.decode()
    assert "House form, March 2025" in page
    assert "For: editorial" in page
    assert "legal advice" in page
    assert Release.objects.get().state == "signed"


def test_the_signer_can_print_the_text_from_their_own_page(client_for):
    release = offered_release()
    stranger = client_for(None)
    assert link_to(release) + "print/" in stranger.get(link_to(release)).content.decode()
    assert stranger.get(link_to(release) + "print/").content[:5] == b"%PDF-"


def test_on_one_page_the_one_under_age_signs_then_the_guardian(client_for, owner):
    release = offered_release(
        is_minor=True, guardian_name="Ilo Lantadze", minor_signs=True, signer_email="ilo@walnut-lantern.example"
    )
    phone = client_for(None)
    first = phone.get(link_to(release)).content.decode()
    assert "1 von 2: Maro Lantadze unterschreibt" in first
    assert "je nach Land verschieden" in first
    assert 'name="agree"' not in first
    empty = phone.post(link_to(release), {"agree_beside": "yes", "text_sha256": release.text_sha256, "has_read": "on"})
    assert empty.status_code == 422
    given = {"agree_beside": "yes", "text_sha256": release.text_sha256, "has_read": "on", "signature": SIGNATURE}
    assert phone.post(link_to(release), given).status_code == 302
    second = phone.get(link_to(release)).content.decode()
    assert "2 von 2: Ilo Lantadze unterschreibt" in second
    assert "Ohne Elternteil oder Vormund gilt die Erlaubnis nicht" in second
    phone.post(link_to(release), yes(release, signer_name="Ilo Lantadze", is_guardian="on"))
    release.refresh_from_db()
    assert release.is_signed_by_guardian
    assert (
        "Maro Lantadze signed beside them"
        in client_for(owner).get(reverse("release_page", args=[release.pk])).content.decode()
    )


def test_the_guardian_goes_on_alone_where_the_other_does_not_sign(client_for):
    release = offered_release(
        is_minor=True, guardian_name="Ilo Lantadze", minor_signs=True, signer_email="ilo@walnut-lantern.example"
    )
    page = client_for(None).get(link_to(release) + "?alone=yes").content.decode()
    assert "Auch das gilt." in page
    assert 'name="agree"' in page
    client_for(None).post(link_to(release) + "?alone=yes", yes(release, signer_name="Ilo Lantadze", is_guardian="on"))
    release.refresh_from_db()
    assert (release.is_signed_by_guardian, release.minor_signed_at) == (True, None)


def test_a_witness_signs_on_the_same_page(client_for):
    release = offered_release(asks_witness=True)
    assert client_for(None).post(link_to(release), yes(release)).status_code == 422
    client_for(None).post(link_to(release), yes(release, witness_name="Oda Fenwick", witness_signature=SIGNATURE))
    release.refresh_from_db()
    assert (release.state, release.witness_name) == ("signed", "Oda Fenwick")


def test_one_release_for_several_shoots_is_made_and_shown_with_each(client_for, owner):
    studio, shoot = client_for(owner), shoot_with_cook()
    other = ShootFactory(client=shoot.client, licensee=shoot.licensee, title="Spring menu")
    given = {
        **first_choices(shoot),
        "scope": "house",
        "signer": "",
        "is_minor": "",
        "reach": "named",
        "also_for": [other.pk],
    }
    made = studio.post(reverse("new_release", args=[shoot.pk]), given)
    page = studio.get(made.url).content.decode()
    for each in (shoot, other):
        assert reverse("shoot_page", args=[each.pk]) in page


def test_a_wish_for_a_release_fills_the_form(client_for, owner):
    studio, shoot = client_for(owner), shoot_with_cook()
    other = ShootFactory(client=shoot.client, licensee=shoot.licensee)
    stranger = PersonFactory(name="Oda Fenwick")
    wish = f"?about=person:{stranger.pk}&scope=named&class=stock&medium=print.ad&territory=AT&last_on=2027-12-31&also={other.pk}"
    form = studio.get(reverse("new_release", args=[shoot.pk]) + wish).context["form"]
    assert form["about"].value() == f"person:{stranger.pk}"
    assert f"person:{stranger.pk}" in dict(form.fields["about"].choices)
    found = {name: form[name].value() for name in ("scope", "classes", "media", "territories", "reach", "also_for")}
    assert found == {
        "scope": "named", "classes": ["stock"], "media": ["print.ad"], "territories": ["AT"], "reach": "named", "also_for": [other.pk],
    }  # fmt: skip
    assert form["last_on"].value().isoformat() == "2027-12-31"


def test_a_paper_signed_with_a_pen_is_withdrawn_like_any_other(client_for, owner):
    release = signed_print()
    client_for(owner).post(reverse("withdraw_release", args=[release.pk]), {"reason": "Left the house"})
    release.refresh_from_db()
    assert release.state == "withdrawn"
