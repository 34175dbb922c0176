"""A licence, or an intended use, as a paragraph that a client understands, in the document's language.

Each sentence is a whole template with places for names, lists, dates and numbers: no sentence is put together from fragments.
After the colon German names places as labels (*Gebiet: Deutschland*), so that no article has to be guessed; English takes its
articles from a short list. The wording is the house's own and no legal text: the studio has its terms checked by a licensed adviser.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shared.words import formats
from shoots.uses.days import last_day
from shoots.uses.in_force import given_name
from shoots.uses.intended import Begins, Exclusivity, class_bits, class_names, is_own_promotion
from shoots.uses.media_tree import READ_EVERYWHERE, medium_name
from shoots.uses.shipped import SHIPPED
from shoots.uses.territory_tree import M49_CODES, WORLD, FrozenGroup
from shoots.uses.trees import REST, Trees

CLASS_NAMES = {
    "en": {"editorial": "editorial use", "advertising": "advertising", "stock": "stock sale"},
    "de": {"editorial": "redaktionelle Nutzung", "advertising": "Werbung", "stock": "Verkauf über Bildarchive"},
}

# Countries and groups whose English names want an article in running text.
WITH_ARTICLE = frozenset(
    "AE AX BQ BS CC CF CK DO FK FO GB GM HM IM IO KM KY MH MP MV NL PH PN PS SB SC TC TF UM US VG VI EU EEA".split()  # noqa: SIM905 reads better than thirty strings
)

TEXTS: dict[str, dict[str, str]] = {
    "en": {
        "own": "Own promotion of {licensee}",
        "other": "{classes} by {licensee}",
        "not_exclusive": "not exclusive",
        "exclusive": "exclusive",
        "elsewhere": "elsewhere in {place}",
        "elsewhere_world": "elsewhere in the world",
        "group": "{name} as on {day}: {count}",
        "aimed_dated": "{purpose}: {media}, aimed at {places}, from {first} to {last} (last day), {exclusivity}.",
        "aimed_endless": "{purpose}: {media}, aimed at {places}, from {first} without an end date, {exclusivity}.",
        "aimed_from_payment": "{purpose}: {media}, aimed at {places}, for {months} from payment, {exclusivity}.",
        "aimed_from_delivery": "{purpose}: {media}, aimed at {places}, for {months} from delivery, {exclusivity}.",
        "aimed_from_first_use": "{purpose}: {media}, aimed at {places}, for {months} from first use, {exclusivity}.",
        "aimed_unplaced_endless": "{purpose}: {media}, aimed at {places}, without an end date, {exclusivity}.",
        "in_dated": "{purpose}: {media}, in {places}, from {first} to {last} (last day), {exclusivity}.",
        "in_endless": "{purpose}: {media}, in {places}, from {first} without an end date, {exclusivity}.",
        "in_from_payment": "{purpose}: {media}, in {places}, for {months} from payment, {exclusivity}.",
        "in_from_delivery": "{purpose}: {media}, in {places}, for {months} from delivery, {exclusivity}.",
        "in_from_first_use": "{purpose}: {media}, in {places}, for {months} from first use, {exclusivity}.",
        "in_unplaced_endless": "{purpose}: {media}, in {places}, without an end date, {exclusivity}.",
        "world_dated": "{purpose}: {media}, worldwide, from {first} to {last} (last day), {exclusivity}.",
        "world_endless": "{purpose}: {media}, worldwide, from {first} without an end date, {exclusivity}.",
        "world_from_payment": "{purpose}: {media}, worldwide, for {months} from payment, {exclusivity}.",
        "world_from_delivery": "{purpose}: {media}, worldwide, for {months} from delivery, {exclusivity}.",
        "world_from_first_use": "{purpose}: {media}, worldwide, for {months} from first use, {exclusivity}.",
        "world_unplaced_endless": "{purpose}: {media}, worldwide, without an end date, {exclusivity}.",
        "pictures_one": "It covers one picture.",
        "pictures_other": "It covers {count} pictures.",
        "pictures_named": "It covers these pictures: {names}.",
        "picture_exclusive_whole": "For this use nobody else is granted these pictures during the term.",
        "picture_exclusive_until": "For this use nobody else is granted these pictures up to and including {last}.",
        "picture_exclusive_months": "For this use nobody else is granted these pictures in the first {months}.",
        "trade_exclusive_whole": "For this use no other firm of the same trade ({trade}) is granted these pictures during the term.",
        "trade_exclusive_until": "For this use no other firm of the same trade ({trade}) is granted these pictures up to and including {last}.",
        "trade_exclusive_months": "For this use no other firm of the same trade ({trade}) is granted these pictures in the first {months}.",
        "trade_unknown": "not named",
        "groups": "Groups of countries are fixed: {groups}.",
        "web": "A website has no border: website and social posts are granted for the market aimed at and may be read worldwide.",
        "web_mixed": (
            "A website has no border: website and social posts are granted for the market aimed at and may be read worldwide; "
            "the territory limits all other media."
        ),
        "copies_one": "Up to one copy may be made.",
        "copies_other": "Up to {count} copies may be made.",
        "copies_unlimited": "The number of copies is not limited.",
        "credit": "Credit line: {credit}.",
        "begins_payment": "Use may begin when the fee is paid.",
        "begins_delivery": (
            "Use may begin on delivery. It lapses if the fee is not paid within {days} after the due date, and may go on once it is paid."
        ),
        "begins_delivery_known": "Use may begin on delivery. If the fee is not paid by then, the last day of use is {last}; use may go on once it is paid.",
        "begins_date": "Use may begin on {day}.",
        "begins_date_lapsing": "Use may begin on {day}. It lapses if the fee is not paid within {days} after the due date, and may go on once it is paid.",
        "begins_date_known": "Use may begin on {day}. If the fee is not paid by then, the last day of use is {last}; use may go on once it is paid.",
        "ends": "After the last day no new use is made, and the pictures are taken off the licensee’s own website and accounts.",
        "not_included": "Not included: giving the pictures to other firms, selling them, and changes beyond crop, size and correction of colour.",
        "reserved": "Every right not named here stays with {licensor}.",
        "the_photographer": "the photographer",
    },
    "de": {
        "own": "Eigenwerbung von {licensee}",
        "other": "{classes} durch {licensee}",
        "not_exclusive": "nicht ausschließlich",
        "exclusive": "ausschließlich",
        "elsewhere": "übriges {place}",
        "elsewhere_world": "übrige Welt",
        "group": "{name} mit Stand {day}: {count}",
        "aimed_dated": "{purpose}: {media}, Zielmarkt: {places}, vom {first} bis {last} (letzter Tag), {exclusivity}.",
        "aimed_endless": "{purpose}: {media}, Zielmarkt: {places}, ab {first} ohne Enddatum, {exclusivity}.",
        "aimed_from_payment": "{purpose}: {media}, Zielmarkt: {places}, Dauer: {months} ab Zahlung, {exclusivity}.",
        "aimed_from_delivery": "{purpose}: {media}, Zielmarkt: {places}, Dauer: {months} ab Lieferung, {exclusivity}.",
        "aimed_from_first_use": "{purpose}: {media}, Zielmarkt: {places}, Dauer: {months} ab erster Nutzung, {exclusivity}.",
        "aimed_unplaced_endless": "{purpose}: {media}, Zielmarkt: {places}, ohne Enddatum, {exclusivity}.",
        "in_dated": "{purpose}: {media}, Gebiet: {places}, vom {first} bis {last} (letzter Tag), {exclusivity}.",
        "in_endless": "{purpose}: {media}, Gebiet: {places}, ab {first} ohne Enddatum, {exclusivity}.",
        "in_from_payment": "{purpose}: {media}, Gebiet: {places}, Dauer: {months} ab Zahlung, {exclusivity}.",
        "in_from_delivery": "{purpose}: {media}, Gebiet: {places}, Dauer: {months} ab Lieferung, {exclusivity}.",
        "in_from_first_use": "{purpose}: {media}, Gebiet: {places}, Dauer: {months} ab erster Nutzung, {exclusivity}.",
        "in_unplaced_endless": "{purpose}: {media}, Gebiet: {places}, ohne Enddatum, {exclusivity}.",
        "world_dated": "{purpose}: {media}, weltweit, vom {first} bis {last} (letzter Tag), {exclusivity}.",
        "world_endless": "{purpose}: {media}, weltweit, ab {first} ohne Enddatum, {exclusivity}.",
        "world_from_payment": "{purpose}: {media}, weltweit, Dauer: {months} ab Zahlung, {exclusivity}.",
        "world_from_delivery": "{purpose}: {media}, weltweit, Dauer: {months} ab Lieferung, {exclusivity}.",
        "world_from_first_use": "{purpose}: {media}, weltweit, Dauer: {months} ab erster Nutzung, {exclusivity}.",
        "world_unplaced_endless": "{purpose}: {media}, weltweit, ohne Enddatum, {exclusivity}.",
        "pictures_one": "Die Lizenz umfasst ein Bild.",
        "pictures_other": "Die Lizenz umfasst {count} Bilder.",
        "pictures_named": "Die Lizenz umfasst diese Bilder: {names}.",
        "picture_exclusive_whole": "Für diese Nutzung erhält während der Laufzeit niemand sonst diese Bilder.",
        "picture_exclusive_until": "Für diese Nutzung erhält bis einschließlich {last} niemand sonst diese Bilder.",
        "picture_exclusive_months": "Für diese Nutzung erhält zunächst niemand sonst diese Bilder; Dauer der Ausschließlichkeit: {months}.",
        "trade_exclusive_whole": "Für diese Nutzung erhält während der Laufzeit kein anderer Betrieb derselben Branche ({trade}) diese Bilder.",
        "trade_exclusive_until": "Für diese Nutzung erhält bis einschließlich {last} kein anderer Betrieb derselben Branche ({trade}) diese Bilder.",
        "trade_exclusive_months": (
            "Für diese Nutzung erhält zunächst kein anderer Betrieb derselben Branche ({trade}) diese Bilder; Dauer der Ausschließlichkeit: {months}."
        ),
        "trade_unknown": "nicht benannt",
        "groups": "Ländergruppen stehen fest: {groups}.",
        "web": "Eine Website hat keine Grenze: Website und Beiträge gelten für den Zielmarkt und dürfen weltweit gelesen werden.",
        "web_mixed": (
            "Eine Website hat keine Grenze: Website und Beiträge gelten für den Zielmarkt und dürfen weltweit gelesen werden; "
            "alle anderen Medien sind auf das Gebiet beschränkt."
        ),
        "copies_one": "Es darf höchstens ein Exemplar hergestellt werden.",
        "copies_other": "Es dürfen höchstens {count} Exemplare hergestellt werden.",
        "copies_unlimited": "Die Zahl der Exemplare ist nicht begrenzt.",
        "credit": "Bildnachweis: {credit}.",
        "begins_payment": "Die Nutzung darf beginnen, sobald das Honorar bezahlt ist.",
        "begins_delivery": (
            "Die Nutzung darf mit der Lieferung beginnen. Sie ruht, wenn das Honorar nach der Fälligkeit offen bleibt (Frist: {days}), "
            "bis es bezahlt ist."
        ),
        "begins_delivery_known": (
            "Die Nutzung darf mit der Lieferung beginnen. Ist das Honorar bis dahin nicht bezahlt, ist der letzte Nutzungstag der {last}; "
            "nach Zahlung lebt sie wieder auf."
        ),
        "begins_date": "Die Nutzung darf am {day} beginnen.",
        "begins_date_lapsing": (
            "Die Nutzung darf am {day} beginnen. Sie ruht, wenn das Honorar nach der Fälligkeit offen bleibt (Frist: {days}), bis es bezahlt ist."
        ),
        "begins_date_known": (
            "Die Nutzung darf am {day} beginnen. Ist das Honorar bis dahin nicht bezahlt, ist der letzte Nutzungstag der {last}; "
            "nach Zahlung lebt sie wieder auf."
        ),
        "ends": "Nach dem letzten Tag beginnt keine neue Nutzung, und die Bilder werden von der eigenen Website und den eigenen Konten genommen.",
        "not_included": "Nicht enthalten: Weitergabe an andere Firmen, Verkauf und Änderungen über Ausschnitt, Größe und Farbkorrektur hinaus.",
        "reserved": "Jedes hier nicht genannte Recht bleibt bei {licensor}.",
        "the_photographer": "der Fotografin oder dem Fotografen",
    },
}


@dataclass(frozen=True, slots=True, kw_only=True)
class LicenceWords:
    """All that a paragraph tells. With `use_from` the licence is placed and `use_until` (None: perpetual) is its end; without, it
    is unplaced and runs `months` (None: perpetual) from payment, delivery or `counts_from = "first_use"`.

    Days are half-open, as everywhere; the last day is printed. `copies`: None says nothing, `are_copies_unlimited` says so.
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
    copies: int | None = None
    are_copies_unlimited: bool = False
    credit_line: str = ""
    picture_count: int | None = None
    picture_names: tuple[str, ...] = ()
    groups: tuple[FrozenGroup, ...] = ()
    licensor: str = ""
    trees: Trees = SHIPPED


