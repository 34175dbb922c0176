from datetime import date, time

import pytest

from shoots.plan.queries import (
    allergen_words,
    bench_of,
    cue_words,
    ingredients_of,
    kitchen_lexicon,
    lines_of,
    moment_draft,
    promised_and_skipped,
    shots_of,
    time_left,
    without_substitution_answer,
)
from tests.factories.plan import MomentFactory, ShotFactory, dish_read
from tests.factories.releases import shoot_with_cook
from tests.factories.shoots import AgreedPictureFactory, DishFactory


def test_the_lexicon_names_seventy_three_actions_with_cues_of_the_closed_list():
    actions = kitchen_lexicon().actions
    assert len(actions) == 73
    assert {cue for action in actions for cue in action.cues} <= set(cue_words())


def test_there_are_sixteen_cues_in_six_languages():
    assert len(cue_words()) == 16
    assert cue_words()["hold"].words == {"en": "hold still", "de": "so halten", "fr": "ne bougez plus", "es": "mantén así", "it": "tieni così", "sv": "håll still"}  # fmt: skip


def test_the_fourteen_allergens_stand_in_the_order_of_annex_ii():
    """Regulation (EU) No 1169/2011, Annex II, points 1 to 14; nine of them are on the US list (FALCPA 2004, FASTER Act 2021)."""
    allergens = allergen_words().allergens
    assert [allergen.annex_ii for allergen in allergens] == list(range(1, 15))
    assert {allergen.us for allergen in allergens} - {""} == {
        "wheat", "crustacean shellfish", "eggs", "fish", "peanuts", "soybeans", "milk", "tree nuts", "sesame",
    }  # fmt: skip


@pytest.mark.django_db
def test_a_cell_of_the_table_shows_three_shots_must_haves_first_and_counts_the_rest():
    shoot = shoot_with_cook()
    dish = DishFactory(shoot=shoot)
    nice = [ShotFactory(shoot=shoot, dish=dish, stage="ready", is_must=False) for _ in range(3)]
    must = [ShotFactory(shoot=shoot, dish=dish, stage="ready") for _ in range(2)]
    of_the_day = ShotFactory(shoot=shoot, dish=None, stage="")
    bench = bench_of(shots_of(shoot), [dish])
    [(_, [(shown, more)])] = bench["rows"]
    assert (shown, more) == ([nice[0], *must], 2)
    assert bench["others"] == [of_the_day]


@pytest.mark.django_db
def test_a_moment_says_to_the_shots_what_its_row_says():
    moment = MomentFactory(
        action="pour", angle="overhead", light="side", visible="red stream", interest=2, is_draft=True
    )
    draft = moment_draft(moment)
    assert (draft.angle, draft.light, draft.visible, draft.interest) == ("overhead", "side", "red stream", 2)
    usual = kitchen_lexicon().action("pour")
    assert (draft.distance, draft.motion) == (usual.distance, usual.motion)  # the row leaves them open


@pytest.mark.django_db
def test_a_moment_kept_earns_a_frame_unless_none_is_wanted():
    assert moment_draft(MomentFactory(interest=1, is_draft=False)).interest == 4
    assert moment_draft(MomentFactory(interest=0, is_draft=False)).interest == 0


@pytest.mark.django_db
def test_ingredients_kept_before_they_could_be_corrected_are_read_from_their_words():
    recipe = dish_read().recipe
    corrected = ingredients_of(recipe)
    recipe.ingredients = [{"text": line["text"], "section": line["section"]} for line in recipe.ingredients]
    assert ingredients_of(recipe) == corrected


@pytest.mark.django_db
def test_a_row_says_what_the_shot_is_what_it_serves_and_what_was_substituted():
    shoot = shoot_with_cook()
    dish = DishFactory(shoot=shoot, name="Bean stew")
    shot = ShotFactory(
        shoot=shoot, dish=dish, planned_time=time(10, 30), angle="level", distance="tight", motion="freeze", light="back", lens_mm=90,
        f_number="5.6", shutter="1/500", substitution="something", substituted_what="steam", substituted_by="wet cotton", substituted_why="it dies",
    )  # fmt: skip
    picture = AgreedPictureFactory(
        shoot=shoot, title="Lid off", purpose="menu, page 2", orientation="upright", crop="4:5", space_for_type="top"
    )
    shot.agreed_pictures.add(picture)
    [line] = lines_of(shots_of(shoot))
    assert line.words == "Bean stew, 10:30. Must have, level, tight, frozen, light back, 90 mm f/5.6 1/500 s."
    assert line.serves == "Lid off, menu, page 2, upright, 4:5, space for type at the top"
    assert line.substituted == "Substituted: steam, by wet cotton: it dies"
    assert line.is_open
    ShotFactory(shoot=shoot, is_must=False, state="done", substitution="nothing")
    [_, plain] = lines_of(shots_of(shoot))
    assert (plain.words, plain.substituted, plain.is_open) == (
        "Of the day. Nice to have.",
        "Nothing substituted",
        False,
    )


@pytest.mark.django_db
def test_a_list_too_long_for_its_hours_names_what_nobody_asked_for():
    """9:00 to 12:00 is 180 minutes, less first set 45 and strike 30: 105. Four heroes 80, five new angles 30: 110."""
    shoot = shoot_with_cook(from_time=time(9), until_time=time(12), first_on=date(2026, 11, 14), last_on=None)
    dish = DishFactory(shoot=shoot)
    for _ in range(4):
        ShotFactory(shoot=shoot, dish=dish, kind="hero")
    nice = [ShotFactory(shoot=shoot, dish=dish, is_must=False) for _ in range(5)]
    nice[0].agreed_pictures.add(AgreedPictureFactory(shoot=shoot))
    found = time_left(shoot, shots_of(shoot))
    assert (found.over, found.unasked, found.saves, found.left) == (5, nice[1:], 24, 0)
    shoot.until_time = None
    assert time_left(shoot, shots_of(shoot)).over == 0


@pytest.mark.django_db
def test_heroes_and_promised_pictures_of_an_advertising_shoot_ask_what_was_substituted():
    shoot = shoot_with_cook(use_classes=["advertising"])
    dish = DishFactory(shoot=shoot)
    hero = ShotFactory(shoot=shoot, dish=dish, kind="hero")
    served = ShotFactory(shoot=shoot, dish=dish)
    served.agreed_pictures.add(AgreedPictureFactory(shoot=shoot))
    ShotFactory(shoot=shoot, dish=dish)
    ShotFactory(shoot=shoot, dish=dish, kind="hero", substitution="nothing")
    ShotFactory(shoot=shoot, dish=dish, kind="hero", state="skipped")
    assert without_substitution_answer(shoot, shots_of(shoot)) == [hero, served]
    shoot.use_classes = ["editorial"]
    assert without_substitution_answer(shoot, shots_of(shoot)) == []


@pytest.mark.django_db
def test_a_promised_picture_whose_every_shot_is_skipped_is_named():
    shoot = shoot_with_cook()
    lid, boat, out = (
        AgreedPictureFactory(shoot=shoot, title=title, state=state)
        for title, state in (("Lid off", "wanted"), ("Boat", "wanted"), ("Cellar", "left_out"))
    )
    for picture, state in ((lid, "skipped"), (lid, "skipped"), (boat, "skipped"), (boat, "planned"), (out, "skipped")):
        ShotFactory(shoot=shoot, state=state).agreed_pictures.add(picture)
    assert promised_and_skipped(shots_of(shoot)) == [lid]
