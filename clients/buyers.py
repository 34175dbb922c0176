"""What a client's entry lacks before it can be billed."""

from shared.business.particulars import InvoiceBuyer, Missing, Place, missing_from_client
from shared.business.union import EU


def owes_the_tax(buyer_country: str, seller_country: str, *, is_business: bool) -> bool:
    """Whether the buyer is likely to owe the VAT: a business in another member state. Directive 2006/112/EC, Articles 44 and 196 (from memory)."""
    return is_business and buyer_country != seller_country and {buyer_country, seller_country} <= EU


def missing_for_billing(
    buyer: InvoiceBuyer, *, seller_country: str, is_business: bool, invoice_email: str
) -> tuple[Missing, ...]:
    """Everything to fill in before a legal invoice can be made and sent, in plain sentences. Empty when nothing is missing."""
    reverse = owes_the_tax(buyer.country, seller_country, is_business=is_business)
    found = list(missing_from_client(buyer, frozenset({"AE"} if reverse else {"S"})))
    if not invoice_email:
        found.append(
            Missing("common practice", Place.CLIENT, "There is no e-mail address for invoices, so they cannot be sent.")
        )
    return tuple(found)
