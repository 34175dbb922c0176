"""Countries and continents of the shipped territory tree.

Sources: (1) UN Statistics Division, Standard country or area codes for statistical use (M49), overview table as a CSV with the
columns Region Code, Sub-region Code, Intermediate Region Code and ISO-alpha2 Code, read in the public repository
datasets/country-codes, file tmp/UNSD-en.csv (it adds Taiwan, which UNSD does not list apart, in Eastern Asia 030); the table below
was written from it, one row a M49 region. (2) Unicode CLDR territory names as shipped in Babel, an independent list of ISO 3166-1
alpha-2 codes; CLDR adds codes that ISO 3166-1 has only reserved or left to users. (3) Member states of the EU: python-stdnum's list of
VAT prefixes, where XI is Northern Ireland. No library of ISO 3166 or M49 itself is among the dependencies.
"""

from babel import Locale
from stdnum.eu import vat

from shoots.uses.territory_tree import CONTINENTS, COUNTRIES, GROUPS, M49_CODES, TERRITORIES

M49_REGIONS = {
    "015 Northern Africa": "DZ EG LY MA SD TN EH",
    "014 Eastern Africa": "IO BI KM DJ ER ET TF KE MG MW MU YT MZ RE RW SC SO SS UG TZ ZM ZW",
    "017 Middle Africa": "AO CM CF TD CG CD GQ GA ST",
    "018 Southern Africa": "BW SZ LS NA ZA",
    "011 Western Africa": "BJ BF CV CI GM GH GN GW LR ML MR NE NG SH SN SL TG",
    "029 Caribbean": "AI AG AW BS BB BQ VG KY CU CW DM DO GD GP HT JM MQ MS PR BL KN LC MF VC SX TT TC VI",
    "013 Central America": "BZ CR SV GT HN MX NI PA",
    "005 South America": "AR BO BV BR CL CO EC FK GF GY PY PE GS SR UY VE",
    "021 Northern America": "BM CA GL PM US",
    "143 Central Asia": "KZ KG TJ TM UZ",
    "030 Eastern Asia": "CN HK MO KP JP MN KR TW",
    "035 South-eastern Asia": "BN KH ID LA MY MM PH SG TH TL VN",
    "034 Southern Asia": "AF BD BT IN IR MV NP PK LK",
    "145 Western Asia": "AM AZ BH CY GE IQ IL JO KW LB OM QA SA PS SY TR AE YE",
    "151 Eastern Europe": "BY BG CZ HU PL MD RO RU SK UA",
    "154 Northern Europe": "AX DK EE FO FI GG IS IE IM JE LV LT NO SJ SE GB",
    "039 Southern Europe": "AL AD BA HR GI GR VA IT MT ME MK PT SM RS SI ES",
    "155 Western Europe": "AT BE FR DE LI LU MC NL CH",
    "053 Australia and New Zealand": "AU CX CC HM NZ NF",
    "054 Melanesia": "FJ NC PG SB VU",
    "057 Micronesia": "GU KI MH FM NR MP PW UM",
    "061 Polynesia": "AS CK PF NU PN WS TK TO TV WF",
}
CONTINENT_OF = {
    "africa": ("015", "014", "017", "018", "011"),
    "north_america": ("029", "013", "021"),  # M49 003, North America
    "south_america": ("005",),
    "asia": ("143", "030", "035", "034", "145"),
    "europe": ("151", "154", "039", "155"),
    "oceania": ("053", "054", "057", "061"),
}
# CLDR names these too: exceptionally reserved (AC CP CQ DG EA EU EZ IC TA UN), user-assigned (QO XA XB XK ZZ).
NOT_IN_ISO_3166_1 = {"AC", "CP", "CQ", "DG", "EA", "EU", "EZ", "IC", "TA", "UN", "QO", "XA", "XB", "XK", "ZZ"}


def countries_of(*regions):
    return {code for name, codes in M49_REGIONS.items() if name[:3] in regions for code in codes.split()}


def test_each_continent_holds_the_countries_of_its_m49_regions():
    for continent, regions in CONTINENT_OF.items():
        assert set(CONTINENTS[continent].split()) == countries_of(*regions), continent
        assert set(TERRITORIES.children(continent)) == countries_of(*regions)


def test_there_are_249_countries_each_in_one_place():
    listed = [code for codes in M49_REGIONS.values() for code in codes.split()]
    assert len(listed) == len(set(listed)) == 248
    assert set(listed) | {"AQ"} == COUNTRIES
    assert len(COUNTRIES) == 249


def test_the_countries_are_those_that_cldr_names():
    named = {code for code in Locale("en").territories if len(code) == 2 and code.isalpha()}
    assert named - NOT_IN_ISO_3166_1 == COUNTRIES


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
    members = {{"EL": "GR"}.get(code.upper(), code.upper()) for code in vat.MEMBER_STATES} - {"XI"}
    assert members == GROUPS["EU"].members
    assert len(members) == 27
