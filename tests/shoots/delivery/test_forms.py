from shoots.delivery.forms import DeliverForm, NewLinkForm, ReceivedForm


def test_a_delivery_may_have_no_address_but_no_wrong_one():
    form = DeliverForm({"name": "", "email": "", "note": "With thanks"})
    assert form.is_valid()
    assert form.terms() == {"name": "", "email": "", "note": "With thanks"}
    assert not DeliverForm({"email": "maro"}).is_valid()


def test_a_new_link_and_a_receipt_need_their_word():
    assert not NewLinkForm({"email": ""}).is_valid()
    assert not ReceivedForm({"name": " "}).is_valid()
