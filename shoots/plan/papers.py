"""Cook's sheet and call sheet as tagged PDF. Fixed words stand in the languages of the sheet, typed words as they were typed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from functools import lru_cache, partial
from io import BytesIO
from itertools import count

import pikepdf
from django.utils import translation
from django.utils.text import capfirst
from django.utils.translation import gettext, gettext_lazy

from shared.papers.letterhead import Letterhead
from shared.papers.printing import print_paper
from shared.words import formats
from shoots.plan.sheet_words import (
    SheetWords,
    allergens_in,
    day_on,
    days_in,
    drafted_in,
    hazard_in,
    hours_in,
    is_of_the_moment,
    weekday_in,
)
from shoots.plan.snapshot import CallPerson, CallSheet, CookDish, CookLine, CookSheet, CueSaid, DishAllergens

MOST_PAGES = 2
MOST_LINES_IN_FULL = 8  # more have never fitted two pages in full; it saves a printing

Pairs = list[tuple[str, str]]  # a language, and the words in it

# Keys of sheet_words.toml. The cautions: common practice, no source; the cook and the kitchen's rules come first.
HEADS = (
    "first_call",
    "dishes",
    "portions",
    "hold_back",
    "tries",
    "on_set",
    "hazards",
    "calls",
    "allergens",
    "questions",
)
COOKS_CAUTIONS = ("your_call", "stop", "near_heat", "not_for_eating", "glass")
PARTS = {
    "photographer": gettext_lazy("Photographer"),
    "cook": gettext_lazy("Cook"),
    "kitchen_hand": gettext_lazy("Kitchen hand"),
    "food_stylist": gettext_lazy("Food stylist"),
    "prop_stylist": gettext_lazy("Prop stylist"),
    "assistant": gettext_lazy("Assistant"),
    "digital_operator": gettext_lazy("Digital operator"),
    "decides": gettext_lazy("Decides for the client"),
}
# Usual cautions: common practice, no source. Local codes and the kitchen's rules come first, and the sheet says so.
USUAL_CAUTIONS = (
    gettext_lazy("The cook decides what happens at the stove. “Stop” is everyone’s word and ends the take."),
    gettext_lazy("No cable lies where people walk. No stand near burners or fryers."),
    gettext_lazy("Ask before you reach in. Call “behind” when you pass behind somebody."),
    gettext_lazy(
        "No face and no lens above hot fat, hot sugar or steam. Water never goes into burning fat; keep a lid at hand."
    ),
    gettext_lazy(
        "Only the cook lights, torches or turns down the hood. Charcoal only outdoors or as the kitchen does it."
    ),
    gettext_lazy(
        "An arm over a set has a counterweight and a safety cord on camera and arm. Nobody eats or cooks under it."
    ),
    gettext_lazy("Mains lamps hang on a residual-current device, away from sinks and steam."),
    gettext_lazy("If glass or a lamp breaks near food, the food is thrown away."),
    gettext_lazy("Wash hands before touching food. Tape, sprays and lens cloths stay off food surfaces."),
    gettext_lazy("Food handled for the picture is not for eating, unless the cook says so."),
)


def cook_sheet_words(sheet: CookSheet) -> dict[str, object]:
    """The sheet's words for paper and phone page alike, each fixed word in the cook's language and the studio's."""

    def both(key: str, **filled: object) -> Pairs:
        return [(language, sheet.words.say(key, language, **filled)) for language in sheet.languages]

    def each(say: Callable[[str], str]) -> Pairs:
        return _once(sheet, say)

    cues = {
        language: {
            "now": sheet.now.studio if place else sheet.now.cook,
            "stop": capfirst(sheet.stop.studio if place else sheet.stop.cook),
        }
        for place, language in enumerate(sheet.languages)
    }
    number = count(1)
    return {
        "sheet": sheet,
        "language": sheet.cook_language,
        "title_words": both("title"),
        "when": each(lambda language: _when(sheet, language)),
        "head": {key: both(key) for key in HEADS},
        "columns": {key: sheet.words.say(key, sheet.cook_language) for key in ("time", "moment", "said")},
        "room": [_dot(hazard) for hazard in sheet.room],
        "hazards": each(lambda language: hazard_in(sheet.hazards, language, sheet.words)),
        "left_out": both("more_one" if sheet.left_out == 1 else "more", number=sheet.left_out)
        if sheet.left_out
        else [],
        "cautions": [
            [(language, sheet.words.say(key, language, **cues[language])) for language in sheet.languages]
            for key in COOKS_CAUTIONS
        ],
        "caution": both("caution"),
        "correct": both("correct"),
        "allergen_head": _allergen_head(sheet),
        "allergens": _allergens_together(sheet),
        "paper_words": both("open_paper"),
        "dishes": [
            (
                dish,
                _things(dish.held_back, sheet),
                [_line_words(line, sheet) for line in dish.lines],
                _first_day(dish, sheet),
            )
            for dish in sheet.dishes
        ],
        "in_order": [
            (name, [{**_line_words(line, sheet), "number": next(number)} for line in lines], days)
            for (_, name, lines), days in zip(sheet.in_order, _days_begun(sheet), strict=True)
        ],
    }


