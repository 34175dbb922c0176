from datetime import UTC, datetime, timedelta
from decimal import Decimal as D

import pytest

from shared.edits import EditedMeanwhile
from shoots.plan.models import Shot
from shoots.recipes.actions import bring_moments_back, remove_moment
from shoots.shopping.actions import (
    MOST_LINES,
    ListTooLong,
    add_prop,
    add_purchases,
    change_prop,
    change_purchases,
    count_props,
    make_props,
    remove_prop,
    remove_purchase,
    set_dish_shopping,
    set_takes,
    write_shopping,
)
from shoots.shopping.models import DishShopping, MomentTakes, Prop, Purchase
from tests.factories.shoots import ShootFactory
from tests.factories.shopping import PropFactory, broth, shopped

pytestmark = [pytest.mark.django_db, pytest.mark.both]
AT = datetime(2026, 11, 14, 8, 0, tzinfo=UTC)


def test_a_stale_form_is_noticed_and_nothing_is_written():
    dish = broth()
    set_dish_shopping(dish, values={"eaters": 4}, version=1)
    with pytest.raises(EditedMeanwhile):
        set_dish_shopping(dish, values={"eaters": 9}, version=1)
    assert DishShopping.objects.get().eaters == 4
    moment = dish.moments.first()
    set_takes(moment, values={"per_take": 2}, tries={}, version=1)
    with pytest.raises(EditedMeanwhile):
        set_takes(moment, values={"per_take": 3}, tries={dish.shots.first().pk: 9}, version=1)
    assert dish.shots.first().tries == 3


def test_takes_are_written_onto_the_shots_of_the_moment_only():
    dish = broth()
    pour, crack, _flambe = dish.shots.all()
    set_takes(pour.moment, values={"can_split": False}, tries={pour.pk: 5, crack.pk: 9}, version=1)
    pour.refresh_from_db()
    crack.refresh_from_db()
    assert (pour.tries, pour.version, crack.tries) == (5, 2, 3)


def test_one_press_writes_portions_and_keep_backs():
    dish = broth()
    set_dish_shopping(dish, values={"eaters": 4}, version=1)
    written, stay = write_shopping(dish.shoot)
    assert (written, stay) == (4, [])
    dish.refresh_from_db()
    assert dish.portions == 8
    assert [shot.keep_back for shot in dish.shots.all()] == [
        "Hold back 533 ml of 800 ml stock, poured in three, 267 ml a take; drip cloth",
        "Have 12 eggs: 10 for the dish and 2 spare; drip cloth",
        "Cook 1 portion more for two takes: it happens once in each; drip cloth",
    ]
    assert write_shopping(dish.shoot) == (0, [])


def test_what_was_written_from_here_is_written_anew_without_asking():
    dish = broth()
    write_shopping(dish.shoot)
    set_dish_shopping(dish, values={"eaters": 10}, version=1)
    written, stay = write_shopping(dish.shoot)
    dish.refresh_from_db()
    assert (dish.portions, stay) == (14, [])
    assert written == 3  # the batch of what happens once says the same


def test_a_hold_back_nobody_needs_any_more_is_taken_off_the_shot():
    dish = broth()
    write_shopping(dish.shoot)
    dish.shots.update(tries=1)
    written, stay = write_shopping(dish.shoot)
    assert (written, stay) == (4, [])  # three texts and the portions
    assert {shot.keep_back for shot in dish.shots.all()} == {"hold back half the liquid; drip cloth"}
    Shot.objects.filter(pk=dish.shots.first().pk).update(keep_back="The blue jug")
    assert write_shopping(dish.shoot) == (0, [])


def test_what_was_asked_for_a_moment_that_is_taken_out_goes_from_its_shot():
    """Its shot stays on the list and on the cook's sheet, but nothing is bought for it any more."""
    dish = broth()
    write_shopping(dish.shoot)
    pour, crack, flambe = dish.shots.all()
    Shot.objects.filter(pk=crack.pk).update(keep_back="The blue jug; Have 12 eggs: 10 for the dish and 2 spare")
    for shot in (pour, crack):
        remove_moment(shot.moment)
    assert write_shopping(dish.shoot)[1] == []
    said = dict(dish.shots.values_list("pk", "keep_back"))
    assert (said[pour.pk], said[crack.pk]) == ("drip cloth", "The blue jug")
    assert said[flambe.pk].startswith("Cook 1 portion more")
    assert write_shopping(dish.shoot) == (0, [])


def test_what_was_typed_of_takes_comes_back_with_its_moment():
    """Taken out and had back, a moment still cannot be split, in batches of four."""
    dish = broth()
    moment = dish.shots.first().moment
    set_takes(moment, values={"can_split": False, "batch": 4, "part": D("0.5")}, tries={}, version=1)
    [back] = bring_moments_back(remove_moment(moment))
    takes = MomentTakes.objects.get(moment=back)
    assert (takes.can_split, takes.batch, takes.part, takes.version) == (False, 4, D("0.5"), 2)
    assert MomentTakes.objects.count() == 1


