"""The shipped media tree. The trade's channels; common practice, no source."""

from __future__ import annotations

from shared.words.phrases import pgettext_noop, phrases_of
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

MEDIA_NAMES: dict[str, str] = {
    "all": pgettext_noop("medium", "all media"),
    "web": pgettext_noop("medium", "all online use"),
    "web.own": pgettext_noop("medium", "website"),
    "web.email": pgettext_noop("medium", "e-mail"),
    "web.social": pgettext_noop("medium", "social media"),
    "web.paid_social": pgettext_noop("medium", "paid social media"),
    "web.display": pgettext_noop("medium", "online advertising"),
    "web.platforms": pgettext_noop("medium", "booking and delivery platforms"),
    "web" + REST: pgettext_noop("medium", "other online use"),
    "print": pgettext_noop("medium", "all print"),
    "print.menu": pgettext_noop("medium", "menu"),
    "print.point_of_sale": pgettext_noop("medium", "point of sale"),
    "print.packaging": pgettext_noop("medium", "packaging"),
    "print.editorial": pgettext_noop("medium", "magazines and books"),
    "print.ad": pgettext_noop("medium", "printed advertisements"),
    "print.brochure": pgettext_noop("medium", "brochures"),
    "print" + REST: pgettext_noop("medium", "other print"),
    "out_of_home": pgettext_noop("medium", "posters and screens in public places"),
    "broadcast": pgettext_noop("medium", "television and cinema"),
    "press": pgettext_noop("medium", "press hand-outs"),
    "internal": pgettext_noop("medium", "internal use"),
}
"""In words for running text; the catalogues in `shared/locale` have them in the languages of a licence."""


def medium_name(code: str, language: str) -> str:
    """The medium in words for running text: the studio’s own name first; a code without a name stands for itself."""
    if named := given_name(code, language):
        return named
    if code.endswith(REST) and (parent := given_name(code.removesuffix(REST), language)):
        return phrases_of(language).pgettext("medium", "{name} (other)").format(name=parent)
    name = MEDIA_NAMES.get(code)
    return code if name is None else phrases_of(language).pgettext("medium", name)


def media_choices(language: str = "en") -> list[tuple[str, str]]:
    """Code and name of each medium for a form: own promotion first, then the rest in the tree's order."""
    trees = trees_now()
    tree = trees.media if trees else MEDIA
    codes = sorted(tree.nodes, key=lambda code: not tree.is_own_promotion(frozenset({code})))
    return [(code, medium_name(code, language)) for code in codes]
