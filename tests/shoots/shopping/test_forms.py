from decimal import Decimal as D

import pytest
from django.http import QueryDict

from shoots.shopping.forms import (
    AddPurchasesForm,
    CountForm,
    DishShoppingForm,
    OverForm,
    PropForm,
    PurchaseForm,
    TakesForm,
    purchase_forms,
)
from shoots.shopping.models import DishShopping, Prop, Purchase
from shoots.shopping.queries import ToBuy, lines_of, needs_of, shoot_for_shopping, shopping_of, takes_of
from tests.factories.shoots import DishFactory, ShootFactory
from tests.factories.shopping import PropFactory, broth, shopped

pytestmark = pytest.mark.django_db
PORTIONS = {"version": 1, "eaters": 4, "heroes": 2, "stand_ins": 1}


def portions(**typed):
    return DishShoppingForm(
        {**PORTIONS, **typed}, instance=DishShopping(dish=DishFactory()), says=4, yields="Serves 4", cooked=8
    )


def takes(repeat: str, **typed):
    dish = broth()
    found = needs_of(shoot_for_shopping(dish.shoot_id).get())[0]
    need = next(each for each in found.moments if each.moment.repeat == repeat)
    data = QueryDict(mutable=True)
    for name, value in {"version": 1, f"tries_{need.shots[0].pk}": 3, **typed}.items():
        data.setlist(name, value if isinstance(value, list) else [value])
    return TakesForm(data, instance=takes_of(need.moment), need=need, lines=lines_of(dish)), need


def test_portions_are_read_with_what_the_recipe_says_beside_them():
    form = portions(serves="6", garnish="Leaves")
    assert form.is_valid(), form.errors
    assert form.typed_values()["serves"] == 6
    assert "Serves 4" in form.fields["serves"].help_text
    asked = DishShoppingForm(instance=DishShopping(dish=DishFactory()), says=None, yields="", cooked=3)
    assert "Ask the cook" in asked.fields["serves"].help_text


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("serves", "0"), ("serves", "-4"), ("serves", "four"), ("serves", "1000000000"), ("eaters", "-1"), ("eaters", "1e9"), ("heroes", "99999"),
        ("stand_ins", ""), ("eaten_portions", "-1"), ("given_portions", "lots"), ("thrown_portions", "9"),
    ],
)  # fmt: skip
def test_numbers_nobody_can_cook_are_refused_and_kept(name, value):
    form = portions(**{name: value})
    assert not form.is_valid()
    assert form.errors[name]
    assert form[name].value() == value


def test_what_is_left_cannot_be_more_than_was_cooked():
    form = portions(eaten_portions="5", given_portions="2,5", thrown_portions="1")
    assert not form.is_valid()
    assert "8.5 portions together, but 8 are cooked" in form.errors["thrown_portions"][0]
    assert portions(eaten_portions="5", thrown_portions="3").is_valid()


def test_each_kind_of_moment_asks_what_it_needs():
    asked = {repeat: set(takes(repeat)[0].fields) for repeat in ("keep", "many", "once")}
    shots = {repeat: {name for name in names if name.startswith("tries_")} for repeat, names in asked.items()}
    assert {repeat: names - shots[repeat] - {"version"} for repeat, names in asked.items()} == {
        "keep": {"can_split", "used", "part", "batch"},
        "many": {"per_take", "used"},
        "once": {"batch"},
    }


def test_ticks_that_say_the_same_as_the_guess_leave_it_a_guess():
    form, _ = takes("keep", can_split="on", used=["0"], batch=1)
    assert form.is_valid(), form.errors
    assert form.typed_values()["lines"] is None
    form, need = takes("keep", can_split="on", used=["0", "3"], batch=1)
    assert form.is_valid(), form.errors
    assert form.typed_values() == {
        "can_split": True, "batch": 1, "part": None, "lines": ["400 ml stock", "250 g flour"],
    }  # fmt: skip
    assert form.tries() == {need.shots[0].pk: 3}
    form, _ = takes("many", per_take=1)
    assert form.is_valid()
    assert form.typed_values()["lines"] == []


@pytest.mark.parametrize("value", ["0", "-3", "100", "1000000000", "often"])
def test_takes_nobody_can_plan_are_refused(value):
    form, need = takes("keep", can_split="on", batch=1)
    name = f"tries_{need.shots[0].pk}"
    form.data = form.data.copy()
    form.data[name] = value
    assert not form.is_valid()
    assert form.errors[name]


