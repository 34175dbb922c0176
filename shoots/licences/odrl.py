"""A licence as data: an Agreement of ODRL 2.2 in JSON-LD.

Sources: W3C Recommendations of 15 February 2018, *ODRL Information Model 2.2* and *ODRL Vocabulary & Expression 2.2*. Media, classes
and what ODRL has no word for are terms of our own under the studio's address, named as the policy's profile. The context stands in
the document, so nothing is fetched. The words the client agreed to go along and are what counts; this says the same to a program.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from shoots.licences.grants import Grant
from shoots.licences.states import State, acts_as
from shoots.uses.intended import Begins, Exclusivity
from shoots.uses.territory_tree import COUNTRIES, M49_CODES

ODRL = "http://www.w3.org/ns/odrl/2/"
XSD = "http://www.w3.org/2001/XMLSchema#"

Node = dict[str, Any]


class NotExported(ValueError):
    """This licence is no agreement that a program could act on; the message says why and what comes first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Addresses:
    """Where our own terms and the things a licence names live: all under the studio's own address, without a slash at its end."""

    studio: str

    @property
    def profile(self) -> str:
        """The profile; own terms are named below it."""
        return f"{self.studio}/terms/licence/"

    def picture(self, key: str) -> str:
        """A picture."""
        return f"{self.studio}/pictures/{key}"

    def client(self, key: str) -> str:
        """A client."""
        return f"{self.studio}/clients/{key}"

    def uid(self, key: str) -> str:
        """The policy: the same licence has the same one in every export."""
        return uuid5(NAMESPACE_URL, f"{self.studio}/licences/{key}").urn


def why_not(grant: Grant) -> str:
    """Why a licence is not exported, as a sentence; empty where it is."""
    if grant.state in (State.DRAFT, State.OFFERED):
        return "It is not agreed yet, so it grants nothing that a program could read. Export it when the client has said yes."
    if not grant.is_blocking:
        return "It grants nothing any more, so there is nothing to export."
    if not grant.is_placed:
        return "It is not placed yet. Choose its pictures and its first day; then it can be exported."
    if grant.until is not None and grant.until <= grant.use_from:
        return "It was taken off before its first day, so there is nothing to export."
    return ""


def licence_as_odrl(
    grant: Grant,
    *,
    number: str,
    at: Addresses,
    words: Iterable[str] = (),
    language: str = "en",
    words_sha256: str = "",
    credit_line: str = "",
) -> Node:
    """The licence as JSON-LD. ``words`` are the sentences as agreed, in ``language``. Raises NotExported."""
    if reason := why_not(grant):
        raise NotExported(reason)
    targets = [{"@id": at.picture(each)} for each in sorted(grant.pictures)]
    parties = {"odrl:assigner": {"@id": f"{at.studio}/"}, "odrl:assignee": {"@id": at.client(grant.licensee)}}
    duties = [*_attribution(credit_line), *_payment(grant)]
    permission: Node = {
        "odrl:target": targets,
        **parties,
        "odrl:action": {"@id": "odrl:reproduce"},
        "odrl:constraint": _constraints(grant),
    }
    if duties:
        permission["odrl:duty"] = duties
    policy: Node = {
        "@context": {"odrl": ODRL, "xsd": XSD, "own": at.profile},
        "@id": at.uid(grant.id),
        "@type": "odrl:Agreement",
        "odrl:uid": {"@id": at.uid(grant.id)},
        "odrl:profile": {"@id": at.profile},
        "own:number": number,
        "odrl:permission": [permission],
        "odrl:prohibition": [
            {"odrl:target": targets, **parties, "odrl:action": {"@id": f"odrl:{action}"}} for action in ("sell", "grantUse")
        ],
    }  # fmt: skip
    if grant.is_exclusive:
        policy["odrl:obligation"] = [_exclusivity(grant, targets, at)]
    if text := " ".join(words):
        policy["own:words"] = {"@value": text, "@language": language}
    if words_sha256:
        policy["own:wordsSHA256"] = words_sha256
    return policy


