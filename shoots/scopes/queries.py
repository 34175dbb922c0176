from dataclasses import dataclass, replace

from django.apps import apps

from shared.words.phrases import LICENCE_LANGUAGES
from shoots.brief.models import IntendedUse
from shoots.licences.models import Licence
from shoots.releases.models import Release
from shoots.uses.media_tree import medium_name
from shoots.uses.sentences import territory_name
from shoots.uses.shipped import AS_SHIPPED, IN_FORCE
from shoots.uses.stored import MEDIA, TERRITORIES
from shoots.uses.trees import Tree

NAMED_AS = {Licence: ("licence", "licences"), Release: ("release", "releases")}
AT_COUNTRY = 3
"""World, continent, country: a region starts on the fourth level."""
OTHERS_NAMED_AS = ("shoot or estimate", "shoots or estimates")


@dataclass(frozen=True, slots=True)
class Line:
    """One code of a tree as the page shows it. `depth` counts from 0; `is_own`: the studio added it; `inside`: the name above it."""

    code: str
    name: str
    depth: int
    is_own: bool
    inside: str = ""


def lines_of(kind: str, tree: Tree, *, below: str | None = None) -> list[Line]:
    """The tree from the top, each code before those below it; with ``below`` only that part of it."""
    shipped = AS_SHIPPED.media if kind == MEDIA else AS_SHIPPED.territories
    roots = [below] if below else [code for code, node in tree.nodes.items() if node.parent is None]
    found: list[Line] = []

    def walk(code: str, depth: int) -> None:
        above = tree.nodes[code].parent
        inside = name_of(kind, above) if above else ""
        found.append(Line(code, name_of(kind, code), depth, code not in shipped, inside))
        for child in tree.children(code):
            walk(child, depth + 1)

    for root in roots:
        walk(root, 0)
    return found


def name_of(kind: str, code: str, language: str = "en") -> str:
    """The code in words, the studio's own first."""
    return medium_name(code, language) if kind == MEDIA else territory_name(code, language)


def own_regions(tree: Tree) -> list[Line]:
    """The codes the studio added to the territories, each before those in it; those right below a country have depth 0."""
    own = [line for line in lines_of(TERRITORIES, tree) if line.is_own]
    return [replace(line, depth=line.depth - AT_COUNTRY) for line in own]


def names_of(kind: str, code: str) -> dict[str, str]:
    """The name of a code in each language of a licence; without those a code of the studio's own was not given."""
    tree = IN_FORCE.media if kind == MEDIA else IN_FORCE.territories
    shipped = AS_SHIPPED.media if kind == MEDIA else AS_SHIPPED.territories
    if code in shipped and not tree.nodes[code].names:
        return {language: name_of(kind, code, language) for language in LICENCE_LANGUAGES}
    return dict(tree.nodes[code].names)


def codes_named(kind: str) -> dict[str, dict[str, int]]:
    """How many licences, releases, shoots and estimates name each code: ``{"DE": {"licence": 3}}``. Reads every such row."""
    field = f"use_{kind}"
    found: dict[str, dict[str, int]] = {}
    for model in apps.get_models():
        if issubclass(model, IntendedUse) or model is Release:
            noun = NAMED_AS.get(model, OTHERS_NAMED_AS)[0]
            for codes in model._default_manager.values_list(field, flat=True).iterator():
                for code in set(codes or ()):
                    counts = found.setdefault(code, {})
                    counts[noun] = counts.get(noun, 0) + 1
    return found


def named_in_words(counts: dict[str, int]) -> str:
    """*3 licences and 1 release*."""
    forms = dict([*NAMED_AS.values(), OTHERS_NAMED_AS])
    parts = [f"{count} {noun if count == 1 else forms[noun]}" for noun, count in sorted(counts.items())]
    return " and ".join(parts)
