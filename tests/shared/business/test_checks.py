import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.business import checks
from shared.business.checks import InvalidBic, InvalidIban, InvalidReference, InvalidVatNumber


def test_an_iban_is_kept_without_spaces_and_printed_in_groups() -> None:
    number = checks.check_iban(" de02 1203 0000 0000 2020 51 ")
    assert number == "DE02120300000000202051"
    assert checks.in_groups(number) == "DE02 1203 0000 0000 2020 51"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "begins with two letters"),
        ("1203 0000 0000 2020 51", "begins with two letters"),
        ("XX02120300000000202051", "No country of the IBAN register begins with XX"),
        ("DE0212030000000020205", "Germany has 22 letters and digits; this one has 21"),
        ("DE021203000000002020X1", "letters and digits in other places"),
        ("DE02120300000000202015", "changed places"),
        ("DE99120300000000202051", "check digits"),
    ],
)
def test_a_wrong_iban_is_refused_with_what_to_look_at(text: str, sentence: str) -> None:
    with pytest.raises(InvalidIban, match=sentence):
        checks.check_iban(text)


@given(st.integers(0, 21), st.integers(0, 9))
def test_one_wrong_digit_in_an_iban_is_always_seen(place: int, digit: int) -> None:
    right = "DE02120300000000202051"
    if place < 2 or right[place] == str(digit):
        return
    with pytest.raises(InvalidIban):
        checks.check_iban(right[:place] + str(digit) + right[place + 1 :])


def test_a_bic_has_eight_or_eleven_signs() -> None:
    assert checks.check_bic("byla dem1 001") == "BYLADEM1001"
    for bad in ("BYLADEM", "BYLADEM100", "1YLADEM1", ""):
        with pytest.raises(InvalidBic):
            checks.check_bic(bad)


def test_an_invoice_number_becomes_a_reference() -> None:
    reference = checks.make_reference("2026-035")
    assert reference[4:] == "2026035"
    assert checks.check_reference(checks.in_groups(reference)) == reference


@pytest.mark.parametrize("text", ["", "ü", "1" * 22, "E_1"])
def test_what_cannot_be_a_reference_is_refused(text: str) -> None:
    with pytest.raises(InvalidReference):
        checks.make_reference(text)


@given(st.text("ABCXYZ0123456789", min_size=1, max_size=21))
def test_every_reference_we_make_is_one_we_accept(text: str) -> None:
    assert checks.check_reference(checks.make_reference(text))[4:] == text


@pytest.mark.parametrize("text", ["RF18", "RF19539007547034", "18539007547034", "RFAB1"])
def test_a_wrong_reference_is_refused(text: str) -> None:
    with pytest.raises(InvalidReference):
        checks.check_reference(text)


def test_check_digits_that_are_97_off_are_refused() -> None:
    """00, 01 and 99 leave the remainder 1 as well; only recomputing tells them from 97, 98 and 02."""
    twins = 0
    for number in range(1, 400):
        reference = checks.make_reference(str(number))
        digits = int(reference[2:4])
        for twin in (digits - 97, digits + 97):
            if 0 <= twin <= 99:
                twins += 1
                with pytest.raises(InvalidReference):
                    checks.check_reference(f"RF{twin:02d}{number}")
    assert twins > 5


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("DE 136.695.976", "DE136695976"),
        ("atu13585627", "ATU13585627"),
        ("EL 094259216", "EL094259216"),
        ("GB 980 7806 84", "GB980780684"),
    ],
)
def test_vat_numbers_are_kept_with_their_country(text: str, number: str) -> None:
    assert checks.check_vat_number(text) == number


def test_the_country_of_a_vat_number_is_named_by_iso() -> None:
    assert [
        checks.vat_number_country(checks.VatNumber(each)) for each in ("EL094259216", "XI110305878", "DE136695976")
    ] == ["GR", "GB", "DE"]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("DE136695977", "not a VAT number of DE"),
        ("136695976", "begins with the letters"),
        ("", "begins with"),
        ("US123", "begins with"),
    ],
)
def test_a_wrong_vat_number_is_refused_with_what_to_do(text: str, sentence: str) -> None:
    with pytest.raises(InvalidVatNumber, match=sentence):
        checks.check_vat_number(text)


@pytest.mark.parametrize("text", ["CHE100155212MWST", "NO995525828MVA"])
def test_swiss_and_norwegian_numbers_are_known(text: str) -> None:
    assert checks.check_vat_number(text) == text
