"""Uses that a food photographer is asked for again and again, priced by a card, each with its working in words.

They stand beside the card while it is changed, so that a factor is seen in money. The uses are the house's own choice.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from billing.rates.card import Card, CardCheck
from billing.rates.fees import UNLIMITED, Exclusive, FeeLine, UseItem, usage_fee
from shared.words import formats
from shared.words.formats import with_capital
from shoots.uses.media_tree import medium_name
from shoots.uses.sentences import classes_in_words, media_in_words, territories_in_words, territory_name

ALL_CLASSES = "all"
SOME_DAY = date(2026, 1, 1)  # whole months weigh the same from every day
MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class Example:
    """A use somebody asks for."""

    name: str
    pictures: int
    item: UseItem


@dataclass(frozen=True, slots=True)
class PricedExample:
    """An example with its fee, how it came about, and the fee by the card before (None: there is none to compare with)."""

    example: Example
    fee: Decimal
    working: str
    before: Decimal | None

    @property
    def is_changed(self) -> bool:
        return self.before is not None and self.before != self.fee


def examples(country: str) -> tuple[Example, ...]:
    """The uses, in the studio's own country where a country matters."""
    return (
        Example("Website and posts", 9, _use("advertising", ["web.own", "web.social"], country, 24)),
        Example("Menu card", 6, _use("advertising", ["print.menu"], country, 12, copies=900)),
        Example("Picture in a magazine", 1, _use("editorial", ["print.editorial"], country, 1, copies=500)),
        Example(
            "Packaging, trade shut out", 12,
            _use("advertising", ["print.packaging"], country, 24, copies=100_000, exclusive=Exclusive.TRADE),
        ),
        Example(
            "Everything, nobody else", 1,
            _use(ALL_CLASSES, ["all"], "world", None, copies=UNLIMITED, exclusive=Exclusive.PICTURE),
        ),
    )  # fmt: skip


def price_examples(card: Card, *, country: str, currency: str, before: Card | None = None) -> tuple[PricedExample, ...]:
    """The examples by ``card``, compared with ``before``. A country the card does not have counts as Germany."""
    place = country if country in card.territories.nodes else "DE"
    priced = []
    for example in examples(place):
        fee = usage_fee(card, example.pictures, [example.item])
        old = usage_fee(before, example.pictures, [example.item]).fee if before else None
        working = fee_in_words(fee.lines[0], example, currency)
        end = ", so the minimum counts" if fee.is_minimum else ", rounded up" if fee.total != Fraction(fee.fee) else ""
        priced.append(PricedExample(example, fee.fee, f"{working}{end}.", old))
    return tuple(priced)


def fee_in_words(line: FeeLine, example: Example, currency: str) -> str:
    """*€180.00 × advertising 1.2 × menu 0.4 × 900 copies 0.6 × 6 pictures 5.85 = €303.26*. A factor of 1 is named too, where the use names it."""
    parts = []
    for step in line.working:
        if step.name == "base":
            parts.append(formats.money(decimal_of(step.value), currency, "en"))
        elif name := _factor_name(step.name, line, example):
            parts.append(f"{name}{formats.HARD}{formats.number(decimal_of(step.value), 'en')}")
    return f"{' × '.join(parts)} = {formats.money(decimal_of(line.total), currency, 'en')}"


def warnings_in_words(check: CardCheck) -> tuple[str, ...]:
    """What is odd about a card, one sentence a kind, with the names of the rows: *Menu: Dearer than …*."""
    named: dict[tuple[str, str], list[str]] = {}
    for remark in check.warnings:
        tree, _, code = remark.path.partition(".")
        named.setdefault((tree, remark.sentence), []).append(code_in_words(tree, code))
    return tuple(f"{_some(names)}: {sentence[:1].lower()}{sentence[1:]}" for (_, sentence), names in named.items())


def code_in_words(tree: str, code: str) -> str:
    """A code of a card as a name: *Website*, *Germany*, *All classes*."""
    if tree == "classes":
        name = "all classes" if code == ALL_CLASSES else classes_in_words([code], "en")
    else:
        name = medium_name(code, "en") if tree == "media" else territory_name(code, "en").removeprefix("the ")
    return with_capital(name)


def _use(
    kind: str, media: Iterable[str], place: str, months: int | None, *, copies: int | str | None = None, exclusive: Exclusive = Exclusive.NONE
) -> UseItem:  # fmt: skip
    return UseItem(frozenset([kind]), frozenset(media), frozenset([place]), SOME_DAY, months, copies, exclusive)


def _factor_name(name: str, line: FeeLine, example: Example) -> str:
    item = example.item
    if name == "classes":
        return "all classes" if ALL_CLASSES in line.classes.codes else classes_in_words(line.classes.codes, "en")
    if name == "media":
        return media_in_words(line.media.codes, "en")
    if name == "territories":
        return territories_in_words(line.territories.codes, "en")
    if name == "term":
        length = "without end" if item.months is None else formats.quantity(item.months, "month", "en")
        shut_out = {
            Exclusive.NONE: "",
            Exclusive.TRADE: ", same trade shut out",
            Exclusive.PICTURE: ", all others shut out",
        }
        return length + shut_out[item.exclusive]
    if name == "copies":
        if item.copies is None:
            return ""
        return "unlimited copies" if isinstance(item.copies, str) else formats.quantity(item.copies, "copy", "en")
    return formats.quantity(example.pictures, "picture", "en")


def _some(names: list[str]) -> str:
    if len(names) <= MOST_NAMED + 1:
        return formats.list_in_words(names, "en")
    return f"{', '.join(names[:MOST_NAMED])} and {len(names) - MOST_NAMED} more"


def decimal_of(value: Fraction) -> Decimal:
    """An exact figure of a card as people write it."""
    return Decimal(value.numerator) / Decimal(value.denominator)
