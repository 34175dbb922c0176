from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime, time

from django.utils import translation
from django.utils.translation import gettext, ngettext

from shared.papers.letterhead import Letterhead
from shared.papers.printing import print_paper
from shared.words import formats
from shared.words.formats import with_capital
from shoots.found.snapshot import LetterShown, LicenceFound
from shoots.licences.cover import Reason
from shoots.uses.sentences import classes_in_words, media_in_words, territories_in_words
from shoots.uses.territory_tree import WORLD

FRAMES_SHOWN = 4
SHOTS_SHOWN = 4

REASONS: dict[str, Callable[[], str]] = {
    Reason.UNPAID: lambda: gettext("Its fee is not paid."),
    Reason.CLASS: lambda: gettext("It does not name this kind of use."),
    Reason.MEDIUM: lambda: gettext("It does not name this medium."),
    Reason.TERRITORY: lambda: gettext("It does not name this market."),
    Reason.TOO_EARLY: lambda: gettext("Its first day is later."),
    Reason.ENDED: lambda: gettext("Its last day was earlier."),
    Reason.EMBARGO: lambda: gettext("It does not allow publication so early."),
    Reason.QUANTITY: lambda: gettext("It names fewer copies."),
}


def letter_pdf(shown: LetterShown, *, logo: str = "", frames: Mapping[str, str] | None = None) -> bytes:
    """The letter as a PDF in its language: the facts, what the records say, what is asked. ``frames`` are data addresses by SHA-256.

    It threatens nothing and claims no sum: whether and how to write is for the photographer and a lawyer.
    """
    frames = frames or {}
    count = len(shown.pictures)
    with translation.override(shown.language):
        title = ngettext("A picture of mine in use", "Pictures of mine in use", count)
        context = {
            "shown": shown,
            "count": count,
            "sender": Letterhead(
                shown.sender_name, shown.sender_strapline, shown.sender_address, shown.sender_footer, logo
            ),
            "to": shown.to,
            "facts": _facts(shown),
            "mark": gettext("Demo data, not a letter") if shown.is_demo else "",
            "seen": seen_rows(shown),
            "pictures": [(each, frames.get(each.thumbnail, "")) for each in shown.pictures[:FRAMES_SHOWN]],
            "others": shown.pictures[FRAMES_SHOWN:],
            "shots": [(each, frames[each.copy]) for each in shown.shots if each.copy in frames][:SHOTS_SHOWN],
            "attached": [each.name for each in shown.shots],
            "licences": [_licence(each, shown.language) for each in shown.licences],
            "asks": asks_in_words(shown),
        }
    return print_paper(
        "papers/found.html",
        context,
        language=shown.language,
        title=title,
        at=datetime.combine(shown.printed_on, time(12), UTC),
        identifier=f"found {shown.number} {shown.version}",
    )


def seen_rows(shown: LetterShown) -> list[tuple[str, str]]:
    """What was seen, in the active language: label and value; what is not known has no row."""
    language = shown.language
    rows = [
        (gettext("Seen on"), _day(shown.seen_on, language)),
        (gettext("In use since, as far as known"), _day(shown.since, language)),
        (gettext("Where"), shown.place),
        (gettext("Address"), shown.link),
        (gettext("Kind of use"), with_capital(classes_in_words(shown.classes, language))),
        (gettext("Medium"), with_capital(media_in_words(shown.media, language))),
        (gettext("Market"), _places(shown.territories, language)),
        (gettext("Copies seen"), formats.number(shown.copies, language) if shown.copies else ""),
    ]
    return [row for row in rows if row[1]]


def asks_in_words(shown: LetterShown) -> list[str]:
    """What is asked, in the active language, a sentence or two each."""
    count = len(shown.pictures)
    said = {
        "permission": gettext(
            "You have permission: tell me who gave it, when and for what, so that I can complete my records."
        ),
        "licence": ngettext(
            "You would like to use the picture: tell me where and for how long, and I will send you an offer for a licence.",
            "You would like to use the pictures: tell me where and for how long, and I will send you an offer for a licence.",
            count,
        ),
        "take_down": ngettext(
            "You do not need the picture: take it down, and tell me when that is done.",
            "You do not need the pictures: take them down, and tell me when that is done.",
            count,
        ),
    }
    return [said[each] for each in shown.asks]


def _facts(shown: LetterShown) -> list[tuple[str, str]]:
    rows = [
        (gettext("Number"), f"{shown.number}/{shown.version}"),
        (gettext("Date"), _day(shown.printed_on, shown.language)),
        (gettext("Please answer by"), _day(shown.answer_by, shown.language)),
    ]
    return [row for row in rows if row[1]]


def _licence(found: LicenceFound, language: str) -> tuple[str, str, list[str]]:
    if found.last_on:
        days = formats.days(found.first_on, found.last_on, language)
    else:
        days = gettext("from %(day)s, without end") % {"day": _day(found.first_on, language)}
    said = gettext("%(use)s; %(media)s; %(places)s; %(days)s.") % {
        "use": with_capital(classes_in_words(found.classes, language)),
        "media": media_in_words(found.media, language),
        "places": _places(found.territories, language),
        "days": days,
    }
    return found.number, said, [REASONS[reason]() for reason in found.reasons]


def _places(codes: tuple[str, ...], language: str) -> str:
    return gettext("Worldwide") if WORLD in codes else with_capital(territories_in_words(codes, language))


def _day(day: date | None, language: str) -> str:
    return formats.day(day, language) if day else ""
