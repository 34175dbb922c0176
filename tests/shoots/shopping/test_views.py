import pytest
from django.urls import reverse

from shoots.brief.models import Dish
from shoots.plan.models import Moment, Shot
from shoots.shopping.models import DishShopping, MomentTakes, Prop, Purchase
from shoots.shopping.queries import shoot_for_shopping, shopping_of
from tests.factories.shoots import DishFactory, ShootFactory
from tests.factories.shopping import BROTH, PropFactory, broth, shopped

pytestmark = pytest.mark.django_db


def said(answer) -> str:
    return " ".join(answer.content.decode().replace("\u00a0", " ").split())


def page(name: str, *args) -> str:
    return reverse(name, args=args)


def test_portions_takes_and_keep_backs_from_the_page_into_brief_and_shots(client_for, owner):
    studio, dish = client_for(owner), broth()
    shopping = page("shoot_shopping", dish.shoot_id)
    answer = said(studio.get(shopping))
    assert "Hold back 267 ml of 400 ml stock, poured in three, 133 ml a take" in answer
    assert "Uses stock (a guess)" in answer
    assert DishShopping.objects.count() == MomentTakes.objects.count() == 0  # looking writes nothing
    change = page("edit_dish_shopping", dish.pk)
    typed = {"version": 1, "eaters": 4, "heroes": 2, "stand_ins": 1}
    assert studio.post(change, typed).status_code == 302
    assert "8 portions = the recipe × 2" in said(studio.get(shopping))
    takes = page("edit_takes", dish.moments.first().pk)
    assert "A guess from the words of the step" in said(studio.get(takes))
    shot = dish.shots.first()
    assert (
        studio.post(
            takes, {"version": 1, f"tries_{shot.pk}": 4, "can_split": "on", "used": ["0"], "batch": 1}
        ).status_code
        == 302
    )
    answer = studio.post(page("write_shopping", dish.shoot_id), follow=True)
    assert answer.redirect_chain[-1][0] == shopping
    shot.refresh_from_db()
    assert (shot.tries, shot.keep_back) == (
        4,
        "Hold back 600 ml of 800 ml stock, poured in four, 200 ml a take; drip cloth",
    )
    assert Dish.objects.get().portions == 8
    assert "Up to date" in said(studio.get(shopping))


def test_what_was_typed_by_hand_is_asked_about_and_the_rest_is_written(client_for, owner):
    studio, dish = client_for(owner), broth(portions=9)
    answer = studio.post(page("write_shopping", dish.shoot_id), follow=True)
    assert answer.redirect_chain[-1][0] == page("write_shopping", dish.shoot_id)
    assert "Stands there: 9 portions" in said(answer)
    assert Dish.objects.get().portions == 9
    assert Shot.objects.exclude(keep_back="").count() == 3
    studio.post(page("write_shopping", dish.shoot_id), {"chosen": "yes"})
    assert Dish.objects.get().portions == 9
    studio.post(page("write_shopping", dish.shoot_id), {"chosen": "yes", "over": [f"dish-{dish.pk}"]})
    assert Dish.objects.get().portions == 4


@pytest.mark.parametrize(
    ("name", "value"), [("serves", "0"), ("eaters", "-5"), ("heroes", "1000000000"), ("eaten_portions", "some")]
)
def test_a_number_that_cannot_be_comes_back_as_it_was_typed(client_for, owner, name, value):
    dish = broth()
    typed = {"version": 1, "eaters": 4, "heroes": 2, "stand_ins": 1, "garnish": "Best leaves", name: value}
    answer = client_for(owner).post(page("edit_dish_shopping", dish.pk), typed)
    assert answer.status_code == 422
    assert f'value="{value}"' in answer.content.decode()
    assert "Best leaves" in answer.content.decode()
    assert DishShopping.objects.count() == 0


def test_a_stale_page_is_told_and_keeps_what_was_typed(client_for, owner):
    studio, dish = client_for(owner), broth()
    typed = {"version": 1, "eaters": 4, "heroes": 2, "stand_ins": 1}
    studio.post(page("edit_dish_shopping", dish.pk), typed)
    answer = studio.post(page("edit_dish_shopping", dish.pk), {**typed, "eaters": 7})
    assert answer.status_code == 422
    assert "after you opened it" in said(answer)
    moment = dish.moments.first()
    shot = dish.shots.first()
    typed = {"version": 1, f"tries_{shot.pk}": 4, "batch": 1}
    assert studio.post(page("edit_takes", moment.pk), typed).status_code == 302
    assert studio.post(page("edit_takes", moment.pk), typed).status_code == 422


