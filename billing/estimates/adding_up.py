"""How the lines of an option add up, as rows of a draft or as they were shown: the same sums on the desk, the paper and the client's page."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Protocol

from billing.estimates.pricing import Discount, LineKind, OfferedLine, price_line, price_option
from billing.estimates.snapshot import SumsShown
from billing.sums.tax import TaxCase
from billing.sums.totals import Category
from shared.errors import Refusal
from shared.money import ZERO

LARGEST_SUM = Decimal("9999999999.99")


class SumTooLarge(Refusal):
    """A total beyond ten digits before the decimal mark."""

    status = 422

    def __init__(self, letter: str) -> None:
        super().__init__(
            f"Option {letter} adds up to more than ten digits.",
            "Nothing was saved. What you typed is kept below.",
            "Check quantities and rates for a digit too many.",
        )


class Taxed(Protocol):
    """What is asked of an estimate here, whether a row or shown; percentages."""

    @property
    def tax_category(self) -> str: ...
    @property
    def tax_percent(self) -> Decimal: ...
    @property
    def deposit_percent(self) -> Decimal: ...


class Discounted(Protocol):
    """What is asked of an option."""

    @property
    def letter(self) -> str: ...
    @property
    def discount_percent(self) -> Decimal: ...
    @property
    def discount_reason(self) -> str: ...


class Counted(Protocol):
    """What is asked of a line; ``key`` names it."""

    @property
    def key(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def quantity(self) -> Decimal: ...
    @property
    def unit_price(self) -> Decimal: ...
    @property
    def markup_percent(self) -> Decimal: ...
    @property
    def is_at_most(self) -> bool: ...
    @property
    def is_at_cost(self) -> bool: ...
    @property
    def is_disbursement(self) -> bool: ...


def sums_with(estimate: Taxed, lines: Iterable[Counted], option: Discounted) -> SumsShown:
    """How these lines of an option add up: discount, VAT rounded once a rate, deposit. Every line handed in counts, optional or not.

    Raises ``SumTooLarge``.
    """
    offered = [offered_line(line) for line in lines]
    discount = Discount(option.discount_reason or "-", option.discount_percent) if option.discount_percent else None
    tax = TaxCase(Category(estimate.tax_category), estimate.tax_percent)
    priced = price_option(offered, tax, deposit_percent=estimate.deposit_percent, discount=discount)
    if priced.gross > LARGEST_SUM:
        raise SumTooLarge(option.letter)
    untaxed = sum((each.net for each in priced.lines if each.line.is_disbursement), ZERO)
    return SumsShown(
        lines_net=priced.lines_net - untaxed,
        discount=priced.discount,
        net=priced.net - untaxed,
        tax=priced.tax,
        untaxed=untaxed,
        gross=priced.gross,
        deposit=priced.deposit_gross,
    )


def amount_of(line: Counted) -> Decimal:
    """A line's sum before tax: quantity × rate, plus its mark-up."""
    return price_line(offered_line(line), TaxCase(Category.EXEMPT, ZERO)).net


def offered_line(line: Counted) -> OfferedLine:
    """A line as the pricing takes it; whether it is optional is left to whoever hands it in."""
    return OfferedLine(
        line.key,
        LineKind(line.kind),
        line.quantity,
        line.unit_price,
        line.markup_percent,
        is_at_most=line.is_at_most,
        is_at_cost=line.is_at_cost,
        is_disbursement=line.is_disbursement,
    )
