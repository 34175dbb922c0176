import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from shoots.brief.models import Shoot
from shoots.releases.forms import (
    AddressForm,
    BesideGuardianForm,
    DecisionForm,
    ForeignPaperForm,
    ReasonForm,
    ReleaseFilter,
    ReleaseForm,
    SignedPrintForm,
    SignForm,
)
from shoots.releases.queries import first_choices, shoots_to_name
from shoots.releases.signing import words_in
from tests.factories.clients import PersonFactory
from tests.factories.releases import SIGNATURE, offered_release, scan, shoot_with_cook
from tests.factories.shoots import ShootFactory, ShootPersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def shoot():
    return shoot_with_cook()


def typed(shoot, **change):
    return {**first_choices(shoot), "scope": "house", "signer": "", **change}


def test_the_cook_and_own_promotion_are_chosen_first(shoot):
    form = ReleaseForm(typed(shoot), shoot=shoot)
    assert form.is_valid(), form.errors
    chosen = form.chosen()
    assert (chosen["person"].name, chosen["own_promotion_of"], chosen["use_classes"]) == (
        "Maro Lantadze",
        shoot.licensee,
        {"advertising"},
    )


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"media": []}, "media"),
        ({"media": ["print.ad"]}, "media"),
        ({"scope": "named", "classes": []}, "classes"),
        ({"about": "thing", "thing": ""}, "thing"),
        ({"last_on": "31 Feb 2027"}, "last_on"),
        ({"last_on": "31 Dec 9999"}, "last_on"),
        ({"reach": "galaxy"}, "reach"),
        ({"about": "thing", "thing": "The plates", "reach": "all"}, "reach"),
        ({"about": "thing", "thing": "The plates", "is_minor": "on", "guardian_name": "Ilo Lantadze"}, "is_minor"),
        ({"guardian_name": "Ilo Lantadze"}, "is_minor"),
        ({"is_minor": "on", "email": ""}, "guardian_name"),
        ({"is_minor": "on", "guardian_name": "Ilo Lantadze", "email": "MARO@walnut-lantern.example"}, "email"),
        ({"is_minor": "on", "guardian_name": "Ilo Lantadze", "email": "", "reach": "house"}, "reach"),
    ],
)
def test_what_cannot_be_is_said_under_its_field(shoot, change, field):
    form = ReleaseForm(typed(shoot, **change), shoot=shoot)
    assert not form.is_valid()
    assert field in form.errors


def test_which_pictures_it_counts_for_is_this_shoot_until_somebody_says_more(shoot):
    form = ReleaseForm(typed(shoot), shoot=shoot)
    assert form.is_valid()
    assert form.chosen()["reach"] == "shoot"
    wider = ReleaseForm(typed(shoot, reach="house"), shoot=shoot)
    assert wider.is_valid()
    assert wider.chosen()["reach"] == "house"


def test_a_guardian_signs_instead_of_somebody_under_age(shoot):
    start = first_choices(shoot, is_minor=True)
    assert (start["is_minor"], start["email"], start["about"]) == (True, "", first_choices(shoot)["about"])
    form = ReleaseForm({**start, "scope": "house", "signer": "", "guardian_name": "Ilo Lantadze"}, shoot=shoot)
    assert form.is_valid(), form.errors
    chosen = form.chosen()
    assert (chosen["person"].name, chosen["signer"], chosen["guardian_name"]) == ("Maro Lantadze", None, "Ilo Lantadze")


def test_a_guardian_may_be_somebody_of_the_books_but_not_the_person_themselves(shoot):
    cook, parent = shoot.people.get().person, PersonFactory(name="Ilo Lantadze")
    ShootPersonFactory(shoot=shoot, person=parent)
    about = {"about": f"person:{cook.pk}", "is_minor": "on", "email": ""}
    chosen = ReleaseForm(typed(shoot, **about, signer=parent.pk), shoot=shoot)
    assert chosen.is_valid(), chosen.errors
    assert (chosen.chosen()["signer"], chosen.chosen()["guardian_name"]) == (parent, "Ilo Lantadze")
    assert "signer" in ReleaseForm(typed(shoot, **about, signer=cook.pk), shoot=shoot).errors


def capacity(form):
    assert form.is_valid(), form.errors
    return form.answer()["capacity"]


def test_only_a_guardian_is_asked_whether_they_are_one(shoot):
    assert "is_guardian" not in sign(offered_release(shoot)).fields
    release = offered_release(shoot, is_minor=True, guardian_name="Ilo Lantadze")
    assert capacity(sign(release, is_guardian="on")) == "guardian"
    assert capacity(sign(release)) == "self"  # and the action refuses it


def test_a_thing_named_on_a_picture_is_written_down_as_it_is_called_there(shoot):
    assert first_choices(shoot, about="thing", thing="The blue plates")["thing"] == "The blue plates"


def test_a_decision_that_ends_some_uses_says_which():
    assert DecisionForm({"decision": "keep"}).is_valid()
    assert "words" in DecisionForm({"decision": "some"}).errors
    assert "decision" in DecisionForm({"decision": "maybe"}).errors


