from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, date, datetime, time
from itertools import zip_longest

from django.utils import translation
from django.utils.translation import gettext

from shared.papers.letterhead import Letterhead
from shared.papers.printing import print_paper
from shared.words import formats
from shared.words.formats import with_capital
from shared.words.phrases import LICENCE_LANGUAGES
from shoots.licences.snapshot import LicenceShown, PictureShown, Released

FRAMES_SHOWN, FRAMES_A_ROW = 12, 4
"""So many pictures stand as frames, three rows of a page; the others by number and title."""

RESERVED = 2
"""The last two sentences of a licence say what is not included and what stays with the photographer."""

PEOPLE: dict[Released, Callable[[], str]] = {
    Released.NOBODY: lambda: gettext("Nobody can be recognised"),
    Released.RELEASED: lambda: gettext("Released for this use"),
    Released.EDITORIAL: lambda: gettext("Not released, for editorial use only"),
    Released.OPEN: lambda: gettext("No release reaches this use, ask first"),
}
THINGS: dict[Released, Callable[[], str]] = {
    Released.NOBODY: lambda: gettext("No place or thing of others can be recognised"),
    **{state: words for state, words in PEOPLE.items() if state is not Released.NOBODY},
}
PREVAILS: dict[str, Callable[[], str]] = {
    "en": lambda: gettext("This licence was accepted in English. Where the texts differ, the English text counts:"),
    "de": lambda: gettext("This licence was accepted in German. Where the texts differ, the German text counts:"),
}
COUNTED: dict[str, Callable[[], str]] = {
    "on_payment": lambda: gettext("Counted from payment"),
    "on_delivery": lambda: gettext("Counted from delivery"),
}
BEGINS: dict[str, Callable[[], str]] = {
    "on_payment": lambda: gettext("When the fee is paid"),
    "on_delivery": lambda: gettext("On delivery"),
    "on_date": lambda: gettext("On the first day"),
}


def licence_pdf(shown: LicenceShown, *, logo: str = "", frames: Mapping[str, str] | None = None) -> bytes:
    """The licence as a PDF in the language it was agreed in. ``logo`` and ``frames`` (by number) are data addresses.

    An offer is marked as one: it grants nothing.
    """
    frames = frames or {}
    with translation.override(shown.language):
        words = {"number": shown.number}
        title = gettext("Licence offer %(number)s") % words if shown.is_offer else gettext("Licence %(number)s") % words
        context = {
            "shown": shown,
            "sender": Letterhead(
                shown.sender_name, shown.sender_strapline, shown.sender_address, shown.sender_footer, logo
            ),
            "to": shown.to,
            "facts": _facts(shown),
            "mark": _mark(shown),
            "terms": terms(shown),
            "agreed": shown.sentences[1:-RESERVED],
            "reserved": shown.sentences[-RESERVED:],
            "prevails": PREVAILS[shown.prevails_in]() if shown.prevailing else "",
            "tongues": [LICENCE_LANGUAGES.get(each, each) for each in (shown.language, shown.prevails_in)],
            "sentences": list(zip_longest(shown.sentences, shown.prevailing, fillvalue="")),
            "rows": _rows([picture for picture in shown.pictures if picture.number in frames], frames),
            "others": [picture for picture in shown.pictures if picture.number not in frames],
            "cleared": cleared(shown.pictures, shown.language),
            "head": shown.head_hash[:16],
        }
    return print_paper(
        "papers/licence.html",
        context,
        language=shown.language,
        title=title,
        at=datetime.combine(shown.printed_on, time(12), UTC),
        identifier=f"licence {shown.number} {shown.version} {shown.words_sha256}",
    )


def terms(shown: LicenceShown) -> list[tuple[str, str, str]]:
    """The terms at a glance, in the active language: label, value, and a remark where one is needed."""
    copies = formats.number(shown.copies, shown.language) if shown.copies else ""
    territory = shown.territory or gettext("Worldwide")
    rows = [
        (gettext("First day of use"), *_first(shown)),
        (gettext("Last day of use"), *_last(shown)),
        (gettext("Not to be shown before"), _day(shown.embargo_until, shown), ""),
        (gettext("Media"), with_capital(shown.media), ""),
        (gettext("Market aimed at") if shown.is_aimed and shown.territory else gettext("Territory"), with_capital(territory), ""),
        (gettext("Copies at most"), copies, ""),
        (gettext("Exclusivity"), _exclusivity(shown), ""),
        (gettext("Credit line"), shown.credit_line, ""),
        (gettext("Use begins"), _begins(shown), ""),
        (gettext("Fee"), _fee(shown), ""),
        (gettext("Paid by"), shown.pays, ""),
    ]  # fmt: skip
    return [row for row in rows if row[1]]


def cleared(pictures: Iterable[PictureShown], language: str) -> list[tuple[str, list[str]]]:
    """People, and places and things, in the active language: a sentence for all pictures, or one for those it is true of."""
    pictures = list(pictures)
    if not pictures:
        return []
    return [
        (gettext("People"), _groups(PEOPLE, [(each.people, each.number) for each in pictures], language)),
        (gettext("Places and things"), _groups(THINGS, [(each.things, each.number) for each in pictures], language)),
    ]


