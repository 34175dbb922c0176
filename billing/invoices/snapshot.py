"""An invoice or credit note as it was issued: everything its paper says, frozen. The PDF is printed from this and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from billing.estimates.snapshot import read_kept
from billing.sums.totals import Category, TaxGroup
from shared.money import ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class BilledLine:
    """A line: quantity × unit price before VAT, rounded, is ``net``; ``rate`` in per cent."""

    what: str
    working: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    net: Decimal
    category: str
    rate: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxShown:
    """What is taxed in one category at one rate."""

    category: str
    rate: Decimal
    base: Decimal
    tax: Decimal

    @property
    def group(self) -> TaxGroup:
        return TaxGroup(Category(self.category), self.rate, self.base, self.tax)


@dataclass(frozen=True, slots=True, kw_only=True)
class DepositShown:
    """A deposit invoice that is deducted."""

    number: str
    issued_on: date
    paid_on: date | None
    groups: tuple[TaxShown, ...]

    @property
    def tax(self) -> Decimal:
        return sum((group.tax for group in self.groups), ZERO)

    @property
    def gross(self) -> Decimal:
        return sum((group.base + group.tax for group in self.groups), ZERO)


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoiceShown:
    """The whole paper. ``number`` is empty on a draft; ``tax_reasons`` are sentences; ``corrects`` is set on a credit note."""

    kind: str
    number: str
    language: str
    currency: str
    title: str
    issued_on: date
    due_on: date
    supplied_on: date | None
    supplied_last_on: date | None
    sender_name: str
    sender_strapline: str
    sender_address: tuple[str, ...]
    sender_vat_number: str
    sender_tax_number: str
    sender_email: str
    to: tuple[str, ...]
    client_vat_number: str
    order_number: str
    estimate_name: str
    lines: tuple[BilledLine, ...]
    lines_net: Decimal
    discount: Decimal
    discount_percent: Decimal | None
    discount_reason: str
    net: Decimal
    groups: tuple[TaxShown, ...]
    tax: Decimal
    gross: Decimal
    deposits: tuple[DepositShown, ...]
    prepaid: Decimal
    left: tuple[TaxShown, ...]
    to_pay: Decimal
    tax_reasons: tuple[str, ...]
    account_name: str
    iban: str
    bic: str
    reference: str
    licence_sentences: tuple[str, ...]
    lapses_after: date | None
    corrects: str
    corrects_on: date | None
    reason: str
    is_demo: bool

    @property
    def tax_groups(self) -> tuple[TaxGroup, ...]:
        return tuple(shown.group for shown in self.groups)


def invoice_from_json(kept: Mapping[str, Any]) -> InvoiceShown:
    """The paper back from JSON. Raises SnapshotUnreadable."""
    shown = read_kept(InvoiceShown, kept)
    assert isinstance(shown, InvoiceShown)  # noqa: S101  for the type checker
    return shown
