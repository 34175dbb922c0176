from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any

import segno
from django.utils import translation
from django.utils.translation import gettext

from billing.invoices.payment_code import NoPaymentCode, payment_code
from billing.invoices.snapshot import BilledLine, DepositShown, InvoiceShown, TaxShown
from shared.business.checks import in_groups
from shared.money import ZERO, round_money
from shared.papers.letterhead import Letterhead, PaperLine
from shared.papers.printing import print_paper
from shared.words import formats

HARD = "\u00a0"


def invoice_pdf(shown: InvoiceShown, *, logo: str = "", mark: str = "") -> bytes:
    """The invoice, deposit invoice or credit note as a PDF in its own language. ``logo`` is a data address, ``mark`` a word such as *Draft*."""
    with translation.override(shown.language):
        context = paper_context(shown, logo=logo, mark=mark)
        title = context["title"]
    return print_paper(
        "papers/credit_note.html" if shown.corrects else "papers/invoice.html",
        context,
        language=shown.language,
        title=title,
        at=datetime.combine(shown.issued_on, time(12), UTC),
        identifier=f"{shown.kind} {shown.number or shown.title} {shown.issued_on} {mark}",
    )


def paper_context(shown: InvoiceShown, *, logo: str = "", mark: str = "") -> dict[str, Any]:
    """What the paper's template needs, in the active language."""
    marks = [mark] if mark else []
    if shown.is_demo:
        marks.append(gettext("Demo data, not an invoice"))
    return {
        "shown": shown,
        "title": _title(shown),
        "heading": heading(shown),
        "sender": Letterhead(
            shown.sender_name,
            shown.sender_strapline,
            shown.sender_address,
            (_address(shown), tax_identity(shown)),
            logo,
        ),
        "to": shown.to,
        "facts": _facts(shown),
        "mark": ". ".join(marks),
        "lines": tuple(paper_line(shown, line) for line in shown.lines),
        "sums": sums(shown),
        "pay": pay(shown),
        "tax_left": tax_left(shown),
        "iban": in_groups(shown.iban),
        "reference": in_groups(shown.reference),
        "code": _code(shown),
    }


def heading(shown: InvoiceShown) -> str:
    """What stands above the lines."""
    if shown.corrects:
        return gettext("Credit note for invoice %(number)s") % {"number": shown.corrects}
    if shown.kind == "deposit":
        return gettext("Deposit invoice for %(job)s") % {"job": shown.title}
    return gettext("Invoice for %(job)s") % {"job": shown.title}


def paper_line(shown: InvoiceShown, line: BilledLine) -> PaperLine:
    """A line as the paper prints it; a lump sum shows no quantity of one."""
    is_lump = not line.unit and line.quantity == 1
    return PaperLine(
        line.what,
        line.working,
        "" if is_lump else formats.quantity(line.quantity, line.unit, shown.language),
        "" if is_lump else _rate(line.unit_price, shown),
        line.net,
    )


def sums(shown: InvoiceShown) -> tuple[tuple[str, Decimal], ...]:
    """The rows between the lines and the sum to pay: discount, before VAT, VAT per rate, total, deposits with their VAT."""
    rows: list[tuple[str, Decimal]] = []
    if shown.discount:
        rows += [(gettext("Sum of the lines"), shown.lines_net), (_discount(shown), -shown.discount)]
    rows.append((gettext("Before VAT"), shown.net))
    rows += [(_vat(shown, group), group.tax) for group in shown.groups]
    total = gettext("Total of the credit note") if shown.corrects else gettext("Invoice total")
    rows.append((total, shown.gross))
    rows += [(_deposit(shown, deposit), -deposit.gross) for deposit in shown.deposits]
    return tuple(rows)


def pay(shown: InvoiceShown) -> tuple[str, Decimal]:
    """The largest figure of the paper and what it is."""
    if shown.corrects:
        return gettext("Credited to you"), shown.to_pay
    if shown.to_pay < 0:
        return gettext("We pay back to you"), -shown.to_pay
    if shown.to_pay == 0:
        return gettext("Nothing to pay"), shown.to_pay
    return gettext("To pay by %(day)s") % {"day": _day(shown.due_on, shown)}, shown.to_pay


def tax_left(shown: InvoiceShown) -> str:
    """Where a deposit is deducted: how much of the sum to pay is VAT, by difference per rate."""
    if not shown.deposits:
        return ""
    parts = [
        gettext("%(base)s before VAT and %(tax)s VAT at %(rate)s")
        % {
            "base": _sum(group.base, shown),
            "tax": _sum(group.tax, shown),
            "rate": formats.percent(group.rate, shown.language),
        }
        for group in shown.left
    ]
    said = formats.list_in_words(parts, shown.language)
    return gettext("In this sum: %(parts)s.") % {"parts": said}