def test_takes_beyond_measure_are_said_on_the_page_and_can_be_made_fewer(client_for, owner):
    studio, dish = client_for(owner), broth(tries=(30_000, 3, 2))
    shopping = page("shoot_shopping", dish.shoot_id)
    assert "30,000 takes cannot be planned. Enter 1 to 99." in said(studio.get(shopping))
    takes = page("edit_takes", dish.moments.first().pk)
    shot = dish.shots.first()
    answer = studio.post(takes, {"version": 1, f"tries_{shot.pk}": "1000000000", "batch": 1})
    assert answer.status_code == 422
    assert 'value="1000000000"' in answer.content.decode()
    studio.post(takes, {"version": 1, f"tries_{shot.pk}": 3, "batch": 1, "can_split": "on", "used": ["0"]})
    assert "cannot be planned" not in said(studio.get(shopping))


def test_a_shoot_without_dishes_without_recipe_and_without_servings_says_what_to_do(client_for, owner):
    studio, shoot = client_for(owner), ShootFactory()
    assert "Name the dishes" in said(studio.get(page("shoot_shopping", shoot.pk)))
    assert "Nothing is left to write" in said(studio.get(page("write_shopping", shoot.pk)))
    assert "Name the dishes first" in said(studio.get(page("shoot_shopping_panel", shoot.pk)))
    dish = DishFactory(shoot=shoot, name="Trout")
    answer = said(studio.get(page("shoot_shopping", shoot.pk)))
    assert "Paste the recipe" in answer
    assert page("dish_recipe", dish.pk) in answer
    broth(shoot, text=BROTH.replace("Serves: 4\n", ""))
    assert "Ask the cook and enter it" in said(studio.get(page("shoot_shopping", shoot.pk)))
    assert "Nothing to buy yet" in said(studio.get(page("buying_list", shoot.pk)))
    assert "No prop is on the list." in said(studio.get(page("count_props_out", shoot.pk)))


def test_a_moment_no_shot_shows_has_no_takes(client_for, owner):
    dish = broth()
    moment = Moment.objects.create(dish=dish, what="Stir")
    assert client_for(owner).get(page("edit_takes", moment.pk)).status_code == 404


def test_the_buying_list_is_priced_ticked_and_kept(client_for, owner):
    studio, shoot = client_for(owner), shopped()
    buying = page("buying_list", shoot.pk)
    shown = studio.get(buying).context["lines"]
    typed = {}
    for form in shown:
        typed |= {form.add_prefix("where"): "", form.add_initial_prefix("where"): ""}
    eggs = next(form for form in shown if form.to_buy.name == "eggs")
    wrong = {**typed, eggs.add_prefix("price"): "cheap", eggs.add_prefix("where"): "Market"}
    answer = studio.post(buying, wrong)
    assert answer.status_code == 422
    assert 'value="cheap"' in answer.content.decode()
    assert 'value="Market"' in answer.content.decode()
    assert Purchase.objects.exclude(words="Ice 1").count() == 0
    studio.post(buying, {**wrong, eggs.add_prefix("price"): "6.00", eggs.add_prefix("is_bought"): "on"})
    row = Purchase.objects.get(where="Market")
    assert (str(row.price), row.bought_at is not None, row.bought_by) == (
        "6.00",
        True,
        owner.get_full_name() or owner.get_username(),
    )
    answer = said(studio.get(page("shoot_shopping", shoot.pk)))
    assert "€6.00" in answer
    assert "Spares for further takes" in answer
    assert "recipe 5 × 2 = 10, + 2 spare = 12" in said(studio.get(buying))


