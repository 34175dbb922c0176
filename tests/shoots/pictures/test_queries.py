import pytest

from shoots.pictures.actions import name_person, name_property, say_nothing_is_shown
from shoots.pictures.queries import (
    agreed_to_fulfil,
    counts_of,
    people_to_name,
    picture_in_full,
    pictures_listed,
    pictures_of,
    shown_with_releases,
    subjects_of,
)
from tests.factories.pictures import picture_of
from tests.factories.releases import shoot_with_cook, signed_release
from tests.factories.shoots import AgreedPictureFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def shoot():
    return shoot_with_cook()


def test_pictures_are_found_by_word_state_and_what_is_missing(shoot):
    chosen, new = (
        picture_of(shoot, seed=1, title="Bread boat", state="chosen", caption="A boat", is_checked=True),
        picture_of(shoot, seed=2),
    )
    assert list(pictures_listed(text="boat")) == [chosen]
    assert list(pictures_listed(state="new", shoot=shoot)) == [new]
    assert list(pictures_listed(missing="caption")) == [new]
    assert list(pictures_listed(missing="check")) == [new]
    assert pictures_listed(missing="people").count() == 2
    assert counts_of(shoot) == {"all": 2, "chosen": 1, "unassessed": 2}
    assert picture_in_full(new.pk).get() == new
    assert set(pictures_of(shoot)) == {chosen, new}


def test_the_cook_comes_first_and_promises_left_out_are_not_offered(shoot):
    kept = AgreedPictureFactory(shoot=shoot)
    AgreedPictureFactory(shoot=shoot, state="left_out")
    assert [person.name for person in people_to_name(shoot)] == ["Maro Lantadze"]
    assert list(agreed_to_fulfil(shoot)) == [kept]


def test_clearance_asks_of_people_with_the_release_that_speaks_for_them(shoot):
    picture = picture_of(shoot)
    cook = people_to_name(shoot)[0]
    name_person([picture], cook, recognisable="yes")
    say_nothing_is_shown([picture])
    release = signed_release(shoot)
    picture.refresh_from_db()
    people, things = subjects_of([picture])[picture.pk]
    assert [(subject.id, subject.release.is_signed) for subject in people] == [(str(cook.pk), True)]
    assert things == []
    assert shown_with_releases(picture)["persons"][0][1] == release


def test_what_nobody_looked_at_is_not_assessed_and_a_thing_has_no_release(shoot):
    picture = picture_of(shoot)
    assert subjects_of([picture])[picture.pk] == (None, None)
    name_property([picture], description="The painting")
    picture.refresh_from_db()
    assert subjects_of([picture])[picture.pk][1][0].release is None


def test_the_question_costs_the_same_for_one_and_for_five(shoot, django_assert_num_queries):
    cook = people_to_name(shoot)[0]
    pictures = [picture_of(shoot, seed=n) for n in range(5)]
    name_person(pictures, cook, recognisable="yes")
    for some in (pictures[:1], pictures):
        found = list(
            picture_in_full(0)
            .model.objects.filter(pk__in=[each.pk for each in some])
            .prefetch_related("persons_shown", "properties_shown")
        )
        with django_assert_num_queries(1):
            subjects_of(found)
