from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.forms.models import model_to_dict

from studio.preferences.forms import BusinessProfileForm, WelcomeForm, countries, currencies, time_zones
from tests.factories.shared import BusinessProfileFactory
from tests.shared.files.test_pictures import bomb, picture

pytestmark = pytest.mark.django_db


def form_with(files: dict[str, Any] | None = None, **typed: Any) -> BusinessProfileForm:
    profile = BusinessProfileFactory()
    filled = {name: value for name, value in model_to_dict(profile).items() if value is not None}
    return BusinessProfileForm({**filled, "version": 1, **typed}, files, instance=profile)


def told(form: BusinessProfileForm, field: str) -> str:
    return " ".join(form.errors.get(field, []))


def test_a_complete_profile_is_taken_and_its_numbers_are_brought_into_one_form() -> None:
    form = form_with(iban="de02 1203 0000 0000 2020 51", bic="byladem1001", vat_number="DE 136 695 976")
    assert form.is_valid(), form.errors
    assert [form.cleaned_data[name] for name in ("iban", "bic", "vat_number")] == [
        "DE02120300000000202051",
        "BYLADEM1001",
        "DE136695976",
    ]


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("iban", "DE03 1203 0000 0000 2020 51", "check digits"),
        ("bic", "BANK", "8 or 11"),
        ("vat_number", "DE136695977", "not a VAT number of DE"),
        ("tax_percent", "190", "between 0 and 100"),
        ("valid_from", "31.2.2026", "not a day of the calendar"),
        ("invoice_prefix", "re-", "capital letters"),
        ("legal_name", "", "This is missing"),
        ("minor_signs_from", "0", "from 1 to 25"),
        ("minor_signs_from", "99", "from 1 to 25"),
        ("minor_signs_from", "fourteen", "whole number"),
    ],
)
def test_what_cannot_be_is_said_under_its_field(field: str, typed: str, sentence: str) -> None:
    assert sentence in told(form_with(**{field: typed}), field)


def test_the_age_beside_a_guardian_is_the_studio_s_own_or_none() -> None:
    for typed, kept in (("14", 14), ("", None)):
        form = form_with(minor_signs_from=typed)
        assert form.is_valid(), form.errors
        assert form.cleaned_data["minor_signs_from"] == kept


def test_two_kinds_of_papers_cannot_share_their_numbers() -> None:
    assert "the same numbers" in told(form_with(invoice_prefix="R-"), "release_prefix")


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"%PDF-1.7", "not a JPEG or PNG file"),
        (picture("PNG")[:500], "cut off"),
        (bomb(60_000), "pixels"),
        (b"\x89PNG\r\n\x1a\n" + bytes(6 * 1024 * 1024), "one file may have 5.0 MB"),
    ],
)
def test_a_logo_that_is_no_whole_small_picture_is_refused(content: bytes, sentence: str) -> None:
    form = form_with({"logo_file": SimpleUploadedFile("logo.png", content)})
    assert sentence in told(form, "logo_file")


def test_a_whole_picture_is_taken() -> None:
    assert form_with({"signature_file": SimpleUploadedFile("me.png", picture("PNG"))}).is_valid()


def test_the_lists_offer_what_the_trade_meets() -> None:
    assert ("DE", "Germany") in countries()
    assert not any(code == "EU" for code, _ in countries())
    assert currencies()[0] == ("EUR", "Euro (EUR)")
    assert ("Europe/Berlin", "Europe/Berlin") in time_zones()
    assert not WelcomeForm({"legal_name": "Tindra"}).is_valid()