def tax_identity(shown: InvoiceShown) -> str:
    """The number under which the business is known to the tax office, Article 226(3)."""
    if shown.sender_vat_number:
        return gettext("VAT ID %(number)s") % {"number": shown.sender_vat_number}
    return gettext("Tax number %(number)s") % {"number": shown.sender_tax_number}


def _title(shown: InvoiceShown) -> str:
    number = {"number": shown.number or gettext("draft")}
    if shown.corrects:
        return gettext("Credit note %(number)s") % number
    if shown.kind == "deposit":
        return gettext("Deposit invoice %(number)s") % number
    return gettext("Invoice %(number)s") % number


def _facts(shown: InvoiceShown) -> tuple[tuple[str, str], ...]:
    kind = gettext("Credit note") if shown.corrects else gettext("Invoice")
    found = [
        (kind, shown.number or gettext("not numbered yet")),
        (gettext("Date"), _day(shown.issued_on, shown)),
    ]
    if shown.corrects and shown.corrects_on:
        found.append((gettext("Corrects"), f"{shown.corrects}, {_day(shown.corrects_on, shown)}"))
    if shown.supplied_on:
        label = gettext("Work planned") if shown.kind == "deposit" else gettext("Work done")
        last = shown.supplied_last_on or shown.supplied_on
        days = _day(last, shown) if last == shown.supplied_on else formats.days(shown.supplied_on, last, shown.language)
        found.append((label, days))
    found += [
        (label, value)
        for label, value in (
            (gettext("Your VAT ID"), shown.client_vat_number),
            (gettext("Your order"), shown.order_number),
            (gettext("Estimate"), shown.estimate_name),
        )
        if value
    ]
    return tuple(found)


def _address(shown: InvoiceShown) -> str:
    return ", ".join(shown.sender_address)


def _day(day: date, shown: InvoiceShown) -> str:
    return formats.written_day(day, shown.language)


def _sum(amount: Decimal, shown: InvoiceShown) -> str:
    return formats.plain_money(amount, shown.currency, shown.language)


def _rate(price: Decimal, shown: InvoiceShown) -> str:
    if round_money(price, shown.currency) == price:
        return _sum(price, shown)
    return formats.number(price, shown.language)


def _discount(shown: InvoiceShown) -> str:
    if shown.discount_percent:
        percent = formats.percent(shown.discount_percent, shown.language)
        return gettext("Discount %(percent)s: %(reason)s") % {"percent": percent, "reason": shown.discount_reason}
    return gettext("Discount: %(reason)s") % {"reason": shown.discount_reason}


def _vat(shown: InvoiceShown, group: TaxShown) -> str:
    if group.rate:
        percent = formats.percent(group.rate, shown.language)
        return gettext("VAT %(percent)s on %(base)s") % {"percent": percent, "base": _sum(group.base, shown)}
    return gettext("No VAT on %(base)s") % {"base": _sum(group.base, shown)}


def _deposit(shown: InvoiceShown, deposit: DepositShown) -> str:
    taxes = [group for group in deposit.groups if group.tax]
    if len(taxes) > 1:
        parts = [f"{_sum(group.tax, shown)} ({formats.percent(group.rate, shown.language)})" for group in taxes]
        tax = formats.list_in_words(parts, shown.language)
    else:
        tax = _sum(deposit.tax, shown)
    facts = {"number": deposit.number, "tax": tax, "day": _day(deposit.paid_on or deposit.issued_on, shown)}
    if deposit.paid_on:
        return gettext("Paid on %(day)s, invoice %(number)s, with VAT of %(tax)s") % facts
    return gettext("Deposit invoice %(number)s of %(day)s, with VAT of %(tax)s") % facts


def _code(shown: InvoiceShown) -> str:
    """The payment code as a picture, or nothing. Demo papers carry a code that pays nobody."""
    if shown.corrects or shown.to_pay <= ZERO:
        return ""
    try:
        text = payment_code(
            name=shown.account_name,
            iban=shown.iban,
            amount=shown.to_pay,
            currency=shown.currency,
            bic=shown.bic,
            reference=shown.reference,
        )
    except NoPaymentCode:
        return ""
    if shown.is_demo:
        text = "Demo data, not an invoice"
    return str(segno.make(text, error="m", boost_error=False, micro=False).svg_data_uri(scale=4, border=2))
