"""The shopping list and the prop list as tables for a spreadsheet. Column names never change with the language."""

from __future__ import annotations

from decimal import Decimal

from shared.tables import table_text
from shoots.shopping.snapshot import PropSheet, ShoppingSheet
from shoots.shopping.units import rounded
from shoots.shopping.wording import arithmetic, sum_in_words

SHOPPING_COLUMNS = (
    "list", "dish", "what", "quantity", "unit", "arithmetic", "recipe_line", "price", "currency", "where", "who", "bought",
)  # fmt: skip
PROP_COLUMNS = (
    "what", "kind", "count", "dish", "shot", "comes_from", "from_whom", "goes_back_to", "back_by", "counted_out", "out_by", "out_at",
    "counted_back", "back_counted_by", "back_at", "damage",
)  # fmt: skip


def shopping_table(sheet: ShoppingSheet) -> str:
    """The joined list first (list ``buy``), then each dish's own (list ``dish``). Quantities are plain figures; as needed has none."""
    rows: list[tuple[object, ...]] = []
    for bought in sheet.lines:
        line = bought.line
        rows.append((
            "buy", "; ".join(dict.fromkeys(source.dish.name for source in line.sources)) if line else "", bought.name, line.figure if line else None,
            line.unit if line else "", _plain(sum_in_words(line, sheet.language)) if line else "", "", bought.price,
            sheet.currency if bought.price is not None else "", bought.where, bought.who, "yes" if bought.is_bought else "no",
        ))  # fmt: skip
    for dish in sheet.dishes:
        listed = dish.listed
        for scaled in listed.lines:
            figure: Decimal | None = None if scaled.total is None else rounded(scaled.total, scaled.line.unit)
            rows.append((
                "dish", listed.name, scaled.line.name, figure, scaled.line.unit,
                _plain(arithmetic(scaled, listed.portions.total, listed.serves, sheet.language)), scaled.line.text, None, "", "", "", "",
            ))  # fmt: skip
    return table_text(SHOPPING_COLUMNS, rows)


def prop_table(sheet: PropSheet) -> str:
    """A row a prop, in the order of the list; moments in UTC (ISO 8601)."""
    rows = [
        (
            each.what, each.kind, each.count, each.dish, each.shot, each.source, each.from_whom, each.goes_back_to,
            each.back_by.isoformat() if each.back_by else "", each.counted_out, each.out_by, each.out_at.isoformat() if each.out_at else "",
            each.counted_back, each.back_counted_by, each.back_at.isoformat() if each.back_at else "", each.damage,
        )
        for each in sheet.lines
    ]  # fmt: skip
    return table_text(PROP_COLUMNS, rows)


def _plain(text: str) -> str:
    return text.replace("\u00a0", " ")
