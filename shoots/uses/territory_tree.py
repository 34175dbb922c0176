"""The shipped territory tree: ISO 3166-1 alpha-2 countries under the continents of UN M49.

M49 (Standard country or area codes for statistical use, United Nations Statistics Division) knows Africa 002, Americas 019, Asia
142, Europe 150 and Oceania 009. Licences are priced for North and South America, so the Americas are split as M49 itself does:
`north_america` is its *North America* (003 = Northern America 021, Central America 013, Caribbean 029), `south_america` its *South
America* (005). Antarctica (AQ) is in no M49 region and hangs directly below the world. Taiwan (TW) is in ISO 3166-1 and not
listed apart by M49; it stands in Asia. Nothing is exhaustive: places without a code of their own are *the rest*.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shoots.uses.in_force import trees_now
from shoots.uses.trees import Node, Tree, UnknownCode

WORLD = "world"

CONTINENTS: dict[str, str] = {
    "europe": (
        "AD AL AT AX BA BE BG BY CH CZ DE DK EE ES FI FO FR GB GG GI GR HR HU IE IM IS IT JE LI LT LU LV MC MD ME MK MT NL NO PL PT "
        "RO RS RU SE SI SJ SK SM UA VA"
    ),
    "north_america": (
        "AG AI AW BB BL BM BQ BS BZ CA CR CU CW DM DO GD GL GP GT HN HT JM KN KY LC MF MQ MS MX NI PA PM PR SV SX TC TT US VC VG VI"
    ),
    "south_america": "AR BO BR BV CL CO EC FK GF GS GY PE PY SR UY VE",
    "asia": (
        "AE AF AM AZ BD BH BN BT CN CY GE HK ID IL IN IQ IR JO JP KG KH KP KR KW KZ LA LB LK MM MN MO MV MY NP OM PH PK PS QA SA SG "
        "SY TH TJ TL TM TR TW UZ VN YE"
    ),
    "africa": (
        "AO BF BI BJ BW CD CF CG CI CM CV DJ DZ EG EH ER ET GA GH GM GN GQ GW IO KE KM LR LS LY MA MG ML MR MU MW MZ NA NE NG RE RW "
        "SC SD SH SL SN SO SS ST SZ TD TF TG TN TZ UG YT ZA ZM ZW"
    ),
    "oceania": "AS AU CC CK CX FJ FM GU HM KI MH MP NC NF NR NU NZ PF PG PN PW SB TK TO TV UM VU WF WS",
}
"""Continents with their countries, UN M49 as published by UNSD."""

M49_CODES = {
    WORLD: "001",
    "europe": "150",
    "north_america": "003",
    "south_america": "005",
    "asia": "142",
    "africa": "002",
    "oceania": "009",
}

SPARE = 100

COUNTRIES = frozenset(code for codes in CONTINENTS.values() for code in codes.split()) | {"AQ"}

TERRITORIES = Tree(
    [
        Node(WORLD),
        *(Node(continent, WORLD) for continent in CONTINENTS),
        Node("AQ", WORLD),
        *(Node(country, continent) for continent, codes in CONTINENTS.items() for country in codes.split()),
    ],
    version="territories-1",
    spare=dict.fromkeys(COUNTRIES, SPARE),
)


@dataclass(frozen=True, slots=True)
class Group:
    """A named list of countries. Not a node: it is replaced by its members when a licence is agreed."""

    code: str
    name: str
    members: frozenset[str]
    since: date | None


@dataclass(frozen=True, slots=True)
class FrozenGroup:
    """A group as it was on the day a licence was agreed; a later member does not join."""

    name: str
    as_on: date
    members: frozenset[str]


class GroupUnknownThen(ValueError):
    """The members of a group on a day before the list begins."""


_EU_27_LIST = "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK"
_EU_27 = frozenset(_EU_27_LIST.split())

GROUPS: dict[str, Group] = {
    "EU": Group("EU", "EU", _EU_27, date(2020, 2, 1)),
    "EEA": Group("EEA", "EEA", _EU_27 | {"IS", "LI", "NO"}, date(2021, 1, 1)),
    "DACH": Group("DACH", "DACH", frozenset({"DE", "AT", "CH"}), None),
}
"""EU of 27 from 1 February 2020, the day after the United Kingdom left; EEA (EU with Iceland, Liechtenstein, Norway) from the end of
the transition on 31 December 2020. Both dates from memory. DACH: common practice, no source."""


def expand_groups(codes: Iterable[str], *, on: date) -> tuple[frozenset[str], tuple[FrozenGroup, ...]]:
    """Replace group names by their members on that day.

    Returns the node codes and the groups to keep in the snapshot. Raises UnknownCode, GroupUnknownThen.
    """
    trees = trees_now()
    tree = trees.territories if trees else TERRITORIES
    plain: set[str] = set()
    groups: list[FrozenGroup] = []
    for code in sorted(codes):
        group = GROUPS.get(code)
        if group is None:
            if code not in tree:
                raise UnknownCode(code)
            plain.add(code)
            continue
        if group.since is not None and on < group.since:
            raise GroupUnknownThen(
                f"The members of {group.name} are kept from {group.since.isoformat()} on: name the countries instead."
            )
        plain |= group.members
        groups.append(FrozenGroup(group.name, on, group.members))
    return frozenset(plain), tuple(groups)
