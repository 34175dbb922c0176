"""The kitchen's action words: what they are, and how they are found in the words of a step.

Reads English recipes. A draft, never the last word: about one proposal in ten is wrong or missing, so the photographer edits it with the cook.
All advice in the tables (angle, light, cues, hazards, peak) is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import zip_longest

from shoots.plan.phrases import PHRASES
from shoots.plan.steps import LONGEST_STEP

_LOOK_BACK = 60  # words before a verb that may decide whether it is one
REPEATS = ("free", "keep", "many", "once")


class InvalidLexicon(ValueError):
    """The table of words has a fault; says which row and what."""


@dataclass(frozen=True, slots=True)
class Action:
    """A thing cooks do and what a camera can see of it. `repeat` says how often: free, keep (part held back), many (one chance an item), once."""

    id: str
    words: tuple[str, ...]
    visible: str
    repeat: str
    moment_seconds: int
    hazards: tuple[str, ...]
    angle: str
    distance: str
    motion: str
    light: str
    cues: tuple[str, ...]
    note: str
    prepare: tuple[str, ...]
    interest: int

    @property
    def name(self) -> str:
        """What a person reads: its first word, which a table may end with the article that follows it (*light the*)."""
        return self.words[0].removesuffix(" the")


@dataclass(frozen=True, slots=True)
class Cue:
    """A word of the closed list that is said on the set; `words` by language."""

    id: str
    meaning: str
    words: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Found:
    """An action found in a step: the word as written, where it stands, and the words from it to the end of its clause."""

    action_id: str
    word: str
    start: int
    clause: str = ""


@dataclass(frozen=True)
class Lexicon:
    """The actions, and each of their forms ready for the search; ``own``: the words the studio taught, in whatever language, by action id."""

    actions: tuple[Action, ...]
    forms: Mapping[str, tuple[_Form, ...]] = field(repr=False, compare=False)
    own: Mapping[str, str] = field(default_factory=dict, repr=False, compare=False)

    def knows(self, action_id: str) -> bool:
        """Whether an action has that id; a moment written by hand may have none, or one that went."""
        return any(action.id == action_id for action in self.actions)

    def action(self, action_id: str) -> Action:
        """The action of that id; KeyError when the lexicon has none."""
        for action in self.actions:
            if action.id == action_id:
                return action
        raise KeyError(action_id)


@dataclass(frozen=True, slots=True)
class _Form:
    words: tuple[str, ...]
    action_id: str
    kind: str  # base, ing, s or done


@dataclass(frozen=True, slots=True)
class _Token:
    text: str
    start: int


def read_lexicon(table: Mapping[str, object]) -> Lexicon:
    """The lexicon in a parsed table of actions (`[[action]]` rows). Raises InvalidLexicon naming the row that is wrong."""
    rows = table.get("action")
    if not isinstance(rows, list) or not rows:
        raise InvalidLexicon("The table holds no actions.")
    actions = tuple(_action(row) for row in rows)
    if len({action.id for action in actions}) != len(actions):
        raise InvalidLexicon("Two actions have the same id.")
    return Lexicon(actions, _all_forms(actions))


def with_own_words(lexicon: Lexicon, words: Mapping[str, Sequence[str]]) -> Lexicon:
    """The lexicon with the studio's own words added, by action id. KeyError when an id is unknown."""
    for action_id in words:
        lexicon.action(action_id)
    actions = tuple(replace(action, words=(*action.words, *words.get(action.id, ()))) for action in lexicon.actions)
    own = {word: action_id for action_id, taught in words.items() for word in taught}
    return Lexicon(actions, _all_forms(actions), {**lexicon.own, **own})


def read_cues(table: Mapping[str, object]) -> dict[str, Cue]:
    """The closed list of cues by id. Raises InvalidLexicon when a cue has no word in one of the table's languages."""
    languages, rows = table.get("languages"), table.get("cue")
    if not isinstance(languages, list) or not isinstance(rows, list):
        raise InvalidLexicon("The table of cues names no languages or no cues.")
    cues = {}
    for row in rows:
        words = {language: str(row.get(language, "")) for language in languages}
        if not all(words.values()):
            raise InvalidLexicon(f"The cue {row.get('id')} has no word in one of the languages.")
        cues[str(row["id"])] = Cue(str(row["id"]), str(row["meaning"]), words)
    return cues


