"""Check digits of payment references and bank accounts.

ISO 11649:2009, "Structured creditor reference to remittance information", 6.2 and annex B.1, as retold in the wiki of the project
homebeaver/ungueltig, page "MOD 97-10" (read as a secondary page). ISO 13616, IBAN (from memory); ISO/IEC 7064, MOD 97-10, simplified
procedure (same secondary page). IBAN and references below were recomputed by script.
"""

import pytest

from shared.business.checks import InvalidIban, InvalidReference, check_iban, check_reference, in_groups, make_reference


def test_annex_b_reference_2348231_gets_the_check_digits_71() -> None:
    """ISO 11649:2009, B.1.4 to B.1.7: 2348231271500 modulo 97 is 27; 98 - 27 is 71."""
    assert make_reference("2348231") == "RF712348231"


def test_the_textbook_reference_is_right_and_its_neighbour_wrong() -> None:
    """python-stdnum 2.2 documentation, module stdnum.iso11649: RF18 5390 0754 7034 is valid, RF17 is not."""
    assert check_reference("RF18 5390 0754 7034") == "RF18539007547034"
    assert in_groups("RF18539007547034") == "RF18 5390 0754 7034"
    with pytest.raises(InvalidReference):
        check_reference("RF17 5390 0754 7034")


def test_an_iban_whose_check_digits_are_97_off_is_refused() -> None:
    """DE99.. leaves the remainder 1 like DE02..; ISO/IEC 7064 makes only 02 to 98, so the digits are recomputed."""
    assert check_iban("DE02120300000000202051") == "DE02120300000000202051"
    with pytest.raises(InvalidIban):
        check_iban("DE99120300000000202051")


def test_the_belgian_textbook_iban_has_the_right_shape_and_check_digits() -> None:
    """BE68 5390 0754 7034, the textbook example (from memory): the national bank check of a library is not part of ISO 13616."""
    assert check_iban("BE68 5390 0754 7034") == "BE68539007547034"