def test_a_place_needs_somebody_who_signs_for_it(shoot):
    form = ReleaseForm(typed(shoot, about=f"kitchen:{shoot.kitchen_id}"), shoot=shoot)
    assert not form.is_valid()
    assert "signer" in form.errors


def sign(release, **change):
    given = {
        "text_sha256": release.text_sha256,
        "signer_name": "Maro Lantadze",
        "is_of_full_age": "on",
        "has_read": "on",
        "signature": SIGNATURE,
    }
    return SignForm({**given, **change}, release=release, labels=words_in(("de", "en")))


def test_a_drawn_signature_is_enough(shoot):
    form = sign(offered_release(shoot))
    assert form.is_valid(), form.errors
    assert form.answer()["typed_name"] == ""


def test_a_typed_name_counts_once_it_is_ticked(shoot):
    release = offered_release(shoot)
    assert "typed_counts" in sign(release, signature="").errors
    form = sign(release, signature="", typed_counts="on")
    assert form.is_valid()
    assert form.answer()["typed_name"] == "Maro Lantadze"


def test_a_signature_that_is_no_drawing_is_refused(shoot):
    assert "signature" in sign(offered_release(shoot), signature="M0 0L1 1<script>").errors


def test_small_forms_ask_for_their_one_thing():
    assert "reason" in ReasonForm({"reason": ""}).errors
    assert "email" in AddressForm({"email": "maro@"}).errors
    assert ReleaseFilter({"state": "signed"}).is_valid()


# Beside the guardian, by the studio's own age


@pytest.mark.parametrize(
    ("studio", "age", "signs"),
    [(14, "13", False), (14, "14", True), (14, "17", True), (None, "17", False), (14, "", False)],
)
def test_from_the_studio_s_age_on_somebody_under_age_signs_beside_the_guardian(shoot, studio, age, signs):
    form = ReleaseForm(
        typed(shoot, is_minor="on", guardian_name="Ilo Lantadze", email="", minor_age=age),
        shoot=shoot,
        minor_signs_from=studio,
    )
    assert form.is_valid(), form.errors
    assert form.chosen()["minor_signs"] is signs
    assert "Local law differs." in form.fields["minor_age"].help_text


def test_an_age_is_asked_only_of_somebody_under_age(shoot):
    assert "minor_age" in ReleaseForm(typed(shoot, minor_age="15"), shoot=shoot).errors


def test_the_one_under_age_draws_or_lets_their_name_count():
    labels = words_in(("en",), minor="Nino Lantadze", guardian="Ilo Lantadze")
    given = {"text_sha256": "ab", "has_read": "on", "signature": SIGNATURE}
    drawn, silent = (
        BesideGuardianForm(given, labels=labels),
        BesideGuardianForm({**given, "signature": ""}, labels=labels),
    )
    assert drawn.is_valid()
    assert drawn.answer("Nino")["typed_name"] == ""
    assert "typed_counts" in silent.errors
    named = BesideGuardianForm({**given, "signature": "", "typed_counts": "on"}, labels=labels)
    assert named.is_valid()
    assert named.answer("Nino")["typed_name"] == "Nino"


@pytest.mark.parametrize(
    ("given", "is_fine"),
    [
        ({}, False),
        ({"witness_name": "Oda Fenwick"}, False),
        ({"witness_signature": SIGNATURE}, False),
        ({"witness_name": "Oda Fenwick", "witness_signature": SIGNATURE}, True),
        ({"witness_name": "Oda Fenwick", "witness_typed": "on"}, True),
    ],
)
def test_a_witness_who_is_asked_for_has_a_name_and_signs(shoot, given, is_fine):
    form = sign(offered_release(shoot, asks_witness=True), **given)
    assert form.is_valid() is is_fine
    assert bool({"witness_name", "witness_typed"} & set(form.errors)) is not is_fine


# Several shoots


def several(shoot, **change):
    return ReleaseForm(typed(shoot, reach="named", **change), shoot=shoot, others=shoots_to_name(shoot))


def test_other_shoots_of_the_house_are_named_with_their_days(shoot):
    other = ShootFactory(client=shoot.client, licensee=shoot.licensee)
    strange = ShootFactory()
    assert list(shoots_to_name(shoot)) == [other]
    form = several(shoot, also_for=[other.pk])
    assert form.is_valid(), form.errors
    assert (form.chosen()["reach"], form.chosen()["also_for"]) == ("named", [other])
    assert "also_for" in several(shoot).errors
    assert "also_for" in several(shoot, also_for=[strange.pk]).errors
    assert (
        "also_for" in ReleaseForm(typed(shoot, also_for=[other.pk]), shoot=shoot, others=shoots_to_name(shoot)).errors
    )


def test_a_shoot_of_another_house_with_the_same_cook_may_be_named_but_not_for_a_thing(shoot):
    elsewhere = ShootPersonFactory(shoot=ShootFactory(), person=shoot.people.get().person).shoot
    assert several(shoot, also_for=[elsewhere.pk]).is_valid()
    plates = several(shoot, about="thing", thing="Plates", signer=shoot.people.get().person_id, also_for=[elsewhere.pk])
    assert "another house" in str(plates.errors["also_for"])


