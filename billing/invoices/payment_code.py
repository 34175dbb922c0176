"""What a payment code (QR) of a SEPA transfer holds: EPC069-12, version 002. From memory; the European Payments Council keeps the text.

Twelve lines: BCD, 002, 1 (UTF-8), SCT, BIC, name, IBAN, EUR and amount, purpose, creditor reference, free text, note. Euro only.
"""

from decimal import Decimal

LONGEST = 331
LARGEST = Decimal("999999999.99")


class NoPaymentCode(ValueError):
    """No code can be made: not in euro, nothing to pay, or too long."""


def payment_code(
    *, name: str, iban: str, amount: Decimal, currency: str = "EUR", bic: str = "", reference: str = ""
) -> str:
    """The text of the code. ``reference`` is an ISO 11649 creditor reference; the free text stays empty then, never both.

    Raises NoPaymentCode for another currency, an amount of 0 or less, or more than 331 bytes.
    """
    if currency != "EUR":
        raise NoPaymentCode("A payment code exists for euro only.")
    if not 0 < amount <= LARGEST:
        raise NoPaymentCode("A payment code needs an amount from 0.01 to 999999999.99.")
    if not name or not iban:
        raise NoPaymentCode("A payment code needs the name and the IBAN of the account.")
    lines = ("BCD", "002", "1", "SCT", bic, name[:70], iban.replace(" ", ""), f"EUR{amount:.2f}", "", reference, "", "")
    text = "\n".join(lines).rstrip("\n")
    if len(text.encode()) > LONGEST:
        raise NoPaymentCode("The account name is too long for a payment code.")
    return text
