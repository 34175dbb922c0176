"""Filters and tags of our pages: figures and days in the page's language, and the parts that would be typed often."""

import re
import uuid
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django import template
from django.template.base import NodeList, Parser, Token
from django.template.context import Context
from django.utils import timezone
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language, gettext, ngettext

from shared.papers import letterhead
from shared.papers.letterhead import PaperLine
from shared.words import chart as charts
from shared.words import formats

register = template.Library()

ICONS = ("check", "look", "cross", "again", "next", "wait", "pen", "off", "hot", "dot", "plus")
STATE_ICONS = {"done": "check", "look": "look", "wait": "wait", "open": "dot", "now": "next", "plain": ""}
# Which look a state word has: the word says it, the shape repeats it, the colour comes last.
STATE_WORDS = {
    "done": (
        "accepted",
        "signed",
        "ready",
        "chosen",
        "delivered",
        "paid",
        "confirmed",
        "shot",
        "renewed",
        "running",
        "released",
        "received",
        "done",
        "matched",
    ),
    "look": (
        "late",
        "held back",
        "unsigned",
        "not signed",
        "revoked",
        "withdrawn",
        "refused",
        "clash",
        "repeat",
        "bounced",
        "parked",
        "missing",
        "called back",
    ),
    "wait": (
        "sent",
        "offered",
        "pencilled",
        "postponed",
        "part-paid",
        "part paid",
        "waiting",
        "issued",
        "due",
        "queued",
        "kept",
        "opened",
    ),
    "open": ("draft", "enquiry", "unplaced", "agreed", "not begun", "planned", "open"),
}
KIND_OF_WORD = {word: kind for kind, words in STATE_WORDS.items() for word in words}


def _language() -> str:
    return get_language() or "en"


@register.filter
def money(value: Decimal | None, currency: str = "EUR") -> str:
    """€2,539.84."""
    return "" if value is None else formats.money(Decimal(value), currency or "EUR", _language())


@register.filter
def amount(value: Decimal | None, currency: str = "EUR") -> str:
    """2,539.84, for tables of one currency."""
    return "" if value is None else formats.plain_money(Decimal(value), currency or "EUR", _language())


@register.filter
def currency_head(currency: str) -> str:
    """Euro: the head of a column of money whose cells drop the sign; the code for any other currency."""
    return "Euro" if currency == "EUR" else currency


@register.filter
def with_carried(lines: tuple[PaperLine, ...]) -> list[tuple[PaperLine, Decimal]]:
    """Each line of a paper with the sum so far."""
    return letterhead.with_carried(tuple(lines))


@register.filter
def percent(value: Decimal | int | None) -> str:
    """19%, of a value in per cent."""
    return "" if value is None else formats.percent(value, _language())


@register.filter
def quantity(value: Decimal | int | None, unit: str = "") -> str:
    """3.75; with a unit of ``formats.UNIT_WORDS``: 46 km, 9 pictures."""
    return "" if value is None else formats.quantity(value, unit, _language())


@register.simple_tag
def rate(value: Decimal | None, currency: str = "EUR", unit: str = "") -> str:
    """€65.00 an hour."""
    return "" if value is None else formats.rate(Decimal(value), currency, unit, _language())


def _as_day(value: Any) -> date | None:
    if isinstance(value, datetime):
        return timezone.localtime(value).date() if timezone.is_aware(value) else value.date()
    return value or None


@register.filter
def day(value: Any) -> str:
    """14 Nov 2026."""
    found = _as_day(value)
    return formats.day(found, _language()) if found else ""


@register.filter
def short_day(value: Any) -> str:
    """14 Nov."""
    found = _as_day(value)
    return formats.short_day(found, _language()) if found else ""


@register.filter
def long_day(value: Any) -> str:
    """Saturday 14 November 2026."""
    found = _as_day(value)
    return formats.long_day(found, _language()) if found else ""


@register.filter
def written_day(value: Any) -> str:
    """14 November 2026."""
    found = _as_day(value)
    return formats.written_day(found, _language()) if found else ""


@register.filter
def month(value: Any) -> str:
    """November 2026."""
    found = _as_day(value)
    return formats.month(found, _language()) if found else ""


@register.filter
def moment(value: datetime | None) -> str:
    """14 Nov 2026, 10:42 in the active time zone."""
    return formats.moment(value, timezone.get_current_timezone(), _language()) if value else ""


