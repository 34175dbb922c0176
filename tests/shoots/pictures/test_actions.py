import hashlib

import pytest
from django.conf import settings

from shared.edits import EditedMeanwhile
from shared.files.models import StoredFile
from shared.files.refusals import FileTypeRefused, PictureRefused
from shoots.pictures.actions import (
    PictureAlreadyHere,
    check_pictures,
    choose_pictures,
    describe_picture,
    name_person,
    name_property,
    say_nobody_is_shown,
    say_nothing_is_shown,
    take_in_picture,
    take_person_out,
    take_property_out,
)
from shoots.pictures.models import Picture
from tests.factories.clients import PersonFactory
from tests.factories.pictures import AT, grey_jpeg, picture_of
from tests.factories.shared import BusinessProfileFactory
from tests.factories.shoots import AgreedPictureFactory, ShootFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def shoot():
    BusinessProfileFactory()
    return ShootFactory(client__name="Walnut Lantern")


def test_a_picture_is_kept_byte_for_byte_and_numbered(shoot):
    data = grey_jpeg(taken="2026:11:14 12:40:05", offset="+01:00")
    picture = take_in_picture(shoot, data=data, name="DSC_0018.jpg", at=AT)
    assert (picture.number, picture.width, picture.original_name) == ("WL-1126-001", 300, "DSC_0018.jpg")
    assert picture.original.read_bytes() == data
    assert picture.sha256 == hashlib.sha256(data).hexdigest()
    assert picture.thumbnail.read_bytes().startswith(b"\xff\xd8\xff")


def test_the_same_file_is_taken_in_once(shoot):
    take_in_picture(shoot, data=grey_jpeg(), name="a.jpg", at=AT)
    with pytest.raises(PictureAlreadyHere, match="WL-1126-001"):
        take_in_picture(shoot, data=grey_jpeg(), name="b.jpg", at=AT)
    assert take_in_picture(shoot, data=grey_jpeg(seed=2), name="c.jpg", at=AT).number == "WL-1126-002"


@pytest.mark.parametrize(
    ("data", "error"),
    [
        (grey_jpeg()[:-400], PictureRefused),
        (b"#!/bin/sh", FileTypeRefused),
        (b"GIF89a" + b"\x00" * 40, FileTypeRefused),
    ],
)
def test_a_cut_off_or_foreign_file_is_refused_and_nothing_is_written(shoot, data, error):
    with pytest.raises(error):
        take_in_picture(shoot, data=data, name="x.jpg", at=AT)
    assert not Picture.objects.exists()
    assert not StoredFile.objects.exists()


def test_a_format_that_cannot_be_delivered_is_refused(shoot):
    import io

    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (20, 20)).save(out, "BMP")
    with pytest.raises(FileTypeRefused):
        take_in_picture(shoot, data=out.getvalue(), name="x.bmp", at=AT)


def test_people_are_an_open_question_until_someone_looked(shoot):
    picture, cook = picture_of(shoot), PersonFactory()
    assert picture.people == "not_assessed"
    name_person([picture], cook, recognisable="ask", remark="ring")
    picture.refresh_from_db()
    assert (picture.people, picture.persons_shown.get().remark) == ("listed", "ring")
    take_person_out(picture.persons_shown.get())
    picture.refresh_from_db()
    assert picture.people == "not_assessed"
    say_nobody_is_shown([picture])
    picture.refresh_from_db()
    assert picture.people == "none"


def test_places_and_things_are_asked_the_same_way(shoot):
    picture = picture_of(shoot)
    name_property([picture], kitchen=shoot.kitchen)
    name_property([picture], description="The painting")
    picture.refresh_from_db()
    assert (picture.properties, picture.properties_shown.count()) == ("listed", 2)
    for shown in picture.properties_shown.all():
        take_property_out(shown)
    picture.refresh_from_db()
    assert picture.properties == "not_assessed"
    say_nothing_is_shown([picture])
    picture.refresh_from_db()
    assert picture.properties == "none"


def test_a_picture_that_keeps_a_promise_is_chosen(shoot):
    promised, picture = AgreedPictureFactory(shoot=shoot), picture_of(shoot)
    describe_picture(picture, {"title": "Bread boat"}, agreed=[promised], version=1)
    picture.refresh_from_db()
    assert (picture.state, picture.title, list(picture.agreed_pictures.all())) == ("chosen", "Bread boat", [promised])
    with pytest.raises(EditedMeanwhile):
        describe_picture(picture, {"title": "Late"}, version=1)


def test_several_are_chosen_left_and_checked_at_once(shoot):
    pictures = [picture_of(shoot, seed=n) for n in range(3)]
    assert choose_pictures(pictures[:2], state="chosen") == 2
    assert choose_pictures(pictures[2:], state="left") == 1
    assert check_pictures(pictures) == 3
    assert Picture.objects.filter(is_checked=True).count() == 3


def test_the_files_lie_in_the_books_folder_only(shoot):
    assert settings.FILES_FOLDER in picture_of(shoot).original.path.parents


def test_under_age_is_said_once_for_all_pictures_of_a_shoot_and_of_that_shoot_alone(shoot):
    cook, elsewhere = PersonFactory(), picture_of(seed=9)
    one, other = picture_of(shoot, seed=1), picture_of(shoot, seed=2)
    name_person([one], cook, recognisable="yes", is_minor=True)
    name_person([other, elsewhere], cook, recognisable="yes")

    def minor(*pictures):
        return [picture.persons_shown.get().is_minor for picture in pictures]

    assert minor(one, other, elsewhere) == [True, True, False]
    name_person([one], cook, recognisable="no")  # said again without a word of age
    assert minor(one, other) == [True, True]
    name_person([other], cook, recognisable="yes", is_minor=False)
    assert minor(one, other) == [False, False]
