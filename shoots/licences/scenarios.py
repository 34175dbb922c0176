"""Questions about licences from one plain value (a parsed JSON file), answered without a database.

Dates are ISO strings. A key that may be null, a bool, `copies_used`, `exclusivity` and a key with a default may be left out. Unknown
keys, unknown codes and wrong types are refused with the path of the faulty value, as `questions[3].use.media[0]`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from shoots.licences.availability import Selling, SellingOn, Wish, free_from
from shoots.licences.conflicts import find_conflicts
from shoots.licences.cover import cover
from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.releases.clearance import ReleaseTerms, Subject, Verdict, clear
from shoots.uses.intended import CLASS_BITS, Begins, Exclusivity, InvalidUse, Use
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import InvalidTree, Node, Tree, Trees

JSON_NAMES = {"use_from": "from", "use_until": "until", "exclusive_months": "exclusivity.months"}
SELLING_FREE = SellingOn(Selling.FREE)
Bound = TypeVar("Bound")


class InvalidScenario(ValueError):
    """The file can't be read as questions. `path` leads to the faulty value."""

    def __init__(self, path: str, message: str) -> None:
        super().__init__(f"{path or 'the file'}: {message}")
        self.path = path


@dataclass(frozen=True, slots=True)
class Part:
    """A value of the file and the path to it."""

    value: object
    path: str

    def refuse(self, message: str) -> InvalidScenario:
        """The error that names this part."""
        return InvalidScenario(self.path, message)

    def fields(self, required: str, optional: str = "") -> Fields:
        """This part as an object with the keys named (separated by blanks) and no others."""
        if not isinstance(self.value, dict):
            raise self.refuse("An object is wanted here.")
        known = required.split() + optional.split()
        for key in self.value:
            if key not in known:
                raise InvalidScenario(_join(self.path, str(key)), "This key is not known.")
        for key in required.split():
            if key not in self.value:
                raise InvalidScenario(_join(self.path, key), "This key is missing.")
        return Fields(self.value, self.path)

    def entries(self) -> Iterator[tuple[str, Part]]:
        """This part as an object with keys of its own."""
        if not isinstance(self.value, dict):
            raise self.refuse("An object is wanted here.")
        for key, value in self.value.items():
            yield str(key), Part(value, _join(self.path, str(key)))

    def items(self) -> list[Part]:
        """This part as a list."""
        if not isinstance(self.value, list):
            raise self.refuse("A list is wanted here.")
        return [Part(value, f"{self.path}[{place}]") for place, value in enumerate(self.value)]

    def text(self) -> str:
        """This part as a text that is not empty."""
        if not isinstance(self.value, str) or not self.value:
            raise self.refuse("A text is wanted here.")
        return self.value

    def flag(self) -> bool:
        """This part as true or false."""
        if not isinstance(self.value, bool):
            raise self.refuse("True or false is wanted here.")
        return self.value

    def count(self) -> int:
        """This part as a whole number from 0."""
        if not isinstance(self.value, int) or isinstance(self.value, bool) or self.value < 0:
            raise self.refuse("A whole number from 0 is wanted here.")
        return self.value

    def day(self) -> date:
        """This part as a day."""
        if isinstance(self.value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", self.value, re.ASCII):
            try:
                return date.fromisoformat(self.value)
            except ValueError:
                pass
        raise self.refuse("A day is wanted here, as 2027-03-01.")

    def one_of(self, known: list[str]) -> str:
        """This part as one of the words."""
        if self.value not in known:
            raise self.refuse(f"One of these is wanted here: {', '.join(known)}.")
        return str(self.value)

    def texts(self) -> frozenset[str]:
        """This part as a list of texts."""
        return frozenset(part.text() for part in self.items())

    def classes(self) -> frozenset[str]:
        """This part as a list of classes of use."""
        return frozenset(part.one_of(list(CLASS_BITS)) for part in self.items())

    def codes(self, tree: Tree) -> frozenset[str]:
        """This part as a list of codes that the tree knows."""
        for part in self.items():
            if part.text() not in tree:
                raise part.refuse(f"“{part.value}” is not a known code.")
        return self.texts()


@dataclass(frozen=True, slots=True)
class Fields:
    """An object of the file whose keys were checked."""

    values: dict[str, object]
    path: str

    def part(self, key: str) -> Part:
        """A required key."""
        return Part(self.values[key], _join(self.path, key))

    def maybe(self, key: str) -> Part | None:
        """A key that may be null or left out."""
        return None if self.values.get(key) is None else self.part(key)

    def text_or_none(self, key: str) -> str | None:
        """A text, null, or nothing."""
        part = self.maybe(key)
        return None if part is None else part.text()

    def day_or_none(self, key: str) -> date | None:
        """A day, null, or nothing."""
        part = self.maybe(key)
        return None if part is None else part.day()

    def count_or_none(self, key: str) -> int | None:
        """A whole number, null, or nothing."""
        part = self.maybe(key)
        return None if part is None else part.count()

    def flag(self, key: str) -> bool:
        """True or false; left out, false."""
        return key in self.values and self.part(key).flag()


@dataclass(frozen=True, slots=True)
class Scene:
    """A picture as the file describes it. None: not assessed."""

    people: tuple[Subject, ...] | None = None
    properties: tuple[Subject, ...] | None = None
    selling_on: SellingOn = SELLING_FREE


@dataclass(frozen=True, slots=True)
class Scenario:
    """The whole file, read."""

    trees: Trees
    licences: tuple[Grant, ...]
    pictures: dict[str, Scene]
    questions: tuple[tuple[str, Callable[[Scenario], tuple[object, bool]]], ...]


def answer_scenario(data: object) -> tuple[dict[str, object], bool]:
    """The answers by the ids of the questions, and whether everything asked is allowed. Raises InvalidScenario.

    Allowed is: no conflict, covered, cleared or cleared with a note, free on the wished day.
    """
    scenario = read_scenario(data)
    answers = {name: ask(scenario) for name, ask in scenario.questions}
    return {"answers": {name: answer for name, (answer, _) in answers.items()}}, all(
        allowed for _, allowed in answers.values()
    )


def read_scenario(data: object) -> Scenario:
    """The file as values of the engine. Raises InvalidScenario."""
    fields = Part(data, "").fields("questions", "trees licences pictures")
    trees_part = fields.maybe("trees")
    trees = IN_FORCE if trees_part is None else _trees(trees_part)
    licences = [_licence(part, trees) for part in (Part(fields.values.get("licences", []), "licences")).items()]
    _refuse_twice([licence.id for licence in licences], "licences")
    pictures = {
        name: _scene(part, trees) for name, part in Part(fields.values.get("pictures", {}), "pictures").entries()
    }
    questions = [_question(part, trees) for part in fields.part("questions").items()]
    _refuse_twice([name for name, _ in questions], "questions")
    return Scenario(trees, tuple(licences), pictures, tuple(questions))


def _trees(part: Part) -> Trees:
    fields = part.fields("", "media territories")
    media, territories = fields.maybe("media"), fields.maybe("territories")
    return Trees(
        IN_FORCE.media if media is None else _tree(media),
        IN_FORCE.territories if territories is None else _tree(territories),
    )


def _tree(part: Part) -> Tree:
    nodes = []
    for code, entry in part.entries():
        fields = entry.fields("", "parent exhaustive counted own_promotion")
        nodes.append(
            Node(
                code,
                fields.text_or_none("parent"),
                fields.flag("exhaustive"),
                fields.flag("counted"),
                fields.flag("own_promotion"),
            )
        )
    try:
        return Tree(nodes, version="scenario")
    except InvalidTree as error:
        raise InvalidScenario(_join(part.path, error.code), str(error)) from None


def _licence(part: Part, trees: Trees) -> Grant:
    fields = part.fields(
        "id pictures licensee classes media territories use_from use_until state",
        "trade exclusivity embargo_until cut_on begins delivered_on lapses_on copies copies_used",
    )
    kind, exclusive_until = _exclusivity(fields, "until", Part.day)
    begins, begins_on = _begins(fields.maybe("begins"))
    try:
        return Grant(
            id=fields.part("id").text(),
            licensee=fields.part("licensee").text(),
            trade=fields.text_or_none("trade"),
            pictures=fields.part("pictures").texts(),
            classes=fields.part("classes").classes(),
            media=fields.part("media").codes(trees.media),
            territories=fields.part("territories").codes(trees.territories),
            use_from=fields.part("use_from").day(),
            use_until=fields.day_or_none("use_until"),
            state=State(fields.part("state").one_of([str(state) for state in State])),
            exclusivity=kind,
            exclusive_until=exclusive_until,
            embargo_until=fields.day_or_none("embargo_until"),
            cut_on=fields.day_or_none("cut_on"),
            begins=begins,
            begins_on=begins_on,
            delivered_on=fields.day_or_none("delivered_on"),
            lapses_on=fields.day_or_none("lapses_on"),
            copies=fields.count_or_none("copies"),
            copies_used=fields.count_or_none("copies_used") or 0,
            trees=trees,
        )
    except InvalidUse as error:
        raise InvalidScenario(_join(part.path, error.path), str(error)) from None


def _exclusivity(fields: Fields, key: str, read: Callable[[Part], Bound]) -> tuple[Exclusivity, Bound | None]:
    part = fields.maybe("exclusivity")
    if part is None:
        return Exclusivity.NONE, None
    inner = part.fields("kind", key)
    bound = inner.maybe(key)
    kind = Exclusivity(inner.part("kind").one_of([str(kind) for kind in Exclusivity]))
    return kind, None if bound is None else read(bound)


def _begins(part: Part | None) -> tuple[Begins, date | None]:
    if part is None:
        return Begins.ON_PAYMENT, None
    if part.value in [str(Begins.ON_PAYMENT), str(Begins.ON_DELIVERY)]:
        return Begins(str(part.value)), None
    return Begins.ON_DATE, part.day()


def _scene(part: Part, trees: Trees) -> Scene:
    fields = part.fields("", "people properties selling_on commissioned_by")
    people, properties = fields.maybe("people"), fields.maybe("properties")
    return Scene(
        people=None if people is None else _subjects(people, "id", "minor release", trees),
        properties=None if properties is None else _subjects(properties, "id", "release", trees),
        selling_on=_selling_on(fields.maybe("selling_on"), fields.text_or_none("commissioned_by")),
    )


def _subjects(part: Part, required: str, optional: str, trees: Trees) -> tuple[Subject, ...]:
    found = []
    for item in part.items():
        fields = item.fields(required, optional)
        release = fields.maybe("release")
        found.append(
            Subject(
                id=fields.part("id").text(),
                is_minor=fields.flag("minor"),
                releases=() if release is None else (_release(release, trees),),
            )
        )
    return tuple(found)


def _release(part: Part, trees: Trees) -> ReleaseTerms:
    fields = part.fields("", "signed withdrawn guardian_signed classes media territories from until own_promotion_of")
    classes, media, territories = (fields.maybe(key) for key in ("classes", "media", "territories"))
    return ReleaseTerms(
        is_signed=fields.flag("signed"),
        is_withdrawn=fields.flag("withdrawn"),
        has_guardian_signed=fields.flag("guardian_signed"),
        classes=frozenset() if classes is None else classes.classes(),
        media=frozenset() if media is None else media.codes(trees.media),
        territories=frozenset() if territories is None else territories.codes(trees.territories),
        use_from=fields.day_or_none("from"),
        use_until=fields.day_or_none("until"),
        own_promotion_of=fields.text_or_none("own_promotion_of"),
    )


def _selling_on(part: Part | None, commissioned_by: str | None) -> SellingOn:
    if part is None:
        return SellingOn(Selling.FREE, commissioned_by=commissioned_by)
    if isinstance(part.value, str):
        kind = Selling.FREE if part.one_of(["free", "no"]) == "free" else Selling.NOT_AGREED
        return SellingOn(kind, commissioned_by=commissioned_by)
    fields = part.fields("", "after not_to")
    if len(fields.values) != 1:
        raise part.refuse("Either “after” or “not_to” is wanted here.")
    if "after" in fields.values:
        return SellingOn(Selling.AFTER, after=fields.part("after").day(), commissioned_by=commissioned_by)
    return SellingOn(Selling.NOT_TO, not_to=fields.part("not_to").texts(), commissioned_by=commissioned_by)


def _question(part: Part, trees: Trees) -> tuple[str, Callable[[Scenario], tuple[object, bool]]]:
    fields = part.fields("id ask", "use wish")
    name = fields.part("id").text()
    ask = fields.part("ask").one_of(["conflicts", "coverage", "clearance", "free_from"])
    wanted = {"conflicts": "", "free_from": "wish"}.get(ask, "use")
    fields = part.fields(f"id ask {wanted}")
    if ask == "conflicts":
        return name, _answer_conflicts
    if ask == "free_from":
        picture, wish = _wish(fields.part("wish"), trees)
        return name, lambda scenario: _answer_free_from(scenario, picture, wish)
    picture, licensee, use = _use(fields.part("use"), trees)
    if ask == "coverage":
        return name, lambda scenario: _answer_coverage(scenario, picture, licensee, use)
    return name, lambda scenario: _answer_clearance(scenario, picture, licensee, use)


def _use(part: Part, trees: Trees) -> tuple[str, str, Use]:
    fields = part.fields("picture licensee classes media territories from until", "copies")
    try:
        use = Use(
            classes=fields.part("classes").classes(),
            media=fields.part("media").codes(trees.media),
            territories=fields.part("territories").codes(trees.territories),
            use_from=fields.part("from").day(),
            use_until=fields.day_or_none("until"),
            copies=fields.count_or_none("copies"),
            trees=trees,
        )
    except InvalidUse as error:
        raise InvalidScenario(_join(part.path, JSON_NAMES.get(error.path, error.path)), str(error)) from None
    return fields.part("picture").text(), fields.part("licensee").text(), use


def _wish(part: Part, trees: Trees) -> tuple[str, Wish]:
    fields = part.fields("picture licensee classes media territories from months", "trade exclusivity")
    kind, exclusive_months = _exclusivity(fields, "months", Part.count)
    try:
        wish = Wish(
            licensee=fields.part("licensee").text(),
            trade=fields.text_or_none("trade"),
            classes=fields.part("classes").classes(),
            media=fields.part("media").codes(trees.media),
            territories=fields.part("territories").codes(trees.territories),
            use_from=fields.part("from").day(),
            months=fields.count_or_none("months"),
            exclusivity=kind,
            exclusive_months=exclusive_months,
            trees=trees,
        )
    except InvalidUse as error:
        raise InvalidScenario(_join(part.path, JSON_NAMES.get(error.path, error.path)), str(error)) from None
    return fields.part("picture").text(), wish


def _answer_conflicts(scenario: Scenario) -> tuple[object, bool]:
    pairs = find_conflicts(scenario.licences, scenario.trees)
    return [list(pair) for pair in pairs], not pairs


def _answer_coverage(scenario: Scenario, picture: str, licensee: str, use: Use) -> tuple[object, bool]:
    found = cover(use, picture=picture, licensee=licensee, grants=scenario.licences, trees=scenario.trees)
    return {
        "covered": found.is_covered,
        "first_gap": _iso(found.first_gap),
        "reasons": {name: [str(reason) for reason in reasons] for name, reasons in found.reasons.items()},
        "none": found.has_no_grant,
    }, found.is_covered


def _answer_clearance(scenario: Scenario, picture: str, licensee: str, use: Use) -> tuple[object, bool]:
    scene = scenario.pictures.get(picture, Scene())
    found = clear(use, licensee=licensee, people=scene.people, properties=scene.properties, trees=scenario.trees)
    return {
        "verdict": str(found.verdict),
        "notes": list(found.notes),
        "model_release": found.model_release,
        "property_release": found.property_release,
    }, found.verdict is not Verdict.NOT_CLEARED


def _answer_free_from(scenario: Scenario, picture: str, wish: Wish) -> tuple[object, bool]:
    scene = scenario.pictures.get(picture, Scene())
    found = free_from(
        wish, picture=picture, grants=scenario.licences, selling_on=scene.selling_on, trees=scenario.trees
    )
    return {"free_from": _iso(found.free_from), "blocked_by": list(found.blocked_by)}, found.is_free_on(wish.use_from)


def _refuse_twice(names: list[str], path: str) -> None:
    seen: set[str] = set()
    for place, name in enumerate(names):
        if name in seen:
            raise InvalidScenario(f"{path}[{place}].id", f"The id “{name}” is there twice.")
        seen.add(name)


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
