"""What is read for the shopping of a shoot: its dishes with their lists, the buying list, what it costs, and the props."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from typing import Any

from django.db.models import Prefetch, QuerySet

from shared.business.queries import business_or_none
from shared.money import Money
from shoots.brief.models import Dish, Shoot
from shoots.plan.ingredients import Ingredient
from shoots.plan.models import Moment, Shot
from shoots.plan.queries import ingredients_of, sheet_words
from shoots.plan.sheet_words import is_asked
from shoots.shopping.costs import Costs, costs_of
from shoots.shopping.guessing import guess_lines
from shoots.shopping.lists import BuyLine, DishList, Line, Use, join, scale_dish
from shoots.shopping.models import DishShopping, MomentTakes, Prop, Purchase
from shoots.shopping.prop_words import things_in
from shoots.shopping.quantities import InvalidQuantity, Portions, Wanted, portions_to_cook
from shoots.shopping.snapshot import BoughtLine, PaperDish, PropLine, PropSheet, ShoppingSheet
from shoots.shopping.units import name_key
from shoots.shopping.wording import ask_the_cook, bought, portions_in_words, sum_in_words

LONGEST_KEEP_BACK = 200
OWN = "own:"


def shoot_for_shopping(pk: int) -> QuerySet[Shoot]:
    """A shoot with all that its shopping is reckoned from, in a constant number of queries."""
    shots = Shot.objects.select_related("moment__step", "moment__shopping").exclude(state=Shot.State.SKIPPED)
    return (
        Shoot.objects.filter(pk=pk)
        .select_related("client", "kitchen")
        .prefetch_related(
            Prefetch("dishes", queryset=Dish.objects.select_related("recipe", "shopping")),
            Prefetch("shots", queryset=shots, to_attr="shots_wanted"),
            "purchases",
            Prefetch("props", queryset=Prop.objects.select_related("shot").prefetch_related("dishes")),
        )
    )


# A dish


@dataclass(frozen=True)
class MomentNeed:
    """A moment that is photographed: its shots, what it uses, and what that asks of the cook."""

    moment: Moment
    shots: tuple[Shot, ...]
    use: Use
    names: tuple[str, ...]
    asks: tuple[str, ...]
    new_text: str

    @property
    def wanted(self) -> Wanted:
        return self.use.wanted


@dataclass(frozen=True)
class DishNeed:
    """A dish with its list. ``trouble`` says why nothing could be reckoned; the list is then the recipe as it stands.

    ``loose``: shots whose moment is gone from the recipe.
    """

    dish: Dish
    plan: DishShopping
    listed: DishList
    moments: tuple[MomentNeed, ...]
    says: int | None
    has_recipe: bool
    trouble: str = ""
    loose: tuple[Shot, ...] = ()

    @property
    def portions_words(self) -> str:
        return portions_in_words(self.listed.portions, self.listed.serves)

    @property
    def unspoken(self) -> Decimal:
        """Portions of which nobody said yet what becomes of them, once somebody began to say; else nothing."""
        said = [self.plan.eaten_portions, self.plan.given_portions, self.plan.thrown_portions]
        told = [each for each in said if each is not None]
        return max(self.listed.portions.total - sum(told, Decimal(0)), Decimal(0)) if told else Decimal(0)


def needs_of(shoot: Shoot) -> list[DishNeed]:
    """Each dish of a shoot (``shoot_for_shopping``) with its portions, its list and its moments."""
    return [need_of(dish, shoot.shots_wanted) for dish in shoot.dishes.all()]  # type: ignore[attr-defined]


def need_of(dish: Dish, shots: Iterable[Shot]) -> DishNeed:
    """A dish reckoned from its recipe, its shots and what was typed for it."""
    recipe, plan = getattr(dish, "recipe", None), plan_of(dish)
    lines = lines_of(dish)
    by_moment: dict[int, list[Shot]] = {}
    shots = list(shots)
    loose = tuple(shot for shot in shots if shot.dish_id == dish.pk and shot.moment_id is None)
    for shot in shots:
        if shot.dish_id == dish.pk and shot.moment_id is not None:
            by_moment.setdefault(shot.moment_id, []).append(shot)
    moments = {pk: each[0].moment for pk, each in by_moment.items() if each[0].moment is not None}
    says = recipe.servings if recipe else None
    serves = plan.serves or says
    try:
        uses = [use_of(moment, by_moment[pk], lines) for pk, moment in moments.items()]
        portions = portions_to_cook(
            eaten=plan.eaters, heroes=plan.heroes, stand_ins=plan.stand_ins, wanted=[use.wanted for use in uses]
        )
        listed = scale_dish(dish.pk, dish.name, portions=portions, serves=serves, lines=lines, uses=uses)
    except InvalidQuantity as error:
        listed = scale_dish(dish.pk, dish.name, portions=Portions(0, 0, 0), serves=None, lines=lines, uses=())
        alone = tuple(need_alone(moment, by_moment[pk], lines) for pk, moment in moments.items())
        return DishNeed(dish, plan, listed, alone, says, recipe is not None, str(error))
    needs = tuple(_moment_need(moments[use.key], by_moment[use.key], use, listed) for use in uses)
    return DishNeed(dish, plan, listed, needs, says, recipe is not None, loose=loose)


def plan_of(dish: Dish) -> DishShopping:
    """What was typed for a dish, or the usual figures while nothing was."""
    return getattr(dish, "shopping", None) or DishShopping(dish=dish)


def takes_of(moment: Moment) -> MomentTakes:
    """What was typed for a moment, or the usual figures while nothing was."""
    return getattr(moment, "shopping", None) or MomentTakes(moment=moment)


def lines_of(dish: Dish) -> list[Line]:
    """The ingredient lines of a dish's recipe, as they were read and corrected by hand."""
    recipe = getattr(dish, "recipe", None)
    return [line_of(each) for each in ingredients_of(recipe)] if recipe else []


