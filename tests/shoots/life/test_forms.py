from datetime import date
from decimal import Decimal

import pytest

from shoots.life.forms import ChangeForm, RenewForm, RevokeForm
from tests.factories.licences import ADVERTISING, granted

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 20)


def test_a_renewal_needs_its_length():
    assert RenewForm({"months": "12", "fee_net": "0"}).is_valid()
    assert not RenewForm({"months": "", "fee_net": "0"}).is_valid()
    endless = RenewForm({"months": "endless", "fee_net": "0"})
    assert endless.is_valid()
    assert endless.cleaned_data["months"] is None


def test_the_last_day_of_the_calendar_is_no_last_day_of_use():
    endless = granted(fee_net=Decimal(0), use={**ADVERTISING, "use_months": None})
    form = RevokeForm({"last_day": "31 Dec 9999", "reason": "x"}, licence=endless, on=TODAY)
    assert "without end" in str(form.errors["last_day"])


def test_a_licence_is_revoked_within_its_days():
    licence = granted(fee_net=Decimal(0))
    for day in ("1 Nov 2026", "30 Nov 2027"):
        assert "last_day" in RevokeForm({"last_day": day, "reason": "x"}, licence=licence, on=TODAY).errors
    assert RevokeForm({"last_day": "31 Jan 2027", "reason": "x"}, licence=licence, on=TODAY).is_valid()


def test_a_licence_without_a_limit_of_copies_is_changed_from_any_number_on():
    held = granted(use={**ADVERTISING, "use_media": ["print.ad"], "use_copies": None})
    form = ChangeForm(licence=held, on=TODAY)
    assert (form["use_any_number"].value(), form["use_copies"].value()) == (True, None)
    counted = ChangeForm(licence=granted(use={**ADVERTISING, "use_media": ["print.ad"], "use_copies": 500}), on=TODAY)
    assert (counted["use_any_number"].value(), counted["use_copies"].value()) == (False, 500)