def test_own_lines_are_added_once_and_taken_out(client_for, owner):
    studio, shoot = client_for(owner), shopped()
    typed = {"words": "Baking paper", "once": "6d3d4a52-6d75-4f4c-9b3f-2a5a4e7ed4b1"}
    for _ in range(2):
        studio.post(page("add_purchases", shoot.pk), typed)
    assert [row.words for row in shoot.purchases.all()] == ["Ice 1", "Baking paper"]
    assert studio.post(page("add_purchases", shoot.pk), {"words": "x" * 200}).status_code == 422
    studio.post(page("remove_purchase", shoot.pk, shoot.purchases.last().pk))
    assert [row.words for row in shoot.purchases.all()] == ["Ice 1"]
    assert studio.post(page("remove_purchase", ShootFactory().pk, shoot.purchases.get().pk)).status_code == 404


def test_the_papers_are_handed_out_in_the_language_asked_for(client_for, owner):
    studio, shoot = client_for(owner), shopped()
    PropFactory(shoot=shoot)
    for name in ("shopping_paper", "props_paper"):
        for language in ("en", "de", "xx"):
            assert studio.get(page(name, shoot.pk), {"language": language}).content.startswith(b"%PDF")
    for name in ("shopping_csv", "props_csv"):
        answer = studio.get(page(name, shoot.pk))
        assert answer["Content-Type"] == "text/csv; charset=utf-8"
        assert answer.content.startswith(b"\xef\xbb\xbf")


def test_props_from_the_shots_to_the_shelf(client_for, owner):
    studio, shoot = client_for(owner), shopped()
    props = page("shoot_props", shoot.pk)
    assert "Put 2 props on the list" in said(studio.get(props))
    studio.post(page("make_props", shoot.pk))
    assert Prop.objects.count() == 2
    studio.post(props, {"version": 1, "what": "Slate", "count": 2, "kind": "surface", "source": "own"})
    assert (
        studio.post(props, {"version": 1, "what": "Slate", "count": 0, "kind": "surface", "source": "own"}).status_code
        == 422
    )
    slate = Prop.objects.get(what="Slate")
    typed = {
        "version": 1,
        "what": "Slate",
        "count": 2,
        "kind": "surface",
        "source": "hired",
        "from_whom": "Cellar",
        "back_by": "16 Nov 2026",
    }
    assert studio.post(page("edit_prop", slate.pk), {**typed, "back_by": "soon"}).status_code == 422
    assert studio.post(page("edit_prop", slate.pk), typed).status_code == 302
    assert studio.post(page("edit_prop", slate.pk), typed).status_code == 422  # the version is old
    counts = {f"count_{prop.pk}": prop.count for prop in Prop.objects.all()}
    assert studio.post(page("count_props_out", shoot.pk), {**counts, "name": ""}).status_code == 422
    studio.post(page("count_props_out", shoot.pk), {**counts, "name": "Ivo"})
    assert "5 out" in said(studio.get(page("shoot_shopping_panel", shoot.pk)))
    back = {**counts, f"count_{slate.pk}": 1, f"damage_{slate.pk}": "Corner off", "name": "Ivo"}
    answer = said(studio.post(page("count_props_back", shoot.pk), back, follow=True))
    assert "1 piece is still out" in answer
    assert "1 missing" in answer
    assert "Corner off" in answer
    studio.post(page("remove_prop", slate.pk))
    assert Prop.objects.filter(pk=slate.pk).count() == 0


def test_the_end_of_the_day_and_the_shoot_lead_here(client_for, owner):
    studio, shoot = client_for(owner), shopped()
    end = said(studio.get(page("end_of_day", shoot.pk)))
    assert page("count_props_back", shoot.pk) in end
    assert page("shoot_shopping", shoot.pk) in end
    assert page("shoot_shopping_panel", shoot.pk) in said(studio.get(page("shoot_page", shoot.pk)))


def test_two_dishes_with_one_name_stay_two(client_for, owner):
    studio, shoot = client_for(owner), ShootFactory()
    broth(shoot), broth(shoot)
    answer = said(studio.get(page("buying_list", shoot.pk)))
    assert answer.count("Egg broth: recipe 400 ml × 1 = 400 ml") == 2
    assert "together 800 ml" in answer
    assert len(shopping_of(shoot_for_shopping(shoot.pk).get()).needs) == 2


def test_what_the_books_keeper_may_not_see(client_for, accountant):
    shoot = shopped()
    assert client_for(accountant).get(page("shoot_shopping", shoot.pk)).status_code == 403
