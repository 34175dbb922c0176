from datetime import UTC, datetime
from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from shared.money import Money
from shoots.plan.ingredients import read_ingredient
from shoots.plan.models import Shot
from shoots.recipes.actions import read_recipe_into
from shoots.shopping.actions import change_purchases, set_dish_shopping, set_takes
from shoots.shopping.models import DishShopping, MomentTakes
from shoots.shopping.queries import (
    keep_back_text,
    line_of,
    needs_of,
    props_suggested,
    shoot_for_shopping,
    shopping_of,
    takes_wanted,
)
from tests.factories.plan import MomentFactory, ShotFactory
from tests.factories.shoots import DishFactory, ShootFactory
from tests.factories.shopping import BROTH, PropFactory, broth, shopped

pytestmark = pytest.mark.django_db
AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def need(dish):
    return next(each for each in needs_of(shoot_for_shopping(dish.shoot_id).get()) if each.dish.pk == dish.pk)


def shopping(shoot):
    return shopping_of(shoot_for_shopping(shoot.pk).get())


def test_the_worked_example_from_recipe_and_shot_list():
    """[CP: common practice, no source]; the figures of test_quantities, read from a recipe and three shots."""
    dish = broth()
    set_dish_shopping(dish, values={"eaters": 4}, version=1)
    found = need(dish)
    assert (found.listed.portions.total, found.listed.times, found.says) == (8, 2, 4)
    pour, crack, flambe = found.moments
    assert [each.replace("\u00a0", " ") for each in pour.asks] == [
        "Hold back 533 ml of 800 ml stock, poured in three, 267 ml a take"
    ]
    assert (pour.names, pour.use.is_guess) == (("stock",), True)
    assert crack.asks[0].startswith("Have 12")
    assert flambe.wanted.spare_portions == 1


def test_of_a_range_the_upper_end_counts_and_what_has_no_quantity_keeps_its_words():
    vinegar, salt = (line_of(read_ingredient(each)) for each in ("2 to 3 tbsp wine vinegar", "salt, to taste"))
    assert (vinegar.quantity, vinegar.low, vinegar.unit, vinegar.name) == (3, 2, "tbsp", "wine vinegar")
    assert (salt.quantity, salt.name, salt.text) == (None, "salt", "salt, to taste")
    assert line_of(read_ingredient("1/3 cup milk")).quantity == F(3333, 10_000)


def test_takes_are_those_of_all_shots_of_a_moment_and_skipped_ones_ask_for_nothing():
    dish = broth()
    pour = dish.moments.first()
    ShotFactory(shoot=dish.shoot, dish=dish, moment=pour, tries=None, title="Pour, from above")
    assert next(each for each in need(dish).moments if each.moment == pour).wanted.takes == 4
    Shot.objects.filter(moment=pour).update(state="skipped")
    assert pour not in [each.moment for each in need(dish).moments]
    assert takes_wanted([Shot(tries=None), Shot(tries=2)]) == 3


def test_a_recipe_that_names_no_servings_waits_for_somebody_to_say():
    dish = broth(text=BROTH.replace("Serves: 4\n", ""))
    found = need(dish)
    assert (found.says, found.listed.serves, found.trouble) == (None, None, "")
    assert shopping(dish.shoot).lines == []
    assert [each.dish for each in shopping(dish.shoot).without_serves] == [dish]
    set_dish_shopping(dish, values={"serves": 2}, version=1)
    assert need(dish).listed.times == F(need(dish).listed.portions.total, 2)


def test_a_dish_without_a_recipe_stands_there_and_says_so():
    dish = DishFactory()
    found = need(dish)
    assert not found.has_recipe
    assert found.listed.portions.total == 3
    assert shopping(dish.shoot).without_recipe
    assert shopping(dish.shoot).writings == []


def test_takes_beyond_measure_are_said_in_words_and_the_moments_stay_to_be_changed():
    dish = broth(tries=(30_000, 3, 2))
    found = need(dish)
    assert "30,000 takes cannot be planned" in found.trouble
    assert len(found.moments) == 3
    assert shopping(dish.shoot).lines == []
    assert shopping(dish.shoot).writings == []


def test_servings_of_nobody_in_the_table_are_said_in_words():
    dish = broth()
    dish.shopping = DishShopping(dish=dish, eaters=3000)
    DishShopping.objects.create(dish=dish, eaters=3000)
    assert "fewer takes" in need(dish).trouble


