import pytest

from shoots.releases.forms import AddressForm, DecisionForm, ReasonForm, ReleaseFilter, ReleaseForm, SignForm
from shoots.releases.queries import first_choices
from shoots.releases.signing import words_in
from tests.factories.clients import PersonFactory
from tests.factories.releases import SIGNATURE, offered_release, shoot_with_cook
from tests.factories.shoots import ShootPersonFactory

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
