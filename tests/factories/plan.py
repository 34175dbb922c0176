"""Plans as they come about: a recipe read into a dish, and the shot list drafted from it."""

from typing import Any

import factory

from shoots.brief.models import Dish, Shoot
from shoots.plan.actions import make_shot_list
from shoots.plan.models import Moment, Shot
from shoots.recipes.actions import read_recipe_into
from tests.factories.releases import shoot_with_cook
from tests.factories.shoots import AgreedPictureFactory, DishFactory, ShootFactory

BEAN_STEW = """\
Bean stew in clay

Serves: 4

Ingredients

- 500 g red beans
- 2 onions, sliced
- 3 tbsp sunflower oil
- 60 g butter
- 1 c salt

Method

1. Fry the onions in the oil for 15 minutes, until golden.
2. Ladle the stew into four clay pots, put the lids on and bake at 180 °C for 20 minutes.
3. Lift the lid at the table, while the steam rises. Sprinkle with parsley and serve.
"""


class ShotFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Shot

    shoot = factory.SubFactory(ShootFactory)
    title = factory.Sequence(lambda n: f"Yolk drops into the boat {n + 1}")
    order = factory.Sequence(int)


class MomentFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Moment

    dish = factory.SubFactory(DishFactory)
    what = factory.Sequence(lambda n: f"Tear off an end {n + 1}")
    order = factory.Sequence(int)


def dish_read(shoot: Shoot | None = None, *, text: str = BEAN_STEW, **also: Any) -> Dish:
    """A dish whose recipe is read."""
    dish = DishFactory(shoot=shoot or shoot_with_cook(), **{"name": "Bean stew in clay", **also})
    read_recipe_into(dish, text=text)
    return dish


def planned_shoot(dishes: int = 1, **also: Any) -> Shoot:
    """A shoot with a cook who speaks German, dishes with their recipes, a promised picture a dish, and the drafted list."""
    shoot = shoot_with_cook(**also)
    for place in range(dishes):
        dish = dish_read(shoot, name=f"Bean stew in clay {place + 1}", order=place)
        AgreedPictureFactory(shoot=shoot, dish=dish, title="Bean stew from above", order=place)
    make_shot_list(shoot)
    return shoot
