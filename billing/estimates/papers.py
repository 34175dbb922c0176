from dataclasses import dataclass
from datetime import UTC, datetime, time
from decimal import Decimal

from django.utils import translation
from django.utils.translation import gettext

from billing.estimates.comparing import compared, uses_told
from billing.estimates.snapshot import AcceptedShown, EstimateShown, LineShown, OptionShown, SumsShown
from billing.rates.told import FeeTold
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
            "options": [(option, option_table(shown, option), uses_told(option)) for option in shown.options],
            "comparison": compared(shown),
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


def sum_rows(
    shown: EstimateShown | AcceptedShown, option: OptionShown, sums: SumsShown
) -> tuple[tuple[str, Decimal], ...]:
    """How an option adds up, in the active language: the rows between its lines and what is to pay, the same on paper and page."""
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
    return tuple(rows)


def option_table(shown: EstimateShown, option: OptionShown) -> OptionTable:
    """One option's lines and sums in words, in the active language."""
    pay = (
        gettext("Option %(letter)s, to pay") % {"letter": option.letter}
        if len(shown.options) > 1
        else gettext("To pay")
    )
    return OptionTable(
        tuple(paper_line(shown, line) for line in option.fixed_lines),
        sum_rows(shown, option, option.sums),
        (pay, option.sums.gross),
        tuple(paper_line(shown, line) for line in option.optional_lines),
    )


def paper_line(shown: EstimateShown, line: LineShown) -> PaperLine:
    """A line as the paper prints it, in the active language. A rate that a mark-up is added to is not printed: it would not lead to the sum."""
    quantity = formats.quantity(line.quantity, line.unit, shown.language)
    rate = formats.rate(line.unit_price, shown.currency, line.unit, shown.language)
    working = [line.working] if line.working and line.is_own_working else []
    if line.fee is not None:
        working += fee_written(line.fee)
    return PaperLine(
        line.what,
        " ".join(working),
        quantity if line.has_rate else "",
        rate if line.has_rate else "",
        line.amount,
        gettext("at most") if line.is_at_most else "",
    )


def fee_written(fee: FeeTold) -> list[str]:
    """A fee opened up in running text: *€180.00 × 1.2 (advertising) × 0.9 (website) … = €1,137.24*, a sentence a part, then what is asked."""
    said = []
    for part in fee.parts:
        figures = " ".join(f"{step.figure} ({step.reason})" if step.reason else step.figure for step in part.steps)
        said.append(f"{part.uses}: {figures} = {part.sum}." if part.uses else f"{figures}.")
    return [*said, fee.end]