def test_chosen_lines_stand_until_the_recipe_no_longer_has_them():
    dish = broth()
    pour = dish.moments.first()
    set_takes(pour, values={"lines": ["250 g flour"]}, tries={}, version=1)
    chosen = need(dish).moments[0]
    assert (chosen.names, chosen.use.is_guess) == (("flour",), False)
    set_takes(pour, values={"lines": []}, tries={}, version=2)
    assert need(dish).moments[0].names == ()
    set_takes(pour, values={"lines": ["1 kg gold"]}, tries={}, version=3)
    assert (need(dish).moments[0].names, need(dish).moments[0].use.is_guess) == (("stock",), True)


def test_part_of_a_line_is_what_is_split():
    dish = broth()
    set_takes(dish.moments.first(), values={"part": D(100)}, tries={}, version=1)
    assert need(dish).moments[0].asks[0].replace("\u00a0", " ").startswith("Hold back 67 ml of 100 ml stock")


def test_what_is_on_the_shot_names_the_quantity_first_and_what_is_ready_beside_it():
    moment = MomentFactory(prepare=["hold back half the liquid", "bowl held back", "drip cloth", "x" * 190])
    text = keep_back_text(moment, ["Hold back 533\u00a0ml of 800\u00a0ml stock"])
    assert text == "Hold back 533 ml of 800 ml stock; drip cloth"
    assert len(keep_back_text(moment, ["y" * 500])) == 200
    assert keep_back_text(moment, []) == ""


def test_what_was_typed_by_hand_is_told_from_what_was_drafted():
    dish = broth(portions=9)
    pour, crack, flambe = dish.shots.all()
    Shot.objects.filter(pk=pour.pk).update(keep_back="The blue jug, please")
    Shot.objects.filter(pk=crack.pk).update(keep_back="hold back half the liquid; drip cloth")
    by_hand = {each.key: each.is_by_hand for each in shopping(dish.shoot).writings}
    assert by_hand == {
        f"dish-{dish.pk}": True,
        f"shot-{pour.pk}": True,
        f"shot-{crack.pk}": False,
        f"shot-{flambe.pk}": False,
    }


def test_costs_and_what_is_left_to_buy():
    shoot = shopped(1, client__currency="CHF")
    found = shopping(shoot)
    assert [line.name for line in found.lines] == ["stock", "eggs", "wine vinegar", "flour", "salt", "Ice 1"]
    stock = found.lines[0].key
    change_purchases(shoot, changes={stock: {"price": D("8.00"), "is_bought": True}}, at=AT, by="Ivo")
    found = shopping(shoot)
    assert (found.priced, found.to_buy) == (1, 5)
    assert found.costs.whole == Money(D("8.00"), "CHF")
    assert dict(found.costs_shown())["Eaten"] == Money(D("4.00"), "CHF")


def test_a_price_is_kept_when_no_recipe_asks_for_the_thing_any_more():
    shoot = shopped()
    change_purchases(shoot, changes={shopping(shoot).lines[0].key: {"price": D("8.00")}}, at=AT, by="Ivo")
    read_recipe_into(shoot.dishes.get(), text=BROTH.replace("- 400 ml stock\n", ""), edits="replace")
    gone = [line for line in shopping(shoot).lines if line.is_gone]
    assert [(line.name, line.purchase.price) for line in gone] == [("stock", D("8.00"))]
    assert shopping(shoot).costs.uncounted == Money(D("8.00"), "EUR")


def test_the_props_the_shots_name_that_are_not_on_the_list():
    shoot = shopped()
    dish = shoot.dishes.get()
    other = DishFactory(shoot=shoot, name="Soup")
    ShotFactory(shoot=shoot, dish=other, props="Clay bowl, ladle")
    PropFactory(shoot=shoot, what="Dark Boards")
    suggested = props_suggested(shoot_for_shopping(shoot.pk).get())
    assert [(each.what, each.count, each.kind, len(each.shots)) for each in suggested] == [
        ("clay bowls", 2, "crockery", 2),
        ("ladle", 1, "cutlery", 1),
    ]
    assert [each.dishes for each in suggested] == [[dish, other], [other]]  # one bowl for both, counted once


def test_what_is_left_is_accounted_for_once_somebody_begins():
    dish = broth()
    assert need(dish).unspoken == 0
    set_dish_shopping(dish, values={"eaten_portions": D("1.5"), "thrown_portions": D(1)}, version=1)
    assert need(dish).unspoken == D("1.5")


def test_the_panel_knows_what_is_out():
    shoot = ShootFactory()
    PropFactory(shoot=shoot, counted_out=4, counted_back=3)
    PropFactory(shoot=shoot, counted_out=None)
    assert shopping(shoot).props_out == 1
    assert MomentTakes.objects.count() == 0
