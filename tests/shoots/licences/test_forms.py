from datetime import date
from decimal import Decimal

import pytest

from shoots.licences.forms import (
    AcceptForm,
    CopiesForm,
    DeclineForm,
    GrantCheckForm,
    GrantForm,
    LicenceFilter,
    PlaceForm,
    SendForm,
)
from shoots.uses.intended import ANY_NUMBER
from tests.factories.licences import ALONE, agreed, kvernmoor, offered, picture_of, placed

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 20)


def grant(picture, deed="grant", **change):
    typed = {
        "pictures": [picture.pk], "licensee": kvernmoor().pk, "use_kind": "editorial", "use_media": ["print.editorial"], "use_places": ["DE"],
        "use_months": "12", "exclusivity": "none", "first_day": "1.12.2026", "begins": "on_payment", "fee_net": "1.080,00", "accepted_by": "Runa Tallow",
        "use_copies": "12000",
    }  # fmt: skip
    return GrantForm({**typed, **change}, shoot=picture.shoot, deed=deed, use_on=TODAY)


def test_what_was_chosen_is_what_an_offer_wants():
    picture = picture_of()
    form = grant(picture)
    assert form.is_valid(), form.errors
    terms = form.terms()
    assert (terms["pictures"], terms["first_day"], terms["fee_net"]) == ([picture], date(2026, 12, 1), Decimal(1080))
    assert terms["use"]["use_classes"] == ["editorial"]
    assert form.ticked == {str(picture.pk)}


def test_days_and_signatures_are_asked_for():
    picture = picture_of()
    assert "last_day" in grant(picture, last_day="30.11.2026").errors
    assert "signed_by" in grant(picture, exclusivity="picture").errors
    assert "accepted_by" in grant(picture, accepted_by="").errors
    assert grant(picture, deed="offer", accepted_by="").is_valid()
    assert "fee_net" in grant(picture, fee_net="-5").errors


def test_while_it_is_filled_in_nothing_is_a_mistake_yet():
    picture = picture_of()
    form = GrantCheckForm(
        {"use_kind": "editorial", "use_media": ["print.editorial"], "use_places": ["DE"], "use_months": "12", "exclusivity": "none"},
        shoot=picture.shoot, use_on=TODAY,
    )  # fmt: skip
    assert form.is_valid(), form.errors


def test_pictures_of_another_shoot_cannot_be_ticked():
    licence = agreed()
    form = PlaceForm({"pictures": [picture_of().pk], "first_day": "1.12.2026"}, shoot=licence.shoot, licence=licence)
    assert "pictures" in form.errors
    standing = placed()
    assert "first_day" not in PlaceForm(shoot=standing.shoot, licence=standing).fields


def test_only_an_exclusive_offer_asks_for_a_signature():
    assert "signed_by" in AcceptForm(licence=offered(use=ALONE)).fields
    assert "signed_by" not in AcceptForm(licence=offered()).fields


def test_the_short_forms():
    assert not CopiesForm({"copies": "0"}).is_valid()
    assert DeclineForm({"reason": ""}).is_valid()
    assert SendForm({"to": "runa@kvernmoor.example"}).is_valid()
    assert not SendForm({"to": "runa"}).is_valid()
    assert LicenceFilter({"state": "ending"}).is_valid()


def test_the_last_day_of_the_calendar_is_no_last_day_of_use():
    picture = picture_of()
    assert "without end" in str(grant(picture, last_day="31 Dec 9999").errors["last_day"])
    assert grant(picture, last_day="30 Dec 9999").is_valid()


def test_an_embargo_ends_before_the_licence_does():
    form = grant(picture_of(), last_day="31 Dec 2026", embargo_until="1 Jan 2027")
    assert "ends before that" in str(form.errors["embargo_until"])


def test_the_trade_for_this_use_goes_along_with_the_terms():
    picture = picture_of()
    form = grant(picture, trade="coffee", use_copies="", use_any_number="on")
    assert form.is_valid(), form.errors
    assert (form.terms()["trade"], form.terms()["use"]["use_copies"]) == ("coffee", ANY_NUMBER)
    assert "not on the list" in grant(picture, trade="clock maker").errors["trade"][0]
