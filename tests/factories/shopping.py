"""Shoots whose moments are to be had more than once, and props that came to the set."""

from __future__ import annotations

from typing import Any

import factory

from shoots.brief.models import Dish, Shoot
from shoots.plan.models import Moment, Shot
from shoots.recipes.actions import read_recipe_into
from shoots.shopping.actions import add_purchases, set_dish_shopping
from shoots.shopping.models import Prop
from tests.factories.plan import ShotFactory
from tests.factories.shoots import DishFactory, ShootFactory

# Our own: the figures are those of the worked example in tests/shoots/shopping/test_quantities.py.
BROTH = """\
Egg broth

Serves: 4

Ingredients

- 400 ml stock
- 5 eggs
- 2 to 3 tbsp wine vinegar
- 250 g flour
- salt

Method

1. Pour the stock into a pot and bring it to the boil.
2. Crack the eggs into a bowl.
3. Flambé with brandy at the table.
"""


class PropFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Prop

    shoot = factory.SubFactory(ShootFactory)
    what = factory.Sequence(lambda n: f"Clay bowl {n + 1}")
    kind = Prop.Kind.CROCKERY


def broth(
    shoot: Shoot | None = None, *, text: str = BROTH, tries: tuple[int | None, ...] = (3, 3, 2), **also: Any
) -> Dish:
    """A dish of 4 portions with one moment of each kind on the shot list: poured, cracked and once only, each with its tries."""
    dish = DishFactory(**({"shoot": shoot} if shoot else {}), **{"name": "Egg broth", **also})
    read_recipe_into(dish, text=text)
    dish.moments.all().delete()
    for place, (what, action, repeat) in enumerate(
        (
            ("Pour the stock into a pot", "pour", "keep"),
            ("Crack the eggs", "crack", "many"),
            ("Flambé with brandy", "flambe", "once"),
        )
    ):
        moment = Moment.objects.create(
            dish=dish,
            what=what,
            action=action,
            repeat=repeat,
            order=place,
            prepare=["hold back half the liquid", "drip cloth"],
        )
        ShotFactory(shoot=dish.shoot, dish=dish, moment=moment, title=what, tries=tries[place], order=place)
    return dish


def shopped(dishes: int = 1, **also: Any) -> Shoot:
    """A shoot with dishes that are eaten by four, a line of its own a dish, and a prop named on a shot."""
    shoot = ShootFactory(**also)
    for place in range(dishes):
        dish = broth(shoot, name=f"Egg broth {place + 1}", order=place)
        set_dish_shopping(dish, values={"eaters": 4}, version=1)
        add_purchases(shoot, words=[f"Ice {place + 1}"])
        Shot.objects.filter(dish=dish, title="Crack the eggs").update(props="two clay bowls, dark board")
    return shoot
