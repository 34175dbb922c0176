"""Are the people and properties in a picture released for a use?

Two questions a picture: who is recognisable, and whose property is? Each is not yet assessed (None), nobody (empty), or a list.
What a release means in law differs by country, a withdrawal above all: the pages say so and send people to licensed practice.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from shoots.uses.days import is_after
from shoots.uses.intended import Use
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Trees


class Verdict(StrEnum):
    """What clearance says of a picture in a use."""

    CLEARED = "cleared"
    CLEARED_WITH_NOTE = "cleared_with_note"
    NOT_CLEARED = "not_cleared"


class Recognisable(StrEnum):
    """Hands, a tattoo, a ring, a face reflected: asked about. *No* needs no release; *ask* holds the picture."""

    YES = "yes"
    NO = "no"
    ASK = "ask"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseTerms:
    """What was agreed to. An empty set, or None, is no limit; days are half-open.

    `own_promotion_of`: the licensee whose own promotion alone is agreed to. `signed_at`, `withdrawn_at`: the moments, which matter only
    where several releases speak of one subject.
    """

    is_signed: bool
    is_withdrawn: bool = False
    has_guardian_signed: bool = False
    classes: frozenset[str] = frozenset()
    media: frozenset[str] = frozenset()
    territories: frozenset[str] = frozenset()
    use_from: date | None = None
    use_until: date | None = None
    own_promotion_of: str | None = None
    signed_at: datetime | None = None
    withdrawn_at: datetime | None = None

    @property
    def is_limited(self) -> bool:
        """True when there is any limit."""
        return bool(
            self.classes or self.media or self.territories or self.use_from or self.use_until or self.own_promotion_of
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """A person or a property in the picture, with every release about them that reaches this picture, in any order."""

    id: str
    releases: tuple[ReleaseTerms, ...] = ()
    is_minor: bool = False
    recognisable: Recognisable = Recognisable.YES


@dataclass(frozen=True, slots=True)
class Clearance:
    """Verdict, notes (`MISSING:cook`, `NOT_ASSESSED:people`, sorted) and the release status words for the file; None: write none."""

    verdict: Verdict
    notes: tuple[str, ...]
    model_release: str | None
    property_release: str | None


def clear(
    use: Use,
    *,
    licensee: str,
    people: Iterable[Subject] | None,
    properties: Iterable[Subject] | None,
    trees: Trees = IN_FORCE,
) -> Clearance:
    """Whether the picture may go into the use as far as people and properties are concerned.

    Editorial use alone passes with a note where a release is missing or too narrow; what is not assessed, withdrawn, or of a minor
    without a guardian's signature passes in no use. In some countries a portrait needs consent for editorial use too.

    One release must hold the whole use: two narrow ones are never added up, as each was read and signed for itself.
    """
    people = None if people is None else tuple(people)
    properties = None if properties is None else tuple(properties)
    notes: set[str] = set()
    for question, subjects in (("people", people), ("properties", properties)):
        if subjects is None:
            notes.add(f"NOT_ASSESSED:{question}")
            continue
        for subject in subjects:
            notes.update(f"{word}:{subject.id}" for word in _found(subject, use, licensee, trees))
    return Clearance(
        verdict=_verdict(notes, use.classes),
        notes=tuple(sorted(notes)),
        model_release=release_status(people, prefix="MR"),
        property_release=release_status(properties, prefix="PR"),
    )


def _verdict(notes: Iterable[str], classes: frozenset[str]) -> Verdict:
    words = {note.partition(":")[0] for note in notes}
    if not words:
        return Verdict.CLEARED
    if classes == frozenset({"editorial"}) and words <= {"MISSING", "SCOPE"}:
        return Verdict.CLEARED_WITH_NOTE
    return Verdict.NOT_CLEARED


def _found(subject: Subject, use: Use, licensee: str, trees: Trees) -> list[str]:
    """Every finding that applies. A minor whose release is missing has no guardian's signature either: both are told."""
    if subject.recognisable is Recognisable.NO:
        return []
    if subject.recognisable is Recognisable.ASK:
        return ["NOT_ASSESSED"]
    signed = tuple(release for release in subject.releases if release.is_signed)
    standing = that_stand(subject.releases)
    speaking = standing or signed
    by_guardian = tuple(release for release in speaking or subject.releases if release.has_guardian_signed)
    words = []
    if not signed:
        words.append("MISSING")
    if is_withdrawn(subject):
        words.append("WITHDRAWN")
    if subject.is_minor and not by_guardian:
        words.append("GUARDIAN")
    asked = by_guardian if subject.is_minor and by_guardian else speaking
    if signed and not any(contains(release, use, licensee=licensee, trees=trees) for release in asked):
        words.append("SCOPE")
    return words


def is_withdrawn(subject: Subject) -> bool:
    """True when a release about a recognisable subject was withdrawn and none was signed since."""
    if subject.recognisable is not Recognisable.YES:
        return False
    return any(release.is_withdrawn for release in subject.releases) and not that_stand(subject.releases)


def that_stand(releases: Iterable[ReleaseTerms]) -> tuple[ReleaseTerms, ...]:
    """The signed releases that were neither withdrawn nor followed by a withdrawal of another: who withdrew is asked anew.

    A release whose moments are not known stands beside no withdrawal: the safe side.
    """
    releases = tuple(releases)
    withdrawn = [release.withdrawn_at for release in releases if release.is_withdrawn]

    def is_later(release: ReleaseTerms) -> bool:
        at = release.signed_at
        return all(each is not None and at is not None and at > each for each in withdrawn)

    return tuple(each for each in releases if each.is_signed and not each.is_withdrawn and is_later(each))


def contains(release: ReleaseTerms, use: Use, *, licensee: str, trees: Trees = IN_FORCE) -> bool:
    """True when the limits of the release hold the whole use. Says nothing of signatures."""
    if release.classes and not use.classes <= release.classes:
        return False
    if release.media and trees.media.mask(use.media) & ~trees.media.mask(release.media):
        return False
    if release.territories and trees.territories.mask(use.territories) & ~trees.territories.mask(release.territories):
        return False
    if release.use_from is not None and use.use_from < release.use_from:
        return False
    if is_after(use.use_until, release.use_until):
        return False
    return release.own_promotion_of is None or (
        licensee == release.own_promotion_of and trees.media.is_own_promotion(use.media)
    )


def release_status(subjects: tuple[Subject, ...] | None, *, prefix: str) -> str | None:
    """The status word of the PLUS Licence Data Format for `MR` (people) or `PR` (properties).

    Not assessed, or a *recognisable?* still to ask: None, write nothing. Nobody: NAP. All valid, none limited: UMR, UPR. None valid:
    NON. Else LMR, LPR. Valid is a subject with a release that is signed, not withdrawn, and signed by a guardian for a minor; one
    unlimited release among those makes the subject unlimited.
    """
    if subjects is None or any(subject.recognisable is Recognisable.ASK for subject in subjects):
        return None
    shown = [subject for subject in subjects if subject.recognisable is Recognisable.YES]
    if not shown:
        return f"{prefix}-NAP"
    valid = [_valid(subject) for subject in shown]
    if not any(valid):
        return f"{prefix}-NON"
    if all(any(not release.is_limited for release in releases) for releases in valid):
        return f"{prefix}-U{prefix}"
    return f"{prefix}-L{prefix}"


def _valid(subject: Subject) -> tuple[ReleaseTerms, ...]:
    found = that_stand(subject.releases)
    return tuple(release for release in found if release.has_guardian_signed or not subject.is_minor)
