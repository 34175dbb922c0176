"""A licence, or an intended use, as a paragraph that a client understands, in the document's language.

Each sentence is a whole template with places for names, lists, dates and numbers, translated by the catalogues in `shared/locale`:
no sentence is put together from fragments. Countries, lists, dates and numbers come from CLDR.
After the colon German names places as labels (*Gebiet: Deutschland*), so that no article has to be guessed; English takes its
articles from a short list. The wording is the house's own and no legal text: the studio has its terms checked by a licensed adviser.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from clients.trades import name_in
from shared.words import formats
from shared.words.formats import with_capital
from shared.words.phrases import Phrases, gettext_noop, licence_language, pgettext_noop, phrases_of
from shoots.uses.days import last_day
from shoots.uses.in_force import given_name
from shoots.uses.intended import Begins, Exclusivity, class_bits, class_names, is_own_promotion
from shoots.uses.media_tree import READ_EVERYWHERE, medium_name
from shoots.uses.shipped import IN_FORCE
from shoots.uses.territory_tree import M49_CODES, WORLD, FrozenGroup
from shoots.uses.trees import REST, Tree, Trees

CLASS_NAMES = {
    "editorial": pgettext_noop("class of use", "editorial use"),
    "advertising": pgettext_noop("class of use", "advertising"),
    "stock": pgettext_noop("class of use", "stock sale"),
}

# Countries and groups whose English names want an article in running text.
WITH_ARTICLE = frozenset(
    "AE AX BQ BS CC CF CK DO FK FO GB GM HM IM IO KM KY MH MP MV NL PH PN PS SB SC TC TF UM US VG VI EU EEA".split()  # noqa: SIM905 reads better than thirty strings
)

USE_SENTENCES = {
    ("aimed", "dated", False): gettext_noop(
        "{purpose}: {media}, aimed at {places}, from {first} to {last} (last day), not exclusive."
    ),
    ("aimed", "dated", True): gettext_noop(
        "{purpose}: {media}, aimed at {places}, from {first} to {last} (last day), exclusive."
    ),
    ("aimed", "endless", False): gettext_noop(
        "{purpose}: {media}, aimed at {places}, from {first} without an end date, not exclusive."
    ),
    ("aimed", "endless", True): gettext_noop(
        "{purpose}: {media}, aimed at {places}, from {first} without an end date, exclusive."
    ),
    ("aimed", "from_payment", False): gettext_noop(
        "{purpose}: {media}, aimed at {places}, for {months} from payment, not exclusive."
    ),
    ("aimed", "from_payment", True): gettext_noop(
        "{purpose}: {media}, aimed at {places}, for {months} from payment, exclusive."
    ),
    ("aimed", "from_delivery", False): gettext_noop(
        "{purpose}: {media}, aimed at {places}, for {months} from delivery, not exclusive."
    ),
    ("aimed", "from_delivery", True): gettext_noop(
        "{purpose}: {media}, aimed at {places}, for {months} from delivery, exclusive."
    ),
    ("aimed", "from_first_use", False): gettext_noop(
        "{purpose}: {media}, aimed at {places}, for {months} from first use, not exclusive."
    ),
    ("aimed", "from_first_use", True): gettext_noop(
        "{purpose}: {media}, aimed at {places}, for {months} from first use, exclusive."
    ),
    ("aimed", "unplaced_endless", False): gettext_noop(
        "{purpose}: {media}, aimed at {places}, without an end date, not exclusive."
    ),
    ("aimed", "unplaced_endless", True): gettext_noop(
        "{purpose}: {media}, aimed at {places}, without an end date, exclusive."
    ),
    ("in", "dated", False): gettext_noop(
        "{purpose}: {media}, in {places}, from {first} to {last} (last day), not exclusive."
    ),
    ("in", "dated", True): gettext_noop(
        "{purpose}: {media}, in {places}, from {first} to {last} (last day), exclusive."
    ),
    ("in", "endless", False): gettext_noop(
        "{purpose}: {media}, in {places}, from {first} without an end date, not exclusive."
    ),
    ("in", "endless", True): gettext_noop(
        "{purpose}: {media}, in {places}, from {first} without an end date, exclusive."
    ),
    ("in", "from_payment", False): gettext_noop(
        "{purpose}: {media}, in {places}, for {months} from payment, not exclusive."
    ),
    ("in", "from_payment", True): gettext_noop(
        "{purpose}: {media}, in {places}, for {months} from payment, exclusive."
    ),
    ("in", "from_delivery", False): gettext_noop(
        "{purpose}: {media}, in {places}, for {months} from delivery, not exclusive."
    ),
    ("in", "from_delivery", True): gettext_noop(
        "{purpose}: {media}, in {places}, for {months} from delivery, exclusive."
    ),
    ("in", "from_first_use", False): gettext_noop(
        "{purpose}: {media}, in {places}, for {months} from first use, not exclusive."
    ),
    ("in", "from_first_use", True): gettext_noop(
        "{purpose}: {media}, in {places}, for {months} from first use, exclusive."
    ),
    ("in", "unplaced_endless", False): gettext_noop(
        "{purpose}: {media}, in {places}, without an end date, not exclusive."
    ),
    ("in", "unplaced_endless", True): gettext_noop("{purpose}: {media}, in {places}, without an end date, exclusive."),
    ("world", "dated", False): gettext_noop(
        "{purpose}: {media}, worldwide, from {first} to {last} (last day), not exclusive."
    ),
    ("world", "dated", True): gettext_noop(
        "{purpose}: {media}, worldwide, from {first} to {last} (last day), exclusive."
    ),
    ("world", "endless", False): gettext_noop(
        "{purpose}: {media}, worldwide, from {first} without an end date, not exclusive."
    ),
    ("world", "endless", True): gettext_noop(
        "{purpose}: {media}, worldwide, from {first} without an end date, exclusive."
    ),
    ("world", "from_payment", False): gettext_noop(
        "{purpose}: {media}, worldwide, for {months} from payment, not exclusive."
    ),
    ("world", "from_payment", True): gettext_noop(
        "{purpose}: {media}, worldwide, for {months} from payment, exclusive."
    ),
    ("world", "from_delivery", False): gettext_noop(
        "{purpose}: {media}, worldwide, for {months} from delivery, not exclusive."
    ),
    ("world", "from_delivery", True): gettext_noop(
        "{purpose}: {media}, worldwide, for {months} from delivery, exclusive."
    ),
    ("world", "from_first_use", False): gettext_noop(
        "{purpose}: {media}, worldwide, for {months} from first use, not exclusive."
    ),
    ("world", "from_first_use", True): gettext_noop(
        "{purpose}: {media}, worldwide, for {months} from first use, exclusive."
    ),
    ("world", "unplaced_endless", False): gettext_noop(
        "{purpose}: {media}, worldwide, without an end date, not exclusive."
    ),
    ("world", "unplaced_endless", True): gettext_noop("{purpose}: {media}, worldwide, without an end date, exclusive."),
}
"""The first sentence by the kind of place, the kind of time, and whether it is exclusive: whole, so that each language has its own order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LicenceWords:
    """All that a paragraph tells. With `use_from` the licence is placed and `use_until` (None: perpetual) is its end; without, it
    is unplaced and runs `months` (None: perpetual) from payment, delivery or `counts_from = "first_use"`.

    Days are half-open, as everywhere; the last day is printed. `copies`: None says nothing, `are_copies_unlimited` says so.
    `trade_names`: what the trade is called, as pairs of language and name. `embargo_until` is the first day on which they may be shown. `fee`, before VAT, in `currency`; zero says that none is due.
    ``fee_with`` is the number of the licence whose fee holds this one's too.
    """

    licensee: str
    classes: frozenset[str]
    media: frozenset[str]
    territories: frozenset[str]
    use_from: date | None = None
    use_until: date | None = None
    months: int | None = None
    counts_from: str = ""
    begins: Begins | None = None
    begins_on: date | None = None
    lapse_days: int | None = None
    lapses_on: date | None = None
    exclusivity: Exclusivity = Exclusivity.NONE
    exclusive_until: date | None = None
    exclusive_months: int | None = None
    trade: str | None = None
    trade_names: tuple[tuple[str, str], ...] = ()
    copies: int | None = None
    are_copies_unlimited: bool = False
    embargo_until: date | None = None
    fee: Decimal | None = None
    currency: str = ""
    is_billed_with_shoot: bool = False
    fee_with: str = ""
    credit_line: str = ""
    picture_count: int | None = None
    picture_names: tuple[str, ...] = ()
    groups: tuple[FrozenGroup, ...] = ()
    licensor: str = ""
    trees: Trees = IN_FORCE

    def trade_in(self, language: str) -> str:
        """What the trade is called in that language: as the studio named it there, else as its list calls it; empty if not known."""
        return name_in(dict(self.trade_names), language, self.trade or "")


