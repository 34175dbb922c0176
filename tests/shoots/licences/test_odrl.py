"""ODRL 2.2 against the published vocabulary and a general RDF library.

Sources: W3C Recommendations of 15 February 2018, ODRL Information Model 2.2 and ODRL Vocabulary & Expression 2.2; the vocabulary as
the closed namespace ``ODRL2`` of rdflib 7.6. The reader below is written apart from the export and knows the graph only.
"""

import json
import socket
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rdflib import ODRL2, RDF, XSD, Graph, Literal, Namespace, URIRef

from shoots.licences.grants import Grant
from shoots.licences.odrl import Addresses, NotExported, licence_as_odrl, why_not
from shoots.licences.states import State
from shoots.uses.intended import Begins, Exclusivity
from shoots.uses.media_tree import MEDIA
from shoots.uses.territory_tree import M49_CODES, TERRITORIES

AT = Addresses(studio="https://studio.example")
OWN = Namespace("https://studio.example/terms/licence/")
PLAIN = Grant(
    id="7",
    licensee="3",
    pictures=frozenset({"11", "12"}),
    classes=frozenset({"advertising"}),
    media=frozenset({"web.own", "print.menu"}),
    territories=frozenset({"DE", "NL"}),
    use_from=date(2027, 3, 1),
    use_until=date(2029, 3, 1),
    state=State.PAID,
)
DAYS = st.dates(date(2020, 1, 1), date(2100, 1, 1))
LATER = st.dates(date(2100, 1, 2), date(2200, 1, 1))


def graph_of(grant, **more):
    """The parsed export; with the network shut, so that a context that has to be fetched would fail."""
    text = json.dumps(licence_as_odrl(grant, number="L-2027-007", at=AT, **more))
    with pytest.MonkeyPatch.context() as shut:
        shut.setattr(socket.socket, "connect", lambda *_: pytest.fail("a document was to be loaded"))
        return Graph().parse(data=text, format="json-ld")


def right_of(graph, rule, left, operator):
    """The right operands of the rule's constraints on that operand, and how many constraints there are."""
    found = [
        each
        for each in graph.objects(rule, ODRL2.constraint)
        if graph.value(each, ODRL2.leftOperand) == left and graph.value(each, ODRL2.operator) == operator
    ]
    assert len(found) <= 1
    return {right for each in found for right in graph.objects(each, ODRL2.rightOperand)}


def one(values):
    assert len(values) <= 1
    for value in values:
        return value.toPython() if isinstance(value, Literal) else value
    return None


def last_of(iri, before):
    assert str(iri).startswith(str(before))
    return str(iri).removeprefix(str(before))


def read_back(graph):
    """The grant that a graph means."""
    (policy,) = graph.subjects(RDF.type, ODRL2.Agreement)
    (rule,) = graph.objects(policy, ODRL2.permission)
    regions = {number: code for code, number in M49_CODES.items()}
    owed = [each for each in graph.objects(rule, ODRL2.duty) if graph.value(each, ODRL2.action) == ODRL2.compensate]
    begins = one(right_of(graph, rule, OWN.begins, ODRL2.eq))
    kind = Begins(last_of(begins, OWN["begins/"])) if begins else Begins.ON_PAYMENT
    began = one(right_of(graph, rule, OWN.beginsOn, ODRL2.eq))
    exclusive = {"exclusivity": Exclusivity.NONE}
    for owes in graph.objects(policy, ODRL2.obligation):
        assert graph.value(owes, ODRL2.action) == ODRL2.ensureExclusivity
        against = last_of(one(right_of(graph, owes, OWN.exclusiveAgainst, ODRL2.eq)), OWN["exclusiveAgainst/"])
        exclusive = {
            "exclusivity": {"everybody": Exclusivity.PICTURE, "trade": Exclusivity.TRADE}[against],
            "trade": one(right_of(graph, owes, ODRL2.industry, ODRL2.eq)),
            "exclusive_until": one(right_of(graph, owes, ODRL2.dateTime, ODRL2.lt)),
        }
    return Grant(
        id="7" if policy == URIRef(AT.uid("7")) else "?",
        licensee=last_of(graph.value(rule, ODRL2.assignee), "https://studio.example/clients/"),
        pictures=frozenset(last_of(each, "https://studio.example/pictures/") for each in graph.objects(rule, ODRL2.target)),
        classes=frozenset(last_of(each, OWN["class/"]) for each in right_of(graph, rule, ODRL2.purpose, ODRL2.isAnyOf)),
        media=frozenset(last_of(each, OWN["media/"]) for each in right_of(graph, rule, ODRL2.media, ODRL2.isAnyOf)),
        territories=frozenset(
            regions.get(str(each), str(each)) if isinstance(each, Literal) else last_of(each, OWN["territory/"])
            for each in right_of(graph, rule, ODRL2.spatial, ODRL2.isAnyOf)
        ),
        use_from=one(right_of(graph, rule, ODRL2.dateTime, ODRL2.gteq)),
        use_until=one(right_of(graph, rule, ODRL2.dateTime, ODRL2.lt)),
        state=State.ACCEPTED if owed else State.PAID,
        embargo_until=one(right_of(graph, rule, OWN.shownFrom, ODRL2.gteq)),
        copies=one(right_of(graph, rule, ODRL2["count"], ODRL2.lteq)),
        begins=kind,
        begins_on=began if kind is Begins.ON_DATE else None,
        delivered_on=began if kind is Begins.ON_DELIVERY else None,
        lapses_on=one(right_of(graph, owed[0], ODRL2.dateTime, ODRL2.lt)) if owed else None,
        **exclusive,
    )  # fmt: skip


