import pytest

from shoots.pictures.forms import PersonShownForm, PictureFilter, PictureForm, PropertyShownForm, TickedForm, UploadForm
from tests.factories.pictures import picture_of
from tests.factories.releases import shoot_with_cook
from tests.factories.shoots import AgreedPictureFactory

pytestmark = pytest.mark.django_db


def test_a_picture_can_keep_only_promises_of_its_own_shoot():
    shoot = shoot_with_cook()
    mine, other = AgreedPictureFactory(shoot=shoot), AgreedPictureFactory()
    picture = picture_of(shoot)
    form = PictureForm({"version": 1, "agreed": [other.pk]}, instance=picture)
    assert "agreed" in form.errors
    assert PictureForm({"version": 1, "agreed": [mine.pk]}, instance=picture).is_valid()


def test_a_thing_needs_its_name_and_a_person_is_one_of_the_shoot():
    shoot = shoot_with_cook()
    assert "description" in PropertyShownForm({"what": "thing"}, shoot=shoot).errors
    place = PropertyShownForm({"what": "kitchen"}, shoot=shoot)
    assert place.is_valid()
    assert place.chosen() == {"kitchen": shoot.kitchen, "description": ""}
    assert "person" in PersonShownForm({"person": 999, "recognisable": "yes"}, shoot=shoot).errors


def test_small_forms():
    shoot = shoot_with_cook()
    assert PictureFilter({"missing": "people"}).is_valid()
    assert "files" in UploadForm({}, {}).errors
    assert "pictures" in TickedForm({"deed": "choose"}, shoot=shoot).errors
