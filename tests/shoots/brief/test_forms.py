from datetime import date

import pytest

from shoots.brief.forms import (
    AddDishForm,
    AgreedPictureForm,
    CancelForm,
    DishForm,
    HoldForm,
    PartForm,
    PostponeForm,
    SellingOnForm,
    ShootForm,
    ShotForm,
    WantedPicturesForm,
    split_words,
)
from tests.factories.clients import ClientFactory, PersonFactory
from tests.factories.shoots import AgreedPictureFactory, DishFactory, ShootFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 10)
USE = {
    "use_kind": "own_promotion",
    "use_media": ["web.own"],
    "use_places": ["DE"],
    "use_months": "24",
    "exclusivity": "none",
}


def shoot_form(**typed) -> ShootForm:
    return ShootForm({"client": ClientFactory().pk, "title": "Winter menu", "version": "1", **USE, **typed})


def test_the_client_pays_and_uses_unless_another_house_is_named():
    form = shoot_form(dishes="Bread boat\n\n  Bean   stew ", pictures="From above")
    assert form.is_valid(), form.errors
    values = form.shoot_values()
    assert values["billing_party"] == values["licensee"] == values["client"]
    assert form.cleaned_data["dishes"] == ["Bread boat", "Bean stew"]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"first_on": "14 Nov 2026", "last_on": "13 Nov 2026"}, "last_on"),
        ({"first_on": "31 Nov 2026"}, "first_on"),
        ({"last_on": "13 Nov 2026"}, "first_on"),
        ({"first_on": "14.11.2026", "from_time": "15:00", "until_time": "9"}, "until_time"),
        ({"until_time": "9"}, "from_time"),
        ({"from_time": "25:00"}, "from_time"),
        ({"title": ""}, "title"),
        ({"dishes": "x" * 121}, "dishes"),
        ({"use_media": []}, "use_media"),
    ],
)
def test_what_cannot_be_is_said_under_its_field(typed, field):
    assert list(shoot_form(**typed).errors) == [field]


def test_the_day_of_a_confirmed_shoot_is_not_moved_in_passing():
    shoot = ShootFactory(state="confirmed")
    form = ShootForm(
        {"client": shoot.client_id, "title": "Winter menu", "version": "1", "first_on": "1 Dec 2026", **USE},
        instance=shoot,
    )
    assert form.is_valid(), form.errors
    assert form.cleaned_data["first_on"] == date(2026, 11, 14)


def test_days_are_held_forward_and_shot_backward():
    assert "held_until" in HoldForm({"held_until": "9 Nov 2026"}, today=TODAY).errors
    assert HoldForm({"held_until": ""}, today=TODAY).is_valid()
    assert "shot_on" in ShotForm({"shot_on": "11 Nov 2026"}, today=TODAY).errors
    assert ShotForm({"shot_on": "10 Nov 2026"}, today=TODAY).is_valid()


def test_a_postponed_shoot_has_its_days_in_order_and_a_cancelled_one_a_reason():
    assert "new_last_on" in PostponeForm({"new_first_on": "2 Dec 2026", "new_last_on": "1 Dec 2026"}).errors
    assert PostponeForm({}).is_valid()
    assert "reason" in CancelForm({}).errors


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"selling_on": "after"}, "after"),
        ({"selling_on": "not_to", "not_to": " , "}, "not_to"),
        ({"selling_on": "free", "note": ""}, "note"),
    ],
)
def test_selling_on_needs_what_its_sentence_names(typed, field):
    assert list(SellingOnForm({"note": "Maro by phone", **typed}).errors) == [field]


def test_words_are_split_and_each_kept_once():
    assert split_words("bakery, coffee;bakery\n tea  house") == ["bakery", "coffee", "tea house"]


def test_dishes_come_one_or_several_at_once():
    assert AddDishForm({"names": "Bread boat; Bean stew"}).is_valid()
    assert "names" in AddDishForm({"names": " ; "}).errors
    assert "names" in AddDishForm({"names": "x" * 121}).errors


def test_allergens_need_somebody_who_told_them():
    dish = DishFactory()
    assert list(DishForm({"name": "Stew", "allergens": "milk", "version": 1}, instance=dish).errors) == [
        "allergens_told_by"
    ]
    form = DishForm(
        {"name": "Stew", "allergens": "milk, egg", "allergens_told_by": "Maro", "version": 1}, instance=dish
    )
    assert form.is_valid()
    assert form.cleaned_data["allergens"] == ["milk", "egg"]
    assert "portions" in DishForm({"name": "Stew", "portions": "0", "version": 1}, instance=dish).errors


def test_pictures_come_one_a_line():
    form = WantedPicturesForm({"titles": "From above\nFrom the side"}, shoot=ShootFactory())
    assert form.is_valid()
    assert form.cleaned_data["titles"] == ["From above", "From the side"]
    assert "titles" in WantedPicturesForm({"titles": " \n "}, shoot=ShootFactory()).errors
    assert "61 lines" in WantedPicturesForm({"titles": "a\n" * 61}, shoot=ShootFactory()).errors["titles"][0]


def test_a_part_is_for_somebody_known_or_somebody_new():
    person = PersonFactory()
    assert PartForm({"person": person.pk, "part": "cook"}).is_valid()
    assert "person" in PartForm({"part": "cook"}).errors
    assert "name" in PartForm({"person": person.pk, "name": "Ivo", "part": "cook"}).errors
    assert "until_time" in PartForm({"name": "Ivo", "part": "cook", "from_time": "15", "until_time": "9"}).errors


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("4 x 5", "4:5"), ("16/9", "16:9"), ("1:1", "1:1"), ("a double  page", "a double page"), ("200 x 300 mm", "200 x 300 mm")],
)  # fmt: skip
def test_a_ratio_is_kept_as_ratios_are_said_and_own_words_as_they_are(typed, kept):
    form = AgreedPictureForm(
        {"version": 1, "title": "Cut open", "orientation": "any", "crop": typed}, instance=AgreedPictureFactory()
    )
    assert form.is_valid(), form.errors
    assert form.cleaned_data["crop"] == kept


def test_a_picture_says_what_its_frame_has_to_be():
    picture = AgreedPictureFactory(orientation="upright", crop="4:5", space_for_type="top")
    assert picture.asks == "upright, 4:5, space for type at the top"
    assert AgreedPictureFactory().asks == ""