def _groups(words: Mapping[Released, Callable[[], str]], found: list[tuple[Released, str]], language: str) -> list[str]:
    states = [state for state in Released if any(each == state for each, _ in found)]
    if len(states) == 1:
        return [f"{words[states[0]]()}."]
    named = {state: [number for each, number in found if each == state] for state in states}
    return [
        gettext("%(what)s: %(pictures)s.")
        % {"what": words[state](), "pictures": formats.list_in_words(numbers, language)}
        for state, numbers in named.items()
    ]


def _facts(shown: LicenceShown) -> list[tuple[str, str]]:
    rows = [
        (gettext("Number"), shown.number),
        (gettext("Agreed on"), _day(shown.agreed_on, shown)),
        (gettext("Shoot"), shown.shoot),
        (gettext("Renews"), shown.renews),
        (gettext("Replaces"), shown.replaces),
    ]
    this = _day(shown.printed_on, shown)
    if shown.version > 1:
        words = {"version": shown.version, "day": this}
        this = gettext("%(day)s, version %(version)s, in place of earlier ones") % words
    return [(label, value) for label, value in [*rows, (gettext("This paper"), this)] if value]


def _mark(shown: LicenceShown) -> str:
    marks = [gettext("Offer, grants nothing yet")] if shown.is_offer else []
    if shown.is_demo:
        marks.append(gettext("Demo data, not a licence"))
    return ". ".join(marks)


def _first(shown: LicenceShown) -> tuple[str, str]:
    if shown.first_on is None:
        return COUNTED[shown.begins]() if shown.begins in COUNTED else _begins(shown), ""
    remark = ""
    if shown.is_counted_anew and shown.begins == "on_delivery":
        remark = gettext("If the pictures are delivered later, the term counts from that day.")
    elif shown.is_counted_anew:
        remark = gettext("If the fee is paid later, the term counts from that day.")
    return _day(shown.first_on, shown), remark


def _last(shown: LicenceShown) -> tuple[str, str]:
    if shown.last_on is not None:
        words = {"number": shown.replaced_by}
        if shown.is_cut_short and shown.replaced_by:
            return _day(shown.last_on, shown), gettext(
                "Ended early, %(number)s takes its place. This day holds, whatever the agreed words say."
            ) % words
        if shown.is_cut_short:
            return _day(shown.last_on, shown), gettext("Ended early. This day holds, whatever the agreed words say.")
        return _day(shown.last_on, shown), ""
    if shown.first_on is not None and shown.replaced_by:
        return gettext("Until %(number)s takes its place") % {"number": shown.replaced_by}, ""
    if shown.months is None or shown.first_on is not None:
        return gettext("Without end"), ""
    words = {"months": formats.quantity(shown.months, "month", shown.language)}
    return gettext("%(months)s from the first day") % words, ""


def _exclusivity(shown: LicenceShown) -> str:
    """Whole sentences, one a case: the words below the table say what each keeps out."""
    if shown.exclusivity == "none":
        return gettext("Not exclusive")
    is_trade, words = shown.exclusivity == "trade", {"trade": shown.trade or gettext("not named")}
    if shown.exclusive_last_on:
        words["day"] = _day(shown.exclusive_last_on, shown)
        if is_trade:
            return gettext("Exclusive in its trade (%(trade)s) up to and including %(day)s") % words
        return gettext("Exclusive up to and including %(day)s") % words
    if shown.exclusive_months and shown.first_on is None:
        words["months"] = formats.quantity(shown.exclusive_months, "month", shown.language)
        if is_trade:
            return gettext("Exclusive in its trade (%(trade)s) for %(months)s from the first day") % words
        return gettext("Exclusive for %(months)s from the first day") % words
    if is_trade:
        return gettext("Exclusive in its trade (%(trade)s) as long as the licence runs") % words
    return gettext("Exclusive as long as the licence runs")


def _begins(shown: LicenceShown) -> str:
    if shown.begins == "on_date" and shown.begins_on:
        return _day(shown.begins_on, shown)
    return BEGINS[shown.begins]()


def _fee(shown: LicenceShown) -> str:
    if shown.fee is None:
        return gettext("Billed with the shoot")
    if not shown.fee:
        return gettext("No fee")
    sum_ = formats.money_code(shown.fee, shown.currency, shown.language)
    return gettext("%(sum)s before VAT") % {"sum": sum_}


def _rows(pictures: list[PictureShown], frames: Mapping[str, str]) -> list[list[tuple[PictureShown, str]]]:
    pairs = [(picture, frames[picture.number]) for picture in pictures]
    return [pairs[start : start + FRAMES_A_ROW] for start in range(0, len(pairs), FRAMES_A_ROW)]


def _day(day: date | None, shown: LicenceShown) -> str:
    return formats.day(day, shown.language) if day else ""
