"""Quantities and their arithmetic in words, in English and German. Names and units stay as the recipe writes them."""

from __future__ import annotations

from fractions import Fraction

from shared.words import formats
from shoots.shopping.lists import BuyLine, DishList, HoldBack, ScaledLine, Source, Use
from shoots.shopping.quantities import KEEP, MANY, ONCE, Portions, pieces_to_buy
from shoots.shopping.units import FINE, is_countable, is_sold_whole, rounded, unit_word

HARD = formats.HARD
KITCHEN_PARTS = (2, 3, 4, 5, 6, 8)  # of a spoon, a bunch or a piece one says a third, of a gram one does not
DECIMAL_UNITS = FINE | {"kg", "cl", "dl", "l", "oz", "lb", "cm"}

# Where one and several differ, a stroke stands between the two.
WORDS: dict[str, dict[str, str]] = {
    "en": {
        "recipe": "recipe", "range": "{low} to {high}, counted as {high}", "spare": "+ {count} spare", "together": "together {sum}",
        "as_needed": "as needed: see the words", "up": "bought as {whole}", "heroes": "{count} hero|{count} heroes (one spare)",
        "stand_ins": "{count} stand-in|{count} stand-ins", "spares": "{count} spare for further takes|{count} spare for further takes",
        "eaten": "{count} eaten|{count} eaten", "portions": "{count} portion|{count} portions", "serves": "the recipe ×\u00a0{times}",
        "hold": "Hold back {held} of {whole} {name}, {done} in {takes}, {each} a take", "hold_uneven": "Hold back {held} of {whole} {name}, {done} in {takes}: {parts}",
        "hold_some": "Hold back part of it for {takes} takes",
        "hold_words": "Hold back part of the {name} for {takes} takes", "pieces": "Have {total}: {needed} for the dish and {spare} spare",
        "batches": "Cook {count} portion more for {takes} takes: it happens once in each|Cook {count} portions more for {takes} takes: it happens once in each",
        "unsplit": "Cook {count} portion more: it cannot be split|Cook {count} portions more: it cannot be split",
        "portions_more": "Have {count} more ready for the other take|Have {count} more ready for the other takes", "pieces_more": "Have {count} more ready for the other takes: {name}", "used": "used",
    },
    "de": {
        "recipe": "Rezept", "range": "{low} bis {high}, gerechnet mit {high}", "spare": "+ {count} Reserve", "together": "zusammen {sum}",
        "as_needed": "nach Bedarf: siehe Wortlaut", "up": "gekauft als {whole}", "heroes": "{count} fürs Bild|{count} fürs Bild (eine Reserve)",
        "stand_ins": "{count} Lichtdouble|{count} Lichtdoubles", "spares": "{count} Reserve für weitere Aufnahmen|{count} Reserve für weitere Aufnahmen",
        "eaten": "{count} gegessen|{count} gegessen", "portions": "{count} Portion|{count} Portionen", "serves": "das Rezept ×\u00a0{times}",
        "hold": "Von {whole} {name} {held} zurückhalten, in {takes} Gängen je {each}", "hold_uneven": "Von {whole} {name} {held} zurückhalten, in {takes} Gängen: {parts}",
        "hold_some": "Einen Teil davon zurückhalten für {takes} Aufnahmen",
        "hold_words": "Einen Teil zurückhalten für {takes} Aufnahmen: {name}", "pieces": "{total} bereithalten: {needed} fürs Gericht, {spare} Reserve",
        "batches": "{count} Portion mehr kochen: es geschieht in jeder nur einmal, {takes} Aufnahmen|{count} Portionen mehr kochen: es geschieht in jeder nur einmal, {takes} Aufnahmen",
        "unsplit": "{count} Portion mehr kochen: nicht teilbar|{count} Portionen mehr kochen: nicht teilbar",
        "portions_more": "{count} weitere bereithalten|{count} weitere bereithalten", "pieces_more": "{count} mehr bereithalten für die weiteren Aufnahmen: {name}", "used": "",
    },
}  # fmt: skip
COUNT_WORDS = {
    "en": ("", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    "de": ("", "einem", "zwei", "drei", "vier", "fünf", "sechs", "sieben", "acht", "neun", "zehn", "elf", "zwölf"),
}
# What was done with it, by the action of the lexicon; any other is "used".
DONE = {
    "pour": "poured", "drizzle": "drizzled", "sprinkle": "sprinkled", "dust": "dusted", "crumble": "crumbled", "season": "seasoned", "grate": "grated",
    "cut": "cut", "peel": "peeled", "whisk": "whisked", "mix": "mixed", "fold": "folded", "roll": "rolled", "brush": "brushed", "spread": "spread",
    "layer": "laid", "add": "added", "drain": "drained", "mash": "pounded", "blend": "blended", "squeeze": "squeezed", "garnish": "garnished",
}  # fmt: skip


def figure(quantity: Fraction, unit: str, language: str = "en") -> str:
    """A quantity as kitchens write it: 533, 1.2, 2/3, 1 1/2."""
    if unit not in DECIMAL_UNITS and quantity.denominator in KITCHEN_PARTS and quantity < 100:
        whole, rest = divmod(quantity, 1)
        return f"{whole}{HARD}{rest}" if whole else str(rest)
    return formats.number(rounded(quantity, unit), language)


def measured(quantity: Fraction, unit: str, language: str = "en") -> str:
    """A quantity with its unit: 533 ml, 4 cloves, 10."""
    word = unit_word(unit, quantity)
    return f"{figure(quantity, unit, language)}{HARD}{word}" if word else figure(quantity, unit, language)


def amount(quantity: Fraction, unit: str, name: str, language: str = "en") -> str:
    """A quantity of something: 533 ml stock, 10 eggs."""
    return f"{measured(quantity, unit, language)} {name}"


def bought(line: BuyLine, language: str = "en") -> str:
    """How much is bought of a line: 800 g, 12; *as needed* where nobody reckoned it."""
    if line.exact is None or line.figure is None:
        return _said(language)["as_needed"]
    return (
        measured(Fraction(line.figure), line.unit, language)
        if is_sold_whole(line.unit)
        else measured(line.exact, line.unit, language)
    )


def times(portions: int, serves: int, language: str = "en") -> str:
    """A factor: 2, 1.75, 7 ÷ 6."""
    factor = Fraction(portions, serves)
    if (factor * 100).denominator == 1:
        return formats.number(rounded(factor, ""), language)
    return f"{portions} ÷ {serves}"


def arithmetic(scaled: ScaledLine, portions: int, serves: int | None, language: str = "en") -> str:
    """How a line of a dish came about: *recipe 400 g × 2 = 800 g*; *recipe 5 × 2 = 10, + 2 spare = 12*."""
    said, line = _said(language), scaled.line
    if line.quantity is None or scaled.scaled is None or serves is None:
        return f"{said['as_needed']} “{line.text}”" if line.quantity is None else line.text
    high = measured(line.quantity, line.unit, language)
    start = said["range"].format(low=figure(line.low, line.unit, language), high=high) if line.low is not None else high
    mark = "," if line.low is not None else ""
    words = f"{said['recipe']} {start}{mark} × {times(portions, serves, language)} = {measured(scaled.scaled, line.unit, language)}"
    if scaled.spare and scaled.total is not None:
        spare = said["spare"].format(count=scaled.spare)
        words += f", {spare} = {measured(scaled.total, line.unit, language)}"
    return words


def sum_in_words(line: BuyLine, language: str = "en") -> str:
    """How a line of the buying list came about, dish by dish, with the names that were joined."""
    said = _said(language)
    parts = [_source(source, line, language) for source in line.sources]
    words = "; ".join(parts)
    if line.exact is None or line.figure is None:
        return words
    whole, exact = bought(line, language), measured(line.exact, line.unit, language)
    if line.is_joined:
        words += f"; {said['together'].format(sum=exact)}"
    return words if whole == exact else f"{words}, {said['up'].format(whole=whole)}"


def portions_in_words(portions: Portions, serves: int | None, language: str = "en") -> str:
    """*2 heroes, one is the spare, + 1 stand-in + 1 spare for further takes + 4 eaten = 8 portions = the recipe × 2*."""
    said = _said(language)
    each = (
        ("heroes", portions.heroes),
        ("stand_ins", portions.stand_ins),
        ("spares", portions.spares),
        ("eaten", portions.eaten),
    )
    parts = [_by_number(said[name], count).format(count=count) for name, count in each if count]
    words = f"{' + '.join(parts)} = " if parts else ""
    words += _by_number(said["portions"], portions.total).format(count=portions.total)
    if serves is None:
        return words
    return f"{words} = {said['serves'].format(times=times(portions.total, serves, language))}"


def hold_back_in_words(held: HoldBack, use: Use, language: str = "en") -> str:
    """*Hold back 533 ml of 800 ml stock, poured in three, 267 ml a take*."""
    said, takes = _said(language), count_word(use.wanted.takes, language)
    if held.shared is None:
        return said["hold_words"].format(name=held.name, takes=takes)
    shared, unit = held.shared, held.unit
    values = {
        "held": measured(shared.held_back, unit, language),
        "whole": measured(shared.whole, unit, language),
        "name": held.name,
        "takes": takes,
        "done": DONE.get(use.action, said["used"]),
    }
    if shared.is_even:
        return said["hold"].format(**values, each=measured(shared.a_take, unit, language))
    parts = formats.list_in_words([figure(part, unit, language) for part in shared.parts[:12]], language)
    return said["hold_uneven"].format(**values, parts=parts)


def ask_the_cook(dish: DishList, use: Use, language: str = "en") -> tuple[str, ...]:
    """What to ask the cook for so that a moment can be had as often as it is wanted, in sentences without a full stop."""
    said, wanted = _said(language), use.wanted
    if wanted.takes == 1:
        return ()
    if wanted.is_split and not use.lines:
        return (said["hold_some"].format(takes=count_word(wanted.takes, language)),)
    if wanted.is_split:
        return tuple(hold_back_in_words(held, use, language) for held in dish.hold_backs(use))
    if wanted.spare_pieces:
        return tuple(_spare_pieces(dish.lines[place], wanted.spare_pieces, language) for place in use.lines)
    if wanted.repeat == MANY:
        count = wanted.spare_portions
        return (_by_number(said["portions_more"], count).format(count=count),)
    if wanted.repeat in (ONCE, KEEP):
        count = (
            wanted.spare_portions
        )  # of a batch of several portions all: what the cook is asked for is what is bought
        kind = "batches" if wanted.repeat == ONCE else "unsplit"
        return (_by_number(said[kind], count).format(count=count, takes=count_word(wanted.takes, language)),)
    return ()


def _spare_pieces(scaled: ScaledLine, spare: int, language: str) -> str:
    said, line = _said(language), scaled.line
    if scaled.scaled is None or not is_countable(line.unit):
        return said["pieces_more"].format(count=spare, name=line.name)
    total = amount(Fraction(pieces_to_buy(scaled.scaled, spare)), line.unit, line.name, language)
    return said["pieces"].format(total=total, needed=figure(scaled.scaled, line.unit, language), spare=spare)


def count_word(count: int, language: str = "en") -> str:
    """Three, up to twelve; 20."""
    words = COUNT_WORDS[formats.language_of(language)]
    return words[count] if 0 < count < len(words) else str(count)


def _source(source: Source, line: BuyLine, language: str) -> str:
    words = arithmetic(source.scaled, source.dish.portions.total, source.dish.serves, language)
    name = source.scaled.line.name
    if not line.is_joined:
        return words
    return f"{source.dish.name}{f' ({name})' if name != line.name else ''}: {words}"


def _by_number(words: str, count: int) -> str:
    one, _, other = words.partition("|")
    return one if count == 1 else other


def _said(language: str) -> dict[str, str]:
    return WORDS[formats.language_of(language)]