def line_of(read: Ingredient) -> Line:
    """A line of a recipe; of a range the upper end counts. What was read with no quantity stays in its own words."""
    if read.quantity is None:
        return Line(read.text, read.name or read.text, section=read.section)
    high = read.quantity_to if read.quantity_to is not None else read.quantity
    low = Fraction(read.quantity) if read.quantity_to is not None else None
    return Line(read.text, read.name or read.text, Fraction(high), read.unit, low, read.section)


def takes_wanted(shots: Iterable[Shot]) -> int:
    """How often a moment is to be had: the tries of all its shots; a shot without a number is had once."""
    return sum(shot.tries or 1 for shot in shots)


def guessed_lines(moment: Moment, lines: list[Line]) -> tuple[int, ...]:
    """The lines a moment seems to use."""
    return guess_lines(moment.what, moment.step.text if moment.step else "", [line.name for line in lines])


def use_of(moment: Moment, shots: Iterable[Shot], lines: list[Line]) -> Use:
    """What the takes of a moment use. Chosen lines that are no longer in the recipe are forgotten, and the guess stands again.

    Raises InvalidQuantity where the tries of its shots add up to more takes than can be planned.
    """
    takes = takes_of(moment)
    chosen = takes.lines if isinstance(takes.lines, list) else None
    places = tuple(place for place, line in enumerate(lines) if chosen is not None and line.text in chosen)
    is_guess = chosen is None or (bool(chosen) and not places)
    if is_guess:
        places = guessed_lines(moment, lines)
    wanted = Wanted(
        repeat=moment.repeat, takes=takes_wanted(shots), can_split=takes.can_split, is_portion=not places, per_take=takes.per_take, batch=takes.batch
    )  # fmt: skip
    part = Fraction(takes.part) if takes.part is not None else None
    return Use(moment.pk, moment.what, moment.action, wanted, places, part, is_guess)


def _moment_need(moment: Moment, shots: list[Shot], use: Use, listed: DishList) -> MomentNeed:
    asks = ask_the_cook(listed, use)
    names = tuple(listed.lines[place].line.name for place in use.lines)
    return MomentNeed(moment, tuple(shots), use, names, asks, keep_back_text(moment, asks))


def need_alone(moment: Moment, shots: Iterable[Shot], lines: list[Line]) -> MomentNeed:
    """A moment by itself, where its dish cannot be reckoned: so that takes that are too many can be made fewer."""
    places = guessed_lines(moment, lines)
    use = Use(moment.pk, moment.what, moment.action, Wanted(moment.repeat), places)
    return MomentNeed(moment, tuple(shots), use, tuple(lines[place].name for place in places), (), "")


def keep_back_text(moment: Moment, asks: Iterable[str]) -> str:
    """What a shot says under *Hold back and have ready*: what is asked of the cook, then what the list of words has ready beside it.

    Empty where nothing is asked: the text on the shot then stays as it is.
    """
    asks = [ask.replace("\u00a0", " ") for ask in asks]
    if not asks:
        return ""
    beside = [each for each in moment.prepare if "hold back" not in each.lower() and "held back" not in each.lower()]
    text = asks[0]
    for each in [*asks[1:], *beside]:
        if len(text) + len(each) + 2 <= LONGEST_KEEP_BACK:
            text = f"{text}; {each}"
    return text[:LONGEST_KEEP_BACK]


# What is written into brief and shots


@dataclass(frozen=True)
class Writing:
    """A text or number that one press puts into the brief or onto a shot. ``is_by_hand``: somebody typed what stands there now."""

    key: str
    where: str
    now: str
    new: str
    is_by_hand: bool
    portions: int | None = None
    dish: Dish | None = None
    shot: Shot | None = None
    moment: Moment | None = None