def licence_paragraph(words: LicenceWords, language: str) -> str:
    """The whole licence as one paragraph."""
    return " ".join(licence_sentences(words, language))


def licence_sentences(words: LicenceWords, language: str) -> tuple[str, ...]:
    """The sentences of the paragraph, one fact each: use, pictures, exclusivity, groups, web, copies, credit, begin, end, reserve."""
    texts = _texts(language)
    found = [use_sentence(words, language)]
    found += _pictures(words, language)
    found += _exclusivity(words, language)
    if words.groups:
        groups = formats.list_in_words([_group(group, language) for group in words.groups], language)
        found.append(texts["groups"].format(groups=groups))
    found += _borders(words, texts)
    found += _copies(words, language)
    if words.credit_line:
        found.append(texts["credit"].format(credit=words.credit_line))
    found += _begin(words, language)
    if words.use_until is not None or words.months is not None:
        found.append(texts["ends"])
    found.append(texts["not_included"])
    found.append(texts["reserved"].format(licensor=words.licensor or texts["the_photographer"]))
    return tuple(found)


def use_sentence(words: LicenceWords, language: str) -> str:
    """The first sentence alone: who, for what, in which media, where, when, exclusive or not."""
    texts = _texts(language)
    dates = {}
    if words.use_from is not None:
        dates["first"] = formats.day(words.use_from, language)
    if words.use_until is not None:
        dates["last"] = formats.day(last_day(words.use_until), language)
    if words.months is not None:
        dates["months"] = formats.quantity(words.months, "month", language)
    return texts[f"{_place_kind(words)}_{_time_kind(words)}"].format(
        purpose=purpose_in_words(words, language),
        media=media_in_words(words.media, language, words.trees),
        places=territories_in_words(words.territories, language, words.trees, groups=words.groups),
        exclusivity=texts["not_exclusive" if words.exclusivity is Exclusivity.NONE else "exclusive"],
        **dates,
    )