def test_where_nothing_can_be_reckoned_what_was_written_stays():
    dish = broth()
    write_shopping(dish.shoot)
    dish.shots.filter(title="Crack the eggs").update(tries=30_000)
    assert write_shopping(dish.shoot) == (0, [])
    assert dish.shots.first().keep_back.startswith("Hold back")


def test_what_somebody_typed_stays_until_it_is_ticked():
    dish = broth(portions=9)
    pour = dish.shots.first()
    Shot.objects.filter(pk=pour.pk).update(keep_back="The blue jug")
    written, stay = write_shopping(dish.shoot)
    assert (written, [each.now for each in stay]) == (2, ["9 portions", "The blue jug"])
    dish.refresh_from_db()
    pour.refresh_from_db()
    assert (dish.portions, pour.keep_back) == (9, "The blue jug")
    written, stay = write_shopping(dish.shoot, over=[f"shot-{pour.pk}"])
    pour.refresh_from_db()
    assert (written, len(stay)) == (1, 1)
    assert pour.keep_back.startswith("Hold back")


def test_a_bought_line_keeps_who_and_when():
    shoot = ShootFactory()
    tick = {"egg|": {"is_bought": True}}
    assert change_purchases(shoot, changes=tick, at=AT, by="Ivo") == 1
    change_purchases(shoot, changes={"egg|": {"price": D("4.90")}}, at=AT + timedelta(hours=1), by="Maro")
    change_purchases(shoot, changes=tick, at=AT + timedelta(hours=2), by="Maro")
    row = Purchase.objects.get()
    assert (row.bought_at, row.bought_by, row.price) == (AT, "Ivo", D("4.90"))
    assert change_purchases(shoot, changes={"egg|": {}}, at=AT, by="Ivo") == 0
    change_purchases(shoot, changes={"egg|": {"is_bought": False}}, at=AT, by="Maro")
    assert Purchase.objects.get().bought_by == ""


def test_lines_of_ones_own_come_and_go_and_have_an_end():
    shoot = ShootFactory()
    ice, paper = add_purchases(shoot, words=["Ice", "Ice"])
    assert ice.key != paper.key
    remove_purchase(ice)
    assert list(shoot.purchases.all()) == [paper]
    with pytest.raises(ListTooLong, match="already"):
        add_purchases(shoot, words=["x"] * MOST_LINES)
    assert shoot.purchases.count() == 1


def test_the_props_of_the_shots_are_put_on_the_list_once():
    shoot = shopped()
    made = make_props(shoot)
    assert [(prop.what, prop.count, prop.kind, prop.source) for prop in made] == [
        ("clay bowls", 2, "crockery", "own"),
        ("dark board", 1, "surface", "own"),
    ]
    assert made[0].shot is not None
    assert make_props(shoot) == []


def test_a_prop_is_added_changed_and_taken_out():
    prop = add_prop(ShootFactory(), what="Slate")
    prop.source = Prop.Source.HIRED
    change_prop(prop, fields=["source"], version=1)
    with pytest.raises(EditedMeanwhile):
        change_prop(prop, fields=["source"], version=1)
    remove_prop(prop)
    assert Prop.objects.count() == 0


def test_the_list_of_props_has_an_end():
    shoot = ShootFactory()
    Prop.objects.bulk_create([Prop(shoot=shoot, what=f"Fork {number}") for number in range(MOST_LINES)])
    with pytest.raises(ListTooLong):
        add_prop(shoot, what="One more")


def test_props_are_counted_out_and_back_by_name_and_time():
    shoot = ShootFactory()
    plates, forks, other = PropFactory(shoot=shoot, count=4), PropFactory(shoot=shoot, count=2), PropFactory()
    assert (
        count_props(shoot, way="out", counts={plates.pk: 4, forks.pk: None, other.pk: 9}, damages={}, name="Ivo", at=AT)
        == 1
    )
    later = AT + timedelta(hours=7)
    counts, damages = {plates.pk: 3, forks.pk: None}, {plates.pk: "One dropped"}
    assert count_props(shoot, way="back", counts=counts, damages=damages, name="Maro", at=later) == 1
    plates.refresh_from_db()
    assert (plates.out_by, plates.out_at, plates.back_counted_by, plates.back_at) == ("Ivo", AT, "Maro", later)
    assert (plates.still_out, plates.damage) == (1, "One dropped")
    assert count_props(shoot, way="back", counts=counts, damages=damages, name="Somebody else", at=later) == 0
    count_props(shoot, way="back", counts={plates.pk: None}, damages={}, name="Ivo", at=later)
    plates.refresh_from_db()
    assert (plates.back_at, plates.back_counted_by, plates.still_out, plates.damage) == (None, "", 4, "One dropped")
    other.refresh_from_db()
    assert other.counted_out is None
