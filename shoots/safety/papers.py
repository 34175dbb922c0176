"""The page that hangs in the kitchen: allergens a dish, hazards, calls and cautions on one A4 as a tagged PDF."""

from __future__ import annotations

from io import BytesIO

import pikepdf
from django.utils import translation
from django.utils.translation import gettext, gettext_lazy

from shared.papers.letterhead import Letterhead
from shared.papers.printing import print_paper
from shoots.plan.sheet_words import SheetWords, allergens_in, days_in, hours_in
from shoots.safety.snapshot import SafetyDish, SafetySheet

# Usual cautions (common practice, no source, but the figures): the cook, the kitchen's rules and local codes come first, and the page says so.
CAUTIONS = (
    gettext_lazy("“Stop” is everyone’s word and ends the take. Near flame, hot oil or blades the cook says “now”."),
    gettext_lazy(
        "Only the cook lights, torches or turns down the hood. Charcoal only outdoors or as the kitchen does it."
    ),
    gettext_lazy(
        "Water never goes into burning fat or hot sugar; lid or fire blanket at hand. A burn gets cool running water."
    ),
    gettext_lazy("Raw poultry is never washed for a picture."),
    gettext_lazy("If glass or a lamp breaks near food, the food is thrown away."),
    gettext_lazy("Wash hands before touching food. Tape, sprays and lens cloths stay off food surfaces."),
)
NOT_FOR_EATING = gettext_lazy("Not for eating once handled on set, unless the cook says so.")
# FDA Food Code 3-501.19(B); Food Hygiene (Wales) Regulations 2006, Schedule 4, paragraphs 2, 6 and 7.
FOOD_CAUTION = gettext_lazy(
    "Food kept by time alone is used or thrown away within 4 hours in the US (FDA Food Code 3-501.19(B)); in the UK hot food on "
    "display has 2 hours and chilled food 4, once only (Food Hygiene Regulations 2006, Schedule 4)."
)
LOCAL = gettext_lazy("The cook, the kitchen’s own rules and local codes decide.")


def safety_pdf(sheet: SafetySheet) -> bytes:
    """The page for the kitchen in one language, on one A4 if it can be: a day of many dishes is set smaller, a longer one goes over the page."""
    words, language = sheet.words, sheet.language
    with translation.override(language):
        name = gettext("Safety and allergens")
        days = days_in(sheet.day, sheet.last_day, language, words)
        facts = [
            (
                gettext("Day"),
                ", ".join(p for p in (days, hours_in(sheet.from_time, sheet.until_time, language, words)) if p),
            ),
            (gettext("For"), ", ".join(part for part in (sheet.house, sheet.place) if part)),
            (gettext("Phone on the day"), sheet.phone),
        ]
        context = {
            "sheet": sheet,
            "sender": Letterhead(name=sheet.photographer or sheet.house, footer=sheet.footer),
            "facts": [(label, value) for label, value in facts if value],
            "dishes": [_dish_words(dish, language, words) for dish in sheet.dishes],
            "caution": words.say("caution", language),
            "hazards": _hazards_by_dish(sheet),
            "cautions": CAUTIONS,
            "not_for_eating": NOT_FOR_EATING,
            "food_caution": FOOD_CAUTION,
            "local": LOCAL,
        }
        printed = b""
        for is_dense in (False, True):
            printed = print_paper(
                "papers/safety.html",
                {**context, "is_dense": is_dense},
                language=language,
                title=f"{name}, {sheet.shoot}",
                at=sheet.made_at,
                identifier=sheet.identifier,
            )
            with pikepdf.open(BytesIO(printed)) as opened:
                if len(opened.pages) == 1:
                    break
        return printed


def _dish_words(dish: SafetyDish, language: str, words: SheetWords) -> dict[str, object]:
    told = allergens_in(dish.told, language, words)
    us_only = allergens_in(dish.us_only, language, words)
    contains = [allergens_in(dish.contains, language, words), f"US: {us_only}" if us_only else ""]
    return {
        "name": dish.name,
        "contains": "; ".join(part for part in contains if part),
        "ask": allergens_in(dish.ask, language, words),
        "told": told or (words.say("none_named", language) if dish.told_by else ""),
        "told_by": dish.told_by,
        "untold": allergens_in(dish.untold, language, words) if dish.told_by else "",
        "minutes": dish.minutes,
        "limit": dish.limit,
    }


def _hazards_by_dish(sheet: SafetySheet) -> list[tuple[str, str]]:
    """Hazards that belong to the same dishes in one line, with those dishes; no dish is named where all have it."""
    together: dict[tuple[str, ...], list[str]] = {}
    for hazard, dishes in sheet.hazards:
        everywhere = len(sheet.dishes) > 1 and len(dishes) == len(sheet.dishes)
        said = sheet.words.hazards.get(hazard, {}).get(sheet.language, hazard)
        together.setdefault(() if everywhere else dishes, []).append(said)
    lines = [(", ".join(words), ", ".join(dishes)) for dishes, words in together.items()]
    return [(f"{said[:1].upper()}{said[1:]}", names) for said, names in lines]