def purpose_in_words(words: LicenceWords, language: str) -> str:
    """*Own promotion of Walnut Lantern*, or the classes: *Editorial use by Spoon & Lamp*."""
    texts = _texts(language)
    if is_own_promotion(words.classes, words.media, trees=words.trees):
        return texts["own"].format(licensee=words.licensee)
    purpose = texts["other"].format(classes=classes_in_words(words.classes, language), licensee=words.licensee)
    return purpose[:1].upper() + purpose[1:]


def classes_in_words(classes: Iterable[str], language: str) -> str:
    """*editorial use and advertising*."""
    names = CLASS_NAMES[formats.language_of(language)]
    return formats.list_in_words([names[name] for name in class_names(class_bits(classes))], language)


def media_in_words(media: Iterable[str], language: str, trees: Trees = SHIPPED) -> str:
    """*website and social media*, in the tree's order; `print/rest` is *other print*."""
    order = {code: place for place, code in enumerate(trees.media.nodes)}
    codes = sorted(media, key=lambda code: (order.get(code.removesuffix(REST), len(order)), code))
    return formats.list_in_words([medium_name(code, formats.language_of(language)) for code in codes], language)


def territories_in_words(
    territories: Iterable[str], language: str, trees: Trees = SHIPPED, *, groups: Iterable[FrozenGroup] = ()
) -> str:
    """*Germany and the Netherlands*; a frozen group stands by its name for its members; `europe/rest` is *elsewhere in Europe*."""
    order = {code: place for place, code in enumerate(trees.territories.nodes)}
    rest = set(territories)
    names = []
    for group in groups:
        if group.members <= rest:
            names.append(territory_name(group.name, language))
            rest -= group.members
    codes = sorted(rest, key=lambda code: (order.get(code.removesuffix(REST), len(order)), code))
    return formats.list_in_words([*names, *(territory_name(code, language) for code in codes)], language)


