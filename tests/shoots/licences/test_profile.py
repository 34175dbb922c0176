"""The profile against the exports that name it, SKOS and ODRL as the closed namespaces of rdflib 7.6."""

import json
import socket

import pytest
from django.urls import reverse
from hypothesis import given, settings
from rdflib import ODRL2, RDF, SKOS, Graph, Literal, Namespace, URIRef

from shared.words.phrases import LICENCE_LANGUAGES
from shoots.licences.profile import licence_profile
from shoots.uses.in_force import reckoned_with
from shoots.uses.shipped import AS_SHIPPED
from shoots.uses.stored import with_node
from shoots.uses.trees import Node, Trees
from tests.shoots.licences.test_odrl import AT, GRANTS, OWN, graph_of

REGION = Node("FR-IDF", "FR", names=(("en", "Paris basin"), ("it", "Bacino di Parigi")))
TOWN = Node("FR-75C", "FR-IDF", names=(("en", "Paris"),))


def profile_graph(trees=AS_SHIPPED):
    with reckoned_with(trees):
        text = json.dumps(licence_profile(AT))
    with pytest.MonkeyPatch.context() as shut:
        shut.setattr(socket.socket, "connect", lambda *_: pytest.fail("a document was to be loaded"))
        return Graph().parse(data=text, format="json-ld")


PROFILE = profile_graph()


@given(grant=GRANTS)
@settings(max_examples=60, deadline=None)
def test_every_own_term_of_an_export_is_explained_at_its_profile(grant):
    export = graph_of(grant, credit_line="Tindra Aldermoor", words=["One."], words_sha256="0" * 64)
    own = {each for triple in export for each in triple if isinstance(each, URIRef) and each.startswith(OWN)}
    own -= {URIRef(str(OWN))}
    assert own
    assert {each for each in own if (each, SKOS.inScheme, URIRef(str(OWN))) not in PROFILE} == set()
    for left in export.objects(None, ODRL2.leftOperand):
        assert left in ODRL2 or (left, RDF.type, ODRL2.LeftOperand) in PROFILE


def test_every_word_of_others_is_in_its_published_vocabulary():
    for triple in PROFILE:
        for each in triple:
            for closed in (ODRL2, SKOS):
                if isinstance(each, URIRef) and each.startswith(str(closed)):
                    assert each in closed
    with pytest.raises(AttributeError):
        SKOS["nameOf"]


def test_every_term_says_what_it_is_in_words():
    terms = set(PROFILE.subjects(SKOS.inScheme, URIRef(str(OWN))))
    assert len(terms) > 30
    for term in terms:
        labels = {label.language for label in PROFILE.objects(term, SKOS.prefLabel)}
        assert labels == set(LICENCE_LANGUAGES) or list(PROFILE.objects(term, SKOS.definition))


def test_media_lie_in_each_other_and_are_named_in_six_languages():
    assert PROFILE.value(OWN["media/web.own"], SKOS.broader) == OWN["media/web"]
    assert Literal("webbplats", lang="sv") in set(PROFILE.objects(OWN["media/web.own"], SKOS.prefLabel))


def test_the_studio_s_own_regions_are_explained_and_countries_are_not_named_again():
    tree = AS_SHIPPED.territories
    for node in (REGION, TOWN):
        tree = with_node(tree, node, kind="territories", version="territories-2")
    graph = profile_graph(Trees(AS_SHIPPED.media, tree))
    assert graph.value(OWN["territory/FR-75C"], SKOS.broader) == OWN["territory/FR-IDF"]
    assert graph.value(OWN["territory/FR-IDF"], SKOS.broader) is None
    assert Literal("Bacino di Parigi", lang="it") in set(graph.objects(OWN["territory/FR-IDF"], SKOS.prefLabel))
    assert (OWN["territory/FR"], None, None) not in graph


@pytest.mark.django_db
def test_a_stranger_s_program_finds_it_at_the_address_an_export_names(client_for, settings):
    settings.SITE_ADDRESS = "https://studio.example"
    stranger = client_for(None)
    for address in (
        reverse("licence_terms"),
        reverse("licence_term", args=["media/web.own"]),
        "/terms/licence/begins/on_delivery",
    ):
        answer = stranger.get(address)
        assert (answer.status_code, answer["Content-Type"]) == (200, "application/ld+json")
        graph = Graph().parse(data=answer.content, format="json-ld")
        assert (Namespace(AT.profile)["media/web.own"], RDF.type, SKOS.Concept) in graph
    assert AT.profile == f"https://studio.example{reverse('licence_terms')}"
    assert stranger.get("/terms/licence/media/radio").status_code == 404
    assert stranger.post(reverse("licence_terms")).status_code == 405
