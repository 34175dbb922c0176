"""Two rate cards side by side: what differs, by section and name, old and new as a person reads them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

NOTHING = "—"
REST = "Every other country"
Sections = Sequence[tuple[str, Mapping[str, str]]]


@dataclass(frozen=True, slots=True)
class Change:
    """One value that differs. ``NOTHING`` where a card has no such line."""

    section: str
    name: str
    old: str
    new: str


def differences(old: Sections, new: Sections) -> Iterator[Change]:
    """What differs, in the order of the sections, which are the same on both. A name missing has what every other country has, or nothing."""
    for (section, before), (_, after) in zip(old, new, strict=True):
        old_rest, new_rest = before.get(REST, NOTHING), after.get(REST, NOTHING)
        for name in dict.fromkeys([*before, *after]):
            was, becomes = before.get(name, old_rest), after.get(name, new_rest)
            if was != becomes:
                yield Change(section, name, was, becomes)