def territory_name(code: str, language: str) -> str:
    """The place as running text wants it: *the Netherlands*, *Europe*, *elsewhere in Asia*."""
    texts = _texts(language)
    if code == WORLD + REST:
        return texts["elsewhere_world"]
    if code.endswith(REST):
        return texts["elsewhere"].format(place=territory_name(code.removesuffix(REST), language))
    if named := given_name(code, language):
        return named
    name = formats.country(M49_CODES.get(code, code), language)
    return f"the {name}" if formats.language_of(language) == "en" and code in WITH_ARTICLE else name


def territory_choices(language: str, trees: Trees = SHIPPED) -> list[tuple[str, str]]:
    """Code and name of each territory for a form: the world, continents, then countries by name."""
    codes = trees.territories.nodes
    wide = [code for code in codes if code in M49_CODES]
    names = {code: given_name(code, language) or formats.country(M49_CODES.get(code, code), language) for code in codes}
    return [(code, names[code]) for code in (*wide, *sorted(codes.keys() - set(wide), key=names.__getitem__))]


def days_in_words(first: date, until: date | None, language: str) -> str:
    """*1 Dec 2026 to 30 Nov 2028*, both inclusive; *from 1 Dec 2026* without an end."""
    if until is not None:
        return formats.days(first, last_day(until), language)
    return {"en": "from {day}", "de": "ab {day}"}[formats.language_of(language)].format(
        day=formats.day(first, language)
    )