def test_a_part_is_of_one_line_and_more_than_nothing():
    form, _ = takes("keep", can_split="on", batch=1, used=["0"], part="0")
    assert "more than 0" in form.errors["part"][0]
    form, _ = takes("keep", can_split="on", batch=1, used=["0", "3"], part="100")
    assert "Tick one above" in form.errors["part"][0]
    form, _ = takes("keep", can_split="on", batch=1, used=["0"], part="100")
    assert form.is_valid()
    assert form.typed_values()["part"] == D(100)


def test_only_keys_that_wait_can_be_ticked():
    assert OverForm({"over": ["dish-1"]}, keys=["dish-1"]).is_valid()
    assert not OverForm({"over": ["dish-2"]}, keys=["dish-1"]).is_valid()


@pytest.mark.parametrize("price", ["-1", "1e9", "cheap", "1.234,567", "1000000"])
def test_prices_that_are_none_are_refused_and_kept(price):
    form = PurchaseForm({"price": price}, to_buy=ToBuy("egg|", "eggs", None, Purchase()))
    assert not form.is_valid()
    assert form["price"].value() == price
    assert form.fields["price"].widget.attrs["aria-invalid"] == "true"


def test_only_what_a_person_changed_is_written():
    """Two people with the list open: the second to save does not undo the first one's tick."""
    shoot = shopped()
    shopping = shopping_of(shoot_for_shopping(shoot.pk).get())
    shown = purchase_forms(shopping)
    typed = QueryDict(mutable=True)
    for form in shown:
        typed[form.add_prefix("where")] = typed[form.add_initial_prefix("where")] = ""
    typed[shown[0].add_prefix("price")] = "4,90"
    forms = purchase_forms(shopping, typed)
    assert [form.is_valid() for form in forms] == [True] * 6
    assert [form.changes() for form in forms] == [{"price": D("4.90")}, {}, {}, {}, {}, {}]
    assert [form.is_bound for form in purchase_forms(shopping, QueryDict())] == [False] * 6


def test_own_lines_are_read_one_a_line():
    form = AddPurchasesForm({"words": "Ice\n\n  Baking   paper "})
    assert form.is_valid()
    assert form.cleaned_data["words"] == ["Ice", "Baking paper"]
    assert not AddPurchasesForm({"words": " \n "}).is_valid()
    assert not AddPurchasesForm({"words": "x" * 161}).is_valid()


def test_what_is_hired_names_whom_it_is_hired_from():
    shoot = ShootFactory()
    typed = {"version": 1, "what": "Slate", "count": 1, "kind": "surface", "source": "hired"}
    form = PropForm(typed, instance=Prop(shoot=shoot), shoot=shoot, is_new=True)
    assert "finds its way back" in form.errors["from_whom"][0]
    form = PropForm({**typed, "from_whom": "Cellar"}, instance=Prop(shoot=shoot), shoot=shoot, is_new=True)
    assert form.is_valid(), form.errors
    assert form.typed_values()["from_whom"] == "Cellar"
    for count in ("0", "-1", "1000", "many"):
        assert PropForm({**typed, "count": count}, instance=Prop(shoot=shoot), shoot=shoot).errors["count"]


def test_a_dish_of_another_shoot_cannot_be_chosen():
    shoot = ShootFactory()
    DishFactory(shoot=shoot)
    form = PropForm({"dishes": [DishFactory().pk]}, instance=Prop(shoot=shoot), shoot=shoot)
    assert form.errors["dishes"]


def test_the_count_begins_with_what_is_expected():
    prop = PropFactory(count=4, counted_out=3)
    out, back = CountForm(props=[prop], way="out"), CountForm(props=[prop], way="back")
    assert (out[f"count_{prop.pk}"].initial, back[f"count_{prop.pk}"].initial) == (3, 3)
    assert back.rows()[0][2] is not None
    assert out.rows()[0][2] is None
    typed = CountForm({"name": "Ivo", f"count_{prop.pk}": "", f"damage_{prop.pk}": "Chip"}, props=[prop], way="back")
    assert typed.is_valid()
    assert (typed.counts(), typed.damages()) == ({prop.pk: None}, {prop.pk: "Chip"})
    wrong = CountForm({"name": "", f"count_{prop.pk}": "-2"}, props=[prop], way="out")
    assert {"name", f"count_{prop.pk}"} == set(wrong.errors)
