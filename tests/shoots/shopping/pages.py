from django.urls import reverse

from shoots.plan.models import Moment
from tests.factories.shopping import PropFactory, shopped
from tests.house.pages import Deed, Page, Panel, Paper


def _path(name):
    return lambda rows: reverse(name, args=[shopped(rows).pk])


def _dish(name):
    return lambda rows: reverse(name, args=[shopped(1).dishes.get().pk])


def _takes(rows):
    shopped(1)
    return reverse("edit_takes", args=[Moment.objects.filter(repeat="keep").last().pk])


def _with_props(name):
    def path(rows):
        shoot = shopped(1)
        for prop in PropFactory.create_batch(rows, shoot=shoot, counted_out=1):
            prop.dishes.set(shoot.dishes.all())
        return reverse(name, args=[shoot.pk])

    return path


def _prop(name):
    return lambda rows: reverse(name, args=[PropFactory().pk])


def _purchase(rows):
    purchase = shopped(1).purchases.get()
    return reverse("remove_purchase", args=[purchase.shoot_id, purchase.pk])


PAGES = {
    "shoot_shopping": Page(_path("shoot_shopping"), lists=True),
    "shoot_shopping_panel": Panel(_path("shoot_shopping_panel"), lists=True),
    "write_shopping": Page(_path("write_shopping"), lists=True),
    "buying_list": Page(_path("buying_list"), lists=True),
    "add_purchases": Deed(_path("add_purchases")),
    "remove_purchase": Deed(_purchase),
    "shopping_paper": Paper(_path("shopping_paper")),
    "shopping_csv": Paper(_path("shopping_csv")),
    "edit_dish_shopping": Page(_dish("edit_dish_shopping")),
    "edit_takes": Page(_takes),
    "shoot_props": Page(_with_props("shoot_props"), lists=True),
    "make_props": Deed(_path("make_props")),
    "count_props_out": Page(_with_props("count_props_out"), lists=True),
    "count_props_back": Page(_with_props("count_props_back"), lists=True),
    "props_paper": Paper(_with_props("props_paper")),
    "props_csv": Paper(_with_props("props_csv")),
    "edit_prop": Page(_prop("edit_prop")),
    "remove_prop": Deed(_prop("remove_prop")),
}