def _texts(language: str) -> dict[str, str]:
    return TEXTS[formats.language_of(language)]


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


def _pictures(words: LicenceWords, language: str) -> list[str]:
    texts = _texts(language)
    if words.picture_names:
        return [texts["pictures_named"].format(names=formats.list_in_words(words.picture_names, language))]
    if words.picture_count is None:
        return []
    if words.picture_count == 1:
        return [texts["pictures_one"]]
    return [texts["pictures_other"].format(count=formats.number(words.picture_count, language))]


def _exclusivity(words: LicenceWords, language: str) -> list[str]:
    if words.exclusivity is Exclusivity.NONE:
        return []
    texts = _texts(language)
    facts = {"trade": words.trade or texts["trade_unknown"]}
    kind = "whole"
    if words.exclusive_until is not None:
        kind, facts["last"] = "until", formats.day(last_day(words.exclusive_until), language)
    elif words.exclusive_months is not None:
        kind, facts["months"] = "months", formats.quantity(words.exclusive_months, "month", language)
    return [texts[f"{words.exclusivity}_exclusive_{kind}"].format(**facts)]


def _group(group: FrozenGroup, language: str) -> str:
    count = {"en": "{count} countries", "de": "{count} Länder"}[formats.language_of(language)]
    return _texts(language)["group"].format(
        name=group.name, day=formats.day(group.as_on, language), count=count.format(count=len(group.members))
    )


def _borders(words: LicenceWords, texts: dict[str, str]) -> list[str]:
    if WORLD in words.territories or not words.media & READ_EVERYWHERE:
        return []
    return [texts["web" if words.media <= READ_EVERYWHERE else "web_mixed"]]


def _copies(words: LicenceWords, language: str) -> list[str]:
    texts = _texts(language)
    if words.are_copies_unlimited:
        return [texts["copies_unlimited"]]
    if words.copies is None:
        return []
    if words.copies == 1:
        return [texts["copies_one"]]
    return [texts["copies_other"].format(count=formats.number(words.copies, language))]


def _begin(words: LicenceWords, language: str) -> list[str]:
    texts = _texts(language)
    if words.begins is None:
        return []
    if words.begins is Begins.ON_PAYMENT:
        return [texts["begins_payment"]]
    facts = {}
    kind = "begins_delivery" if words.begins is Begins.ON_DELIVERY else "begins_date"
    if words.begins is Begins.ON_DATE and words.begins_on is not None:
        facts["day"] = formats.day(words.begins_on, language)
    if words.lapses_on is not None:
        kind, facts["last"] = f"{kind}_known", formats.day(last_day(words.lapses_on), language)
    elif words.lapse_days is not None:
        facts["days"] = formats.quantity(words.lapse_days, "day", language)
        kind = "begins_date_lapsing" if kind == "begins_date" else kind
    elif kind == "begins_delivery":
        facts["days"] = formats.quantity(0, "day", language)
    return [texts[kind].format(**facts)]
