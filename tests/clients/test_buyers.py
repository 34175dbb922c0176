from clients.buyers import missing_for_billing, owes_the_tax
from shared.business.particulars import InvoiceBuyer

WHOLE = InvoiceBuyer("Walnut Lantern GmbH", "Lampwick Lane 4", "10115", "Lindhafen", "DE")


def missing(buyer: InvoiceBuyer, email: str = "books@walnut-lantern.example") -> list[str]:
    found = missing_for_billing(buyer, seller_country="DE", is_business=True, invoice_email=email)
    return [each.sentence for each in found]


def test_a_client_with_a_full_address_and_an_e_mail_lacks_nothing():
    assert missing(WHOLE) == []


def test_what_is_missing_is_said_in_plain_sentences():
    found = missing(InvoiceBuyer("Walnut Lantern", "", "", "Lindhafen", "DE"), email="")
    assert found == [
        "The full address of Walnut Lantern is missing: street, postcode, town and country.",
        "There is no e-mail address for invoices, so they cannot be sent.",
    ]


def test_a_business_in_another_member_state_needs_its_vat_number():
    abroad = InvoiceBuyer("Kvernmoor Mill", "Moor Road 2", "1010", "Wien", "AT")
    assert any("VAT number" in sentence for sentence in missing(abroad))


def test_who_owes_the_tax():
    assert owes_the_tax("AT", "DE", is_business=True)
    assert not owes_the_tax("AT", "DE", is_business=False)
    assert not owes_the_tax("DE", "DE", is_business=True)
    assert not owes_the_tax("CH", "DE", is_business=True)
