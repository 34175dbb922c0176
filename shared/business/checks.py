"""Numbers that name a business or an account: IBAN, BIC, payment reference, VAT number. Check digits are always recomputed.

"Remainder 1 after division by 97" alone lets pass check digits that are 97 off (00 for 97, 01 for 98, 02 for 99), so the digits are
worked out anew and compared.
"""

import re
from typing import NewType

from stdnum import numdb
from stdnum.ch import vat as swiss_vat
from stdnum.eu import vat as eu_vat
from stdnum.exceptions import ValidationError
from stdnum.gb import vat as british_vat
from stdnum.no import mva as norwegian_vat

Iban = NewType("Iban", str)
Bic = NewType("Bic", str)
CreditorReference = NewType("CreditorReference", str)
VatNumber = NewType("VatNumber", str)


class InvalidIban(ValueError):
    """Not an IBAN; the sentence says what to look at."""


class InvalidBic(ValueError):
    """Not the shape of a BIC."""


class InvalidReference(ValueError):
    """Not a creditor reference by ISO 11649, or no text that could become one."""


class InvalidVatNumber(ValueError):
    """Not the shape, or not the check digits, of a VAT number of the country it names."""


def check_iban(text: str) -> Iban:
    """The IBAN without spaces, in capitals. Raises InvalidIban. ISO 13616: country, two check digits, the country's own length and shape."""
    number = _compact(text)
    if not re.fullmatch(r"[A-Z]{2}\d{2}[A-Z0-9]{8,30}", number):
        raise InvalidIban(
            "An IBAN begins with two letters and two digits. Copy it from a bank statement, for example DE02 1203 0000 0000 2020 51."
        )
    parts = numdb.get("iban").info(number)
    structure = parts[0][1].get("bban") if parts else None
    if structure is None:
        raise InvalidIban(f"No country of the IBAN register begins with {number[:2]}. Check the first two letters.")
    if not re.fullmatch(_pattern(structure), number[4:]):
        length = 4 + sum(int(each) for each in re.findall(r"(\d+)!", structure))
        raise InvalidIban(
            f"An IBAN from {parts[0][1]['country']} has {length} letters and digits; this one has {len(number)}."
            if len(number) != length
            else f"An IBAN from {parts[0][1]['country']} has letters and digits in other places. Copy it again from a bank statement."
        )
    if _check_digits(number[4:], number[:2]) != number[2:4]:
        raise InvalidIban(
            "The check digits of this IBAN do not fit: a digit is wrong or two have changed places. Compare it with a bank statement."
        )
    return Iban(number)


def check_bic(text: str) -> Bic:
    """The BIC in capitals. Raises InvalidBic. ISO 9362: four letters, country, two letters or digits, maybe three more."""
    code = _compact(text)
    if not re.fullmatch(r"[A-Z]{6}[A-Z0-9]{2}([A-Z0-9]{3})?", code):
        raise InvalidBic(
            "A BIC has 8 or 11 letters and digits and begins with six letters. Copy it from a bank statement, or leave it empty."
        )
    return Bic(code)


def make_reference(text: str) -> CreditorReference:
    """A creditor reference for a paper's number, RF and two check digits first. ISO 11649; at most 21 letters and digits are used.

    Hyphens, spaces and slashes of the number are dropped: 2026-035 gives RF..2026035. Raises InvalidReference.
    """
    own = re.sub(r"[\s/.-]", "", text).upper()
    if not re.fullmatch(r"[A-Z0-9]{1,21}", own):
        raise InvalidReference(
            "A payment reference is made from up to 21 letters and digits. Shorten the number prefix in the business profile."
        )
    return CreditorReference(f"RF{_check_digits(own, 'RF')}{own}")


def check_reference(text: str) -> CreditorReference:
    """The creditor reference without spaces. Raises InvalidReference when its check digits, recomputed, differ."""
    reference = _compact(text)
    if not re.fullmatch(r"RF\d{2}[A-Z0-9]{1,21}", reference):
        raise InvalidReference(
            "A payment reference begins with RF and two digits, with up to 21 letters and digits after them."
        )
    if _check_digits(reference[4:], "RF") != reference[2:4]:
        raise InvalidReference("The check digits of this payment reference do not fit. Compare it with the invoice.")
    return CreditorReference(reference)


def in_groups(number: str) -> str:
    """An IBAN or payment reference as it is printed: groups of four."""
    return " ".join(number[start : start + 4] for start in range(0, len(number), 4))


def check_vat_number(text: str) -> VatNumber:
    """The VAT number with its country's letters, without spaces. Raises InvalidVatNumber.

    Shape and check digits only, by python-stdnum, for the member states of the EU, Northern Ireland (XI), the United Kingdom (GB),
    Switzerland (CHE) and Norway (NO). Whether the number is registered is not asked: that needs the tax authority.
    """
    number = _compact(text).replace(".", "").replace("-", "")
    country = number[:2]
    try:
        if number.startswith("CHE"):
            return VatNumber(swiss_vat.validate(number))
        if country == "GB":
            return VatNumber("GB" + british_vat.validate(number))
        if country == "NO":
            return VatNumber("NO" + norwegian_vat.validate(number))
        if country.lower() in eu_vat.MEMBER_STATES or country == "EL":
            return VatNumber(eu_vat.validate(number))
    except ValidationError as error:
        raise InvalidVatNumber(
            f"This is not a VAT number of {country}: a digit is missing or wrong. Ask for it in writing, or leave it empty."
        ) from error
    raise InvalidVatNumber(
        "A VAT number begins with the letters of its country, for example DE, AT or GB. Add them, or leave it empty."
    )


def vat_number_country(number: VatNumber) -> str:
    """The country a VAT number belongs to, as ISO 3166: EL is Greece (GR), XI the United Kingdom (GB)."""
    return {"EL": "GR", "XI": "GB"}.get(number[:2], number[:2])


def _compact(text: str) -> str:
    return re.sub(r"\s", "", text).upper()


def _check_digits(rest: str, letters: str) -> str:
    """Two check digits by ISO 7064, mod 97-10: 98 minus the number (letters as 10 to 35, then 00) modulo 97."""
    return f"{98 - int(''.join(str(int(each, 36)) for each in rest + letters + '00')) % 97:02d}"


def _pattern(structure: str) -> str:
    """The register's notation (8!n10!n) as a pattern: n digits, a capitals, c both."""
    kinds = {"n": r"\d", "a": "[A-Z]", "c": "[A-Z0-9]"}
    return "".join(f"{kinds[kind]}{{{count}}}" for count, kind in re.findall(r"(\d+)!([nac])", structure))
