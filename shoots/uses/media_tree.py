"""The shipped media tree. The trade's channels; common practice, no source."""

from __future__ import annotations

from shoots.uses.in_force import given_name, trees_now
from shoots.uses.trees import REST, Node, Tree

MEDIA = Tree(
    [
        Node("all", exhaustive=True),
        Node("web", "all"),
        Node("web.own", "web", own_promotion=True),
        Node("web.email", "web", own_promotion=True),
        Node("web.social", "web", own_promotion=True),
        Node("web.paid_social", "web"),
        Node("web.display", "web"),
        Node("web.platforms", "web", own_promotion=True),
        Node("print", "all", counted=True),
        Node("print.menu", "print", counted=True, own_promotion=True),
        Node("print.point_of_sale", "print", counted=True, own_promotion=True),
        Node("print.packaging", "print", counted=True),
        Node("print.editorial", "print", counted=True),
        Node("print.ad", "print", counted=True),
        Node("print.brochure", "print", counted=True),
        Node("out_of_home", "all"),
        Node("broadcast", "all"),
        Node("press", "all", own_promotion=True),
        Node("internal", "all", own_promotion=True),
    ],
    version="media-1",
)

READ_EVERYWHERE = frozenset({"web.own", "web.social"})
"""A website has no border: these are granted for the market aimed at and can be read worldwide."""

MEDIA_NAMES: dict[str, dict[str, str]] = {
    "en": {
        "all": "all media",
        "web": "all online use",
        "web.own": "website",
        "web.email": "e-mail",
        "web.social": "social media",
        "web.paid_social": "paid social media",
        "web.display": "online advertising",
        "web.platforms": "booking and delivery platforms",
        "web" + REST: "other online use",
        "print": "all print",
        "print.menu": "menu",
        "print.point_of_sale": "point of sale",
        "print.packaging": "packaging",
        "print.editorial": "magazines and books",
        "print.ad": "printed advertisements",
        "print.brochure": "brochures",
        "print" + REST: "other print",
        "out_of_home": "posters and screens in public places",
        "broadcast": "television and cinema",
        "press": "press hand-outs",
        "internal": "internal use",
    },
    "de": {
        "all": "alle Medien",
        "web": "alle Online-Nutzungen",
        "web.own": "Website",
        "web.email": "E-Mail",
        "web.social": "soziale Medien",
        "web.paid_social": "bezahlte Beiträge in sozialen Medien",
        "web.display": "Online-Werbung",
        "web.platforms": "Buchungs- und Lieferplattformen",
        "web" + REST: "sonstige Online-Nutzung",
        "print": "alle Drucksachen",
        "print.menu": "Speisekarte",
        "print.point_of_sale": "Verkaufsort",
        "print.packaging": "Verpackung",
        "print.editorial": "Zeitschriften und Bücher",
        "print.ad": "gedruckte Anzeigen",
        "print.brochure": "Broschüren",
        "print" + REST: "sonstige Drucksachen",
        "out_of_home": "Plakate und Bildschirme im öffentlichen Raum",
        "broadcast": "Fernsehen und Kino",
        "press": "Pressematerial",
        "internal": "interne Nutzung",
    },
}


def medium_name(code: str, language: str) -> str:
    """The medium in words for running text: the studio's own name first; a code without a name stands for itself."""
    if named := given_name(code, language):
        return named
    if code.endswith(REST) and (parent := given_name(code.removesuffix(REST), language)):
        return {"de": "{name} (sonstiges)"}.get(language[:2], "{name} (other)").format(name=parent)
    return MEDIA_NAMES.get(language[:2], MEDIA_NAMES["en"]).get(code, code)


def media_choices(language: str = "en") -> list[tuple[str, str]]:
    """Code and name of each medium for a form: own promotion first, then the rest in the tree's order."""
    trees = trees_now()
    tree = trees.media if trees else MEDIA
    codes = sorted(tree.nodes, key=lambda code: not tree.is_own_promotion(frozenset({code})))
    return [(code, medium_name(code, language)) for code in codes]
