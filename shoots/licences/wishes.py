"""What may still be sold of a picture: a handful of common wishes, each with from when it is free, in words.

The list of wishes is our choice of the commonest uses of food pictures: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from shared.words import formats
from shoots.licences.availability import COMMISSION, Offer, Selling, SellingOn, Wish
from shoots.uses.intended import CLASS_BITS
from shoots.uses.sentences import territories_in_words
from shoots.uses.territory_tree import WORLD


@dataclass(frozen=True, slots=True)
class CommonWish:
    """One line of *what may I still sell*; ``key`` names it in an address."""

    key: str
    name: str
    purpose: str
    classes: frozenset[str]
    media: frozenset[str]
    territories: frozenset[str]
    months: int

    @property
    def detail(self) -> str:
        """*Advertising, Germany*."""
        place = territories_in_words(self.territories, "en")
        return f"{self.purpose}, {'worldwide' if WORLD in self.territories else place}"

    def starting(self, first: date) -> Wish:
        """The wish of somebody not known yet, whose trade therefore counts as any."""
        return Wish(
            licensee="",
            classes=self.classes,
            media=self.media,
            territories=self.territories,
            use_from=first,
            months=self.months,
        )

    @property
    def use_values(self) -> dict[str, object]:
        """The wish as the fields of a row, to begin a form with."""
        return {
            "is_own_promotion": self.purpose == "Own promotion",
            "use_classes": sorted(self.classes, key=CLASS_BITS.__getitem__),
            "use_media": sorted(self.media),
            "use_territories": sorted(self.territories),
            "use_months": self.months,
        }


def common_wishes(home: str) -> tuple[CommonWish, ...]:
    """The common wishes, priced for the studio's own country where a border matters."""

    def wish(key: str, name: str, purpose: str, kind: str, media: str, place: str, months: int) -> CommonWish:
        return CommonWish(key, name, purpose, frozenset({kind}), frozenset(media.split()), frozenset({place}), months)

    return (
        wish("own", "Website and social media", "Own promotion", "advertising", "web.own web.social", WORLD, 24),
        wish("print_ad", "Advertising in print", "Advertising", "advertising", "print.ad print.brochure", home, 12),
        wish("online_ad", "Advertising online", "Advertising", "advertising", "web.paid_social web.display", home, 12),
        wish("packaging", "Packaging", "Advertising", "advertising", "print.packaging", home, 24),
        wish("magazine", "Magazine and books", "Editorial", "editorial", "print.editorial", "europe", 12),
        wish("stock", "Stock", "Stock sale", "stock", "all", WORLD, 24),
    )


@dataclass(frozen=True, slots=True)
class Sale:
    """What may be sold of one wish: look of the state, its words, a second line, and the first day free (None: never)."""

    wish: CommonWish
    look: str
    words: str
    detail: str
    shared_from: date | None
    exclusive_from: date | None


def sale_of(wish: CommonWish, offer: Offer, on: date, *, selling_on: SellingOn, holders: Mapping[str, str]) -> Sale:
    """The answer for one wish in words. ``holders`` names the client of each licence by its id."""
    shared, exclusive = offer.shared.free_from, offer.exclusive.free_from
    if shared is None:
        detail = _never(offer.shared.blocked_by, selling_on, holders)
        return Sale(wish, "look", "Not free", detail, None, exclusive)
    if shared > on:
        words = f"Free from {formats.day(shared, 'en')}"
        return Sale(wish, "wait", words, _why(offer.shared.blocked_by, selling_on, holders), shared, exclusive)
    if exclusive == shared:
        return Sale(wish, "done", "Free, also exclusive", "", shared, exclusive)
    if exclusive is None:
        detail = "Never exclusive: " + _why(offer.exclusive.blocked_by, selling_on, holders)
    else:
        until = formats.day(exclusive, "en")
        detail = f"Exclusive only from {until}: " + _why(offer.exclusive.blocked_by, selling_on, holders)
    return Sale(wish, "done", "Free, not exclusive", detail, shared, exclusive)


def _why(blocked_by: tuple[str, ...], selling_on: SellingOn, holders: Mapping[str, str]) -> str:
    names = sorted({holders[each] for each in blocked_by if each != COMMISSION})
    reasons = [f"{formats.list_in_words(names, 'en')} holds it"] if len(names) == 1 else []
    if len(names) > 1:
        reasons.append(f"{formats.list_in_words(names, 'en')} hold it")
    if COMMISSION in blocked_by and selling_on.after is not None:
        reasons.append("the client agreed to selling on after that day")
    return ", ".join(reasons)


def _never(blocked_by: tuple[str, ...], selling_on: SellingOn, holders: Mapping[str, str]) -> str:
    if COMMISSION in blocked_by and selling_on.kind is Selling.NOT_TO:
        trades = formats.list_in_words(sorted(selling_on.not_to), "en")
        return f"Depends on the buyer’s trade: not to {trades}. Choose the client to see."
    if COMMISSION in blocked_by:
        return "The client who ordered the shoot has not agreed to selling on."
    return f"{_why(blocked_by, selling_on, holders)} without end".strip().capitalize()
