"""What can be done to the shopping of a shoot: portions and takes, the buying list, what is left, and the props."""

from __future__ import annotations

import uuid
from collections.abc import Collection, Iterable, Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from shared.edits import save_edit
from shared.errors import Refusal
from shoots.brief.actions import change_dish, lock_shoots
from shoots.brief.models import Dish, Shoot
from shoots.plan.actions import change_shot
from shoots.plan.models import Moment, Shot
from shoots.shopping.models import DishShopping, MomentTakes, Prop, Purchase
from shoots.shopping.queries import OWN, Writing, needs_of, props_suggested, shoot_for_shopping, writings_of

MOST_LINES = 200
OUT, BACK = "out", "back"


class ListTooLong(Refusal):
    """A list has as many lines as a day can use."""

    status = 422

    def __init__(self, things: str) -> None:
        super().__init__(
            f"This shoot has {MOST_LINES} {things} already.", "Nothing was added.", "Take out what is not needed first."
        )


@transaction.atomic
def set_dish_shopping(dish: Dish, *, values: Mapping[str, Any], version: int) -> DishShopping:
    """Write down how a dish is cooked for the pictures, and what becomes of what is left. Raises EditedMeanwhile for a stale form."""
    plan, _made = DishShopping.objects.get_or_create(dish=dish)
    for name, value in values.items():
        setattr(plan, name, value)
    return save_edit(plan, values, version=version)


@transaction.atomic
def set_takes(
    moment: Moment, *, values: Mapping[str, Any], tries: Mapping[int, int | None], version: int
) -> MomentTakes:
    """Write down what the takes of a moment use, and on its shots how many are wanted (by the keys of shots). Raises EditedMeanwhile."""
    takes, _made = MomentTakes.objects.get_or_create(moment=moment)
    for name, value in values.items():
        setattr(takes, name, value)
    save_edit(takes, values, version=version)
    for shot in Shot.objects.select_for_update().filter(moment=moment, pk__in=tries):
        if shot.tries != tries[shot.pk]:
            shot.tries = tries[shot.pk]
            change_shot(shot, fields=["tries"], version=shot.version)
    return takes


@transaction.atomic
def write_shopping(shoot: Shoot, *, over: Collection[str] = ()) -> tuple[int, list[Writing]]:
    """Put the portions into the brief and what to hold back onto the shots: how many were written, and what stays.

    What somebody typed by hand stays, unless its key is in ``over``.
    """
    lock_shoots(shoot.pk)
    waiting = writings_of(needs_of(shoot_for_shopping(shoot.pk).get()))
    stay = [each for each in waiting if each.is_by_hand and each.key not in over]
    now = [each for each in waiting if each not in stay]
    for each in now:
        if each.dish is not None and each.portions is not None:
            _write_portions(each.dish, each.portions)
        elif each.shot is not None:
            each.shot.keep_back = each.new
            change_shot(each.shot, fields=["keep_back"], version=each.shot.version)
        if each.shot is not None and each.moment is not None:
            MomentTakes.objects.update_or_create(moment=each.moment, defaults={"keep_back_written": each.new})
    return len(now), stay


def _write_portions(dish: Dish, total: int) -> None:
    dish.portions = total
    change_dish(dish, fields=["portions"], version=dish.version)
    DishShopping.objects.update_or_create(dish=dish, defaults={"portions_written": total})


# The buying list


@transaction.atomic
def change_purchases(shoot: Shoot, *, changes: Mapping[str, Mapping[str, Any]], at: datetime, by: str) -> int:
    """Write down what changed of the list's lines, by their keys: ``price``, ``where``, ``who``, ``is_bought``. How many lines changed.

    ``is_bought`` ticks a line with who and when; ticked already, it keeps both. What is not named stays as it is.
    """
    lock_shoots(shoot.pk)
    kept = {each.key: each for each in shoot.purchases.all()}
    changed = 0
    for key, values in changes.items():
        if not values:
            continue
        purchase = kept.get(key) or Purchase(shoot=shoot, key=key)
        for name in {"price", "where", "who"} & set(values):
            setattr(purchase, name, values[name])
        is_bought = values.get("is_bought", purchase.bought_at is not None)
        if is_bought != (purchase.bought_at is not None):
            purchase.bought_at, purchase.bought_by = (at, by) if is_bought else (None, "")
        purchase.save()
        changed += 1
    return changed