def writings_of(needs: Iterable[DishNeed]) -> list[Writing]:
    """Everything that brief and shots do not say yet. A dish that cannot be reckoned leaves them as they are."""
    found = []
    for need in (each for each in needs if not each.trouble):
        total = need.listed.portions.total
        if need.has_recipe and need.dish.portions != total:
            by_hand = need.dish.portions is not None and need.dish.portions != need.plan.portions_written
            now = "" if need.dish.portions is None else f"{need.dish.portions} portions"
            found.append(
                Writing(
                    f"dish-{need.dish.pk}",
                    f"{need.dish.name}, portions",
                    now,
                    f"{total} portions",
                    by_hand,
                    portions=total,
                    dish=need.dish,
                )
            )
        for each in need.moments:
            for shot in each.shots:
                new = each.new_text or _without_asking(shot, each.moment)
                if shot.keep_back != new:
                    found.append(_shot_writing(shot, each.moment, new))
        for shot in need.loose:
            new = _without_our_sentences(shot.keep_back)
            if shot.keep_back != new:
                found.append(Writing(f"shot-{shot.pk}", shot.title, shot.keep_back, new, is_by_hand=False, shot=shot))
    return found


def _without_our_sentences(text: str) -> str:
    """What a shot says once its moment is gone: what was asked of the cook for it is bought no more; the rest stays."""
    pieces = [piece.strip() for piece in text.split(";")]
    left = [piece for piece in pieces if not is_asked(piece, sheet_words())]
    return text if left == pieces else "; ".join(left)


def _without_asking(shot: Shot, moment: Moment) -> str:
    """What a shot says once nothing is asked of the cook any more: what we wrote gives way to the draft, any other text stays."""
    written = takes_of(moment).keep_back_written
    return _drafted(moment) if written and shot.keep_back == written else shot.keep_back


def _shot_writing(shot: Shot, moment: Moment, new: str) -> Writing:
    ours = {"", _drafted(moment), takes_of(moment).keep_back_written}
    by_hand = shot.keep_back not in ours
    return Writing(f"shot-{shot.pk}", shot.title, shot.keep_back, new, by_hand, shot=shot, moment=moment)


def _drafted(moment: Moment) -> str:
    """The text the shot list drafts for a moment."""
    return "; ".join(moment.prepare)[:LONGEST_KEEP_BACK]


# The buying list


@dataclass(frozen=True)
class ToBuy:
    """A line of the buying list with what is known of its purchase; ``line`` is None where it was typed by hand."""

    key: str
    name: str
    line: BuyLine | None
    purchase: Purchase

    @property
    def how_much(self) -> str:
        return bought(self.line) if self.line else ""

    @property
    def sum_words(self) -> str:
        return sum_in_words(self.line) if self.line else ""

    @property
    def is_gone(self) -> bool:
        """Is it priced or bought, but no recipe asks for it any more?"""
        return self.line is None and not self.purchase.words


@dataclass(frozen=True)
class Shopping:
    """The shopping of a shoot: dishes, the list, what it costs."""

    shoot: Shoot
    needs: list[DishNeed]
    lines: list[ToBuy]
    currency: str

    @cached_property
    def costs(self) -> Costs:
        priced = [(each.line, each.purchase.price) for each in self.lines if each.purchase.price is not None]
        return costs_of(priced, self.currency)

    @property
    def priced(self) -> int:
        return sum(each.purchase.price is not None for each in self.lines)

    @property
    def to_buy(self) -> int:
        return sum(each.purchase.bought_at is None and not each.is_gone for each in self.lines)

    @property
    def portions(self) -> int:
        return sum(need.listed.portions.total for need in self.needs)

    @property
    def props_out(self) -> int:
        return sum(prop.still_out for prop in self.shoot.props.all())

    @cached_property
    def writings(self) -> list[Writing]:
        return writings_of(self.needs)

    @property
    def without_recipe(self) -> list[DishNeed]:
        return [need for need in self.needs if not need.has_recipe]

    @property
    def without_serves(self) -> list[DishNeed]:
        return [need for need in self.needs if need.has_recipe and need.listed.serves is None and not need.trouble]

    def costs_shown(self) -> list[tuple[str, Money]]:
        """The parts of the whole that are not nothing, with their names."""
        costs = self.costs
        parts = [
            ("Eaten", costs.eaten),
            ("Heroes", costs.heroes),
            ("Stand-ins for the light", costs.stand_ins),
            ("Spares for further takes", costs.spares),
            ("Without a quantity, and own lines", costs.uncounted),
        ]
        return [(name, money) for name, money in parts if money]