@dataclass(frozen=True, slots=True)
class PrintedSheet:
    """The cook's sheet as it is printed: its bytes, how many pages they are, and the moments that stand on a third page or later."""

    pdf: bytes
    pages: int
    too_far: tuple[str, ...] = ()

    @property
    def is_too_long(self) -> bool:
        return self.pages > MOST_PAGES


@dataclass(frozen=True, slots=True)
class SheetLength:
    """How many pages a cook's sheet is, and the moments that stand on a third page or later."""

    pages: int
    too_far: tuple[str, ...]

    @property
    def is_too_long(self) -> bool:
        return self.pages > MOST_PAGES


def cook_sheet_length(sheet: CookSheet) -> SheetLength:
    """The length of a sheet as it would be printed; measured once for the same words, because printing takes a second."""
    return _length_of(replace(sheet, made_at=datetime(2026, 1, 1, tzinfo=UTC), identifier="length"))


@lru_cache(maxsize=64)
def _length_of(sheet: CookSheet) -> SheetLength:
    printed = print_cook_sheet(sheet)
    return SheetLength(printed.pages, printed.too_far)


def cook_sheet_parts(sheet: CookSheet) -> tuple[CookSheet, ...]:
    """A sheet that is too long as sheets of two pages at most, each for some of the dishes, as the day brings them; itself where it fits.

    As few as can be, alike in length. A single dish that fills more than two pages stays whole.
    """
    dishes = sorted(sheet.dishes, key=lambda dish: (dish.first_at is None, dish.first_day, dish.first_at or time()))
    count = 1
    parts = (sheet,)
    while count < len(dishes) and any(cook_sheet_length(part).is_too_long for part in parts):
        count += 1
        parts = tuple(replace(sheet, dishes=tuple(part)) for part in _alike(dishes, count))
    return parts


def _alike(dishes: Sequence[CookDish], count: int) -> list[list[CookDish]]:
    """Dishes in so many runs with about as many moments each; none is empty."""
    whole = sum(len(dish.lines) + 1 for dish in dishes)
    found: list[list[CookDish]] = [[]]
    taken = 0
    for left, dish in zip(range(len(dishes), 0, -1), dishes, strict=True):
        is_due = taken >= whole * len(found) / count or left <= count - len(found)
        if found[-1] and is_due and len(found) < count:
            found.append([])
        found[-1].append(dish)
        taken += len(dish.lines) + 1
    return found


def print_cook_sheet(sheet: CookSheet) -> PrintedSheet:
    """The cook's sheet, 16 pt or larger, on two pages if it can be.

    Where it would be longer, a moment says only what happens, what is hot and what is said, and then the lines stand closer. A day of many dishes that is longer
    still goes on over the page, and ``too_far`` names what stands there: nothing is left out unless a person says so.
    """
    lines = sum(len(dish.lines) for dish in sheet.dishes)
    printed = _print_cook_sheet(sheet, is_short=lines > MOST_LINES_IN_FULL)
    if printed.is_too_long and lines <= MOST_LINES_IN_FULL:
        printed = _print_cook_sheet(sheet, is_short=True)
    if printed.is_too_long:
        tight = _print_cook_sheet(sheet, is_short=True, is_tight=True)
        printed = tight if tight.pages < printed.pages else printed
    return printed


def cook_sheet_pdf(sheet: CookSheet) -> bytes:
    """The bytes of ``print_cook_sheet``."""
    return print_cook_sheet(sheet).pdf


