"""Cook's sheet and call sheet as tagged PDF. Fixed words stand in the languages of the sheet, typed words as they were typed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from io import BytesIO

import pikepdf
from django.utils import translation
from django.utils.translation import gettext, gettext_lazy

from shared.papers.letterhead import Letterhead
from shared.papers.printing import print_paper
from shared.words import formats
from shoots.plan.snapshot import CallPerson, CallSheet, CookLine, CookSheet, DishAllergens

MOST_PAGES = 2
MOST_LINES_IN_FULL = 8  # more have never fitted two pages in full; it saves a printing
TWO_MINUTES_TO_READ = 16  # moments a dish at most, so that the sheet can be read between two pans

# How often a moment can be had, as the cook reads it (common practice, no source).
HOW_OFTEN = {
    "keep": gettext_lazy("Again, if part of it is held back"),
    "many": gettext_lazy("One chance with each piece"),
    "once": gettext_lazy("Once only"),
}
COOKS_CAUTIONS = (
    gettext_lazy("Your call comes first. Say no, wait or later at any time."),
    gettext_lazy("“Stop” is everyone’s word. Whoever says it ends the take at once."),
    gettext_lazy("Near flame, hot oil or blades you say “now”, not the camera."),
    gettext_lazy("What was on set is not for eating, unless you say so."),
)
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


def both(languages: tuple[str, ...], say: Callable[[], object]) -> list[tuple[str, str]]:
    """The same words in each language of a sheet, with the language beside them."""
    found = []
    for language in languages:
        with translation.override(language):
            found.append((language, str(say())))
    return found


def cook_sheet_words(sheet: CookSheet) -> dict[str, object]:
    """The sheet's words for paper and phone page alike, each fixed word in the cook's language and the studio's."""
    languages = sheet.languages
    return {
        "sheet": sheet,
        "language": sheet.cook_language,
        "title_words": both(languages, lambda: gettext("Cook’s sheet")),
        "when": both(languages, lambda: _when(sheet)),
        "portions": both(languages, lambda: gettext("Portions")),
        "hold_back": both(languages, lambda: gettext("Hold back and have ready")),
        "tries": both(languages, lambda: gettext("Tries")),
        "cautions": [both(languages, lambda words=words: words) for words in COOKS_CAUTIONS],
        "caution_head": both(languages, lambda: gettext("On set")),
        "allergen_head": both(languages, lambda: gettext("Allergens as you told them")),
        "allergens": [
            (dish.name, both(languages, lambda told=dish.allergens: allergens_told(told))) for dish in sheet.dishes
        ],
        "correct": both(languages, lambda: gettext("Is one wrong or missing? Tell us before the first pan.")),
        "paper_words": both(languages, lambda: gettext("Open the sheet to print")),
        "call": both(languages, lambda: gettext("Questions")),
        "dishes": [(dish, [_line_words(line, languages) for line in dish.lines]) for dish in sheet.dishes],
    }


def cook_sheet_pdf(sheet: CookSheet) -> bytes:
    """The cook's sheet, 16 pt or larger, on two pages if it can be.

    Where it would be longer, a moment becomes one line and what to hold back is said once a dish; then the pictures that are
    only nice to have go. A day of many dishes that is longer still goes on over the page: no hazard is left out.
    """
    printed = b""
    for each, is_short in ((sheet, False), (sheet, True), (_musts_only(sheet), True)):
        if not is_short and sum(len(dish.lines) for dish in sheet.dishes) > MOST_LINES_IN_FULL:
            continue
        printed = _print_cook_sheet(each, is_short=is_short)
        if len(pikepdf.open(BytesIO(printed)).pages) <= MOST_PAGES:
            break
    return printed


def call_sheet_pdf(sheet: CallSheet) -> bytes:
    """The call sheet: hazards, allergens and a phone number first, then who, when, where and what they bring."""
    with translation.override(sheet.language):
        name = gettext("Call sheet")  # a word inside an f-string would not be collected for translation
        title = f"{name}, {sheet.shoot}"
        context = {
            "sheet": sheet,
            "sender": Letterhead(name=sheet.photographer or sheet.house, footer=sheet.footer),
            "facts": [(label, value) for label, value in _call_facts(sheet) if value],
            "allergens": [(told.dish, allergens_told(told)) for told in sheet.allergens],
            "people": [_person_words(person) for person in sheet.people],
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


def allergens_told(told: DishAllergens) -> str:
    """Allergens in a sentence of the active language, with who told them; never a declaration."""
    if not told.told_by:
        return gettext("not asked yet")
    said = ", ".join(told.told) if told.told else gettext("none named")
    return gettext("%(said)s, told by %(name)s") % {"said": said, "name": told.told_by}


def _print_cook_sheet(sheet: CookSheet, *, is_short: bool) -> bytes:
    with translation.override(sheet.cook_language):
        name = gettext("Cook’s sheet")
        title = f"{name}, {sheet.shoot}"
    context = {
        **cook_sheet_words(sheet),
        "is_short": is_short,
        "sender": Letterhead(name=sheet.photographer or sheet.house, footer=sheet.footer),
    }
    return print_paper(
        "papers/cook_sheet.html",
        context,
        language=sheet.cook_language,
        title=title,
        at=sheet.made_at,
        identifier=sheet.identifier,
    )


def _line_words(line: CookLine, languages: tuple[str, ...]) -> dict[str, object]:
    cues = [
        (language, _said([cue.cook if place == 0 else cue.studio for cue in line.cues]))
        for place, language in enumerate(languages)
    ]
    often = both(languages, lambda: HOW_OFTEN[line.repeat]) if line.repeat in HOW_OFTEN else []
    return {"line": line, "cues": [pair for pair in cues if pair[1]], "often": often}


def _said(words: list[str]) -> str:
    """Wait. Now."""
    return " ".join(f"{word[:1].upper()}{word[1:]}." for word in words)


def _when(sheet: CookSheet) -> str:
    language = translation.get_language() or "en"
    days = _days(sheet.day, sheet.last_day, language)
    return ", ".join(part for part in (days, _hours(sheet.from_time, sheet.until_time)) if part)


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


def _musts_only(sheet: CookSheet) -> CookSheet:
    dishes = [
        replace(dish, lines=tuple(line for line in dish.lines if line.is_must)[:TWO_MINUTES_TO_READ])
        for dish in sheet.dishes
    ]
    return replace(sheet, dishes=tuple(dishes))
