"""What an invoice must say, and what of it is missing. Directive 2006/112/EC, Article 226 (points 1 to 7 read, the others from memory).

National law asks for more or less; the page that shows this list says so and sends people to their tax adviser.
"""

from dataclasses import dataclass
from enum import StrEnum


class Place(StrEnum):
    """Where the person goes to fill in what is missing."""

    BUSINESS = "business"
    CLIENT = "client"
    INVOICE = "invoice"


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing that is missing: its point of Article 226, where to enter it, and a plain sentence."""

    point: str
    place: Place
    sentence: str


@dataclass(frozen=True, slots=True)
class InvoiceSeller:
    """The business, as its profile of the day names it."""

    name: str
    street: str
    postcode: str
    city: str
    country: str
    vat_number: str = ""
    tax_number: str = ""
    register_number: str = ""
    is_small_business: bool = False
    exemption_wording: str = ""
    iban: str = ""


@dataclass(frozen=True, slots=True)
class InvoiceBuyer:
    """The client who is billed."""

    name: str
    street: str
    postcode: str
    city: str
    country: str
    vat_number: str = ""
    order_number: str = ""
    needs_order_number: bool = False


@dataclass(frozen=True, slots=True)
class InvoiceCase:
    """What the invoice is about. ``categories`` are VAT categories of EN 16931: S, Z, E, AE, K, G, O."""

    categories: frozenset[str]
    has_lines: bool = True
    has_supply_day: bool = True
    has_due_day: bool = True
    corrects_an_invoice: bool = False
    names_the_corrected_invoice: bool = False
    reason_text: str = ""


def missing_from_business(seller: InvoiceSeller) -> tuple[Missing, ...]:
    """What the business profile lacks before any invoice can be made."""
    found = []
    if not seller.name:
        found.append(Missing("226(5)", Place.BUSINESS, "Your full legal name is missing."))
    if not (seller.street and seller.postcode and seller.city and seller.country):
        found.append(
            Missing("226(5)", Place.BUSINESS, "Your full address is missing: street, postcode, town and country.")
        )
    if not seller.vat_number and not seller.tax_number and not (seller.is_small_business and seller.register_number):
        found.append(Missing("226(3)", Place.BUSINESS, "Your VAT number or tax number is missing."))
    if seller.is_small_business and not seller.exemption_wording:
        found.append(Missing("226(11)", Place.BUSINESS, "The sentence that says why you charge no VAT is missing."))
    if not seller.iban:
        found.append(
            Missing("common practice", Place.BUSINESS, "Your IBAN is missing, so clients do not know where to pay.")
        )
    return tuple(found)


def missing_from_client(buyer: InvoiceBuyer, categories: frozenset[str]) -> tuple[Missing, ...]:
    """What the client's entry lacks for an invoice with these VAT categories."""
    found = []
    if not buyer.name:
        found.append(Missing("226(5)", Place.CLIENT, "The client’s full name is missing."))
    if not (buyer.street and buyer.postcode and buyer.city and buyer.country):
        found.append(
            Missing(
                "226(5)",
                Place.CLIENT,
                f"The full address of {buyer.name or 'the client'} is missing: street, postcode, town and country.",
            )
        )
    if categories & {"AE", "K"} and not buyer.vat_number:
        found.append(
            Missing(
                "226(4)",
                Place.CLIENT,
                f"The VAT number of {buyer.name or 'the client'} is missing: they owe the VAT, so the invoice must name it.",
            )
        )
    if buyer.needs_order_number and not buyer.order_number:
        found.append(
            Missing(
                "common practice",
                Place.CLIENT,
                f"{buyer.name or 'The client'} sends invoices back without an order number. Enter the number.",
            )
        )
    return tuple(found)


def missing_particulars(seller: InvoiceSeller, buyer: InvoiceBuyer, case: InvoiceCase) -> tuple[Missing, ...]:
    """All that is missing for a legal invoice, business first, then client, then the invoice itself. Empty when nothing is."""
    found = [*missing_from_business(seller), *missing_from_client(buyer, case.categories)]
    if (
        case.categories & {"S", "AE", "K"}
        and not seller.vat_number
        and (not seller.tax_number or case.categories & {"AE", "K"})
    ):
        found.append(
            Missing(
                "226(3)", Place.BUSINESS, "This invoice needs your VAT number: it charges VAT, or your client owes it."
            )
        )
    if not case.has_lines:
        found.append(
            Missing(
                "226(6)", Place.INVOICE, "The invoice has no line. Say what was done, how much of it, and its price."
            )
        )
    if not case.has_supply_day:
        found.append(Missing("226(7)", Place.INVOICE, "The day of the work is missing."))
    if case.categories & {"E", "AE", "K", "G", "O"} and not case.reason_text and not seller.exemption_wording:
        found.append(Missing("226(11)", Place.INVOICE, "The invoice charges no VAT on a line but does not say why."))
    if not case.has_due_day:
        found.append(Missing("common practice", Place.INVOICE, "The day the invoice is due is missing."))
    if case.corrects_an_invoice and not case.names_the_corrected_invoice:
        found.append(
            Missing("219", Place.INVOICE, "The paper corrects an invoice but does not name its number and date.")
        )
    return tuple(found)
