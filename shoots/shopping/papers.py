"""Shopping list and prop list as tagged PDF, in English or German. Names and units stand as they were typed."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from django.utils import timezone, translation
from django.utils.translation import gettext, gettext_lazy

from shared.papers.letterhead import Letterhead
from shared.papers.printing import print_paper
from shared.words import formats
from shoots.shopping.snapshot import PaperDish, PropLine, PropSheet, ShoppingSheet
from shoots.shopping.wording import arithmetic, bought, portions_in_words, sum_in_words

# Usual caution: common practice, no source. Local codes and the cook come first.
CAUTION = gettext_lazy(
    "Not for eating once handled on set, unless the cook says so. Food that was sprayed, oiled, torched for show or pinned is never served."
)
BROKEN = gettext_lazy("If glass or china breaks near food, the food is thrown away.")
KINDS = {
    "prop": gettext_lazy("Prop"),
    "crockery": gettext_lazy("Plate, bowl or glass"),
    "cutlery": gettext_lazy("Cutlery"),
    "cloth": gettext_lazy("Cloth"),
    "surface": gettext_lazy("Surface"),
}
SOURCES = {
    "own": gettext_lazy("Own"),
    "hired": gettext_lazy("Hired"),
    "house": gettext_lazy("Borrowed from the house"),
    "lent": gettext_lazy("Lent by somebody else"),
    "bought": gettext_lazy("Bought"),
}


def shopping_pdf(sheet: ShoppingSheet) -> bytes:
    """The shopping list on A4: what to buy first, then each dish with its portions, its lines and what the cook is asked for."""
    language = sheet.language
    with translation.override(language):
        name = gettext("Shopping and keep-backs")
        facts = _facts(sheet.shoot, sheet.house, sheet, language)
        context = {
            "sheet": sheet,
            "sender": Letterhead(name=sheet.photographer or sheet.house, footer=sheet.footer),
            "facts": facts,
            "lines": [
                (
                    line,
                    bought(line.line, language) if line.line else "",
                    sum_in_words(line.line, language) if line.line else "",
                )
                for line in sheet.lines
            ],
            "has_prices": any(line.price is not None for line in sheet.lines),
            "costs": _costs(sheet),
            "held_back": sheet.costs.held_back.amount if sheet.costs else Decimal(0),
            "dishes": [_dish_words(dish, language) for dish in sheet.dishes],
            "caution": CAUTION,
        }
        return print_paper(
            "papers/shopping.html", context, language=language, title=f"{name}, {sheet.shoot}", at=sheet.made_at, identifier=sheet.identifier
        )  # fmt: skip


def props_pdf(sheet: PropSheet) -> bytes:
    """The prop list on A4, with room to count out and back by hand."""
    language = sheet.language
    with translation.override(language):
        name = gettext("Props")
        context = {
            "sheet": sheet,
            "sender": Letterhead(name=sheet.photographer or sheet.house, footer=sheet.footer),
            "facts": _facts(sheet.shoot, sheet.house, sheet, language),
            "lines": [_prop_words(line, language) for line in sheet.lines],
            "broken": BROKEN,
        }
        return print_paper(
            "papers/props.html", context, language=language, title=f"{name}, {sheet.shoot}", at=sheet.made_at, identifier=sheet.identifier
        )  # fmt: skip


def _facts(shoot: str, house: str, sheet: ShoppingSheet | PropSheet, language: str) -> list[tuple[str, str]]:
    facts = [
        (gettext("For"), f"{shoot}, {house}"),
        (gettext("Day"), _days(sheet.day, sheet.last_day, language)),
        (gettext("Place"), sheet.place),
    ]
    return [(label, value) for label, value in facts if value]


def _days(first: date | None, last: date | None, language: str) -> str:
    if first is None:
        return gettext("Day not fixed yet")
    return formats.long_day(first, language) if last in {None, first} else formats.days(first, last, language)


def _costs(sheet: ShoppingSheet) -> list[tuple[str, Decimal]]:
    costs = sheet.costs
    if costs is None:
        return []
    parts = [
        (gettext("Eaten"), costs.eaten),
        (gettext("Heroes"), costs.heroes),
        (gettext("Stand-ins for the light"), costs.stand_ins),
        (gettext("Spares for further takes"), costs.spares),
        (gettext("Without a quantity, and own lines"), costs.uncounted),
        (gettext("All with a price"), costs.whole),
    ]
    return [(name, money.amount) for name, money in parts if money or money is parts[-1][1]]


def _dish_words(dish: PaperDish, language: str) -> dict[str, object]:
    listed = dish.listed
    left = [
        (gettext("Eaten"), *dish.eaten),
        (gettext("Given away"), *dish.given),
        (gettext("Thrown away"), dish.thrown, ""),
    ]
    return {
        "dish": dish,
        "name": listed.name,
        "portions": portions_in_words(listed.portions, listed.serves, language),
        "lines": [(line, arithmetic(line, listed.portions.total, listed.serves, language)) for line in listed.lines],
        "left": [
            (name, "" if portions is None else _portions(portions, language), who)
            for name, portions, who in left
            if portions is not None or who
        ],
    }


def _portions(count: Decimal, language: str) -> str:
    figure = formats.number(count, language)
    return gettext("1 portion") if count == 1 else gettext("%(count)s portions") % {"count": figure}


def _prop_words(line: PropLine, language: str) -> dict[str, object]:
    return {
        "line": line,
        "kind": KINDS.get(line.kind, line.kind),
        "source": SOURCES.get(line.source, line.source),
        "back_by": formats.day(line.back_by, language) if line.back_by else "",
        "out": _counted(line.counted_out, line.out_by, line.out_at),
        "back": _counted(line.counted_back, line.back_counted_by, line.back_at),
    }


def _counted(count: int | None, name: str, at: datetime | None) -> str:
    if count is None:
        return ""
    return f"{count}, {name}, {timezone.localtime(at):%H:%M}" if at else f"{count}, {name}"