@register.filter
def clock(value: Any) -> str:
    """10:42 by the 24-hour clock."""
    if isinstance(value, datetime) and timezone.is_aware(value):
        value = timezone.localtime(value)
    return f"{value:%H:%M}" if value is not None and value != "" else ""


@register.filter
def from_now(value: Any, today: date) -> str:
    """in 8 days, tomorrow, today, 8 days late: the day count beside a due date."""
    found = _as_day(value)
    if found is None:
        return ""
    count = (found - today).days
    if count < 0:
        return ngettext("%(count)d day late", "%(count)d days late", -count) % {"count": -count}
    if count < 2:
        return (gettext("today"), gettext("tomorrow"))[count]
    return gettext("in %(count)d days") % {"count": count}


@register.simple_tag
def icon(name: str) -> SafeString:
    """One of ICONS, hidden from screen readers: a word always stands beside it."""
    if name not in ICONS:
        raise template.TemplateSyntaxError(f"no icon {name!r}; there are {', '.join(ICONS)}")
    return format_html('<i class="i i-{}" aria-hidden="true"></i>', name)


@register.simple_tag
def state(kind: str, words: Any, icon: str | None = None) -> SafeString:
    """A state: an icon and a word. Kinds: done, look, wait, open, now, plain."""
    if kind not in STATE_ICONS:
        raise template.TemplateSyntaxError(f"no state {kind!r}; there are {', '.join(STATE_ICONS)}")
    name = STATE_ICONS[kind] if icon is None else icon
    mark = format_html('<i class="i i-{}" aria-hidden="true"></i>', name) if name else ""
    look = {"open": "wait", "plain": ""}.get(kind, kind)
    return (
        format_html('<span class="st {}">{}{}</span>', look, mark, words)
        if look
        else format_html('<span class="st">{}{}</span>', mark, words)
    )


@register.simple_tag
def state_word(words: Any) -> SafeString:
    """A state by its own word: the first words decide the look, so “Signed 14 Nov” looks signed."""
    bare = str(words).lower().strip()
    kind = KIND_OF_WORD.get(bare) or next(
        (kind for word, kind in KIND_OF_WORD.items() if bare.startswith((word + " ", word + ","))), "plain"
    )
    return SafeString(state(kind, words))


@register.simple_tag
def once() -> SafeString:
    """The one-time key of a form that makes something: pressing twice changes nothing twice."""
    return format_html('<input type="hidden" name="once" value="{}">', uuid.uuid4())


@register.simple_tag
def thumb(url: str, alt: str) -> SafeString:
    """A small picture in a row."""
    return format_html(
        '<img class="thumb" src="{}" alt="{}" width="72" height="48" loading="lazy" decoding="async">', url, alt
    )


@register.simple_tag
def frame(url: str, alt: str, number: str = "", note: str = "", link: str = "", shape: str = "") -> SafeString:
    """A picture in its black frame, its number below. ``shape="whole"`` shows the picture's own shape, not 3:2."""
    image = format_html('<img src="{}" alt="{}" loading="lazy" decoding="async">', url, alt)
    if link:
        image = format_html('<a href="{}">{}</a>', link, image)
    return format_html(
        '<figure class="cf{}">{}<figcaption><span>{}</span>{}</figcaption></figure>',
        " whole" if shape == "whole" else "",
        image,
        number,
        format_html("<span>{}</span>", note) if note else "",
    )


ROLES = {"table": "table", "thead": "rowgroup", "tbody": "rowgroup", "tfoot": "rowgroup", "tr": "row", "td": "cell"}


def _with_role(found: re.Match[str]) -> str:
    name, rest = found[1], found[2]
    if " role=" in rest:
        return found[0]
    role = ROLES.get(name) or ("rowheader" if 'scope="row"' in rest else "columnheader")
    return f'<{name} role="{role}"{rest}>'


class RolesNode(template.Node):
    """Adds the table roles that a phone's block layout would drop."""

    def __init__(self, inside: NodeList) -> None:
        self.inside = inside

    def render(self, context: Context) -> SafeString:
        return mark_safe(
            re.sub(r"<(table|thead|tbody|tfoot|tr|td|th)((?:\s[^<>]*)?)>", _with_role, self.inside.render(context))
        )


