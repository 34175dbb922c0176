import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from shoots.pictures.models import Picture
from tests.factories.pictures import grey_jpeg, picture_of
from tests.factories.releases import shoot_with_cook

pytestmark = pytest.mark.django_db


@pytest.fixture
def shoot():
    return shoot_with_cook()


@pytest.fixture
def studio(client_for, assistant):
    return client_for(assistant)


def jpeg(name="a.jpg", seed=0):
    return SimpleUploadedFile(name, grey_jpeg(seed=seed), content_type="image/jpeg")


def test_one_file_sent_by_the_script_is_answered_with_its_number(studio, shoot):
    answer = studio.post(reverse("take_in_picture", args=[shoot.pk]), {"file": jpeg()})
    assert answer.json()["say"] == "Taken in as WL-1126-001."


def test_a_file_that_is_no_picture_is_answered_with_a_sentence(studio, shoot):
    answer = studio.post(
        reverse("take_in_picture", args=[shoot.pk]), {"file": SimpleUploadedFile("a.jpg", b"not a picture")}
    )
    assert 400 <= answer.status_code < 500
    assert "a.jpg" in answer.json()["say"]
    assert studio.post(reverse("take_in_picture", args=[shoot.pk]), {}).status_code == 400


def test_without_script_all_files_come_in_one_form(studio, shoot):
    answer = studio.post(
        reverse("shoot_pictures", args=[shoot.pk]),
        {"files": [jpeg("a.jpg", 1), jpeg("b.jpg", 2), jpeg("c.jpg", 2)]},
        follow=True,
    )
    assert Picture.objects.count() == 2
    assert "2 of 3 taken in." in answer.content.decode()
    assert "is here already" in answer.content.decode()


@pytest.mark.parametrize(
    ("deed", "field", "value"),
    [
        ("choose", "state", "chosen"),
        ("leave", "state", "left"),
        ("check", "is_checked", True),
        ("nobody", "people", "none"),
        ("nothing", "properties", "none"),
        ("place", "properties", "listed"),
        ("person", "people", "listed"),
    ],
)
def test_ticked_pictures_are_marked_together(studio, shoot, deed, field, value):
    pictures = [picture_of(shoot, seed=n) for n in range(2)]
    cook = shoot.people.get().person
    studio.post(
        reverse("mark_pictures", args=[shoot.pk]),
        {"pictures": [each.pk for each in pictures], "deed": deed, "person": cook.pk},
    )
    assert [getattr(each, field) for each in Picture.objects.all()] == [value, value]


def test_nothing_ticked_is_said(studio, shoot):
    answer = studio.post(reverse("mark_pictures", args=[shoot.pk]), {"deed": "choose"}, follow=True)
    assert "no picture is ticked" in answer.content.decode()


def test_words_are_saved_and_a_stale_form_is_told(studio, shoot):
    picture = picture_of(shoot)
    path = reverse("picture_page", args=[picture.pk])
    assert studio.post(path, {"version": 1, "title": "Bread boat"}).status_code == 302
    late = studio.post(path, {"version": 1, "title": "Other title"})
    assert late.status_code == 422
    assert b"Other title" in late.content
    picture.refresh_from_db()
    assert picture.title == "Bread boat"


def test_the_page_of_a_picture_asks_who_and_what_is_in_it(studio, shoot):
    picture, cook = picture_of(shoot), shoot.people.get().person
    path = reverse("assess_picture", args=[picture.pk])
    studio.post(path, {"answer": "person", "person-person": cook.pk, "person-recognisable": "yes"})
    studio.post(path, {"answer": "property", "property-what": "thing", "property-description": "Painting"})
    said = studio.get(reverse("picture_page", args=[picture.pk])).content.decode()
    assert "Ask for a release" in said
    studio.post(path, {"answer": "person_out", "shown": picture.persons_shown.get().pk})
    studio.post(path, {"answer": "property_out", "shown": picture.properties_shown.get().pk})
    for answer in ("nobody", "nothing", "person"):
        studio.post(path, {"answer": answer})
    picture.refresh_from_db()
    assert (picture.people, picture.properties) == ("none", "none")


def test_files_are_shown_to_the_studio_only(client_for, accountant, studio, shoot):
    picture = picture_of(shoot)
    for name in ("picture_thumbnail", "picture_preview", "picture_original"):
        path = reverse(name, args=[picture.pk])
        assert b"".join(studio.get(path).streaming_content).startswith(b"\xff\xd8")
        assert client_for(accountant).get(path).status_code == 403
        assert client_for(None).get(path).status_code == 302


def test_the_line_of_the_end_of_the_day_counts_pictures_and_claims_nothing_of_copies(studio, shoot):
    picture_of(shoot)
    said = studio.get(reverse("shoot_pictures_line", args=[shoot.pk])).content.decode()
    assert "1 picture of this shoot is in the books. They cannot know of copies" in said


def test_lists_and_the_panel_name_the_picture(studio, shoot):
    picture = picture_of(shoot)
    for path in (reverse("pictures") + "?text=WL-1126", reverse("shoot_pictures_panel", args=[shoot.pk])):
        assert picture.number in studio.get(path).content.decode()
