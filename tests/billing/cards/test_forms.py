from datetime import date
from decimal import Decimal as D

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import QueryDict

from billing.cards.card_file import LARGEST_FILE
from billing.cards.forms import CardFileForm, TakeForm, TryFeeForm
from billing.cards.trying import Case
from billing.rates.fees import CannotPrice, InvalidItem, Unpriced

TYPED = "case=new&pictures=6&use_from=1+Mar+2027&use_kind=advertising&use_media=web.own&use_places=DE&use_months=12&exclusivity=none&late_factor=1"


def form(more: str = "") -> TryFeeForm:
    typed = QueryDict(TYPED, mutable=True)
    for name, values in QueryDict(more).lists():
        typed.setlist(name, values)
    return TryFeeForm(typed)


def test_what_is_typed_is_what_is_priced() -> None:
    found = form("case=found&late_factor=1.5")
    assert found.is_valid(), found.errors
    asked = found.asked()
    assert (asked.case, asked.pictures, asked.late_factor) == (Case.FOUND, 6, D("1.5"))
    assert (asked.use.media, asked.use.territories, asked.use.use_from) == ({"web.own"}, {"DE"}, date(2027, 3, 1))


def test_a_renewal_without_months_is_as_long_as_before() -> None:
    found = form("case=renewal")
    assert found.is_valid()
    assert found.asked().more_months == 12


@pytest.mark.parametrize(
    ("more", "name"),
    [
        ("case=change", "agreed_fee"),
        ("pictures=0", "pictures"),
        ("pictures=1000000", "pictures"),
        ("late_factor=0.5", "late_factor"),
        ("agreed_fee=12345678901.00", "agreed_fee"),
        ("use_from=someday", "use_from"),
    ],
)
def test_a_mistake_is_told_at_its_field(more: str, name: str) -> None:
    assert name in form(more).errors


def test_why_there_is_no_fee_stands_at_its_field() -> None:
    found = form()
    assert found.is_valid()
    found.say_unpriced(CannotPrice(Unpriced.QUANTITY_REQUIRED))
    found.say_unpriced(InvalidItem("A use without end is not renewed.", "months"))
    assert {"use_copies", "use_months"} <= set(found.errors)


def test_of_a_file_no_more_is_read_than_tells_that_it_is_too_much() -> None:
    found = CardFileForm({}, {"file": SimpleUploadedFile("rates.json", b" " * (LARGEST_FILE + 9))})
    assert found.is_valid()
    assert len(found.content()) == LARGEST_FILE + 1


def test_the_text_comes_back_with_the_line_ends_it_had() -> None:
    found = TakeForm({"valid_from": "1 Jul 2026", "text": "{\r\n}", "seen": "1.1"})
    assert found.is_valid()
    assert found.cleaned_data["text"] == "{\n}"