def licence_paragraph(words: LicenceWords, language: str) -> str:
    """The whole licence as one paragraph."""
    return " ".join(licence_sentences(words, language))


def licence_sentences(words: LicenceWords, language: str) -> tuple[str, ...]:
    """The sentences of the paragraph, one fact each: use, pictures, exclusivity, groups, web, copies, embargo, credit, fee, begin,
    end, portfolio, meaning, and as the last two what is not included and what is reserved.
    """
    say = phrases_of(language)
    found = [use_sentence(words, language), *_pictures(words, say), *_exclusivity(words, say)]
    found += [_group(group, say) for group in words.groups]
    found += [*_borders(words, say), *_copies(words, say)]
    if words.embargo_until is not None:
        day = formats.day(words.embargo_until, language)
        found.append(say.gettext("The pictures are not shown before {day}.").format(day=day))
    if words.credit_line:
        found.append(say.gettext("Credit line: {credit}.").format(credit=words.credit_line))
    found += [*_fee(words, say), *_begin(words, say)]
    if words.use_until is not None or words.months is not None:
        found.append(
            say.gettext(
                "After the last day no new use is made, and the pictures are taken off the licensee’s own website and accounts."
            )
        )
    found += [
        say.gettext("The photographer may show these pictures in a portfolio of own work."),
        say.gettext(
            "General words in letters and orders, such as “all rights” or “unlimited use”, mean no more than what is named here."
        ),
        say.gettext(
            "Not included: giving the pictures to other firms, selling them, and changes beyond crop, size and correction of colour."
        ),
    ]
    if words.licensor:
        found.append(say.gettext("Every right not named here stays with {licensor}.").format(licensor=words.licensor))
    else:
        found.append(say.gettext("Every right not named here stays with the photographer."))
    return tuple(found)


