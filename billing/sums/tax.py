"""Which VAT a piece of work carries: category, rate and the reason printed, from who supplies whom.

The usual cases of Directive 2006/112/EC, Articles 44, 45, 138, 146 and 196 (from memory). Law differs by country and year: this is a
proposal that a tax adviser should confirm. It is not advice.
"""

from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from billing.sums.totals import Category, check_rate
from shared.business.union import EU
from shared.money import ZERO


class Reason(StrEnum):
    """Why no VAT is charged; the text printed is kept per language in REASON_TEXTS, a small business's in its own profile."""

    NONE = ""
    SMALL_BUSINESS = "small_business"
    REVERSE_CHARGE = "reverse_charge"
    INTRA_COMMUNITY = "intra_community"
    EXPORT = "export"
    OUTSIDE_SCOPE = "outside_scope"
    DISBURSEMENT = "disbursement"


# VATEX codes (BT-121) and texts (BT-120). "Reverse charge" is the wording of Article 226(11a); the German one of § 14a (5) UStG, both from memory.
VATEX = {
    Reason.REVERSE_CHARGE: "VATEX-EU-AE",
    Reason.INTRA_COMMUNITY: "VATEX-EU-IC",
    Reason.EXPORT: "VATEX-EU-G",
    Reason.OUTSIDE_SCOPE: "VATEX-EU-O",
    Reason.DISBURSEMENT: "VATEX-EU-79-C",
}
REASON_TEXTS = {
    "en": {
        Reason.REVERSE_CHARGE: "Reverse charge: the recipient owes the VAT.",
        Reason.INTRA_COMMUNITY: "Exempt supply of goods to another EU country.",
        Reason.EXPORT: "Exempt export of goods.",
        Reason.OUTSIDE_SCOPE: "Not subject to VAT here: the place of supply is in the recipient’s country.",
        Reason.DISBURSEMENT: "Paid in your name and on your account, passed on without VAT.",
        Reason.SMALL_BUSINESS: "",
        Reason.NONE: "",
    },
    "de": {
        Reason.REVERSE_CHARGE: "Steuerschuldnerschaft des Leistungsempfängers (reverse charge).",
        Reason.INTRA_COMMUNITY: "Steuerfreie innergemeinschaftliche Lieferung.",
        Reason.EXPORT: "Steuerfreie Ausfuhrlieferung.",
        Reason.OUTSIDE_SCOPE: "Hier nicht steuerbar: Der Ort der Leistung liegt im Land des Empfängers.",
        Reason.DISBURSEMENT: "In Ihrem Namen und für Ihre Rechnung verauslagt, ohne Umsatzsteuer weitergegeben.",
        Reason.SMALL_BUSINESS: "",
        Reason.NONE: "",
    },
}


@dataclass(frozen=True, slots=True)
class Supplier:
    """The studio: where it is, its usual rate in per cent, and whether it charges VAT at all."""

    country: str
    standard_rate: Decimal
    is_small_business: bool = False
    has_vat_number: bool = True


@dataclass(frozen=True, slots=True)
class Recipient:
    """The client who is billed."""

    country: str
    is_business: bool = True
    vat_number: str = ""


@dataclass(frozen=True, slots=True)
class TaxCase:
    """The VAT of a piece of work. ``ask`` is what a person should look at before relying on it; empty when the case is plain."""

    category: Category
    rate: Decimal
    reason: Reason = Reason.NONE
    ask: str = ""

    def __post_init__(self) -> None:
        check_rate(self.category, self.rate)


DISBURSED = TaxCase(Category.EXEMPT, ZERO, Reason.DISBURSEMENT)


def tax_case(supplier: Supplier, recipient: Recipient, *, is_goods: bool = False) -> TaxCase:
    """The usual VAT of services (or goods: prints and books) by ``supplier`` for ``recipient``."""
    if supplier.is_small_business:
        ask = (
            ""
            if recipient.country == supplier.country
            else "A small business that works for a client abroad may have other duties. Ask your tax adviser."
        )
        return TaxCase(Category.EXEMPT, ZERO, Reason.SMALL_BUSINESS, ask)
    at_home = TaxCase(Category.STANDARD, supplier.standard_rate)
    if recipient.country == supplier.country:
        return at_home
    if supplier.country in EU and recipient.country in EU:
        if recipient.is_business and recipient.vat_number:
            if not supplier.has_vat_number:
                return replace(
                    at_home, ask="Reverse charge needs your own VAT number. Enter it in the business profile."
                )
            if is_goods:
                return TaxCase(Category.INTRA_COMMUNITY, ZERO, Reason.INTRA_COMMUNITY)
            return TaxCase(Category.REVERSE_CHARGE, ZERO, Reason.REVERSE_CHARGE)
        if recipient.is_business:
            return replace(
                at_home,
                ask="Your client has given no VAT number, so your own VAT is charged. With the number they would owe it themselves.",
            )
        return replace(
            at_home,
            ask="A private client in another EU country: above a yearly threshold some supplies are taxed there. Ask your tax adviser.",
        )
    if is_goods:
        return TaxCase(Category.EXPORT, ZERO, Reason.EXPORT, "Keep the proof that the goods left the country.")
    if recipient.is_business:
        return TaxCase(
            Category.OUTSIDE_SCOPE,
            ZERO,
            Reason.OUTSIDE_SCOPE,
            "A business outside your VAT area: check that the place of supply is theirs.",
        )
    return replace(
        at_home, ask="A private client abroad: some services are taxed in their country. Ask your tax adviser."
    )


def reason_text(reason: Reason, language: str, *, small_business_wording: str = "") -> str:
    """The sentence a paper prints (BT-120); a small business prints the wording of its own profile."""
    if reason == Reason.SMALL_BUSINESS:
        return small_business_wording
    return REASON_TEXTS["de" if language.startswith("de") else "en"][reason]
