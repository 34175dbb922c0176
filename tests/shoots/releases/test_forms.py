import pytest

from shoots.releases.forms import AddressForm, ReasonForm, ReleaseFilter, ReleaseForm, SignForm
from shoots.releases.queries import first_choices
from shoots.releases.signing import words_in
from tests.factories.releases import SIGNATURE, offered_release, shoot_with_cook

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
    ],
)
def test_what_cannot_be_is_said_under_its_field(shoot, change, field):
    form = ReleaseForm(typed(shoot, **change), shoot=shoot)
    assert not form.is_valid()
    assert field in form.errors


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