def use_sentence(words: LicenceWords, language: str) -> str:
    """The first sentence alone: who, for what, in which media, where, when, exclusive or not."""
    dates = {}
    if words.use_from is not None:
        dates["first"] = formats.day(words.use_from, language)
    if words.use_until is not None:
        dates["last"] = formats.day(last_day(words.use_until), language)
    if words.months is not None:
        dates["months"] = formats.quantity(words.months, "month", language)
    is_exclusive = words.exclusivity is not Exclusivity.NONE
    template = USE_SENTENCES[_place_kind(words), _time_kind(words), is_exclusive]
    return (
        phrases_of(language)
        .gettext(template)
        .format(
            purpose=purpose_in_words(words, language),
            media=media_in_words(words.media, language, words.trees),
            places=territories_in_words(words.territories, language, words.trees, groups=words.groups),
            **dates,
        )
    )


def purpose_in_words(words: LicenceWords, language: str) -> str:
    """*Own promotion of Walnut Lantern*, or the classes: *Editorial use by Spoon & Lamp*."""
    say = phrases_of(language)
    if is_own_promotion(words.classes, words.media, trees=words.trees):
        return say.gettext("Own promotion of {licensee}").format(licensee=words.licensee)
    classes = classes_in_words(words.classes, language)
    purpose = say.gettext("{classes} by {licensee}").format(classes=classes, licensee=words.licensee)
    return with_capital(purpose)


def classes_in_words(classes: Iterable[str], language: str) -> str:
    """*editorial use and advertising*."""
    say = phrases_of(language)
    names = [say.pgettext("class of use", CLASS_NAMES[name]) for name in class_names(class_bits(classes))]
    return formats.list_in_words(names, language)


def media_in_words(media: Iterable[str], language: str, trees: Trees = IN_FORCE) -> str:
    """*website and social media*, in the tree's order; `print/rest` is *other print*, after all that is named."""
    return formats.list_in_words([medium_name(code, language) for code in _ordered(media, trees.media)], language)


