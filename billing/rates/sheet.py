"""The usage-fee card as a sheet to fill in: one figure a name, and lists of points, bands and countries.

A card is a value with trees; a person edits rows. ``sheet_of`` takes a card apart into rows, ``card_of`` puts rows together into a
card, and ``place_of`` tells which row a remark about the card belongs to. The trees are those of the shipped media and territories,
so a card saved again has every code in use.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from billing.rates.card import Card, Priced, PriceTree, Remark
from billing.rates.starting_card import STARTING_CARD
from shoots.uses.territory_tree import COUNTRIES, WORLD

TERM, PICTURES, COPIES, COUNTRY_LINES = "term", "picture_bands", "copy_bands", "territories"
FIGURES = ("base", "minimum", "step", "handling")
# The row at the open end of a list: the use without end, the last band without limit, the countries not named.
LAST = {TERM: "term_perpetual", PICTURES: "picture_bands_rest", COPIES: "copy_bands_rest", COUNTRY_LINES: "territories_rest"}  # fmt: skip
# In the order they are read: the parts, then the whole.
CLASSES = ("editorial", "stock", "advertising", "all")
MEDIA_CODES = (*(code for code in STARTING_CARD.media.nodes if code != "all"), "all")
WIDE = (*(code for code in STARTING_CARD.territories.nodes if code not in COUNTRIES | {WORLD}), WORLD)

Figures = Mapping[str, Fraction]
Points = Sequence[tuple[int, Fraction]]
CountryLines = Sequence[tuple[tuple[str, ...], Fraction]]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A card in rows: ``figures`` by name, the points of the term, the limits of pictures and copies, the countries by factor."""

    figures: Figures
    term: Points
    picture_bands: Points
    copy_bands: Points
    countries: CountryLines


def row_of(tree: str, code: str) -> str:
    """The name of the row of a code: *media_print_menu*."""
    return f"{tree}_{code.replace('.', '_')}"


def sheet_of(card: Card) -> Sheet:
    """A card taken apart into rows. A code the card misses shows the shipped factor; the commonest factor is that of all other countries."""
    figures = {name: getattr(card, name) for name in (*FIGURES, "term_perpetual")}
    figures |= {f"exclusivity_{kind}": card.exclusivity[kind] for kind in ("trade", "picture")}
    figures["term_start"] = card.term[0][1]
    figures[LAST[PICTURES]] = card.picture_bands[-1][1]
    figures[LAST[COPIES]] = card.copy_bands[-1][1]
    for shipped, tree in ((STARTING_CARD.classes, card.classes), (STARTING_CARD.media, card.media)):
        figures |= {row_of(tree.name, code): _factor(tree, shipped, code) for code in shipped.nodes}
    places = {
        code: _factor(card.territories, STARTING_CARD.territories, code) for code in STARTING_CARD.territories.nodes
    }
    figures |= {row_of("territories", code): places[code] for code in WIDE}
    countries = {code: factor for code, factor in places.items() if code in COUNTRIES}
    factors = list(countries.values())
    common = max(set(factors), key=lambda factor: (factors.count(factor), -factor))
    figures[LAST[COUNTRY_LINES]] = common
    lines = [
        (tuple(code for code, factor in countries.items() if factor == each), each)
        for each in sorted(set(factors) - {common}, reverse=True)
    ]
    return Sheet(
        figures,
        tuple(card.term[1:]),
        tuple((limit, factor) for limit, factor in card.picture_bands if limit is not None),
        tuple((limit, factor) for limit, factor in card.copy_bands if limit is not None),
        tuple(lines),
    )


def card_of(sheet: Sheet) -> Card:
    """The card these rows make, points and bands in rising order. Whether it is fair is ``check_card``'s question."""
    figures = sheet.figures
    factors = {code: factor for codes, factor in sheet.countries for code in codes}
    rest = figures[LAST[COUNTRY_LINES]]
    return Card(
        base=figures["base"],
        minimum=figures["minimum"],
        step=figures["step"],
        handling=figures["handling"],
        term=((0, figures["term_start"]), *sorted(sheet.term)),
        term_perpetual=figures["term_perpetual"],
        exclusivity={
            "none": Fraction(1),
            "trade": figures["exclusivity_trade"],
            "picture": figures["exclusivity_picture"],
        },
        picture_bands=(*sorted(sheet.picture_bands), (None, figures[LAST[PICTURES]])),
        copy_bands=(*sorted(sheet.copy_bands), (None, figures[LAST[COPIES]])),
        classes=_tree(STARTING_CARD.classes, {code: figures[row_of("classes", code)] for code in STARTING_CARD.classes.nodes}),
        media=_tree(STARTING_CARD.media, {code: figures[row_of("media", code)] for code in STARTING_CARD.media.nodes}),
        territories=_tree(
            STARTING_CARD.territories,
            {
                code: figures[row_of("territories", code)] if code in WIDE else factors.get(code, rest)
                for code in STARTING_CARD.territories.nodes
            },
        ),
    )  # fmt: skip


def place_of(remark: Remark) -> tuple[str, int | None]:
    """Where a remark is shown: the name of a figure, or the name of a list with the months, limit or None for the row at its end."""
    name, _, code = remark.path.partition(".")
    if name == "exclusivity":
        return "exclusivity_picture", None
    if name == "territories":
        return (row_of(name, code), None) if code in WIDE else (LAST[COUNTRY_LINES], None)
    if name in ("classes", "media"):
        return row_of(name, code), None
    if name == TERM and not remark.at:
        return "term_start", None
    if name in (TERM, PICTURES, COPIES):
        return (name, remark.at) if remark.at is not None else (LAST[name], None)
    return name, None


def _factor(tree: PriceTree, shipped: PriceTree, code: str) -> Fraction:
    return (tree.nodes.get(code) or shipped.nodes[code]).factor


def _tree(shipped: PriceTree, factors: Figures) -> PriceTree:
    return PriceTree(
        shipped.name,
        [
            Priced(node.code, node.parent, factors[node.code], exhaustive=node.exhaustive, counted=node.counted)
            for node in shipped.nodes.values()
        ],
    )
