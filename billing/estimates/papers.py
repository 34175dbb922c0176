from dataclasses import dataclass
from datetime import UTC, datetime, time
from decimal import Decimal

from django.utils import translation
from django.utils.translation import gettext

from billing.estimates.snapshot import EstimateShown, LineShown, OptionShown
from shared.papers.letterhead import Letterhead, PaperLine
from shared.papers.printing import print_paper
from shared.words import formats


@dataclass(frozen=True, slots=True)
class OptionTable:
    """The lines and sums of an option as the paper prints them."""

    lines: tuple[PaperLine, ...]
    sums: tuple[tuple[str, Decimal], ...]
    pay: tuple[str, Decimal]
    optional: tuple[PaperLine, ...]


def estimate_pdf(shown: EstimateShown, *, logo: str = "", mark: str = "") -> bytes:
    """The estimate as a PDF in its own language. ``logo`` is a data address (``picture_uri``), ``mark`` a word at the top, such as *Draft*."""
    with translation.override(shown.language):
        title = gettext("Estimate %(number)s") % {"number": shown.name}
        facts = [(gettext("Number"), shown.name), (gettext("Date"), formats.day(shown.issued_on, shown.language))]
        if shown.valid_until:
            facts.append((gettext("Valid until"), formats.day(shown.valid_until, shown.language)))
        if shown.days:
            facts.append((gettext("Shoot"), shown.days))
        context = {
            "shown": shown,
            "options": [(option, option_table(shown, option)) for option in shown.options],
            "sender": Letterhead(
                shown.sender_name, shown.sender_strapline, shown.sender_address, shown.sender_footer, logo
            ),
            "to": shown.to,
            "facts": facts,
            "mark": mark,
        }
    return print_paper(
        "papers/estimate.html",
        context,
        language=shown.language,
        title=title,
        at=datetime.combine(shown.issued_on, time(12), UTC),
        identifier=f"estimate {shown.number} {shown.issue} {mark}",
    )


def option_table(shown: EstimateShown, option: OptionShown) -> OptionTable:
    """One option's lines and sums in words, in the active language."""
    sums = option.sums
    rows = [(gettext("Before VAT"), sums.net)] if not sums.discount else [
        (gettext("Sum of the lines"), sums.lines_net),
        (gettext("Discount %(percent)s: %(reason)s") % {"percent": formats.percent(option.discount_percent, shown.language), "reason": option.discount_reason}, -sums.discount),
        (gettext("Before VAT"), sums.net),
    ]  # fmt: skip
    rows.append(
        (gettext("VAT %(percent)s") % {"percent": formats.percent(shown.tax_percent, shown.language)}, sums.tax)
    )
    if sums.untaxed:
        rows.append((gettext("Paid in your name, without VAT"), sums.untaxed))
    pay = (
        gettext("Option %(letter)s, to pay") % {"letter": option.letter}
        if len(shown.options) > 1
        else gettext("To pay")
    )
    return OptionTable(
        tuple(paper_line(shown, line) for line in option.fixed_lines),
        tuple(rows),
        (pay, sums.gross),
        tuple(paper_line(shown, line) for line in option.optional_lines),
    )


def paper_line(shown: EstimateShown, line: LineShown) -> PaperLine:
    """A line as the paper prints it, in the active language."""
    return PaperLine(
        line.what,
        line.working,
        ""
        if line.is_at_most or (not line.unit and line.quantity == 1)
        else formats.quantity(line.quantity, line.unit, shown.language),
        ""
        if line.is_at_most or (not line.unit and line.quantity == 1)
        else formats.rate(line.unit_price, shown.currency, line.unit, shown.language),
        line.amount,
        gettext("at most") if line.is_at_most else "",
    )
