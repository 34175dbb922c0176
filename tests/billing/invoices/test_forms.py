from billing.invoices.forms import CreditForm, InvoiceFilter, SendForm


def test_an_address_that_is_none_is_refused_in_plain_words():
    form = SendForm({"to": "books@"})
    assert form.errors["to"] == ["Enter a full address, for example maro@walnutlantern.example."]


def test_a_reason_may_be_left_out():
    assert CreditForm({"reason": ""}).is_valid()


def test_a_state_that_does_not_exist_filters_nothing():
    assert not InvoiceFilter({"state": "lost"}).is_valid()