def territories_in_words(
    territories: Iterable[str], language: str, trees: Trees = IN_FORCE, *, groups: Iterable[FrozenGroup] = ()
) -> str:
    """*Germany and the Netherlands*; a frozen group stands by its name for its members; `europe/rest` is *elsewhere in Europe*."""
    rest = set(territories)
    names = []
    for group in groups:
        if group.members <= rest:
            names.append(territory_name(group.name, language))
            rest -= group.members
    names += [territory_name(code, language) for code in _ordered(rest, trees.territories)]
    return formats.list_in_words(names, language)


def _ordered(codes: Iterable[str], tree: Tree) -> list[str]:
    """As the tree has them; what is elsewhere or other comes last, or it would be read of what follows."""
    order, last = tree.position, len(tree.position)
    return sorted(codes, key=lambda code: (code.endswith(REST), order.get(code.removesuffix(REST), last), code))


def territory_name(code: str, language: str) -> str:
    """The place as running text wants it: *the Netherlands*, *Europe*, *elsewhere in Asia*."""
    say = phrases_of(language)
    if code == WORLD + REST:
        return say.gettext("elsewhere in the world")
    if code.endswith(REST):
        return say.gettext("elsewhere in {place}").format(place=territory_name(code.removesuffix(REST), language))
    if named := given_name(code, language):
        return named
    name = formats.country(M49_CODES.get(code, code), language)
    return f"the {name}" if licence_language(language) == "en" and code in WITH_ARTICLE else name


def territory_choices(language: str, trees: Trees = IN_FORCE) -> list[tuple[str, str]]:
    """Code and name of each territory for a form: the world, continents, then countries by name."""
    codes = trees.territories.nodes
    wide = [code for code in codes if code in M49_CODES]
    names = {code: given_name(code, language) or formats.country(M49_CODES.get(code, code), language) for code in codes}
    return [(code, names[code]) for code in (*wide, *sorted(codes.keys() - set(wide), key=names.__getitem__))]


def days_in_words(first: date, until: date | None, language: str) -> str:
    """*1 Dec 2026 to 30 Nov 2028*, both inclusive; *from 1 Dec 2026* without an end."""
    if until is not None:
        return formats.days(first, last_day(until), language)
    return phrases_of(language).gettext("from {day}").format(day=formats.day(first, language))


def _place_kind(words: LicenceWords) -> str:
    if WORLD in words.territories:
        return "world"
    return "aimed" if words.media <= READ_EVERYWHERE else "in"


def _time_kind(words: LicenceWords) -> str:
    if words.use_from is not None:
        return "endless" if words.use_until is None else "dated"
    if words.months is None:
        return "unplaced_endless"
    if words.counts_from:
        return f"from_{words.counts_from}"
    return "from_payment" if words.begins is Begins.ON_PAYMENT else "from_delivery"


def _pictures(words: LicenceWords, say: Phrases) -> list[str]:
    if words.picture_names:
        names = formats.list_in_words(words.picture_names, say.language)
        text = say.ngettext(
            "It covers one picture: {names}.", "It covers {count} pictures: {names}.", len(words.picture_names)
        )
        return [text.format(names=names, count=formats.number(len(words.picture_names), say.language))]
    if words.picture_count is None:
        return []
    text = say.ngettext("It covers one picture.", "It covers {count} pictures.", words.picture_count)
    return [text.format(count=formats.number(words.picture_count, say.language))]


def _exclusivity(words: LicenceWords, say: Phrases) -> list[str]:
    if words.exclusivity is Exclusivity.NONE:
        return []
    last = months = ""
    if words.exclusive_until is not None:
        last = formats.day(last_day(words.exclusive_until), say.language)
    elif words.exclusive_months is not None:
        months = formats.quantity(words.exclusive_months, "month", say.language)
    if words.exclusivity is Exclusivity.PICTURE:
        text = _shut_to_all(say, last, months)
    elif words.trade:
        text = _shut_to_trade(say, last, months)
    else:
        text = _shut_to_a_trade_without_name(say, last, months)
    return [text.format(last=last, months=months, trade=words.trade_in(say.language))]


def _shut_to_all(say: Phrases, last: str, months: str) -> str:
    if last:
        return say.gettext("For this use nobody else is granted these pictures up to and including {last}.")
    if months:
        return say.gettext("For this use nobody else is granted these pictures in the first {months}.")
    return say.gettext("For this use nobody else is granted these pictures during the term.")