def find_actions(text: str, lexicon: Lexicon) -> tuple[Found, ...]:
    """The actions in a step, in order, each once. Past participles never count; a word counts as a verb only where a verb can stand."""
    text = text[:LONGEST_STEP]
    if len(text.lower()) != len(text):  # a few letters grow when lowered, and places would shift
        text = text.lower()
    lowered = re.sub(r"https?://\S+|<[^<>]*>", lambda found: " " * len(found[0]), text.lower())
    tokens = _tokens(lowered)
    said = {token.text for token in tokens}
    taken: list[tuple[int, int]] = []
    found: list[Found] = []
    for phrase in PHRASES:
        for match in () if phrase.heads.isdisjoint(said) else phrase.pattern.finditer(lowered):
            start, end = match.span()
            if any(start < until and end > since for since, until in taken):
                continue
            taken.append((start, end))
            if phrase.action_id and not _is_negated(_tokens(lowered[max(0, start - 80) : start])):
                found.append(Found(phrase.action_id, text[start:end], start))
    index = 0
    while index < len(tokens):
        token = tokens[index]
        length = 1
        if not any(since <= token.start < until for since, until in taken):
            for form in lexicon.forms.get(token.text, ()):
                if _stands_as_verb(form, tokens, index):
                    length = len(form.words)
                    end = tokens[index + length - 1].start + len(tokens[index + length - 1].text)
                    found.append(Found(form.action_id, text[token.start : end], token.start))
                    break
        index += length
    return _each_once(_with_clauses(text, sorted(found, key=lambda each: each.start)))


def _action(row: object) -> Action:
    if not isinstance(row, dict) or "id" not in row:
        raise InvalidLexicon("An action has no id.")
    try:
        action = Action(
            id=str(row["id"]),
            words=tuple(row["words"]),
            visible=str(row["visible"]),
            repeat=str(row["repeat"]),
            moment_seconds=int(row["moment_s"]),
            hazards=tuple(row["hazards"]),
            angle=str(row["angle"]),
            distance=str(row["distance"]),
            motion=str(row["motion"]),
            light=str(row["light"]),
            cues=tuple(row["cues"]),
            note=str(row.get("note", "")),
            prepare=tuple(row["prepare"]),
            interest=int(row["interest"]),
        )
    except (KeyError, TypeError, ValueError) as fault:
        raise InvalidLexicon(f"The action {row['id']} has a fault: {fault}.") from None
    if action.repeat not in REPEATS or not 0 <= action.interest <= 5 or not action.words:
        raise InvalidLexicon(f"The action {action.id} has no words, or a repeat or interest outside its range.")
    return action


# --- forms -------------------------------------------------------------------------------------------------------------------------------

_DOUBLED = {
    "chop", "cut", "skin", "pit", "whip", "stir", "strip", "dip", "drop", "flip", "trim", "rub", "pat", "blot", "skim", "scrub", "wrap", "top",
    "set", "tip", "put", "sit", "stab", "dab", "spin", "char",
}  # fmt: skip
_IRREGULAR_ING = {
    "tie": "tying",
    "puree": "pureeing",
    "purée": "puréeing",
    "saute": "sauteing",
    "sauté": "sautéing",
    "flambe": "flambeing",
}
_S_FORMS = {  # what food does by itself; other -s forms are nouns more often than verbs
    "boil": "boils", "simmer": "simmers", "melt": "melts", "thicken": "thickens", "reduce": "reduces", "dissolve": "dissolves",
    "caramelise": "caramelises", "caramelize": "caramelizes", "soften": "softens", "wilt": "wilts", "evaporate": "evaporates", "brown": "browns",
    "char": "chars", "crisp": "crisps",
}  # fmt: skip
_DONE_FORMS = {  # a change that is waited for: `until melted`; as a word before a noun ("melted butter") it is over
    "melt": "melted", "dissolve": "dissolved", "thicken": "thickened", "reduce": "reduced", "evaporate": "evaporated", "caramelise": "caramelised",
    "caramelize": "caramelized", "wilt": "wilted",
}  # fmt: skip


def _ing(verb: str) -> str:
    if verb in _IRREGULAR_ING:
        return _IRREGULAR_ING[verb]
    if verb in _DOUBLED:
        return f"{verb}{verb[-1]}ing"
    return f"{verb[:-1]}ing" if verb.endswith("e") and not verb.endswith(("ee", "ye", "oe")) else f"{verb}ing"


