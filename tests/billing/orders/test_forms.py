import pytest

from billing.orders.forms import DeclineForm, OfferForm, SendForm


@pytest.mark.parametrize(("typed", "field"), [({}, "option"), ({"option": "C"}, "option"), ({"option": "A"}, "name")])
def test_an_acceptance_names_one_option_of_the_estimate_and_who_takes_it(typed, field):
    form = OfferForm(typed, letters=["A", "B"], keys=[], client_name="Walnut Lantern", needs_order_number=False)
    assert not form.is_valid()
    assert field in form.errors


def test_an_exclusive_licence_asks_for_the_photographers_name():
    typed = {"to": "maro@walnutlantern.example", "to_name": "Maro"}
    assert SendForm(typed, needs_signature=False).is_valid()
    assert not SendForm(typed, needs_signature=True).is_valid()


def test_declining_needs_a_reason():
    assert not DeclineForm({"reason": " "}).is_valid()
