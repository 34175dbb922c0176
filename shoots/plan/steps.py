"""One step of a recipe: its words, how long it takes, how hot it gets."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

LONGEST_MINUTES = 72 * 60
HOTTEST_CELSIUS = 300

NUMBER_WORDS = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
    "eleven": 11, "twelve": 12, "fifteen": 15, "twenty": 20, "thirty": 30, "forty": 40, "forty-five": 45, "sixty": 60, "ninety": 90,
}  # fmt: skip
GLYPHS = {
    "¼": Fraction(1, 4), "½": Fraction(1, 2), "¾": Fraction(3, 4), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3),
    "⅛": Fraction(1, 8), "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip

# Common practice, no source: minutes of an action when the text names none. The person sees and changes them.
GUESSED_MINUTES = {
    "cut": 4, "peel": 4, "whisk": 4, "mix": 2, "knead": 8, "roll": 5, "shape": 8, "saute": 6, "sear": 5, "fry": 8, "deepfry": 8, "boil": 10,
    "simmer": 15, "reduce": 8, "caramelise": 15, "bake": 25, "grill": 10, "rest": 10, "chill": 30, "marinate": 30, "heat": 5, "plate": 4,
}  # fmt: skip
ANY_OTHER_MINUTES = 2

_WORD = "|".join(sorted(NUMBER_WORDS, key=len, reverse=True))
_NUMBER = rf"(?:\d+\s+\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?\s?[{''.join(GLYPHS)}]?|[{''.join(GLYPHS)}]|half an|half a|(?:{_WORD})(?: and a half)?)"
_UNIT = r"(?:seconds?|secs?\.?|minutes?|mins?\.?|hours?|hrs?\.?|days?|h|(?<=\d)m)"
_DURATION = re.compile(
    rf"(?<![\w.,/])(?P<low>{_NUMBER})(?:\s?(?P<low_unit>{_UNIT}))?(?:\s?(?:-|–|—|to|or|until)\s?(?P<high>{_NUMBER}))?"
    rf"(?:\s|-)?(?P<unit>{_UNIT})(?:(?:\s?,?\s?(?:and\s)?)(?P<rest>{_NUMBER})\s?(?P<rest_unit>minutes?|mins?\.?|m(?![a-z])))?(?P<half> and a half)?(?![\w])",
    re.IGNORECASE,
)
_A_SECOND = re.compile(r"an?\s+sec(?:ond)?$", re.IGNORECASE)  # "into a second bowl" is no time
_OVERNIGHT = re.compile(r"\b(?:overnight|over night|through the night)\b", re.IGNORECASE)
_CELSIUS = re.compile(
    r"(?<![\w.])(\d{2,3})(?:\s?(?:-|–|to)\s?(\d{2,3}))?\s?(?:°|º|degrees?)?\s?(?:C\b|Celsius\b|centigrade\b)",
    re.IGNORECASE,
)
_FAHRENHEIT = re.compile(
    r"(?<![\w.])(\d{2,4})(?:\s?(?:-|–|to)\s?(\d{2,4}))?\s?(?:°|º|degrees?)?\s?(?:F\b|Fahrenheit\b)", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Step:
    """A step as written. Minutes are what the text names (None: it names none); remarks say what was read with doubt."""

    number: int
    text: str
    minutes_from: int | None = None
    minutes_to: int | None = None
    celsius: int | None = None
    section: str = ""
    remarks: tuple[str, ...] = ()


def read_number(text: str) -> Fraction | None:
    """The number a recipe writes as `2`, `1,5`, `1/2`, `1 1/2`, `1½`, `half a` or `twelve`; None when it is none of these."""
    text = text.strip().lower()
    if text in ("half", "half a", "half an"):
        return Fraction(1, 2)
    if text.endswith(" and a half"):
        whole = read_number(text.removesuffix(" and a half"))
        return None if whole is None else whole + Fraction(1, 2)
    if text in NUMBER_WORDS:
        return Fraction(NUMBER_WORDS[text])
    glyph = Fraction(0)
    if text and text[-1] in GLYPHS:
        glyph, text = GLYPHS[text[-1]], text[:-1].strip()
        if not text:
            return glyph
    if found := re.fullmatch(r"(?:(\d{1,9})(?:\s+|\s+and\s+))?(\d{1,9})\s?[/⁄]\s?(\d{1,9})", text):
        whole_part, top, bottom = found.groups()
        return None if int(bottom) == 0 else Fraction(int(whole_part or 0)) + Fraction(int(top), int(bottom)) + glyph
    if re.fullmatch(r"\d{1,9}(?:[.,]\d{1,6})?", text):
        return Fraction(text.replace(",", ".")) + glyph
    return None


def minutes_named(text: str) -> tuple[int, int] | None:
    """The first duration in the words, as whole minutes (low, high), never under one minute; `overnight` is 8 to 12 hours (common practice)."""
    found = next((each for each in _DURATION.finditer(text) if not _A_SECOND.match(each[0])), None)
    if found:
        low = read_number(found["low"])
        high = read_number(found["high"]) if found["high"] else low
        if low is not None and high is not None:
            unit = _minutes_of(found["unit"])
            extra = (read_number(found["rest"]) or Fraction(0)) if found["rest"] and unit == 60 else Fraction(0)
            extra += unit / 2 if found["half"] else 0
            low_unit = _minutes_of(found["low_unit"]) if found["low_unit"] else unit
            return _whole(low * low_unit + (extra if not found["high"] else 0)), _whole(high * unit + extra)
    return (8 * 60, 12 * 60) if _OVERNIGHT.search(text) else None


def celsius_named(text: str) -> int | None:
    """The first temperature in the words, in whole degrees Celsius (C = (F - 32) x 5/9); the upper end of a range."""
    if found := _CELSIUS.search(text):
        return int(found[2] or found[1])
    if found := _FAHRENHEIT.search(text):
        return round(Fraction(int(found[2] or found[1]) - 32) * 5 / 9)
    return None


def read_step(number: int, text: str, section: str = "") -> Step:
    """Reads duration and temperature out of a step; what is doubtful is left out and said in the remarks, the words stay as they are."""
    remarks: list[str] = []
    minutes = minutes_named(text)
    if minutes and minutes[0] > minutes[1]:
        minutes = (minutes[1], minutes[0])
        remarks.append(f"The time runs backwards, so it was read as {minutes[0]} to {minutes[1]} minutes.")
    if minutes and minutes[1] > LONGEST_MINUTES:
        remarks.append(
            f"{minutes[1] // 60} hours is longer than three days, so no time was taken from it. Type the time if it is right."
        )
        minutes = None
    if minutes and len(_DURATION.findall(text)) > 1:
        remarks.append("More than one time is named; the first was taken.")
    celsius = celsius_named(text)
    if celsius is not None and celsius > HOTTEST_CELSIUS:
        remarks.append(f"{celsius} °C is hotter than an oven goes, so no temperature was taken from it. Ask the cook.")
        celsius = None
    low, high = minutes or (None, None)
    return Step(number, text, low, high, celsius, section, tuple(remarks))


def guess_minutes(action_ids: Iterable[str]) -> int:
    """Minutes to allow for a step whose text names none: the sum of its actions' usual times, at least two (common practice, no source)."""
    return sum(GUESSED_MINUTES.get(action, 0) for action in action_ids) or ANY_OTHER_MINUTES


def _minutes_of(unit: str) -> Fraction:
    first = unit.lower()[0]
    return {"s": Fraction(1, 60), "m": Fraction(1), "h": Fraction(60), "d": Fraction(24 * 60)}[first]


def _whole(minutes: Fraction) -> int:
    return max(1, int(minutes + Fraction(1, 2)))