def test_a_shoot_alone_offers_no_others(shoot):
    form = ReleaseForm(typed(shoot), shoot=shoot, others=Shoot.objects.none())
    assert "also_for" not in form.fields
    assert "named" not in dict(form.fields["reach"].choices)


def test_whom_a_page_asked_about_need_not_be_named_for_the_shoot(shoot):
    stranger = PersonFactory(name="Oda Fenwick")
    about = {"about": f"person:{stranger.pk}"}
    assert "about" in ReleaseForm(typed(shoot, **about), shoot=shoot).errors
    form = ReleaseForm(typed(shoot, **about), shoot=shoot, wanted=stranger)
    assert form.is_valid(), form.errors
    assert form.chosen()["person"] == stranger


# Signed with a pen


def upload(name="paper.pdf"):
    return SimpleUploadedFile(name, scan())


def print_form(release, files=None, **change):
    given = {"has_same_text": "on", "signer_name": "Maro Lantadze", "capacity": "self", "signed_on": "14 Nov 2026"}
    return SignedPrintForm({**given, **change}, {"sheets": files if files is not None else [upload()]}, release=release)


def test_a_signed_print_says_who_signed_and_when(shoot):
    form = print_form(offered_release(shoot))
    assert form.is_valid(), form.errors
    assert form.how_signed()["signed_on"].isoformat() == "2026-11-14"
    assert "minor_signed" not in form.fields


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"has_same_text": ""}, "has_same_text"),
        ({"signer_name": ""}, "signer_name"),
        ({"signed_on": "31 Feb 2026"}, "signed_on"),
        ({"signed_on": ""}, "signed_on"),
        ({"capacity": "guardian"}, "capacity"),
        ({"files": []}, "sheets"),
    ],
)
def test_a_signed_print_with_a_mistake_says_so_and_asks_for_the_file_again(shoot, change, field):
    form = print_form(offered_release(shoot), **change)
    form.ask_for_files_again()
    assert field in form.errors
    assert "sheets" in form.errors


def test_a_paper_of_somebody_under_age_bears_the_guardian_and_perhaps_them(shoot):
    release = offered_release(shoot, is_minor=True, guardian_name="Ilo Lantadze")
    form = print_form(release, signer_name="Ilo Lantadze", capacity="guardian", minor_signed="on")
    assert form.is_valid(), form.errors
    assert (form.how_signed()["capacity"], form.how_signed()["minor_signed"]) == ("guardian", True)


def test_where_a_witness_was_asked_for_the_paper_names_one(shoot):
    assert "witness_name" in print_form(offered_release(shoot, asks_witness=True)).errors


def paper_form(shoot, files=None, **change):
    given = {
        **first_choices(shoot), "scope": "named", "classes": ["stock"], "media": ["print"], "paper_wording": "Consent of the house, 2025",
        "signer_name": "Maro Lantadze", "capacity": "self", "signed_on": "9 Mar 2025",
    }  # fmt: skip
    return ForeignPaperForm({**given, **change}, {"sheets": files or [upload()]}, shoot=shoot)


def test_a_foreign_paper_has_its_limits_typed(shoot):
    form = paper_form(shoot, first_on="1 Apr 2025", last_on="31 Dec 2029")
    assert form.is_valid(), form.errors
    recorded = form.recorded()
    assert (recorded["use_classes"], recorded["use_media"]) == ({"stock"}, {"print"})
    assert (recorded["use_from"].isoformat(), recorded["use_until"].isoformat()) == ("2025-04-01", "2030-01-01")
    assert recorded["signer"] == recorded["person"]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"paper_wording": ""}, "paper_wording"),
        ({"classes": []}, "classes"),
        ({"first_on": "1 Apr 2027", "last_on": "1 Apr 2026"}, "last_on"),
        ({"capacity": "owner"}, "capacity"),
        ({"is_minor": "on"}, "capacity"),
        ({"minor_signed": "on"}, "minor_signed"),
        ({"about": "thing", "thing": ""}, "thing"),
        ({"last_on": "31 Dec 9999"}, "last_on"),
    ],
)
def test_a_foreign_paper_with_a_mistake_says_so_under_its_field(shoot, change, field):
    assert field in paper_form(shoot, **change).errors


def test_the_guardian_of_a_foreign_paper_is_who_signed_it(shoot):
    form = paper_form(
        shoot, is_minor="on", capacity="guardian", signer_name="Ilo Lantadze", minor_signed="on", email=""
    )
    assert form.is_valid(), form.errors
    recorded = form.recorded()
    assert (recorded["guardian_name"], recorded["is_minor"], recorded["minor_signed"]) == ("Ilo Lantadze", True, True)


def test_the_owner_of_a_place_on_a_foreign_paper_need_not_be_in_the_books(shoot):
    form = paper_form(shoot, about=f"kitchen:{shoot.kitchen_id}", capacity="for_owner", signer_name="Oda Fenwick")
    assert form.is_valid(), form.errors
    assert (form.recorded()["kitchen"], form.recorded()["signer"]) == (shoot.kitchen, None)