def _all_forms(actions: Sequence[Action]) -> dict[str, tuple[_Form, ...]]:
    forms: dict[str, list[_Form]] = {}
    for action in actions:
        for phrase in action.words:
            words = tuple(phrase.lower().split())
            variants = [(words, "base"), ((_ing(words[0]), *words[1:]), "ing")]
            if len(words) == 1 and words[0] in _S_FORMS:
                variants.append(((_S_FORMS[words[0]],), "s"))
            if len(words) == 1 and words[0] in _DONE_FORMS:
                variants.append(((_DONE_FORMS[words[0]],), "done"))
            for variant, kind in variants:
                forms.setdefault(variant[0], []).append(_Form(variant, action.id, kind))
    return {first: tuple(sorted(group, key=lambda form: -len(form.words))) for first, group in forms.items()}


# --- where a verb can stand --------------------------------------------------------------------------------------------------------------


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


_TOKEN = re.compile(r"[^\W\d_]+(?:['’\-][^\W\d_]+)*|\d+(?:[.,/]\d+)*|[^\w\s]")
_END = frozenset('.;:!?()[]–—•*/"“”')
_DETERMINERS = _set(
    "the a an this that these those your their its his her our some any each every both all another no more"
)
_OBJECT_STARTS = _DETERMINERS | _set("it them everything half with generously lightly well up off together over")
_DONE_TO = _DETERMINERS | _set("it them everything half generously lightly well")
_PREPOSITIONS = _set(
    "in on at of for with from into onto by over under about between through during per like without than as until till upon off inside"
)
_FRONTS = _set(
    "in on when once after while if with using for at as until before into meanwhile during over under from whilst to"
)
_LEAD_INS = _set(
    "and or then to you can could will should may must we i now next first finally also either let's please again immediately once just & lastly"
    " afterwards meanwhile might optionally"
)
_NOT_TO = _set("ready easier easy hard harder difficult used want wish prefer able possible up")
_NOT_YOU = _set("if when that as until longer whether before what which")
_AFTER_BARE = _set("into until for through as again lengthways lengthwise in over onto on")
_NOT_LY = _set("only family jelly curly early daily")
_NEGATIONS = _set("not never don't don’t without avoid doesn't cannot can't can’t won't instead rather no")
_DO_NOT_SKIP = _set("forget fail hesitate")  # `do not forget to salt` asks for salt
_ADJECTIVES = _set(
    "medium high low hot cold gentle slow quick large small big little fresh dry full first second third last final rolling light good deep heavy"
    " thick thin more warm separate same other boiling baking frying serving remaining clean new long short"
)
_NOUN_AFTER_ING = _set(
    "pan pans sheet sheets board bowl bowls powder paper water oil spoon spoons tray trays dish dishes soda tin tins pot pots basin knife wine stock"
    " bag rack time temperature point liquid plate plates platter pin chocolate fat broth process method needle brush machine"
)
_THINGS_IN_ING = _set(
    "dressing icing frosting topping filling stuffing seasoning coating lining"
)  # a thing more often than a deed
_ING_LEADS = _set("while whilst by keep begin start continue")
# Verb and noun (or adjective) alike: they need an object, or the start of a clause.
_NOUNS_FIRST = _set("marinade salt oil butter flour cream bread line ice batter stone pit shell core ball")
_ALSO_NOUNS = _set(
    "dress paint snap dot spray twist pile heap frost braid sandwich butterfly marinade salt oil butter flour cream heat plate top steam toast core dry brown ice stone pit shell skin husk hull quarter cube portion line bread"
    " batter glaze juice press smoke cure pickle brine stew grill roast roll ball form shape mould mold pipe layer stack position brush spoon ladle"
    " crown finish process clean torch flame froth whisk score drop pinch cool warm freeze filter sieve pound zest segment turn shake fold smooth"
    " fillet crisp dip seal rub spread dice mince slice cut halve grate ice try proof rise"
)
_NEVER_BEFORE = {  # what the word is not, by the next word
    "turn": _set(
        "golden brown into translucent soft red clear pink on off down up a to opaque white crisp dark black light green"
    ),
    "cut": _set("side sides"),
    "sit": frozenset(),
    "taste": frozenset(["of"]),
    "try": _set("to not"),
    "top": _set("up of layer rack shelf"),
    "heat": _set("until is to as"),
    "set": frozenset(),
    "cover": frozenset(["is"]),
    "process": frozenset(["is"]),
    "place": frozenset(["of"]),
    "pick": frozenset(["a", "up", "your"]),
    "return": frozenset([]),
}
_AFTER_CHANGE = _set(", and or then but into in to a for by until over all on down slightly completely")
_TURNS_BROWN = _set("brown char crisp")  # what a thing becomes in the oven as well as in a pan
_REDUCIBLE = _set(
    "sauce sauces liquid liquids stock broth wine juice juices cream gravy syrup glaze vinegar marinade mixture soup jus"
)
_WAITING = _set("rest stand sit rise prove proof ferment")
_LETTING = _set("let leave allow letting leaving allowing")


