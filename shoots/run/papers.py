"""The run of the day as a tagged PDF: the drawing, the table, what does not hold, and the usual cautions."""

from __future__ import annotations

from django.utils import translation
from django.utils.translation import gettext, gettext_lazy

from shared.papers.letterhead import Letterhead
from shared.papers.printing import print_paper
from shared.words import formats
from shoots.run.snapshot import RunSheet

# The usual cautions; local codes and the kitchen's rules come first, and the sheet says so.
CAUTIONS = (
    gettext_lazy("The cook’s call comes first. “Stop” is everyone’s word and ends the take."),
    gettext_lazy(
        "Times are a plan. Steps take a third longer or shorter than written; food safety does not wait for a picture."
    ),
    gettext_lazy("What was on set is not for eating, unless the cook says so."),
    gettext_lazy("The cook, the kitchen’s own rules and local codes decide how long food may stand."),
)


def run_pdf(sheet: RunSheet) -> bytes:
    """The run of the day on A4; typed words stay in the language they were typed in."""
    with translation.override(sheet.language):
        name = gettext("Run of the day")
        facts = [
            (gettext("Shoot"), f"{sheet.shoot}, {sheet.house}"),
            (gettext("Day"), formats.day(sheet.day, sheet.language) if sheet.day else ""),
            (gettext("Place"), sheet.place),
            (gettext("Call"), f"{sheet.call:%H:%M}"),
            (gettext("Done"), f"{sheet.finish_at:%H:%M}"),
            (gettext("Done by, with slack"), f"{sheet.done_by_at:%H:%M}"),
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
