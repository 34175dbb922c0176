"""The run of the day as a tagged PDF: the drawing, the table, what does not hold, and the usual cautions."""

from __future__ import annotations

from shared.papers.letterhead import Letterhead
from shared.papers.printing import print_paper
from shared.words import formats
from shoots.run.clocks import FOOD_CAUTION
from shoots.run.snapshot import RunSheet

# Common practice, no source; local codes and the kitchen's rules come first, and the sheet says so.
CAUTIONS = (
    "The cook’s call comes first. “Stop” is everyone’s word and ends the take.",
    "Times are a plan. Steps take a third longer or shorter than written; food safety does not wait for a picture.",
    "What was on set is not for eating, unless the cook says so.",
    FOOD_CAUTION,
)


def run_pdf(sheet: RunSheet) -> bytes:
    """The run of the day on A4. It is the studio's own paper, in English; the cook has the cook's sheet in the cook's language."""
    name = "Run of the day"
    facts = [
        ("Shoot", f"{sheet.shoot}, {sheet.house}"),
        ("Day", formats.day(sheet.day, sheet.language) if sheet.day else ""),
        ("Place", sheet.place),
        ("Call", f"{sheet.call:%H:%M}"),
        ("Done", sheet.done),
        ("Done by, with slack", sheet.done_by),
    ]
    return print_paper(
        "papers/run.html",
        {
            "sheet": sheet,
            "sender": Letterhead(name=sheet.photographer or sheet.house, footer=sheet.footer),
            "facts": [(label, value) for label, value in facts if value],
            "cautions": CAUTIONS,
            "page_name": name,
        },
        language=sheet.language,
        title=f"{name}, {sheet.shoot}",
        at=sheet.made_at,
        identifier=sheet.identifier,
    )
