from clients.choices import country_choices, currency_choices


def test_countries_stand_by_name_without_what_is_no_country():
    codes = dict(country_choices("en"))
    assert codes["DE"] == "Germany"
    assert not {"EU", "UN", "ZZ", "001"} & set(codes)
    assert len(codes) > 240


def test_currencies_are_those_of_today():
    codes = dict(currency_choices("en"))
    assert codes["EUR"] == "EUR, Euro"
    assert not {"DEM", "XAU", "FRF"} & set(codes)
    assert {"CHF", "GBP", "USD"} <= set(codes)


def test_only_currencies_that_are_reckoned_to_the_cent_are_offered():
    assert not {"JPY", "ISK", "KWD"} & set(dict(currency_choices("en")))
