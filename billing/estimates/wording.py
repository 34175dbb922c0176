"""The terms of an estimate as sentences a client reads, in the estimate's language.

Whole sentences with places for figures. All terms are common practice, no source; every figure is set by the studio. The wording is
the house's own and no legal text: the studio has its terms checked by a licensed adviser.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from billing.estimates.sizes import Size
from billing.rates.fees import Fee, FeeLine
from shared.words import formats
from shared.words.formats import with_capital
from shoots.uses.sentences import territories_in_words

TEXTS: dict[str, dict[str, str]] = {
    "en": {
        "fixed": "The price is fixed, except costs marked at most.",
        "tolerance": "This is an estimate: the price may rise by up to {percent}. More needs your yes.",
        "at_most": "A cost marked at most never rises without a new yes from you.",
        "deposit": "Deposit", "deposit_said": "{percent} deposit, due {days} after acceptance. It is deducted from the final invoice.",
        "no_deposit": "No deposit is asked for.",
        "rounds": "Choice, corrections",
        "rounds_said": "One choice from the proof sheet and {rounds} of corrections, listed within 10 days. Further rounds cost {rate}.",
        "round_none": "no round", "round_one": "one round", "round_other": "{count} rounds",
        "repeats": "Repeats", "repeats_said": "Free if the fault is ours. At the day rate if dish, brief or taste changed. Costs are shared if food or kitchen failed.",
        "postponing": "Cancelling, postponing",
        "postponing_said": "Free until {days} before the shoot, then {percent} of the day rate, on the day {day_percent}, plus costs already spent.",
        "weather_said": "Free until {days} before the shoot, then {percent} of the day rate, on the day {day_percent}, plus costs already spent. Postponing once for weather is free.",
        "overtime": "Overtime", "overtime_said": "{rate} after {hours} on set.",
        "changes": "Changes", "changes_said": "Another date, other dishes or pictures, or a wider use lead to a new version of this estimate, which needs your acceptance again.",
        "billing": "Billing", "billed_delivered": "The balance is billed when the pictures are delivered.", "billed_shot": "The balance is billed when the pictures are taken.",
        "portfolio": "Portfolio", "portfolio_said": "The photographer may show the pictures as examples of work from {day} on.",
        "further": "Further terms",
        "currency": "Currency", "currency_said": "Reckoned in {own} and offered in {offered}, at {one} = {rate} of {day} ({source}). The sums in {offered} are what you pay.",
        "how_converted": "{own} at {rate}",
        "day_one": "{count} working day", "day_other": "{count} working days", "days_one": "{count} day", "days_other": "{count} days",
        "opening": "Dear {name}, this is what we talked about: {title}.",
        "opening_day": "Dear {name}, this is what we talked about: {title}, on {day}.", "opening_days": "Dear {name}, this is what we talked about: {title}, {days}.",
        "at": "{days}, {place}",
        "name_option": "{count} pictures", "name_option_one": "One picture",
        "size_smaller": "Smaller: {title}", "size_asked": "As asked: {title}", "size_larger": "Larger: {title}", "size_as_talked": "What we talked about",
        "size_instead": "{this} instead of {that}",
        "size_on_set": "{this} on set instead of {that}", "size_places": "for {this} instead of {that}", "size_months": "use for {this} instead of {that}",
        "size_months_endless": "use without end instead of {that}", "size_months_limited": "use for {this} instead of without end",
        "line_preparation": "Getting ready", "how_preparation": "Recipe talk, choosing dishes and props, light plan",
        "line_shooting_day": "Day on set", "how_shooting_day": "One day is up to {hours} on set: {rate}", "how_shooting_days": "{days}, {count} × {rate}. One day is up to {hours} on set",
        "line_half_day": "Half day on set", "how_half_day": "Up to {hours} on set: {rate}",
        "line_finishing_simple": "Finishing", "line_finishing_cut_out": "Finishing, cut-outs", "line_finishing_composite": "Finishing, composites", "how_finishing": "{minutes} a picture: {pictures} × {minutes_short} = {hours}",
        "line_usage": "Licence", "how_usage": "{use} {figures}", "no_use": "The use is not named yet",
        "line_added": "Licence, also for {media}", "how_added": "{use} Added to the licence of this option, whose fee is then {together} instead of {without}.",
        "how_added_free": "{use} Added to the licence of this option, whose fee stays {together}.",
        "line_assistant": "Assistant", "line_kitchen_hand": "Kitchen hand", "line_stylist": "Food stylist", "line_props": "Prop stylist", "how_at_cost": "{name}, {count}, passed on at cost",
        "line_kit": "Kit and studio hire", "how_kit": "{count} × {rate}",
        "line_operator": "Digital operator", "line_studio": "Studio hire", "line_kitchen": "Kitchen hire", "line_props_hire": "Prop hire", "line_food": "Groceries",
        "line_travel_day": "Travel days", "line_half_travel_day": "Half travel days", "line_preparation_day": "Whole days of getting ready",
        "line_rush": "Asked for late", "how_rush": "{percent} on getting ready, days on set and finishing: asked for {days} before", "how_rush_today": "{percent} on getting ready, days on set and finishing: asked for on the day",
        "line_travel": "Travel", "how_travel": "{there} there, {there} back", "how_travel_days": "{there} there, {there} back, on {count}",
        "classes_factor": "{value} for the class", "media_factor": "{value} for the media", "places_factor": "{value} for the territory", "term_factor": "{value} for the term", "copies_factor": "{value} for the copies",
        "pictures_factor": "{value} for {pictures}", "rounded": "rounded up to {fee}", "minimum": "at least {fee}",
    },
    "de": {
        "fixed": "Der Preis ist fest, außer Kosten mit dem Zusatz höchstens.",
        "tolerance": "Dies ist ein Kostenvoranschlag: Der Preis kann um bis zu {percent} steigen. Mehr braucht Ihr Ja.",
        "at_most": "Kosten mit dem Zusatz höchstens steigen nie ohne ein neues Ja von Ihnen.",
        "deposit": "Anzahlung", "deposit_said": "Anzahlung von {percent}, fällig nach der Annahme binnen {days}. Sie wird von der Schlussrechnung abgezogen.",
        "no_deposit": "Eine Anzahlung wird nicht verlangt.",
        "rounds": "Auswahl, Korrekturen",
        "rounds_said": "Eine Auswahl aus dem Kontaktbogen und {rounds}, innerhalb von 10 Tagen benannt. Weitere Korrekturen kosten {rate}.",
        "round_none": "keine Korrekturrunde", "round_one": "eine Korrekturrunde", "round_other": "{count} Korrekturrunden",
        "repeats": "Wiederholungen", "repeats_said": "Kostenlos, wenn der Fehler bei uns liegt. Zum Tagessatz, wenn sich Gericht, Auftrag oder Geschmack geändert haben. Sind Essen oder Küche die Ursache, werden die Kosten geteilt.",
        "postponing": "Absage, Verschiebung",
        "postponing_said": "Kostenlos bis {days} vor dem Termin, danach {percent} des Tagessatzes, am Tag selbst {day_percent}, zuzüglich bereits entstandener Kosten.",
        "weather_said": "Kostenlos bis {days} vor dem Termin, danach {percent} des Tagessatzes, am Tag selbst {day_percent}, zuzüglich bereits entstandener Kosten. Eine Verschiebung wegen Wetter ist kostenlos.",
        "overtime": "Mehrarbeit", "overtime_said": "{rate}, ab {hours} am Set.",
        "changes": "Änderungen", "changes_said": "Ein anderer Termin, andere Gerichte oder Bilder oder eine weitere Nutzung führen zu einer neuen Fassung dieses Angebots, die Sie erneut annehmen müssen.",
        "billing": "Abrechnung", "billed_delivered": "Der Rest wird mit der Lieferung der Bilder berechnet.", "billed_shot": "Der Rest wird nach der Aufnahme der Bilder berechnet.",
        "portfolio": "Eigene Arbeitsproben", "portfolio_said": "Die Bilder dürfen ab {day} als Arbeitsproben gezeigt werden.",
        "further": "Weitere Bedingungen",
        "currency": "Währung", "currency_said": "Gerechnet in {own} und angeboten in {offered}, zum Kurs {one} = {rate} vom {day} ({source}). Zu zahlen sind die Beträge in {offered}.",
        "how_converted": "{own} zu {rate}",
        "day_one": "{count} Werktag", "day_other": "{count} Werktage", "days_one": "{count} Tag", "days_other": "{count} Tagen",
        "opening": "Guten Tag {name}, das haben wir besprochen: {title}.",
        "opening_day": "Guten Tag {name}, das haben wir besprochen: {title}, am {day}.", "opening_days": "Guten Tag {name}, das haben wir besprochen: {title}, {days}.",
        "at": "{days}, {place}",
        "name_option": "{count} Bilder", "name_option_one": "Ein Bild",
        "size_smaller": "Kleiner: {title}", "size_asked": "Wie angefragt: {title}", "size_larger": "Größer: {title}", "size_as_talked": "Das, was wir besprochen haben",
        "size_instead": "{this} statt {that}",
        "size_on_set": "{this} am Set statt {that}", "size_places": "für {this} statt {that}", "size_months": "Nutzung für {this} statt {that}",
        "size_months_endless": "Nutzung ohne Ende statt für {that}", "size_months_limited": "Nutzung für {this} statt ohne Ende",
        "line_preparation": "Vorbereitung", "how_preparation": "Rezeptgespräch, Auswahl von Gerichten und Requisiten, Lichtplan",
        "line_shooting_day": "Aufnahmetag", "how_shooting_day": "Ein Tag umfasst bis zu {hours} am Set: {rate}", "how_shooting_days": "{days}, {count} × {rate}. Ein Tag umfasst bis zu {hours} am Set",
        "line_half_day": "Halber Aufnahmetag", "how_half_day": "Bis zu {hours} am Set: {rate}",
        "line_finishing_simple": "Bildbearbeitung", "line_finishing_cut_out": "Bildbearbeitung, Freisteller", "line_finishing_composite": "Bildbearbeitung, Montagen", "how_finishing": "{minutes} je Bild: {pictures} × {minutes_short} = {hours}",
        "line_usage": "Lizenz", "how_usage": "{use} {figures}", "no_use": "Die Nutzung ist noch nicht benannt",
        "line_added": "Lizenz, auch für {media}", "how_added": "{use} Zusätzlich zur Lizenz dieser Option, deren Honorar dann {together} statt {without} beträgt.",
        "how_added_free": "{use} Zusätzlich zur Lizenz dieser Option, deren Honorar bei {together} bleibt.",
        "line_assistant": "Assistenz", "line_kitchen_hand": "Küchenhilfe", "line_stylist": "Foodstyling", "line_props": "Requisite", "how_at_cost": "{name}, {count}, ohne Aufschlag weitergegeben",
        "line_kit": "Technik und Studiomiete", "how_kit": "{count} × {rate}",
        "line_operator": "Bilddatenassistenz", "line_studio": "Studiomiete", "line_kitchen": "Küchenmiete", "line_props_hire": "Miete von Requisiten", "line_food": "Lebensmittel",
        "line_travel_day": "Reisetage", "line_half_travel_day": "Halbe Reisetage", "line_preparation_day": "Ganze Vorbereitungstage",
        "line_rush": "Kurzfristig angefragt", "how_rush": "{percent} auf Vorbereitung, Aufnahmetage und Bildbearbeitung: angefragt {days} vorher", "how_rush_today": "{percent} auf Vorbereitung, Aufnahmetage und Bildbearbeitung: am Tag selbst angefragt",
        "line_travel": "Fahrt", "how_travel": "{there} hin, {there} zurück", "how_travel_days": "{there} hin, {there} zurück, an {count}",
        "classes_factor": "{value} für die Art der Nutzung", "media_factor": "{value} für die Medien", "places_factor": "{value} für das Gebiet", "term_factor": "{value} für die Dauer", "copies_factor": "{value} für die Auflage",
        "pictures_factor": "{value} für {pictures}", "rounded": "aufgerundet auf {fee}", "minimum": "mindestens {fee}",
    },
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class TermsGiven:
    """The figures of the terms. Percentages in per cent, rates in ``currency``, notice in working days."""

    currency: str
    promise: str
    tolerance_percent: Decimal
    deposit_percent: Decimal
    deposit_days: int
    rounds_included: int
    further_round_rate: Decimal
    overtime_rate: Decimal
    hours_in_day: Decimal
    cancellation_free_days: int
    cancellation_percent: Decimal
    cancellation_day_percent: Decimal
    is_weather_free_once: bool
    billable_when: str
    portfolio_from: date | None
    further_terms: str


@dataclass(frozen=True, slots=True)
class Term:
    """A term: what it is about, its sentence, and whether it stands among the terms in short."""

    heading: str
    sentence: str
    is_short: bool


def terms_in_words(terms: TermsGiven, language: str) -> tuple[Term, ...]:
    """All terms, those in short first; at most five of them are short."""
    texts = _texts(language)
    rate = formats.rate(terms.further_round_rate, terms.currency, "hour", language)
    postponing = texts["weather_said" if terms.is_weather_free_once else "postponing_said"].format(
        days=_counted("day", terms.cancellation_free_days, language),
        percent=formats.percent(terms.cancellation_percent, language),
        day_percent=formats.percent(terms.cancellation_day_percent, language),
    )
    overtime = texts["overtime_said"].format(
        rate=formats.rate(terms.overtime_rate, terms.currency, "hour", language),
        hours=formats.quantity(terms.hours_in_day, "hour", language),
    )
    found = [
        Term(texts["deposit"], deposit_in_words(terms.deposit_percent, terms.deposit_days, language), is_short=True),
        Term(
            texts["rounds"],
            texts["rounds_said"].format(rounds=_rounds(terms.rounds_included, language), rate=rate),
            is_short=True,
        ),
        Term(texts["repeats"], texts["repeats_said"], is_short=True),
        Term(texts["postponing"], postponing, is_short=True),
        Term(texts["overtime"], overtime, is_short=True),
        Term(texts["changes"], texts["changes_said"], is_short=False),
        Term(
            texts["billing"],
            texts["billed_shot" if terms.billable_when == "shot" else "billed_delivered"],
            is_short=False,
        ),
    ]
    if terms.portfolio_from is not None:
        said = texts["portfolio_said"].format(day=formats.day(terms.portfolio_from, language))
        found.append(Term(texts["portfolio"], said, is_short=False))
    if terms.further_terms.strip():
        found.append(Term(texts["further"], terms.further_terms.strip(), is_short=False))
    return tuple(found)


def deposit_in_words(percent: Decimal, days: int, language: str) -> str:
    """*40% deposit, due 7 days after acceptance. It is deducted from the final invoice.*"""
    texts = _texts(language)
    if not percent:
        return texts["no_deposit"]
    return texts["deposit_said"].format(
        percent=formats.percent(percent, language), days=_counted("days", days, language)
    )


def promise_in_words(promise: str, tolerance_percent: Decimal, language: str, *, has_at_most: bool = True) -> str:
    """What kind of promise the price is: fixed, or an estimate with its tolerance."""
    texts = _texts(language)
    said = (
        texts["fixed"]
        if promise == "fixed"
        else texts["tolerance"].format(percent=formats.percent(tolerance_percent, language))
    )
    return f"{said} {texts['at_most']}" if has_at_most else said


def opening_in_words(name: str, title: str, day: date | None, language: str, *, last: date | None = None) -> str:
    """The first sentence to the client, to be edited by the photographer."""
    texts = _texts(language)
    if day is None:
        return texts["opening"].format(name=name, title=title)
    if last is not None and last != day:
        return texts["opening_days"].format(name=name, title=title, days=formats.days(day, last, language))
    return texts["opening_day"].format(name=name, title=title, day=formats.long_day(day, language))


def option_title(count: int, language: str) -> str:
    """The name an option gets when it is drafted: *9 pictures*."""
    texts = _texts(language)
    return (
        texts["name_option_one"] if count == 1 else texts["name_option"].format(count=formats.number(count, language))
    )


def size_title(which: str, count: int, language: str) -> str:
    """The name of an option drafted in a size: *Smaller: 3 pictures*. ``which`` is smaller, asked or larger."""
    return _texts(language)[f"size_{which}"].format(title=option_title(count, language))


def size_in_words(size: Size, asked: Size, language: str) -> str:
    """What sets a size apart from what was asked, in one line; *What we talked about* where it is the same."""
    texts, parts = _texts(language), []
    if size.pictures != asked.pictures:
        this = formats.quantity(size.pictures, "picture", language)
        parts.append(texts["size_instead"].format(this=this, that=formats.number(asked.pictures, language)))
    if size.on_set != asked.on_set:
        this = formats.quantity(size.on_set, "day", language)
        parts.append(texts["size_on_set"].format(this=this, that=formats.number(asked.on_set, language)))
    if size.months != asked.months:
        terms = [formats.quantity(each.months, "month", language) if each.months else "" for each in (size, asked)]
        key = "size_months" if all(terms) else "size_months_limited" if terms[0] else "size_months_endless"
        parts.append(texts[key].format(this=terms[0], that=terms[1]))
    if size.places != asked.places:
        places = [territories_in_words(each.places, language) for each in (size, asked)]
        parts.append(texts["size_places"].format(this=places[0], that=places[1]))
    said = "; ".join(parts) or texts["size_as_talked"]
    return with_capital(said)


def currency_in_words(rate: Decimal, on: date, source: str, *, own: str, offered: str, language: str) -> Term:
    """The term that says from which money, at which rate of which day and by whose word the sums were reckoned."""
    texts = _texts(language)
    said = texts["currency_said"].format(
        own=own,
        offered=offered,
        one=f"1\u00a0{own}",
        rate=f"{formats.number(rate, language, 8)}\u00a0{offered}",
        day=formats.day(on, language),
        source=source,
    )
    return Term(texts["currency"], said, is_short=False)


def converted_working(own: Decimal, currency: str, rate: Decimal, language: str) -> str:
    """*€780.00 at 0.9412*."""
    return _texts(language)["how_converted"].format(
        own=formats.money(own, currency, language), rate=formats.number(rate, language, 8)
    )


def line_name(kind: str, language: str) -> str:
    """What a drafted line is called: *Day on set*. ``kind`` is a kind of line, or kitchen_hand, props."""
    return _texts(language)[f"line_{kind}"]


def days_working(
    count: int, first: date | None, last: date | None, rate: Decimal, hours: Decimal, currency: str, language: str
) -> str:
    """How a day on set comes about: the days, their rate, and how long a day is."""
    texts = _texts(language)
    facts = {"rate": formats.rate(rate, currency, "day", language), "hours": formats.quantity(hours, "hour", language)}
    if count > 1 and first and last:
        return texts["how_shooting_days"].format(days=formats.days(first, last, language), count=count, **facts)
    return texts["how_shooting_day"].format(**facts)


def half_day_working(rate: Decimal, hours: Decimal, currency: str, language: str) -> str:
    """*Up to 4 h on set: €470.00 a half day*."""
    return _texts(language)["how_half_day"].format(
        rate=formats.rate(rate, currency, "half_day", language), hours=formats.quantity(hours, "hour", language)
    )


def finishing_working(pictures: int, minutes: int, hours: Decimal, language: str) -> str:
    """*25 minutes a picture: 9 × 25 min = 3.75 h*."""
    minutes_said = formats.quantity(minutes, "minute", language)
    return _texts(language)["how_finishing"].format(
        minutes=minutes_said,
        minutes_short=minutes_said,
        pictures=formats.number(pictures, language),
        hours=formats.quantity(hours, "hour", language),
    )


def passed_on_working(name: str, days: int, language: str) -> str:
    """*Ivo Pellander, 1 day, passed on at cost*."""
    return _texts(language)["how_at_cost"].format(name=name, count=formats.quantity(days, "day", language))


def kit_working(days: int, rate: Decimal, currency: str, language: str) -> str:
    """*1 day × €90.00 a day*."""
    return _texts(language)["how_kit"].format(
        count=formats.quantity(days, "day", language), rate=formats.rate(rate, currency, "day", language)
    )


def counted_working(count: Decimal, unit: str, rate: Decimal, currency: str, language: str) -> str:
    """*9 pictures × €15.00 a picture*."""
    return _texts(language)["how_kit"].format(
        count=formats.quantity(count, unit, language), rate=formats.rate(rate, currency, unit, language)
    )


def rush_working(percent: Decimal, days: int, language: str) -> str:
    """*25 % on getting ready, days on set and finishing: asked for 2 days before*."""
    texts, facts = _texts(language), {"percent": formats.percent(percent, language)}
    if not days:
        return texts["how_rush_today"].format(**facts)
    return texts["how_rush"].format(days=_counted("days", days, language), **facts)


def travel_working(distance: Decimal, days: int, language: str) -> str:
    """*23 km there, 23 km back*."""
    texts = _texts(language)
    there = formats.quantity(distance, "kilometre", language)
    if days == 1:
        return texts["how_travel"].format(there=there)
    return texts["how_travel_days"].format(there=there, count=_counted("days", days, language))


def preparation_working(language: str) -> str:
    """What getting ready is."""
    return _texts(language)["how_preparation"]


def usage_working(use: str, fee: Fee | None, pictures: int, currency: str, language: str) -> str:
    """How the licence's fee comes about: the use in words, then the factors of the card and the rounding. Common practice, no source."""
    texts = _texts(language)
    if fee is None:
        return use or texts["no_use"]  # what is missing is said to the photographer before sending, not to the client
    figures = "; ".join(_line_of_fee(line, pictures, currency, language) for line in fee.lines)
    return f"{use} {figures}, {_rounded(fee.fee, currency, language, is_least=fee.is_minimum)}"