def shopping_of(shoot: Shoot) -> Shopping:
    """The shopping of a shoot of ``shoot_for_shopping``."""
    needs = needs_of(shoot)
    kept = {purchase.key: purchase for purchase in shoot.purchases.all()}
    joined = join(need.listed for need in needs if need.listed.serves is not None and need.listed.portions.total)
    lines = [
        ToBuy(line.key, line.name, line, kept.get(line.key, Purchase(shoot=shoot, key=line.key))) for line in joined
    ]
    asked = {each.key for each in lines}
    others = [
        ToBuy(each.key, each.words or each.key.partition("|")[0], None, each)
        for each in kept.values()
        if each.words or (each.key not in asked and (each.price is not None or each.bought_at))
    ]
    return Shopping(shoot, needs, [*lines, *others], shoot.client.currency)


# Props


@dataclass
class Suggested:
    """A prop the words of shots name, the dishes it serves, and the shots that name it."""

    what: str
    count: int
    kind: str
    dishes: list[Dish] = field(default_factory=list)
    shots: list[Shot] = field(default_factory=list)


def props_suggested(shoot: Shoot) -> list[Suggested]:
    """The props the shots name that are not on the list: one a name, as many as one shot wants at most, for all dishes that name it."""
    has = {name_key(prop.what) for prop in shoot.props.all()}
    dishes = {dish.pk: dish for dish in shoot.dishes.all()}
    found: dict[str, Suggested] = {}
    for shot in shoot.shots_wanted:  # type: ignore[attr-defined]
        for count, what, kind in things_in(shot.props):
            key = name_key(what)
            if key in has:
                continue
            each = found.setdefault(key, Suggested(what, count, kind))
            each.count = max(each.count, count)
            each.shots.append(shot)
            dish = dishes.get(shot.dish_id) if shot.dish_id else None
            if dish and dish not in each.dishes:
                each.dishes.append(dish)
    return list(found.values())


# Papers


def shopping_sheet_of(shopping: Shopping, *, language: str, at: datetime) -> ShoppingSheet:
    """What the shopping list says now."""
    shoot, business = shopping.shoot, business_or_none(at)
    return ShoppingSheet(
        language=language,
        shoot=shoot.title,
        house=shoot.client.name,
        day=shoot.first_on,
        last_day=shoot.last_on,
        place=shoot.kitchen.name if shoot.kitchen else "",
        dishes=tuple(_paper_dish(need, language) for need in shopping.needs),
        lines=tuple(
            BoughtLine(
                each.name,
                each.line,
                each.purchase.where,
                each.purchase.who,
                each.purchase.price,
                each.purchase.bought_at is not None,
            )
            for each in shopping.lines
        ),
        currency=shopping.currency,
        costs=shopping.costs if shopping.priced else None,
        photographer=business.name if business else "",
        made_at=at,
        identifier=f"shopping {shoot.pk} {language} {at.isoformat()}",
        footer=_footer(business),
    )


def _paper_dish(need: DishNeed, language: str) -> PaperDish:
    plan = need.plan
    return PaperDish(
        listed=need.listed,
        has_recipe=need.has_recipe,
        asks=tuple(
            (each.moment.what, ask_the_cook(need.listed, each.use, language)) for each in need.moments if each.asks
        ),
        once=tuple(each.moment.what for each in need.moments if each.wanted.is_single),
        garnish=plan.garnish,
        eaten=(plan.eaten_portions, plan.eaten_by),
        given=(plan.given_portions, plan.given_to),
        thrown=plan.thrown_portions,
    )


def prop_sheet_of(shoot: Shoot, *, language: str, at: datetime) -> PropSheet:
    """What the prop list says now."""
    business = business_or_none(at)
    return PropSheet(
        language=language,
        shoot=shoot.title,
        house=shoot.client.name,
        day=shoot.first_on,
        last_day=shoot.last_on,
        place=shoot.kitchen.name if shoot.kitchen else "",
        lines=tuple(
            PropLine(
                what=prop.what, kind=prop.kind, count=prop.count, dish=", ".join(dish.name for dish in prop.dishes.all()), shot=prop.shot.title if prop.shot else "",
                source=prop.source, from_whom=prop.from_whom, goes_back_to=prop.goes_back_to, back_by=prop.back_by, counted_out=prop.counted_out,
                out_by=prop.out_by, out_at=prop.out_at, counted_back=prop.counted_back, back_counted_by=prop.back_counted_by, back_at=prop.back_at,
                damage=prop.damage,
            )
            for prop in shoot.props.all()
        ),
        photographer=business.name if business else "",
        made_at=at,
        identifier=f"props {shoot.pk} {language} {at.isoformat()}",
        footer=_footer(business),
    )  # fmt: skip


def _footer(business: Any) -> tuple[str, ...]:
    return tuple(part for part in (business.name, business.phone) if part) if business else ()