@transaction.atomic
def add_purchases(shoot: Shoot, *, words: Iterable[str]) -> list[Purchase]:
    """Lines no recipe names, such as ice or baking paper. Raises ListTooLong."""
    lock_shoots(shoot.pk)
    words = list(words)
    if shoot.purchases.exclude(words="").count() + len(words) > MOST_LINES:
        raise ListTooLong("lines of its own")
    return [Purchase.objects.create(shoot=shoot, key=f"{OWN}{uuid.uuid4()}", words=each) for each in words]


def remove_purchase(purchase: Purchase) -> None:
    """Take a line typed by hand, or what is left of one no recipe asks for any more, off the list."""
    purchase.delete()


# Props


@transaction.atomic
def make_props(shoot: Shoot) -> list[Prop]:
    """Put the props the shots name onto the list, as our own until somebody says otherwise. Pressed twice, it adds nothing. Raises ListTooLong."""
    lock_shoots(shoot.pk)
    suggested = props_suggested(shoot_for_shopping(shoot.pk).get())
    _need_room(shoot, len(suggested))
    return [
        _make_prop(
            shoot, each.dishes, what=each.what, kind=each.kind, count=each.count, shot=each.shots[0] if len(each.shots) == 1 else None
        )
        for each in suggested
    ]  # fmt: skip


@transaction.atomic
def add_prop(shoot: Shoot, *, dishes: Iterable[Dish] = (), **values: Any) -> Prop:
    """One prop more, for the dishes it serves. Raises ListTooLong."""
    lock_shoots(shoot.pk)
    _need_room(shoot, 1)
    return _make_prop(shoot, dishes, **values)


@transaction.atomic
def change_prop(prop: Prop, *, fields: Iterable[str], version: int, dishes: Iterable[Dish] | None = None) -> Prop:
    """Save the changed ``fields`` already set on a prop, and which dishes it serves. Raises EditedMeanwhile."""
    save_edit(prop, fields, version=version)
    if dishes is not None:
        prop.dishes.set(dishes)
    return prop


def remove_prop(prop: Prop) -> None:
    """Take a prop off the list, with what was counted of it."""
    prop.delete()


@transaction.atomic
def count_props(
    shoot: Shoot, *, way: str, counts: Mapping[int, int | None], damages: Mapping[int, str], name: str, at: datetime
) -> int:
    """Count props ``out`` onto the set or ``back``, by name and time; None is not counted, and takes an earlier count away.

    What says the same as before keeps its name and time. How many changed.
    """
    changed = 0
    for prop in Prop.objects.select_for_update().filter(shoot=shoot, pk__in=counts):
        count, damage = counts[prop.pk], damages.get(prop.pk, prop.damage)
        if count == (prop.counted_out if way == OUT else prop.counted_back) and damage == prop.damage:
            continue
        when, who = (None, "") if count is None else (at, name)
        if way == OUT:
            prop.counted_out, prop.out_at, prop.out_by = count, when, who
        else:
            prop.counted_back, prop.back_at, prop.back_counted_by = count, when, who
        prop.damage = damage
        prop.version += 1
        prop.save()
        changed += 1
    return changed


def _make_prop(shoot: Shoot, dishes: Iterable[Dish], **values: Any) -> Prop:
    prop = Prop.objects.create(shoot=shoot, **values)
    prop.dishes.set(dishes)
    return prop


def _need_room(shoot: Shoot, more: int) -> None:
    if shoot.props.count() + more > MOST_LINES:
        raise ListTooLong("props")