def call_sheet_pdf(sheet: CallSheet) -> bytes:
    """The call sheet: hazards, allergens and a phone number first, then who, when, where and what they bring."""
    with translation.override(sheet.language):
        name = gettext("Call sheet")  # a word inside an f-string would not be collected for translation
        title = f"{name}, {sheet.shoot}"
        context = {
            "sheet": sheet,
            "sender": Letterhead(name=sheet.photographer or sheet.house, footer=sheet.footer),
            "facts": [(label, value) for label, value in _call_facts(sheet) if value],
            "hazards": [hazard_in(hazard, sheet.language, sheet.words) for hazard in sheet.hazards],
            "allergens": [(told.dish, allergens_told(told, sheet.language, sheet.words)) for told in sheet.allergens],
            "people": [_person_words(person) for person in sheet.people],
            "times": [
                {
                    "time": each,
                    "day": formats.long_day(each.on, sheet.language) if each.on and each.on != before else "",
                }
                for each, before in zip(sheet.times, [None, *(each.on for each in sheet.times)], strict=False)
            ],
            "cautions": USUAL_CAUTIONS,
            "two_languages": len(sheet.cue_languages) > 1,
        }
        return print_paper(
            "papers/call_sheet.html",
            context,
            language=sheet.language,
            title=title,
            at=sheet.made_at,
            identifier=sheet.identifier,
        )


def allergens_told(told: DishAllergens, language: str, words: SheetWords) -> str:
    """Allergens in a sentence, with who told them and what the recipe names beside that; never a declaration."""
    if not told.told_by:
        return words.say("not_asked", language)
    said = allergens_in(told.keys, language, words) or words.say("none_named", language)
    sentence = words.say("told_by", language, said=said, name=told.told_by)
    untold = allergens_in(told.untold, language, words)
    return f"{sentence}. {words.say('recipe_names', language, said=untold)}" if untold else sentence


def _print_cook_sheet(sheet: CookSheet, *, is_short: bool, is_tight: bool = False) -> PrintedSheet:
    say = sheet.words.say
    pdf = print_paper(
        "papers/cook_sheet.html",
        {
            **cook_sheet_words(sheet),
            "is_short": is_short,
            "is_tight": is_tight,
            "sender": Letterhead(name=sheet.photographer or sheet.house),
            "page_in": say("page", sheet.cook_language),
            "of_in": say("of", sheet.cook_language),
        },
        language=sheet.cook_language,
        title=f"{say('title', sheet.cook_language)}, {sheet.shoot}",
        at=sheet.made_at,
        identifier=sheet.identifier,
    )
    pages, places = _places_in(pdf)
    moments = [line for _, _, lines in sheet.in_order for line in lines]
    too_far = [
        line.what for number, line in enumerate(moments, start=1) if places.get(f"moment-{number}", 1) > MOST_PAGES
    ]
    return PrintedSheet(pdf, pages, tuple(too_far))


def _places_in(pdf: bytes) -> tuple[int, dict[str, int]]:
    """How many pages a paper has, and on which of them each named place stands."""
    with pikepdf.open(BytesIO(pdf)) as opened:
        number = {page.obj.objgen: place for place, page in enumerate(opened.pages, start=1)}
        names = pikepdf.NameTree(opened.Root.Names.Dests) if "/Names" in opened.Root else {}
        return len(opened.pages), {str(name): number[place[0].objgen] for name, place in names.items()}


def _line_words(line: CookLine, sheet: CookSheet) -> dict[str, object]:
    cues = [
        (language, _said([_cue_in(cue, line, sheet, language, is_ours=bool(place)) for cue in line.cues]))
        for place, language in enumerate(sheet.languages)
    ]
    often = f"often_{line.repeat}"
    return {
        "line": line,
        "what": _once(sheet, lambda language: drafted_in(line.what, language, sheet.words)),
        "wait_for": _once(sheet, lambda language: drafted_in(line.wait_for, language, sheet.words)),
        "cues": [pair for pair in cues if pair[1]],
        "hazard": _once(sheet, lambda language: hazard_in(line.hazard, language, sheet.words)) if line.hazard else [],
        "often": [(language, sheet.words.say(often, language)) for language in sheet.languages]
        if often in sheet.words.phrases
        else [],
    }


def _days_begun(sheet: CookSheet) -> list[Pairs]:
    """For each group of moments the day that begins with it, in the languages of the sheet; nothing where no other day begins."""
    found: list[Pairs] = []
    before = -1
    for day, _, _ in sheet.in_order:
        on = day_on(sheet.day, day) if day else None
        is_begun = sheet.has_days and day != before
        found.append(_once(sheet, partial(days_in, on, None, words=sheet.words)) if is_begun else [])
        before = day
    return found


def _first_day(dish: CookDish, sheet: CookSheet) -> str:
    """The weekday on which a dish begins, in the cook's language, where moments stand on several days."""
    on = day_on(sheet.day, dish.first_day)
    return weekday_in(on, sheet.cook_language) if sheet.has_days and dish.first_at and on else ""


