"""One step of a recipe: its words, how long it takes, how hot it gets."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

LONGEST_STEP = 10_000  # signs; no more of a step is searched for times, heat and actions
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
_EVERY = re.compile(r"\b(?:every|each)\s$", re.IGNORECASE)  # "every 10 minutes" is how often, not how long
_OVERNIGHT = re.compile(
    r"\b(?:over\s?night|through the night|(?:until|till) (?:the )?next (?:day|morning))\b", re.IGNORECASE
)
_COLLOQUIAL = tuple(
    (word, re.compile(pattern, re.IGNORECASE), plain)
    for word, pattern, plain in (
        ("couple", r"\ba couple(?: of)?(?= (?:seconds|minutes|hours|days))", "2"),
        ("quarter", r"\b(?:3|three)[ -]quarters of an hour\b", "45 minutes"),
        ("quarter", r"\b(?:a |1 |one )?quarter of an hour\b", "15 minutes"),
        ("half", r"\bhalf[ -]hour\b", "30 minutes"),
        ("an hour", r"(?:½|1/2|\bone half)(?: of)? an hour\b", "30 minutes"),
        ("or two", r"\b(?:an|one) hour or two\b", "1 to 2 hours"),
        ("or two", r"\b(?:a|one) (minute|day) or two\b", r"1 to 2 \1s"),
        ("h", r"\b(\d{1,2}):([0-5]\d) ?h(?:ours?|rs?)?\b", r"\1 h \2 min"),
        ("h", r"\b(\d{1,2}) ?h(?:ours?|rs?)? ?([0-5]\d)(?=$|[\s,.;)])(?! ?(?:m|°|deg|c\b|f\b|g\b))", r"\1 h \2 min"),
    )
)
_DEGREE = r"(?:[°º˚]|degrees?)"
_CELSIUS = re.compile(
    rf"(?<![\w.])(?P<minus>(?:(?<=\s)|(?<=^))[-−])?(?P<low>\d{{2,3}}|\d(?=\s?{_DEGREE}))(?:\s?{_DEGREE}?\s?(?:-|–|to)\s?(?P<high>\d{{1,3}}))?"
    rf"\s?{_DEGREE}?\s?(?:C\b|Celsius\b|centigrade\b)",
    re.IGNORECASE,
)
_FAHRENHEIT = re.compile(
    rf"(?<![\w.])(?P<low>\d{{2,4}})(?:\s?{_DEGREE}?\s?(?:-|–|to)\s?(?P<high>\d{{2,4}}))?\s?{_DEGREE}?\s?(?:F\b|Fahrenheit\b)",
    re.IGNORECASE,
)
_GAS = re.compile(r"\bgas (?:mark )?(\d)\b", re.IGNORECASE)
GAS_MARKS = {1: 140, 2: 150, 3: 170, 4: 180, 5: 190, 6: 200, 7: 220, 8: 230, 9: 240}  # °C (common practice, no source)


@dataclass(frozen=True, slots=True)
class Remark:
    """Words of a step that were read with doubt or not at all, and why."""

    words: str
    why: str


@dataclass(frozen=True, slots=True)
class Step:
    """A step as written. Minutes are what the text names (None: it names none); remarks say what was read with doubt. Actions are found in English steps only."""

    number: int
    text: str
    minutes_from: int | None = None
    minutes_to: int | None = None
    celsius: int | None = None
    section: str = ""
    remarks: tuple[Remark, ...] = ()
    language: str = "en"


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
    found = _durations(text)
    return found[0][1] if found else None


def celsius_named(text: str) -> int | None:
    """The first temperature in the words, in whole degrees Celsius (C = (F - 32) x 5/9); the upper end of a range."""
    found = _temperature(text)
    return found[1] if found else None


def read_step(number: int, text: str, section: str = "", language: str = "en") -> Step:
    """Reads duration and temperature out of a step; what is doubtful is left out and said in the remarks, the words stay as they are."""
    remarks: list[Remark] = []
    searched = text[:LONGEST_STEP]
    if len(text) > LONGEST_STEP:
        rest = text[LONGEST_STEP : LONGEST_STEP + 200]
        remarks.append(Remark(rest, "The step is so long that it was not searched from here on. Split it."))
    durations = _durations(searched)
    minutes = durations[0][1] if durations else None
    if minutes and minutes[0] > minutes[1]:
        minutes = (minutes[1], minutes[0])
        remarks.append(
            Remark(durations[0][0], f"The time runs backwards, so it was read as {minutes[0]} to {minutes[1]} minutes.")
        )
    if minutes and minutes[1] > LONGEST_MINUTES:
        why = f"{minutes[1] // 60} hours is longer than three days, so no time was taken from it. Type the time if it is right."
        remarks.append(Remark(durations[0][0], why))
        minutes = None
    elif len(durations) > 1:
        remarks.append(Remark(durations[1][0], "More than one time is named; the first was taken."))
    celsius = None
    if found := _temperature(searched):
        words, celsius = found
        if celsius > HOTTEST_CELSIUS:
            why = f"{celsius} °C is hotter than an oven goes, so no temperature was taken from it. Ask the cook."
            remarks.append(Remark(words, why))
            celsius = None
    low, high = minutes or (None, None)
    return Step(number, text, low, high, celsius, section, tuple(remarks), language)


def _durations(text: str) -> list[tuple[str, tuple[int, int]]]:
    """All lengths of time in the words, each with its words and its minutes (low, high) as written."""
    lowered = text.lower()
    for word, pattern, plain in _COLLOQUIAL:
        if word in lowered:
            text = pattern.sub(plain, text)
    found = []
    for each in _DURATION.finditer(text):
        if _A_SECOND.match(each[0]) or _EVERY.search(text[max(0, each.start() - 6) : each.start()]):
            continue
        if minutes := _minutes(each):
            found.append((each[0].strip(), minutes))
    if not found and (night := _OVERNIGHT.search(text)):
        found.append((night[0], (8 * 60, 12 * 60)))
    return found


def _minutes(found: re.Match[str]) -> tuple[int, int] | None:
    low = read_number(found["low"])
    high = read_number(found["high"]) if found["high"] else low
    if low is None or high is None:
        return None
    unit = _minutes_of(found["unit"])
    extra = (read_number(found["rest"]) or Fraction(0)) if found["rest"] and unit == 60 else Fraction(0)
    extra += unit / 2 if found["half"] else 0
    low_unit = _minutes_of(found["low_unit"]) if found["low_unit"] else unit
    return _whole(low * low_unit + (extra if not found["high"] else 0)), _whole(high * unit + extra)


def _temperature(text: str) -> tuple[str, int] | None:
    if found := _CELSIUS.search(text):
        degrees = int(found["high"] or found["low"])
        return found[0], -degrees if found["minus"] and not found["high"] else degrees
    if found := _FAHRENHEIT.search(text):
        return found[0], round(Fraction(int(found["high"] or found["low"]) - 32) * 5 / 9)
    if (found := _GAS.search(text)) and int(found[1]) in GAS_MARKS:
        return found[0], GAS_MARKS[int(found[1])]
    return None


def guess_minutes(action_ids: Iterable[str]) -> int:
    """Minutes to allow for a step whose text names none: the sum of its actions' usual times, at least two (common practice, no source)."""
    return sum(GUESSED_MINUTES.get(action, 0) for action in action_ids) or ANY_OTHER_MINUTES


def _minutes_of(unit: str) -> Fraction:
    first = unit.lower()[0]
    return {"s": Fraction(1, 60), "m": Fraction(1), "h": Fraction(60), "d": Fraction(24 * 60)}[first]


def _whole(minutes: Fraction) -> int:
    return max(1, int(minutes + Fraction(1, 2)))
