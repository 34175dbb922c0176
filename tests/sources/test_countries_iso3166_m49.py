"""Countries, continents and groups of the shipped territory tree against reference libraries.

Sources: (1) ISO 3166-1 alpha-2 by pycountry 26.2 (Debian's iso-codes). (2) UN M49 regions by country-converter 1.3, column
`UNregion`, and its columns `EU27` and `EEA`. (3) Names of M49 regions: Unicode CLDR, as shipped in Babel. (4) Member states of the EU:
python-stdnum's list of VAT prefixes, where EL is Greece and XI Northern Ireland.

country-converter names the United Kingdom and Greece by patterns (its ISO2 column reads `^GB$|^UK$`), has Kosovo (XK, which ISO 3166-1
leaves to users), and its `continent` column is its own and not M49's: see the test of the continents.
"""

import country_converter
import pycountry
import pytest
from babel import Locale
from stdnum.eu import vat

from shoots.uses.territory_tree import CONTINENTS, COUNTRIES, GROUPS, M49_CODES, TERRITORIES

CONVERTER = country_converter.CountryConverter().data
CODES = CONVERTER["ISO2"].str.replace(r"^\^(\w\w)\$.*", r"\1", regex=True)
REGION_OF = dict(zip(CODES, CONVERTER["UNregion"], strict=True))
CONTINENT_OF = dict(zip(CODES, CONVERTER["continent"], strict=True))
REGIONS = {
    "africa": {"Northern Africa", "Eastern Africa", "Middle Africa", "Southern Africa", "Western Africa"},
    "north_america": {"Northern America", "Central America", "Caribbean"},  # M49 003, North America
    "south_america": {"South America"},
    "asia": {"Central Asia", "Eastern Asia", "South-eastern Asia", "Southern Asia", "Western Asia"},
    "europe": {"Eastern Europe", "Northern Europe", "Southern Europe", "Western Europe"},
    "oceania": {"Australia and New Zealand", "Melanesia", "Micronesia", "Polynesia"},
}
WIDE = {
    "africa": "Africa",
    "north_america": "America",
    "south_america": "America",
    "asia": "Asia",
    "europe": "Europe",
    "oceania": "Oceania",
}


def members(column):
    return set(CODES[CONVERTER[column].notna()])


def test_the_countries_are_those_of_iso_3166_1():
    assert {country.alpha_2 for country in pycountry.countries} == COUNTRIES
    assert len(COUNTRIES) == 249


def test_every_country_stands_in_one_place():
    listed = [code for codes in CONTINENTS.values() for code in codes.split()]
    assert len(listed) == len(set(listed)) == 248
    assert set(listed) | {"AQ"} == COUNTRIES


def test_the_reference_knows_every_country_and_kosovo_besides():
    assert set(REGION_OF) - COUNTRIES == {"XK"}
    assert set(REGION_OF) >= COUNTRIES


@pytest.mark.parametrize("continent", CONTINENTS)
def test_each_continent_holds_the_countries_of_its_m49_regions(continent):
    wanted = {code for code, region in REGION_OF.items() if region in REGIONS[continent]} - {"XK"}
    assert set(CONTINENTS[continent].split()) == wanted
    assert set(TERRITORIES.children(continent)) == wanted


def test_every_region_is_on_a_continent_but_antarctica():
    """M49 knows no region for Antarctica, so AQ hangs directly below the world."""
    assert set(REGION_OF.values()) - set().union(*REGIONS.values()) == {"Antarctica"}
    assert [code for code, region in REGION_OF.items() if region == "Antarctica"] == ["AQ"]
    assert TERRITORIES.nodes["AQ"].parent == "world"


def test_where_the_continents_of_the_reference_differ_m49_decides():
    """Its `continent` goes by the nearest land mass: M49 counts Bouvet Island and South Georgia to South America, and the Cocos,
    Christmas, Heard and McDonald Islands to Australia and New Zealand, as its own column `UNregion` says.
    """
    placed = {code: WIDE[continent] for continent, codes in CONTINENTS.items() for code in codes.split()}
    differs = {code: CONTINENT_OF[code] for code in placed if CONTINENT_OF[code] != placed[code]}
    assert differs == {"BV": "Antarctica", "GS": "Antarctica", "HM": "Antarctica", "CC": "Asia", "CX": "Asia"}


def test_continents_have_the_m49_codes_under_which_cldr_names_them():
    names = {code: Locale("en").territories[number] for code, number in M49_CODES.items()}
    assert names == {
        "world": "world",
        "europe": "Europe",
        "north_america": "North America",
        "south_america": "South America",
        "asia": "Asia",
        "africa": "Africa",
        "oceania": "Oceania",
    }


def test_the_eu_has_27_members():
    by_vat = {{"EL": "GR"}.get(code.upper(), code.upper()) for code in vat.MEMBER_STATES} - {"XI"}
    assert members("EU27") == by_vat == GROUPS["EU"].members
    assert len(by_vat) == 27


def test_the_eea_is_that_of_the_reference():
    assert members("EEA") == GROUPS["EEA"].members
    assert members("EEA") - members("EU27") == {"IS", "LI", "NO"}


def test_the_other_groups_are_the_trade_s_own():
    """DACH is nobody's list but the trade's: common practice, no source. Its letters are the codes of Germany, Austria, Switzerland."""
    assert set(GROUPS) == {"EU", "EEA", "DACH"}
    names = {pycountry.countries.get(alpha_2=code).name for code in GROUPS["DACH"].members}
    assert names == {"Germany", "Austria", "Switzerland"}