def what_is_told(grant):
    """The grant without what no longer tells: how an end came about, who made copies, when a paid use had begun."""
    is_paid = grant.is_paid
    is_trade = grant.exclusivity is Exclusivity.TRADE
    return replace(
        grant,
        use_until=grant.until,
        cut_on=None,
        copies_used=0,
        state=State.PAID if is_paid else State.ACCEPTED,
        left=State.PAID,
        begins=Begins.ON_PAYMENT if is_paid else grant.begins,
        begins_on=None if is_paid or grant.begins is not Begins.ON_DATE else grant.begins_on,
        delivered_on=None if is_paid or grant.begins is not Begins.ON_DELIVERY else grant.delivered_on,
        lapses_on=None if is_paid else grant.lapses_on,
        trade=grant.trade if is_trade else None,
        exclusive_until=grant.exclusive_until if grant.is_exclusive else None,
    )


GRANTS = st.builds(
    Grant,
    id=st.just("7"),
    licensee=st.sampled_from(["3", "44"]),
    pictures=st.frozensets(st.sampled_from(["11", "12", "13"]), min_size=1),
    classes=st.frozensets(st.sampled_from(["editorial", "advertising", "stock"]), min_size=1),
    media=st.frozensets(st.sampled_from(sorted(MEDIA.nodes)), min_size=1, max_size=5),
    territories=st.frozensets(st.sampled_from(sorted(TERRITORIES.nodes)), min_size=1),
    use_from=DAYS,
    use_until=st.none() | LATER,
    state=st.sampled_from([State.ACCEPTED, State.PAID, State.REVOKED, State.SUPERSEDED]),
    trade=st.none() | st.sampled_from(["bakery", "Kaffee & Kuchen", "150"]),
    exclusivity=st.sampled_from(Exclusivity),
    exclusive_until=st.none() | LATER,
    embargo_until=st.none() | LATER,
    cut_on=st.none() | LATER,
    begins=st.sampled_from(Begins),
    begins_on=DAYS,
    delivered_on=st.none() | DAYS,
    lapses_on=st.none() | LATER,
    copies=st.none() | st.integers(0, 10**9),
    copies_used=st.integers(0, 5),
    left=st.sampled_from([State.ACCEPTED, State.PAID]),
)


@given(grant=GRANTS)
@settings(max_examples=100, deadline=None)
def test_a_general_library_reads_the_same_grant_back(grant):
    assert read_back(graph_of(grant, credit_line="Tindra Aldermoor")) == what_is_told(grant)


@given(grant=GRANTS)
@settings(max_examples=30, deadline=None)
def test_every_word_of_odrl_is_in_the_published_vocabulary(grant):
    graph = graph_of(grant, credit_line="Tindra Aldermoor", words=["One."], words_sha256="0" * 64)
    used = {
        str(each).removeprefix(str(ODRL2))
        for triple in graph
        for each in triple
        if isinstance(each, URIRef) and str(each).startswith(str(ODRL2))
    }
    assert {"Agreement", "permission", "constraint", "dateTime", "gteq", "isAnyOf", "spatial", "media"} <= used
    for word in used:
        assert ODRL2[word] in ODRL2  # closed: an unknown word raises


def test_the_closed_vocabulary_refuses_a_word_that_is_not_in_it():
    with pytest.raises(AttributeError):
        ODRL2["untilDay"]


def test_a_plain_licence_has_the_triples_of_the_recommendation():
    graph = graph_of(PLAIN, words=["It covers 2 pictures."], words_sha256="ab", credit_line="Tindra Aldermoor")
    (policy,) = graph.subjects(RDF.type, ODRL2.Agreement)
    assert str(policy).startswith("urn:uuid:")
    assert graph.value(policy, ODRL2.uid) == policy
    assert graph.value(policy, ODRL2.profile) == URIRef(str(OWN))
    assert graph.value(policy, OWN.words) == Literal("It covers 2 pictures.", lang="en")
    (rule,) = graph.objects(policy, ODRL2.permission)
    assert graph.value(rule, ODRL2.action) == ODRL2.reproduce
    assert right_of(graph, rule, ODRL2.dateTime, ODRL2.gteq) == {Literal("2027-03-01", datatype=XSD.date)}
    assert right_of(graph, rule, ODRL2.dateTime, ODRL2.lt) == {Literal("2029-03-01", datatype=XSD.date)}
    assert right_of(graph, rule, ODRL2.spatial, ODRL2.isAnyOf) == {Literal("DE"), Literal("NL")}
    assert right_of(graph, rule, ODRL2.media, ODRL2.isAnyOf) == {OWN["media/web.own"], OWN["media/print.menu"]}
    (duty,) = graph.objects(rule, ODRL2.duty)
    assert graph.value(duty, ODRL2.action) == ODRL2.attribute
    assert graph.value(duty, OWN.creditLine) == Literal("Tindra Aldermoor")
    forbidden = {graph.value(each, ODRL2.action) for each in graph.objects(policy, ODRL2.prohibition)}
    assert forbidden == {ODRL2.sell, ODRL2.grantUse}
    assert not list(graph.objects(policy, ODRL2.obligation))


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"state": State.DRAFT}, "not agreed yet"),
        ({"state": State.OFFERED}, "not agreed yet"),
        ({"state": State.DECLINED}, "grants nothing any more"),
        ({"state": State.REFUNDED}, "grants nothing any more"),
        ({"is_placed": False}, "not placed yet"),
        ({"state": State.REVOKED, "cut_on": date(2027, 3, 1)}, "before its first day"),
    ],
)
def test_what_grants_nothing_is_not_exported_and_says_why(change, reason):
    grant = replace(PLAIN, **change)
    assert reason in why_not(grant)
    with pytest.raises(NotExported, match=reason):
        graph_of(grant)