def _things(things: Iterable[tuple[str, str]], sheet: CookSheet) -> Pairs:
    """What to hold back, each thing once: in the cook's language where the house drafted it, as typed elsewhere.

    What names no ingredient has the moment it is for behind it; two moments may ask for the same.
    """
    found: dict[str, str] = {}
    for what, thing in things:
        said = drafted_in(thing, sheet.cook_language, sheet.words)
        is_ours = said != thing or sheet.cook_language == sheet.studio_language
        if is_of_the_moment(thing, sheet.words):
            said = f"{said} ({drafted_in(what, sheet.cook_language, sheet.words)})"
        found.setdefault(said, sheet.cook_language if is_ours else sheet.studio_language)
    return [(language, said) for said, language in found.items()]


def _once(sheet: CookSheet, say: Callable[[str], str]) -> Pairs:
    """Words in each language of the sheet, once where they are the same; nothing where there is nothing to say."""
    found: Pairs = []
    for language in sheet.languages:
        words = say(language)
        if words and words not in [each for _, each in found]:
            found.append((language, words))
    return found


def _one_teller(sheet: CookSheet) -> str:
    """Who told all that was told, where that is one person and more than one dish; then the name stands once, in the heading."""
    tellers = [dish.allergens.told_by for dish in sheet.dishes if dish.allergens.told_by]
    return tellers[0] if len(tellers) > 1 and len(set(tellers)) == 1 else ""


def _allergen_head(sheet: CookSheet) -> Pairs:
    teller, say = _one_teller(sheet), sheet.words.say
    heads = [(language, say("allergens", language)) for language in sheet.languages]
    return (
        [(language, say("told_by", language, said=head, name=teller)) for language, head in heads] if teller else heads
    )


def _allergens_together(sheet: CookSheet) -> list[tuple[str, list[Pairs]]]:
    """What is said of each dish; dishes of which the same is said stand together."""
    together: dict[str, tuple[list[str], list[Pairs]]] = {}
    for dish in sheet.dishes:
        lines = _allergen_lines(dish.allergens, sheet)
        together.setdefault(repr(lines), ([], lines))[0].append(dish.name)
    return [(", ".join(names), lines) for names, lines in together.values()]


def _allergen_lines(told: DishAllergens, sheet: CookSheet) -> list[Pairs]:
    """Who told what, and what the recipe names beside it; each in the languages of the sheet."""
    words, is_in_head = sheet.words, bool(_one_teller(sheet))

    def told_in(language: str) -> str:
        if not told.told_by:
            return words.say("not_asked", language)
        said = allergens_in(told.keys, language, words) or words.say("none_named", language)
        return said if is_in_head else words.say("told_by", language, said=said, name=told.told_by)

    def named_in(language: str) -> str:
        said = allergens_in(told.untold, language, words)
        return words.say("recipe_names", language, said=said) if said else ""

    return [pairs for pairs in (_once(sheet, told_in), _once(sheet, named_in)) if pairs]


def _cue_in(cue: CueSaid, line: CookLine, sheet: CookSheet, language: str, *, is_ours: bool) -> str:
    """A cue as it is said; the *now* that is the cook's own says so."""
    word = cue.studio if is_ours else cue.cook
    return sheet.words.say("you_say", language, now=word) if line.cook_says_now and cue == sheet.now else word


def _said(words: list[str]) -> str:
    """Wait. Now."""
    return " ".join(f"{word[:1].upper()}{word[1:]}." for word in words)


def _dot(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _when(sheet: CookSheet, language: str) -> str:
    days = days_in(sheet.day, sheet.last_day, language, sheet.words)
    hours = hours_in(sheet.from_time, sheet.until_time, language, sheet.words)
    return ", ".join(part for part in (days, hours) if part)


def _days(first: date | None, last: date | None, language: str) -> str:
    if first is None:
        return gettext("Day not fixed yet")
    return formats.long_day(first, language) if last in {None, first} else formats.days(first, last, language)


def _hours(from_time: object, until_time: object) -> str:
    if not from_time:
        return ""
    if not until_time:
        return gettext("from %(time)s") % {"time": f"{from_time:%H:%M}"}
    return gettext("%(from)s to %(until)s") % {"from": f"{from_time:%H:%M}", "until": f"{until_time:%H:%M}"}


def _call_facts(sheet: CallSheet) -> list[tuple[str, str]]:
    return [
        (gettext("Day"), _days(sheet.first_on, sheet.last_on, sheet.language)),
        (gettext("Hours"), _hours(sheet.from_time, sheet.until_time)),
        (gettext("For"), sheet.house),
        (gettext("Phone on the day"), sheet.phone),
    ]


def _person_words(person: CallPerson) -> dict[str, str]:
    return {
        "name": person.name,
        "part": str(PARTS.get(person.part, person.part)),
        "hours": _hours(person.from_time, person.until_time),
        "phone": person.phone,
        "brings": person.brings,
    }
