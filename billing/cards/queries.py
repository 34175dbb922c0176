from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db import models
from django.db.models import Count, Min

from billing.cards.card_file import CardFile, Problem, RateKind, problem_at, read_card_file, write_card_file
from billing.cards.changes import Change, Sections, differences
from billing.cards.trying import Case
from billing.estimates.models import Estimate
from billing.rates.card import Card, PriceTree, card_data, with_own_codes
from billing.rates.examples import code_in_words, price_examples
from billing.rates.forms import MOST_FEE, UNITS, RateCardForm
from billing.rates.models import RATE_FIELDS, RateCard
from billing.rates.queries import (
    EXCLUSIVE,
    has_starting_rates,
    rates_in_force,
    starting_rates,
    usage_card,
    usage_kept,
    usage_money,
    usage_rows,
)
from billing.rates.starting_card import STARTING_CARD
from shared.words import formats
from shoots.found.models import FoundUse
from shoots.licences.models import Licence
from shoots.uses.shipped import IN_FORCE

OWN_PLACE = ("valid_from", "currency")  # beside the rates in a file
MONEY_ROWS = {
    "base": "Base fee",
    "minimum": "Minimum",
    "step": "Rounded up to a multiple of",
    "handling": "Handling, when a use is changed later",
}
IN_RATES = tuple(name for name in RATE_FIELDS if name not in OWN_PLACE)


def rate_kinds() -> dict[str, RateKind]:
    """How each rate is written in a file, as its column keeps it."""
    kinds = {}
    for name in IN_RATES:
        field = RateCard._meta.get_field(name)
        if isinstance(field, models.DecimalField):
            kinds[name] = RateKind(field.max_digits, field.decimal_places)
        else:
            kinds[name] = RateKind(4, None, is_flag=isinstance(field, models.BooleanField))
    return kinds


def file_of(card: RateCard) -> bytes:
    """A rate card with its usage fees as a file."""
    rates = {
        name: getattr(card, name)
        if kind.decimals is None
        else getattr(card, name).quantize(Decimal(1).scaleb(-kind.decimals))
        for name, kind in rate_kinds().items()
    }
    return write_card_file(CardFile(card.valid_from, card.currency, rates, _in_order(usage_card(card))))


def _in_order(usage: Card) -> Card:
    """The card with its codes as the trees order them: a database keeps the keys of JSON in an order of its own."""
    known = usage_card(None)
    trees = ((usage.classes, known.classes), (usage.media, known.media), (usage.territories, known.territories))
    ordered = {
        tree.name: PriceTree(tree.name, [tree.nodes[code] for code in like.nodes if code in tree.nodes])
        for tree, like in trees
    }
    return replace(usage, **ordered)


def card_to_export(pk: int | None, on: date) -> RateCard:
    """The rate card asked for, that of a day, or the starting values. Raises ``RateCard.DoesNotExist``."""
    return RateCard.objects.get(pk=pk) if pk is not None else rates_in_force(on)


def read_file(content: bytes) -> CardFile:
    """The card in a file, by every check of a card saved on its page. Raises InvalidCardFile."""
    found = read_card_file(content, rates=rate_kinds(), shipped=STARTING_CARD, in_use=usage_card(None))
    values = {**found.rates, "valid_from": found.valid_from, "currency": found.currency, "version": 1}
    same_day = RateCard.objects.filter(valid_from=found.valid_from).first()  # to be corrected, so it is no twin
    form = RateCardForm(values, instance=same_day or RateCard())
    problems = []
    for name, errors in form.errors.items():
        path = f"rates.{name}" if name in IN_RATES else name
        problems += [(path, str(error)) for error in errors if "version" not in path]
    dearest = max(each.fee for each in price_examples(found.usage, country="DE", currency=found.currency))
    if dearest > MOST_FEE:
        problems.append(("card.base", "With these factors one picture could cost more than 100 million. Lower the base or a factor."))  # fmt: skip
    if problems:
        raise problem_at(content.decode("utf-8-sig"), *(part for each in problems for part in each))
    return found


def card_changes(old: RateCard, new: RateCard) -> tuple[Change, ...]:
    """What differs between two rate cards, the first day left out. Neither need be saved."""
    return tuple(differences(_in_words(old), _in_words(new)))


def _in_words(card: RateCard) -> Sections:
    labels = RateCardForm.Meta.labels
    rates = {labels[name]: _rate_in_words(card, name) for name in RATE_FIELDS if name != "valid_from"}
    money = {MONEY_ROWS[name]: formats.money(value, card.currency, "en") for name, value in usage_money(card).items()}
    usage = [(section, dict(rows)) for section, rows in usage_rows(card)]
    return [("Rates and terms", rates), ("Usage fees", money), *usage]


def _rate_in_words(card: RateCard, name: str) -> str:
    value, unit = getattr(card, name), UNITS.get(name, "")
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "Yes" if value else "No"
    if unit == "%":
        return formats.percent(value, "en")
    if name.endswith("_rate"):
        return f"{formats.rate(value, card.currency, '', 'en')} {unit}".strip()
    return f"{formats.number(value, 'en')} {unit}".strip()


