from shared.business.checks import check_iban, check_vat_number
from studio.demo.cast import BUSINESS, HOUSES


def test_a_dozen_houses_with_addresses_that_can_exist_nowhere():
    assert len(HOUSES) >= 12
    people = [person for house in HOUSES for person in house.people]
    assert all(person.email.endswith(".example") for person in people if person.email)


def test_the_numbers_of_the_demo_pass_our_own_checks():
    assert check_iban(BUSINESS["iban"])
    assert check_vat_number(BUSINESS["vat_number"])


def test_the_restaurant_of_the_scenario_is_among_them():
    assert "Walnut Lantern" in {house.name for house in HOUSES}
