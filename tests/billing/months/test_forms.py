from billing.months.forms import OrderNumberForm


def test_an_order_number_is_wanted():
    assert OrderNumberForm({"job": "estimate:E-2026-001", "order_number": ""}).errors["order_number"] == [
        "This is missing. Fill it in."
    ]