@dataclass(frozen=True, slots=True)
class Import:
    """What taking a file would do on a day: the card it makes (not saved), the one that counts now, and what differs.

    ``correct``: a card of that very day, which would be corrected. ``before``: its number and version as seen, for the moment of taking.
    """

    file: CardFile
    card: RateCard
    current: RateCard
    correct: RateCard | None
    changes: tuple[Change, ...]

    @property
    def seen(self) -> str:
        return f"{self.current.pk or 0}.{self.current.version if self.current.pk else 0}"

    @property
    def is_known(self) -> bool:
        """Whether these rates and fees count from that day on already."""
        return not self.changes and self.current.pk is not None


def what_import_does(file: CardFile, valid_from: date) -> Import:
    """What taking a file from a day on would change."""
    correct = RateCard.objects.filter(valid_from=valid_from).first()
    current = correct or rates_in_force(valid_from)
    usage = card_data(with_own_codes(file.usage, IN_FORCE))
    card = RateCard(**file.rates, currency=file.currency, valid_from=valid_from, usage=usage)
    return Import(file, card, current, correct, card_changes(current, card))


@dataclass(frozen=True, slots=True)
class Version:
    """A rate card of the history: its last day (None: nothing follows), what it changed, and how many estimates took it."""

    card: RateCard
    last_on: date | None
    changes: tuple[Change, ...]
    estimates: int
    has_starting_rates: bool
    has_starting_fees: bool


def versions() -> list[Version]:
    """All rate cards, the newest first. The first one is compared with the starting values."""
    cards = list(RateCard.objects.order_by("valid_from"))
    used = _estimates_by_card()
    found = []
    for place, card in enumerate(cards):
        before = cards[place - 1] if place else starting_rates(card.valid_from)
        last_on = cards[place + 1].valid_from - timedelta(days=1) if place + 1 < len(cards) else None
        found.append(
            Version(
                card, last_on, card_changes(before, card), used.get(card.valid_from.isoformat(), 0),
                has_starting_rates=has_starting_rates(card), has_starting_fees=usage_kept(card) == usage_kept(None),
            )
        )  # fmt: skip
    return found[::-1]


def _estimates_by_card() -> dict[str, int]:
    """How many estimates keep the card of a first day, each version of an estimate counted."""
    # By their digests: the day stands inside the kept card, and opening thousands of cards takes half a second.
    kept = Estimate.objects.exclude(card_sha256="").order_by().values("card_sha256")
    by_card = {row["one"]: row["number"] for row in kept.annotate(number=Count("pk"), one=Min("pk"))}
    found: Counter[str] = Counter()
    for key, day in Estimate.objects.filter(pk__in=by_card).values_list("pk", "card__valid_from"):
        found[day] += by_card[key]
    return dict(found)


def where_it_goes(typed: Mapping[str, Any]) -> str:
    """What a press that hands a tried fee on says: to which licence or use found; empty where the page was opened from none, or for a new use."""
    case = typed["case"]
    if case == Case.FOUND:
        found = FoundUse.objects.filter(pk=typed["found"] or 0).first()
        return f"Offer the licence for {found.number} at this fee" if found else ""
    licence = Licence.objects.filter(pk=typed["licence"] or 0).first()
    if licence is None or case == Case.NEW:
        return ""
    return f"{'Change' if case == Case.CHANGE else 'Renew'} {licence.number} at this fee"


SECTIONS = {"classes": "What it is for", "media": "Where it is shown", "territories": "In which countries"}
LISTS = {"term": "For how long", "picture_bands": "How many pictures, each", "copy_bands": "How many copies in print"}
TOP = {
    "valid_from": "Valid from",
    "currency": "Currency",
    "rates": "Rates and terms",
    "card": "Usage fees",
    "sha256": "Checksum of the file",
}


def place_in_words(path: str) -> str:
    """A path of the file as the pages of the rates call it: *Rates and terms: Day on set*, *Where it is shown: Website*; empty for what they do not know."""
    if path in TOP:
        return TOP[path]
    part, _, rest = path.partition(".")
    if part == "rates":
        return f"{TOP['rates']}: {RateCardForm.Meta.labels[rest]}" if rest in IN_RATES else ""
    name, _, code = rest.partition(".")
    listed, _, place = name.partition("[")
    if listed in LISTS:
        number = place.partition("]")[0]
        return f"{LISTS[listed]}, line {int(number) + 1}" if number.isdecimal() else LISTS[listed]
    if name == "term_perpetual":
        return f"{LISTS['term']}: Without end"
    if name in MONEY_ROWS:
        return f"{TOP['card']}: {MONEY_ROWS[name]}"
    if name == "exclusivity":
        return f"Who is shut out: {EXCLUSIVE[code]}" if code in EXCLUSIVE else "Who is shut out"
    return _code_in_words(name, code) if name in SECTIONS else ""


def _code_in_words(tree: str, code: str) -> str:
    for ending in (".factor", ".parent", ".exhaustive", ".counted"):
        code = code.removesuffix(ending)
    known: PriceTree = getattr(usage_card(None), tree)
    return f"{SECTIONS[tree]}: {code_in_words(tree, code)}" if code in known.nodes else SECTIONS[tree]


def problems_in_words(problems: Iterable[Problem]) -> list[tuple[Problem, str]]:
    """What is wrong in a file, each with its place in the words of the pages."""
    return [(each, place_in_words(each.path)) for each in problems]