def _tokens(text: str) -> list[_Token]:
    return [_Token(match[0], match.start()) for match in _TOKEN.finditer(text)]


def _stands_as_verb(form: _Form, tokens: Sequence[_Token], index: int) -> bool:
    size = len(form.words)
    if tuple(token.text for token in tokens[index : index + size]) != form.words:
        return False
    before = [token.text for token in tokens[max(0, index - _LOOK_BACK) : index]]
    after = [token.text for token in tokens[index + size : index + size + 2]]
    clause = _clause(before)
    if _is_negated(tokens[max(0, index - 3) : index]):
        return False
    following = after[0] if after else "."
    if size == 1 and following in _NEVER_BEFORE.get(form.words[0], ()):
        return False
    if form.kind == "s":
        return (
            bool(clause)
            and clause[-1] not in _DETERMINERS | _PREPOSITIONS | {"and", ","}
            and not clause[-1][0].isdigit()
        )
    if form.kind == "ing":
        if tokens[index].text in _THINGS_IN_ING and following not in _OBJECT_STARTS:
            return False
        return _ing_counts(clause, [token.text for token in tokens[index + size : index + size + 5]], following)
    if form.kind == "done":
        return _is_waited_for(clause) and (following in _END | _AFTER_CHANGE or following.endswith("ly"))
    if (
        size == 1
        and form.words[0] == "reduce"
        and not _is_reducible([token.text for token in tokens[index + 1 : index + 6]])
    ):
        return False
    return _base_counts(form, clause, following)


def _clause(before: Sequence[str]) -> list[str]:
    start = next((place + 1 for place in range(len(before) - 1, -1, -1) if before[place] in _END), 0)
    return list(before[start:])


def _is_waited_for(clause: Sequence[str]) -> bool:
    """Do the words before belong to `until ...`, without a comma between?"""
    near = clause[-7:]
    return any(word in ("until", "till") for word in near) and "," not in near


def _is_reducible(after: Sequence[str]) -> bool:
    """`Reduce the sauce`, `reduce by half`; not `reduce the bitterness` or `reduce it with sugar`."""
    rest = [word for word in after if word not in _DETERMINERS | _ADJECTIVES]
    if not rest or rest[0] in _END | _AFTER_CHANGE or rest[0].endswith("ly"):
        return True
    if rest[0] in ("it", "them", "everything"):
        return len(rest) < 2 or rest[1] != "with"
    return any(word in _REDUCIBLE for word in rest[:3])


def _ing_counts(clause: Sequence[str], after: Sequence[str], following: str) -> bool:
    if not clause:  # `Stirring all the time, pour in the milk.`
        return following.endswith("ly") or following in (",", "all") or "," in after[1:3]
    if clause[-1] == "with":  # `with whisking, not with a whisk`
        return following in _END | _DETERMINERS | {",", "and", "instead"}
    lead = clause[-2] if clause[-1].endswith("ly") and len(clause) > 1 else clause[-1]
    return lead in _ING_LEADS or (lead in (",", "and", "or", "then") and following not in _NOUN_AFTER_ING)


def _base_counts(form: _Form, clause: Sequence[str], following: str) -> bool:
    word = form.words[0]
    if len(form.words) == 1 and word in _WAITING and not _is_let(clause) and clause:
        return (
            len(clause) > 0
            and clause[-1] in ("and", "to", "then", ",")
            and following in _OBJECT_STARTS | {"for", "until", "overnight", "at", "in"}
        )
    has_object = following in _OBJECT_STARTS or following[0].isdigit()
    is_done_to = following in _DONE_TO or following[0].isdigit()
    if len(form.words) == 1 and word in _NOUNS_FIRST and not (is_done_to or _is_let(clause)):
        return False
    if not clause or clause[-1] == "-":
        return not (word in _ALSO_NOUNS and following in ("is", "are", "should", "will"))
    last = clause[-1]
    if len(form.words) == 1 and word in _S_FORMS and _is_waited_for(clause) and last.endswith("s"):
        return word not in _TURNS_BROWN and (following in _END | _AFTER_CHANGE or following.endswith("ly"))
    if word == "taste" and last == "to":
        return False
    if _is_let(clause):
        return last not in _DETERMINERS | _PREPOSITIONS | _ADJECTIVES
    if last == "to" and ("enough" in clause[-7:] or (len(clause) > 1 and clause[-2] in _NOT_TO)):
        return False
    if last == "you" and len(clause) > 1 and clause[-2] in _NOT_YOU:
        return False
    if last in ("and", "or", ",", "&") and word in _ALSO_NOUNS and len(form.words) == 1:
        goes_on = following in _AFTER_BARE or (following.endswith("ly") and following not in _NOT_LY)
        return has_object or goes_on or _opens_after_comma(clause, last, following)
    if last in _LEAD_INS or last == ",":
        return True
    if last.endswith("ly") and last not in _NOT_LY:
        return not (len(clause) > 1 and clause[-2] in _DETERMINERS | _PREPOSITIONS and word in _ALSO_NOUNS)
    return _follows_front(form, clause, following)


