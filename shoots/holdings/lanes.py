"""The lanes of the term charts: of a picture by use, of a client and of a shoot by licence."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from shared.words import formats
from shared.words.chart import Bar, Lane, TermChart, month_after, placed_bars
from shoots.licences.grants import Grant
from shoots.licences.standing import bars_of
from shoots.licences.wishes import CommonWish, Sale
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Trees

MONTHS_BACK = 8
"""Of the chart's months, a third lies behind."""


@dataclass(frozen=True, slots=True)
class Held:
    """A licence for a chart: its value, its holder's name, its use in a line, its page."""

    grant: Grant
    who: str
    use: str
    url: str = ""


def touches(grant: Grant, wish: CommonWish, trees: Trees = IN_FORCE) -> bool:
    """True when a licence and a wish share class, medium and territory, whatever the days."""
    return bool(
        grant.classes & wish.classes
        and trees.media.mask(grant.media) & trees.media.mask(wish.media)
        and trees.territories.mask(grant.territories) & trees.territories.mask(wish.territories)
    )


def first_month(on: date) -> date:
    """Where a chart begins, so that today stands a third from its left."""
    return month_after(on.replace(day=1), -MONTHS_BACK)


def picture_chart(
    title: str,
    on: date,
    *,
    held: Sequence[Held],
    sales: Iterable[Sale],
    clashing: Collection[str],
    grant_urls: Mapping[str, str],
) -> TermChart:
    """Who holds each common use of a picture and from when it is free; licences that meet none have lanes of their own.

    ``clashing``: ids of offers that another licence stands against. ``grant_urls``: where to grant each wish, by key.
    """
    lanes, placed = [], set()
    for sale in sales:
        meeting = [each for each in held if touches(each.grant, sale.wish)]
        placed |= {each.grant.id for each in meeting}
        bars = [bar for each in meeting for bar in _bars(each, on, clashing)]
        bars += _free(sale, on, grant_urls.get(sale.wish.key, ""))
        lanes.append(Lane(sale.wish.name, sale.wish.detail, tuple(bars)))
    for each in held:
        if each.grant.id not in placed:
            lanes.append(Lane(each.use, "", tuple(_bars(each, on, clashing))))
    return TermChart(title, first_month(on), on, tuple(lanes))


def client_chart(title: str, on: date, *, held: Iterable[Held], renewals: Mapping[str, str]) -> TermChart:
    """What a client may use, a lane a licence. ``renewals``: where to renew each licence that ends soon, by id."""
    lanes = []
    for each in held:
        bars = list(bars_of(each.grant, on, who=each.who, url=each.url, is_named=True))
        if each.grant.id in renewals and each.grant.until is not None:
            bars.append(Bar("free", each.grant.until, None, "Renew", renewals[each.grant.id]))
        lanes.append(Lane(each.who, each.use, tuple(bars)))
    return TermChart(title, first_month(on), on, tuple(lanes))


def shoot_chart(title: str, on: date, *, held: Iterable[Held]) -> TermChart:
    """Who holds what of a shoot's pictures: a lane a licence, by holder, the first to begin on top; those the months do not show stay out."""
    drawn = TermChart(title, first_month(on), on, ())
    lanes = []
    for each in sorted(held, key=lambda one: (one.who, one.grant.use_from, one.grant.id)):
        lane = Lane(each.who, each.use, bars_of(each.grant, on, who=each.who, url=each.url, is_named=True))
        if placed_bars(drawn, lane):
            lanes.append(lane)
    return TermChart(title, first_month(on), on, tuple(lanes))


def _bars(held: Held, on: date, clashing: Collection[str]) -> list[Bar]:
    bars = bars_of(held.grant, on, who=held.who, url=held.url)
    if held.grant.id not in clashing:
        return list(bars)
    return [Bar("clash", bar.from_on, bar.last_on, f"{held.who} asks", bar.url) for bar in bars]


def _free(sale: Sale, on: date, url: str) -> list[Bar]:
    if sale.shared_from is None:
        return []
    first, sole = sale.shared_from, sale.exclusive_from
    if sole is None:
        return [Bar("free", first, None, _from("Free, not exclusive", first, on), url)]
    if sole <= first:
        return [Bar("free", first, None, _from("Free", first, on), url)]
    return [
        Bar("free", first, sole - timedelta(days=1), _from("Free", first, on), url),
        Bar("free", sole, None, f"Also exclusive from {formats.day(sole, 'en')}", f"{url}&first={sole.isoformat()}"),
    ]


def _from(words: str, first: date, on: date) -> str:
    return words if first <= on else f"{words} from {formats.day(first, 'en')}"
