from types import SimpleNamespace

from billing.estimates.wider import WiderUse, granted_codes, wider_by_fee
from billing.rates.working import WiderOffer


def test_a_wider_use_says_what_it_stands_for_instead_of_what(monkeypatch):
    offers = (WiderOffer((1,), "territories", ("europe",)), WiderOffer((0,), "media", ("no such medium",)))
    monkeypatch.setattr("billing.estimates.wider.wider_offers", lambda _fee: offers)
    uses = [SimpleNamespace(use_media=["web.own"]), SimpleNamespace(use_territories=["DE", "AT", "CH"])]
    (found,) = wider_by_fee(None, uses)
    assert found == WiderUse("territories", (1,), ("europe",), "Europe", "Austria, Switzerland and Germany")
    assert found.key == "territories-1"


def test_all_classes_of_a_card_are_granted_one_by_one_and_an_unknown_code_not_at_all():
    assert granted_codes("classes", ["all"]) == ("editorial", "advertising", "stock")
    assert granted_codes("media", ["print"]) == ("print",)
    assert granted_codes("territories", ["atlantis"]) == ()
