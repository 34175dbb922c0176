"""The card the program ships with. Every figure: common practice, no source; the studio edits them on its own rate card."""

from fractions import Fraction

from billing.rates.card import Card, Priced, PriceTree
from shoots.uses.media_tree import MEDIA
from shoots.uses.territory_tree import TERRITORIES

OTHER_COUNTRY = "0.3"
CLASS_FACTORS = {"all": "2", "editorial": "0.5", "advertising": "1.2", "stock": "1"}
MEDIA_FACTORS = {
    "all": "3",
    "web": "1.4",
    "web.own": "0.5",
    "web.email": "0.3",
    "web.social": "0.4",
    "web.paid_social": "0.8",
    "web.display": "0.9",
    "web.platforms": "0.4",
    "print": "2",
    "print.menu": "0.4",
    "print.point_of_sale": "0.5",
    "print.packaging": "1.2",
    "print.editorial": "0.5",
    "print.ad": "1",
    "print.brochure": "0.6",
    "out_of_home": "1.5",
    "broadcast": "1.8",
    "press": "0.3",
    "internal": "0.2",
}
TERRITORY_FACTORS = {
    "world": "3",
    **dict.fromkeys(["europe", "north_america", "asia"], "2"),
    **dict.fromkeys(["south_america", "africa", "oceania"], "1.8"),
    "US": "1.7",
    "CN": "1.4",
    **dict.fromkeys(["JP", "IN"], "1.2"),
    **dict.fromkeys(["GB", "BR"], "1.1"),
    **dict.fromkeys(["DE", "FR", "IT", "ES", "CA", "MX", "KR", "AU"], "1"),
    **dict.fromkeys(["NL", "BE", "AT", "CH", "PL", "SE", "AR", "ZA", "EG"], "0.6"),
}

STARTING_CARD = Card(
    base=Fraction(180),
    minimum=Fraction(90),
    step=Fraction(5),
    handling=Fraction(40),
    term=tuple(
        (months, Fraction(factor))
        for months, factor in [
            (0, "0.25"),
            (1, "0.35"),
            (3, "0.52"),
            (6, "0.7"),
            (12, "1"),
            (24, "1.5"),
            (36, "1.9"),
            (60, "2.5"),
            (120, "3.5"),
        ]
    ),
    term_perpetual=Fraction(5),
    exclusivity={"none": Fraction(1), "trade": Fraction("1.5"), "picture": Fraction("2.5")},
    picture_bands=tuple(
        (limit, Fraction(factor))
        for limit, factor in [(5, "1"), (10, "0.85"), (20, "0.7"), (50, "0.55"), (None, "0.4")]
    ),
    copy_bands=tuple(
        (limit, Fraction(factor))
        for limit, factor in [
            (1_000, "0.6"),
            (5_000, "0.75"),
            (10_000, "0.85"),
            (25_000, "1"),
            (50_000, "1.15"),
            (100_000, "1.3"),
            (250_000, "1.6"),
            (500_000, "1.9"),
            (1_000_000, "2.2"),
            (None, "2.8"),
        ]
    ),
    classes=PriceTree(
        "classes",
        [
            Priced(code, None if code == "all" else "all", Fraction(factor), exhaustive=code == "all")
            for code, factor in CLASS_FACTORS.items()
        ],
    ),
    media=PriceTree(
        "media",
        [
            Priced(
                node.code,
                node.parent,
                Fraction(MEDIA_FACTORS[node.code]),
                exhaustive=node.exhaustive,
                counted=node.counted,
            )
            for node in MEDIA.nodes.values()
        ],
    ),
    territories=PriceTree(
        "territories",
        [
            Priced(
                node.code,
                node.parent,
                Fraction(TERRITORY_FACTORS.get(node.code, OTHER_COUNTRY)),
                exhaustive=node.exhaustive,
            )
            for node in TERRITORIES.nodes.values()
        ],
    ),
)