@register.tag
def roles(parser: Parser, _token: Token) -> RolesNode:
    """{% roles %}<table class="tbl">…</table>{% endroles %}."""
    inside = parser.parse(("endroles",))
    parser.delete_first_token()
    return RolesNode(inside)


def _bar(placed: charts.PlacedBar) -> SafeString:
    bar = placed.bar
    kind = "" if bar.kind == "granted" else " " + bar.kind
    drawn = format_html(
        '<svg class="term{}" x="{}%" y="{}" width="{}%" height="{}" overflow="visible"><title>{}</title>'
        '<rect y="1" width="100%" height="{}"/><svg width="100%" height="{}"><text x="9" y="{}">{}</text></svg></svg>',
        kind,
        placed.left,
        placed.top,
        placed.width,
        charts.BAR_HEIGHT,
        bar.words,
        charts.BAR_HEIGHT - 2,
        charts.BAR_HEIGHT,
        charts.BAR_HEIGHT // 2 + 4,
        bar.drawn or bar.words,
    )
    return format_html('<a href="{}">{}</a>', bar.url, drawn) if bar.url else drawn


@register.simple_tag
def term_chart(chart: charts.TermChart) -> SafeString:
    """The chart in its own scrolling box. The page shows the same facts as a table beside it."""
    marks = charts.quarter_marks(chart)
    years = format_html_join(
        "",
        '<line class="year" x1="{0}%" x2="{0}%" y1="0" y2="22"/><text class="yr" x="{0}%" dx="5" y="14">{1}</text>',
        ((left, first.year) for first, left, is_year in marks if is_year),
    )
    months = format_html_join(
        "",
        '<line class="grid" x1="{0}%" x2="{0}%" y1="22" y2="46"/><text class="mo" x="{0}%" dx="5" y="38">{1}</text>',
        ((left, formats.short_day(first, _language()).split(formats.HARD)[-1]) for first, left, _is_year in marks),
    )
    lines = format_html_join(
        "", '<line class="grid" x1="{0}%" x2="{0}%" y1="0" y2="100%"/>', ((left,) for _first, left, _is_year in marks)
    )
    now = ""
    if chart.begins_on <= chart.today < chart.ends_before:
        now = format_html(
            '<svg class="today" x="{}%" y="0" width="4" height="100%" overflow="visible"><rect x="-1" y="-1" width="3" height="110%"/></svg>',
            f"{charts.place(chart, chart.today):.2f}",
        )
    rows = []
    for lane in chart.lanes:
        placed = charts.placed_bars(chart, lane)
        rows.append(
            format_html(
                '<div class="lane">{}<small>{}</small></div><svg class="track" height="{}" role="group" aria-label="{}">{}{}{}</svg>',
                lane.name,
                lane.detail,
                charts.track_height(placed),
                lane.name,
                lines,
                now,
                format_html_join("", "{}", ((_bar(each),) for each in placed)),
            )
        )
    return format_html(
        '<div class="scroll" tabindex="0" role="group" aria-label="{}"><div class="chart"><div class="head"></div><svg class="head" height="46" aria-hidden="true">{}{}</svg>{}</div></div>',
        chart.label, years, months, format_html_join("", "{}", ((row,) for row in rows)),
    )  # fmt: skip


@register.simple_tag
def key_of_terms() -> SafeString:
    """What the bars of a term chart mean."""
    words = (
        ("", gettext("Granted")),
        (" sole", gettext("Granted, exclusive")),
        (" due", gettext("Agreed, not begun")),
        (" past", gettext("Ended")),
        (" free", gettext("Free to sell")),
        (" clash", gettext("Clash")),
    )
    items = format_html_join(
        "",
        '<li><svg class="term{}" width="36" height="18" aria-hidden="true"><rect x="1" y="1" width="34" height="16"/></svg>{}</li>',
        words,
    )
    return format_html(
        '<ul class="key" aria-label="{}">{}<li><svg class="chart today" width="6" height="18" aria-hidden="true"><g class="today"><rect x="1" y="1" width="4" height="16"/></g></svg>{}</li></ul>',
        gettext("Key"),
        items,
        gettext("Today"),
    )


@register.simple_tag
def both_words(words: list[tuple[str, str]]) -> SafeString:
    """The same words in each language of a sheet, each marked with its language: *Achtung / Caution*."""
    return format_html_join(" / ", '<span lang="{}">{}</span>', words)
