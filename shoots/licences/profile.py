"""What the studio's own terms in an exported licence mean: an ODRL profile as JSON-LD, kept at the address that each export names.

Sources: *ODRL Information Model 2.2* (W3C Recommendation, 15 February 2018), section 3, for profiles and own operands; *SKOS Reference*
(W3C Recommendation, 18 August 2009) for names and what lies in what. The context stands in the document, so nothing is fetched.
"""

from __future__ import annotations

from typing import Any

from shared.words.phrases import LICENCE_LANGUAGES
from shoots.licences.odrl import ODRL, Addresses
from shoots.uses.intended import CLASS_BITS, Begins
from shoots.uses.media_tree import medium_name
from shoots.uses.sentences import classes_in_words, territory_name
from shoots.uses.shipped import IN_FORCE
from shoots.uses.territory_tree import COUNTRIES, M49_CODES

SKOS = "http://www.w3.org/2004/02/skos/core#"
RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"

Node = dict[str, Any]

OPERANDS = {
    "shownFrom": "The first day on which the pictures may be shown, whatever day the licence begins.",
    "begins": "What use waits for as long as the fee is not paid.",
    "beginsOn": "The day on which the pictures were delivered, or the day from which use may begin, as own:begins says.",
    "exclusiveAgainst": "To whom the photographer grants no other use of these pictures that meets this one.",
}
BEGINS = {
    Begins.ON_PAYMENT: "Use begins when the fee is paid.",
    Begins.ON_DELIVERY: "Use begins with the delivery of the pictures.",
    Begins.ON_DATE: "Use begins on a day.",
}
AGAINST = {
    "everybody": "Nobody but the licensee.",
    "trade": "No other licensee of the same trade; the trade stands in odrl:industry, and without it every trade counts as the same.",
}
FACTS = {
    "number": "The number of the licence in the studio's books.",
    "words": "The licence in words, as agreed. These words count; the rest says the same to a program.",
    "wordsSHA256": "The SHA-256 of what was frozen when the licence was agreed, in hexadecimal.",
    "creditLine": "What stands beside a picture to name its author.",
}


def licence_profile(at: Addresses) -> Node:
    """Every term an export can name below ``at.profile``, with its names in the languages of a licence."""
    terms = [_term(name, "odrl:LeftOperand", text) for name, text in OPERANDS.items()]
    terms += [_term(f"begins/{each.value}", "odrl:RightOperand", text) for each, text in BEGINS.items()]
    terms += [_term(f"exclusiveAgainst/{each}", "odrl:RightOperand", text) for each, text in AGAINST.items()]
    terms += [_term(name, "rdf:Property", text) for name, text in FACTS.items()]
    for each in CLASS_BITS:
        terms.append(_named(f"class/{each}", {language: classes_in_words([each], language) for language in _SPOKEN}))
    for code, node in IN_FORCE.media.nodes.items():
        names = {language: medium_name(code, language) for language in _SPOKEN}
        terms.append(_named(f"media/{code}", names) | _broader("media", node.parent))
    for code, node in IN_FORCE.territories.nodes.items():
        if code not in COUNTRIES and code not in M49_CODES:
            names = {language: territory_name(code, language) for language in _SPOKEN}
            above = None if node.parent in COUNTRIES else node.parent
            terms.append(_named(f"territory/{code}", names) | {"skos:notation": code} | _broader("territory", above))
    return {
        "@context": {"odrl": ODRL, "skos": SKOS, "rdf": RDF, "own": at.profile},
        "@id": at.profile,
        "@type": "skos:ConceptScheme",
        "skos:prefLabel": {"@value": "Terms of picture licences", "@language": "en"},
        "skos:definition": {
            "@value": "Own terms of an ODRL 2.2 profile. Places are countries of ISO 3166-1, regions of UN M49, and the studio's own.",
            "@language": "en",
        },
        "@reverse": {"skos:inScheme": terms},
    }


_SPOKEN = tuple(LICENCE_LANGUAGES)


def _term(name: str, kind: str, text: str) -> Node:
    return {
        "@id": f"own:{name}",
        "@type": [kind, "skos:Concept"],
        "skos:definition": {"@value": text, "@language": "en"},
    }


def _named(name: str, names: dict[str, str]) -> Node:
    labels = [{"@value": text, "@language": language} for language, text in names.items()]
    return {"@id": f"own:{name}", "@type": ["odrl:RightOperand", "skos:Concept"], "skos:prefLabel": labels}


def _broader(kind: str, above: str | None) -> Node:
    return {"skos:broader": {"@id": f"own:{kind}/{above}"}} if above else {}
