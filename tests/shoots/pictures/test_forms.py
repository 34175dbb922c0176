import pytest

from shoots.pictures.forms import PersonShownForm, PictureFilter, PictureForm, PropertyShownForm, TickedForm, UploadForm
from tests.factories.pictures import picture_of
from tests.factories.plan import ShotFactory
from tests.factories.releases import offered_release, shoot_with_cook
from tests.factories.shoots import AgreedPictureFactory

pytestmark = pytest.mark.django_db


def test_a_picture_can_keep_only_promises_of_its_own_shoot():
    shoot = shoot_with_cook()
    mine, other = AgreedPictureFactory(shoot=shoot), AgreedPictureFactory()
    picture = picture_of(shoot)
    form = PictureForm({"version": 1, "agreed": [other.pk]}, instance=picture)
    assert "agreed" in form.errors
    assert PictureForm({"version": 1, "agreed": [mine.pk]}, instance=picture).is_valid()


def test_what_was_substituted_in_the_shot_is_not_typed_again():
    shoot = shoot_with_cook()
    picture = picture_of(shoot)
    picture.shots.add(
        ShotFactory(shoot=shoot, substitution="something", substituted_what="ice cream", substituted_by="mashed potato", substituted_why="it melts")
    )  # fmt: skip
    assert PictureForm(instance=picture)["substituted"].value() == "ice cream, by mashed potato: it melts"
    picture.substituted = "the steam"
    assert PictureForm(instance=picture)["substituted"].value() == "the steam"
    assert not PictureForm(instance=picture_of(shoot, seed=1))["substituted"].value()


def test_a_thing_needs_its_name_and_a_person_is_one_of_the_shoot():
    shoot = shoot_with_cook()
    assert "description" in PropertyShownForm({"what": "thing"}, shoot=shoot).errors
    place = PropertyShownForm({"what": "kitchen"}, shoot=shoot)
    assert place.is_valid()
    assert place.chosen() == {"kitchen": shoot.kitchen, "description": ""}
    assert "person" in PersonShownForm({"person": 999, "recognisable": "yes"}, shoot=shoot).errors


@pytest.mark.parametrize(("age", "is_minor"), [("", None), ("adult", False), ("minor", True)])
def test_age_is_asked_and_may_stay_as_it_was(age, is_minor):
    shoot = shoot_with_cook()
    cook = shoot.people.get().person
    form = PersonShownForm({"person": cook.pk, "recognisable": "yes", "age": age}, shoot=shoot)
    assert form.is_valid(), form.errors
    assert form.answer() == {"person": cook, "recognisable": "yes", "remark": "", "is_minor": is_minor}


def test_a_thing_that_a_release_names_is_chosen_not_typed_again():
    shoot = shoot_with_cook()
    cook = shoot.people.get().person
    offered_release(shoot, kind="property", person=None, signer=cook, property_description="The blue plates")
    form = PropertyShownForm({"what": "thing-0", "description": "Something else"}, shoot=shoot)
    assert ("thing-0", "The blue plates") in form.fields["what"].choices
    assert form.is_valid()
    assert form.chosen() == {"kitchen": None, "description": "The blue plates"}


def test_small_forms():
    shoot = shoot_with_cook()
    assert PictureFilter({"missing": "people"}).is_valid()
    assert "files" in UploadForm({}, {}).errors
    assert "pictures" in TickedForm({"deed": "choose"}, shoot=shoot).errors