def _shut_to_trade(say: Phrases, last: str, months: str) -> str:
    if last:
        return say.gettext(
            "For this use no other firm of the same trade ({trade}) is granted these pictures up to and including {last}."
        )
    if months:
        return say.gettext(
            "For this use no other firm of the same trade ({trade}) is granted these pictures in the first {months}."
        )
    return say.gettext(
        "For this use no other firm of the same trade ({trade}) is granted these pictures during the term."
    )


def _shut_to_a_trade_without_name(say: Phrases, last: str, months: str) -> str:
    if last:
        return say.gettext(
            "For this use no other firm of the same trade is granted these pictures up to and including {last}."
        )
    if months:
        return say.gettext(
            "For this use no other firm of the same trade is granted these pictures in the first {months}."
        )
    return say.gettext("For this use no other firm of the same trade is granted these pictures during the term.")


def _group(group: FrozenGroup, say: Phrases) -> str:
    text = say.ngettext(
        "“{name}” means the one country that belonged to it on {day}, whoever joins later.",
        "“{name}” means the {count} countries that belonged to it on {day}, whoever joins later.",
        len(group.members),
    )
    return text.format(
        name=formats.country(group.name, say.language),
        count=formats.number(len(group.members), say.language),
        day=formats.day(group.as_on, say.language),
    )


def _borders(words: LicenceWords, say: Phrases) -> list[str]:
    if WORLD in words.territories or not words.media & READ_EVERYWHERE:
        return []
    if words.media <= READ_EVERYWHERE:
        return [
            say.gettext(
                "A website has no border: website and social posts are granted for the market aimed at and may be read worldwide."
            )
        ]
    return [
        say.gettext(
            "A website has no border: website and social posts are granted for the market aimed at and may be read worldwide; "
            "the territory limits all other media."
        )
    ]


def _copies(words: LicenceWords, say: Phrases) -> list[str]:
    if words.are_copies_unlimited:
        return [say.gettext("The number of copies is not limited.")]
    if words.copies is None:
        return []
    text = say.ngettext("Up to one copy may be made.", "Up to {count} copies may be made.", words.copies)
    return [text.format(count=formats.number(words.copies, say.language))]


def _fee(words: LicenceWords, say: Phrases) -> list[str]:
    if words.is_billed_with_shoot and words.fee_with:
        text = say.gettext("The fee is part of the one for licence {number}, billed with the shoot.")
        return [text.format(number=words.fee_with)]
    if words.is_billed_with_shoot:
        return [say.gettext("The fee is billed with the shoot.")]
    if words.fee is None:
        return []
    if not words.fee:
        return [say.gettext("No fee is due.")]
    fee = formats.money_code(words.fee, words.currency, say.language)
    return [say.gettext("The fee is {fee} before VAT.").format(fee=fee)]


def _begin(words: LicenceWords, say: Phrases) -> list[str]:
    if words.begins is None:
        return []
    if words.begins is Begins.ON_PAYMENT:
        return [say.gettext("Use may begin when the fee is paid.")]
    day = formats.day(words.begins_on, say.language) if words.begins_on is not None else ""
    last = formats.day(last_day(words.lapses_on), say.language) if words.lapses_on is not None else ""
    days = formats.quantity(words.lapse_days or 0, "day", say.language)
    if words.begins is Begins.ON_DELIVERY:
        text = _from_delivery(say, is_known=bool(last))
    else:
        text = _from_a_day(say, is_known=bool(last), is_lapsing=words.lapse_days is not None)
    return [text.format(day=day, last=last, days=days)]


def _from_delivery(say: Phrases, *, is_known: bool) -> str:
    if is_known:
        return say.gettext(
            "Use may begin on delivery. If the fee is not paid by then, the last day of use is {last}; use may go on once it is paid."
        )
    return say.gettext(
        "Use may begin on delivery. It lapses if the fee is not paid within {days} after the due date, and may go on once it is paid."
    )


def _from_a_day(say: Phrases, *, is_known: bool, is_lapsing: bool) -> str:
    if is_known:
        return say.gettext(
            "Use may begin on {day}. If the fee is not paid by then, the last day of use is {last}; use may go on once it is paid."
        )
    if is_lapsing:
        return say.gettext(
            "Use may begin on {day}. It lapses if the fee is not paid within {days} after the due date, and may go on once it is paid."
        )
    return say.gettext("Use may begin on {day}.")
