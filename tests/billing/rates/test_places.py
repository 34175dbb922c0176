import pytest

from billing.rates.places import UnknownCountries, countries_written, read_countries
from shoots.uses.territory_tree import COUNTRIES


def test_countries_are_read_by_name_or_by_their_two_letters() -> None:
    typed = "the Netherlands, de; Österreich\nBosnia and Herzegovina, cote d'ivoire, USA,"
    assert read_countries(typed) == ("NL", "DE", "AT", "BA", "CI", "US")


def test_a_country_named_twice_counts_once() -> None:
    assert read_countries("Germany, DE, Deutschland") == ("DE",)


def test_words_that_name_no_country_are_all_told() -> None:
    with pytest.raises(UnknownCountries, match="“Germny” is no country we know"):
        read_countries("Austria, Germny")
    with pytest.raises(UnknownCountries) as refused:
        read_countries("Germny, Atlantia")
    assert refused.value.words == ("Germny", "Atlantia")
    assert "are no countries" in str(refused.value)


def test_every_country_is_written_so_that_it_is_read_back() -> None:
    assert len(COUNTRIES) == 249  # ISO 3166-1, officially assigned alpha-2 codes
    for language in ("en", "de"):
        assert set(read_countries(countries_written(COUNTRIES, language))) == COUNTRIES
    assert countries_written(["NL", "DE"]) == "Germany, Netherlands"