def _constraints(grant: Grant) -> list[Node]:
    found = [
        _constraint("odrl:purpose", "isAnyOf", [{"@id": f"own:class/{each}"} for each in sorted(grant.classes)]),
        _constraint("odrl:media", "isAnyOf", [{"@id": f"own:media/{each}"} for each in sorted(grant.media)]),
        _constraint("odrl:spatial", "isAnyOf", [_place(each) for each in sorted(grant.territories)]),
        _constraint("odrl:dateTime", "gteq", _day(grant.use_from)),
    ]
    if grant.until is not None:
        found.append(_constraint("odrl:dateTime", "lt", _day(grant.until)))
    if grant.embargo_until is not None:
        found.append(_constraint("own:shownFrom", "gteq", _day(grant.embargo_until)))
    if grant.copies is not None:
        found.append(_constraint("odrl:count", "lteq", _number(grant.copies)))
    if not _is_paid(grant):
        found.append(_constraint("own:begins", "eq", {"@id": f"own:begins/{grant.begins.value}"}))
        began = grant.begins_on if grant.begins is Begins.ON_DATE else grant.delivered_on
        if began is not None and grant.begins is not Begins.ON_PAYMENT:
            found.append(_constraint("own:beginsOn", "eq", _day(began)))
    return found


def _attribution(credit_line: str) -> list[Node]:
    return [{"odrl:action": {"@id": "odrl:attribute"}, "own:creditLine": credit_line}] if credit_line else []


def _payment(grant: Grant) -> list[Node]:
    """Once paid, payment is the state and no duty. Until then it is due, by the day before the licence lapses."""
    if _is_paid(grant):
        return []
    duty: Node = {"odrl:action": {"@id": "odrl:compensate"}}
    if grant.lapses_on is not None:
        duty["odrl:constraint"] = [_constraint("odrl:dateTime", "lt", _day(grant.lapses_on))]
    return [duty]


def _exclusivity(grant: Grant, targets: list[Node], at: Addresses) -> Node:
    """What the photographer owes: nobody else, or nobody else of the trade, is granted the pictures for this use."""
    against = "everybody" if grant.exclusivity is Exclusivity.PICTURE else "trade"
    constraints = [_constraint("own:exclusiveAgainst", "eq", {"@id": f"own:exclusiveAgainst/{against}"})]
    if grant.exclusivity is Exclusivity.TRADE and grant.trade:
        constraints.append(_constraint("odrl:industry", "eq", grant.trade))
    if grant.exclusive_until is not None:
        constraints.append(_constraint("odrl:dateTime", "lt", _day(grant.exclusive_until)))
    return {
        "odrl:target": targets,
        "odrl:assigner": {"@id": at.client(grant.licensee)},
        "odrl:assignee": {"@id": f"{at.studio}/"},
        "odrl:action": {"@id": "odrl:ensureExclusivity"},
        "odrl:constraint": constraints,
    }


def _is_paid(grant: Grant) -> bool:
    return acts_as(grant.state, grant.left) is State.PAID


def _constraint(left: str, operator: str, right: object) -> Node:
    return {
        "@type": "odrl:Constraint",
        "odrl:leftOperand": {"@id": left},
        "odrl:operator": {"@id": f"odrl:{operator}"},
        "odrl:rightOperand": right,
    }


def _place(code: str) -> object:
    """A country by ISO 3166-1 alpha-2, a continent or the world by UN M49, anything else by our own name."""
    if code in COUNTRIES:
        return code
    return M49_CODES.get(code, {"@id": f"own:territory/{code}"})


def _day(day: date) -> Node:
    return {"@value": day.isoformat(), "@type": "xsd:date"}


def _number(value: int) -> Node:
    return {"@value": str(value), "@type": "xsd:integer"}
