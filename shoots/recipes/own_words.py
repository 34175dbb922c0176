"""The studio's own kitchen words and kinds of moment: which may be learnt, and the table of actions with them in it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import asdict, replace
from functools import lru_cache

from shoots.plan.lexicon import Action, Lexicon, find_actions, read_lexicon, with_own_words

LONGEST_WORD = 40
MOST_WORDS = 4
_COMMON = """
    a an the and or but if then than so as of in on at to for from with without by into onto over under up down off out until till after before
    again it its is are was be been being this that these those they them their there here your you we our i he she one two three all each every
    both some any no not only more most very well just also now when while once still about can will may must should let do does
    der die das und oder mit ein eine den dem zu auf
"""
COMMON = frozenset(_COMMON.split())


class WordRefused(ValueError):
    """The word cannot be learnt; says why in words for the person."""


def check_word(text: str) -> str:
    """The word as it is kept: small letters, single spaces, no marks round it. Raises WordRefused for what would match nothing or everything."""
    word = " ".join(text.lower().split()).strip(" .,;:!?\"'“”‘’()[]")
    if not word:
        raise WordRefused("No word was typed. Type the word as the recipe writes it, for example “flash”.")
    if len(word) > LONGEST_WORD or len(word.split()) > MOST_WORDS:
        raise WordRefused(
            f"This is more than a word: at most {LONGEST_WORD} signs and {MOST_WORDS} words are learnt. Take only the verb."
        )
    if not all(any(sign.isalpha() for sign in part) for part in word.split()):
        raise WordRefused("A word has letters in it. Figures and marks cannot be learnt.")
    if any(not (sign.isalpha() or sign in " -'’") for sign in word):
        raise WordRefused(
            "Only letters, hyphens and spaces can be learnt, because recipes are searched by their words."
        )
    if len(word) < 2 or all(part in COMMON for part in word.split()):
        raise WordRefused(
            f"“{word}” stands in nearly every sentence, so each step would count as this. Take the verb beside it."
        )
    return word


def meaning_of(word: str, lexicon: Lexicon) -> str | None:
    """The id of the action a word means already, in any of its forms, or None."""
    words = tuple(word.lower().split())
    found = (form.action_id for form in lexicon.forms.get(words[0], ()) if form.words == words) if words else iter(())
    return next(found, None)


def word_for(text: str, action_id: str, lexicon: Lexicon) -> tuple[str, str]:
    """The word to keep for an action, and the id of the action it means so far, or nothing.

    Raises WordRefused where it cannot be learnt, says the same already, or is all that another action has.
    """
    word = check_word(text)
    if not lexicon.knows(action_id):
        raise WordRefused("This kind of moment went. Choose another.")
    name, means = lexicon.action(action_id).name, meaning_of(word, lexicon) or ""
    if means == action_id:
        raise WordRefused(f"“{word}” is read as {name} already.")
    if means and [each.lower() for each in lexicon.action(means).words] == [word]:
        raise WordRefused(f"“{word}” is the only word for that kind of moment, so it cannot mean {name}.")
    return word, means


def word_to_learn(words: str, action_id: str, lexicon: Lexicon) -> str:
    """The word with which a moment's own words begin, where the table would not read them as that action; empty when there is none to learn."""
    if not words.strip() or not lexicon.knows(action_id):
        return ""
    if action_id in {found.action_id for found in find_actions(words, lexicon)}:
        return ""
    return first_word(words)


def first_word(words: str) -> str:
    """The first word of a text that could be learnt, or nothing."""
    for part in words.split()[:3]:
        try:
            return check_word(part)
        except WordRefused:
            continue
    return ""


@lru_cache(maxsize=8)
def lexicon_with(lexicon: Lexicon, kinds: tuple[Action, ...], words: tuple[tuple[str, str], ...]) -> Lexicon:
    """The kitchen's table with the studio's own kinds of moment and its own words, as (word, action id).

    An own word goes before the table: where the table gave it to another action, that action loses it (but never its last word).
    A word of a kind that went is left out.
    """
    given = dict(words)
    known = {action.id for action in (*lexicon.actions, *kinds)}
    actions = [_without(action, given) for action in (*lexicon.actions, *kinds)]
    whole = read_lexicon({"action": [_row(action) for action in actions]}) if kinds or given else lexicon
    by_action: dict[str, list[str]] = defaultdict(list)
    for word, action_id in words:
        if action_id in known and word not in whole.action(action_id).words:
            by_action[action_id].append(word)
    names = {kind.words[0]: kind.id for kind in kinds}
    return with_own_words(replace(whole, own=names), by_action) if by_action or names else whole


def _without(action: Action, given: dict[str, str]) -> Action:
    left: Sequence[str] = [word for word in action.words if given.get(word.lower(), action.id) == action.id]
    return replace(action, words=tuple(left)) if left else action


def _row(action: Action) -> dict[str, object]:
    row = asdict(action)
    row["moment_s"] = row.pop("moment_seconds")
    return row