def _opens_after_comma(clause: Sequence[str], last: str, following: str) -> bool:
    """`When the oil is hot, brown meat in batches`: the words before the comma are a front, not a list."""
    front = clause[0] in _FRONTS and clause.count(",") == 1 and last == ","
    plain = following.isalpha() and following not in _PREPOSITIONS | {"and", "or", "is", "are", "to"}
    return front and plain


def _follows_front(form: _Form, clause: Sequence[str], following: str) -> bool:
    """`In a bowl mix the flour`: a phrase stands before the verb without a comma."""
    last = clause[-1]
    if (
        clause[0] not in _FRONTS
        or last in _DETERMINERS | _PREPOSITIONS | _ADJECTIVES
        or last[0].isdigit()
        or len(clause) < 3
    ):
        return False
    if "," in clause or "and" in clause[-2:]:
        return False
    return (
        following in _OBJECT_STARTS
        or following[0].isdigit()
        or (form.words[0] not in _ALSO_NOUNS and following.isalpha() and following not in {"and", "or", "is", "are"})
    )


def _is_let(clause: Sequence[str]) -> bool:
    near = clause[-6:]
    return any(word in _LETTING for word in near) and near[-1] != ","


def _is_negated(before: Sequence[_Token]) -> bool:
    near: list[str] = []
    for token in reversed(before[-3:]):
        if token.text in _END or token.text == ",":
            break
        near.append(token.text)
    if ("not" in near and "only" in near) or not _DO_NOT_SKIP.isdisjoint(near):
        return False
    return any(word in _NEGATIONS for word in near)


_LONGEST_CLAUSE = 70
_WAITED = re.compile(r"\b(?:until|till)\s(?:(?!and\b|then\b|or\b)[^\s.,;:!?()]+\s){0,5}$", re.IGNORECASE)


def find_own_words(text: str, lexicon: Lexicon) -> tuple[Found, ...]:
    """The actions in a step of another language than English: where a word the studio taught stands in it, whole and as it was taught."""
    text = text[:LONGEST_STEP]
    found = [
        Found(action_id, match[0], match.start())
        for word, action_id in lexicon.own.items()
        for match in re.finditer(rf"(?<!\w){re.escape(word)}(?!\w)", text, re.IGNORECASE)
    ]
    return _each_once(_with_clauses(text, sorted(found, key=lambda each: each.start)))


def _with_clauses(text: str, found: Sequence[Found]) -> list[Found]:
    """Each action with its words up to the next action or the end of the clause."""
    clauses = []
    for each, following in zip_longest(found, found[1:]):
        until = following.start if following else len(text)
        words = re.split(r"[.;:!?]\s|,\s", f"{text[each.start : until]} ", maxsplit=1)[0]
        words = re.sub(
            r"(?:[\s,]+(?:and|then|or|to|you can|while|by|gently|carefully|slowly|immediately|until(?: the \w+| it)?))+[\s,]*$",
            "",
            words.strip(),
        )
        if waited := _WAITED.search(
            text[max(0, each.start - 60) : each.start]
        ):  # `until the butter melts`, not `melts`
            words = f"{waited[0]}{words.strip()}"
        if len(words) > _LONGEST_CLAUSE:
            words = words[:_LONGEST_CLAUSE].rsplit(" ", 1)[0] + " …"
        clauses.append(replace(each, clause=words.strip(" .,;:(")))
    return clauses


def _each_once(found: Sequence[Found]) -> tuple[Found, ...]:
    seen: set[str] = set()
    kept = []
    for each in found:
        if each.action_id not in seen:
            seen.add(each.action_id)
            kept.append(each)
    return tuple(kept)
