from datetime import UTC, datetime, time

from shoots.plan.queries import sheet_words
from shoots.plan.snapshot import CookDish, CookLine, CookSheet, CueSaid, DishAllergens


def sheet(cook, studio, dishes=()):
    return CookSheet(
        shoot="Winter menu", house="Walnut Lantern", cook="Maro Lantadze", day=None, from_time=None, until_time=None, first_call=None,
        place="", cook_language=cook, studio_language=studio, dishes=dishes, words=sheet_words(), now=CueSaid("jetzt", "now"),
        stop=CueSaid("Stopp", "stop"), photographer="", phone="", made_at=datetime(2026, 11, 12, tzinfo=UTC), identifier="1",
    )  # fmt: skip


def dish(name, *lines):
    return CookDish(name, 4, DishAllergens(name), tuple(CookLine(what, at, hold_back=back) for what, at, back in lines))


def test_the_cooks_language_stands_first_and_one_language_stands_once():
    assert sheet("de", "en").languages == ("de", "en")
    assert sheet("en", "en").languages == ("en",)


def test_moments_stand_as_the_day_brings_them_whichever_dish_they_are_of():
    stew = dish("Bean stew", ("Fry", time(9, 30), "lid"), ("Sprinkle", None, "parsley"), ("Lift", time(11), "lid"))
    boat = dish("Bread boat", ("Yolk", time(10), "four eggs"), ("Tear", time(10, 15), ""))
    made = sheet("de", "en", (stew, boat))
    in_order = [(name, [line.what for line in lines]) for _, name, lines in made.in_order]
    assert in_order == [("Bean stew", ["Fry"]), ("Bread boat", ["Yolk", "Tear"]), ("Bean stew", ["Lift", "Sprinkle"])]
    assert made.is_timed
    assert (stew.first_at, boat.first_at) == (time(9, 30), time(10))
    assert stew.held_back == (("Fry", "lid"), ("Sprinkle", "parsley"), ("Lift", "lid"))


def test_without_times_the_dishes_stand_as_they_are_listed():
    made = sheet("de", "en", (dish("Stew", ("Fry", None, "")), dish("Boat", ("Yolk", None, ""))))
    assert [name for _, name, _ in made.in_order] == ["Stew", "Boat"]
    assert not made.is_timed


def test_moments_of_the_second_day_stand_after_all_of_the_first():
    """Nine o'clock tomorrow comes after eleven today."""
    stew = CookDish("Bean stew", 4, DishAllergens("Bean stew"), (CookLine("Fry", at=time(11)), CookLine("Stir")))
    boat = CookDish("Bread boat", 4, DishAllergens("Bread boat"), (CookLine("Tear", at=time(9), day=2),))
    made = sheet("de", "en", (boat, stew))
    assert made.has_days
    assert [(day, name) for day, name, _ in made.in_order] == [
        (1, "Bean stew"),
        (2, "Bread boat"),
        (0, "Bean stew"),
    ]  # 0: Stir has no time yet
    assert (boat.first_day, boat.first_at) == (2, time(9))
    assert not sheet("de", "en", (stew,)).has_days