def is_usage_working(working: str, fee: Decimal, currency: str, language: str) -> bool:
    """Whether the working of a licence is still the one drafted for this fee, or was written by hand."""
    ends = [_rounded(fee, currency, language, is_least=is_least) for is_least in (False, True)]
    return any(working.endswith(end) for end in ends)


def _rounded(fee: Decimal, currency: str, language: str, *, is_least: bool) -> str:
    return _texts(language)["minimum" if is_least else "rounded"].format(fee=formats.money(fee, currency, language))


def added_name(media: str, language: str) -> str:
    """*Licence, also for packaging*: the line of a use the client may add."""
    return _texts(language)["line_added"].format(media=media)


def added_working(use: str, together: Fee | None, added: Decimal, currency: str, language: str) -> str:
    """What an optional use grants, and what it makes of the option's fee: ``together`` is the fee with it, ``added`` of that is its own."""
    texts = _texts(language)
    if together is None:
        return use or texts["no_use"]
    return texts["how_added" if added else "how_added_free"].format(
        use=use,
        together=formats.money(together.fee, currency, language),
        without=formats.money(together.fee - added, currency, language),
    )


def _line_of_fee(line: FeeLine, pictures: int, currency: str, language: str) -> str:
    texts = _texts(language)
    names = {
        "classes": "classes_factor",
        "media": "media_factor",
        "territories": "places_factor",
        "term": "term_factor",
        "copies": "copies_factor",
    }
    parts = []
    for step in line.working:
        figure = formats.number(Decimal(step.value.numerator) / Decimal(step.value.denominator), language)
        if step.name == "base":
            parts.append(
                formats.money(Decimal(step.value.numerator) / Decimal(step.value.denominator), currency, language)
            )
        elif step.name == "pictures":
            parts.append(
                texts["pictures_factor"].format(value=figure, pictures=formats.quantity(pictures, "picture", language))
            )
        elif step.value != 1:
            parts.append(texts[names[step.name]].format(value=figure))
    return " × ".join(parts)


def _texts(language: str) -> dict[str, str]:
    return TEXTS[formats.language_of(language)]


def _counted(noun: str, count: int, language: str) -> str:
    return _texts(language)[f"{noun}_one" if count == 1 else f"{noun}_other"].format(count=count)


def _rounds(count: int, language: str) -> str:
    texts = _texts(language)
    if count <= 1:
        return texts["round_one" if count else "round_none"]
    return texts["round_other"].format(count=formats.number(count, language))
