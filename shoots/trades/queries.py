from collections import Counter
from dataclasses import dataclass
from datetime import date
from itertools import chain

from django.db.models import Count, Q

from clients.models import Client, Trade
from shared.papers.kept import digest_of
from shared.words import formats
from shoots.brief.models import SellingOn, Shoot
from shoots.licences.models import Licence, LicencePicture
from shoots.licences.queries import STATES_THAT_BLOCK, grant_of
from shoots.licences.wording import shared_in_words
from shoots.pictures.models import Picture
from shoots.trades.joining import Meeting, meetings
from shoots.uses.days import last_day


@dataclass(frozen=True, slots=True)
class Uses:
    """How many clients are of a trade, licences name it, and shoots are closed to it."""

    clients: int = 0
    licences: int = 0
    shoots: int = 0

    @property
    def is_none(self) -> bool:
        return not (self.clients or self.licences or self.shoots)

    def in_words(self) -> str:
        """*2 clients, 1 licence*; *not used*."""
        nouns = (("client", self.clients), ("licence", self.licences), ("shoot", self.shoots))
        return ", ".join(f"{count} {noun}{'' if count == 1 else 's'}" for noun, count in nouns if count) or "not used"


@dataclass(frozen=True, slots=True)
class MeetingInWords:
    """Two licences that would clash: their numbers and keys, who holds them, and what both would claim."""

    numbers: tuple[str, str]
    keys: tuple[int, int]
    holders: tuple[str, str]
    shared: str
    must_stop: bool


@dataclass(frozen=True, slots=True)
class Preview:
    """What joining two trades would do. ``seen`` is handed back when it is done, so that nothing happens that was not shown."""

    moved: Uses
    meetings: tuple[MeetingInWords, ...]
    closed: tuple[Shoot, ...]
    seen: str

    @property
    def stopping(self) -> tuple[MeetingInWords, ...]:
        return tuple(each for each in self.meetings if each.must_stop)

    @property
    def told(self) -> tuple[MeetingInWords, ...]:
        return tuple(each for each in self.meetings if not each.must_stop)


def uses_by_trade() -> dict[str, Uses]:
    """How often each trade is named, by its name: three queries, however many there are."""
    clients = dict(Client.objects.exclude(trade="").order_by().values_list("trade").annotate(Count("pk")))
    licences = dict(
        Licence.objects.exclude(trade_listed="").order_by().values_list("trade_listed").annotate(Count("pk"))
    )
    shoots = Counter(chain.from_iterable(shoot.selling_on_not_to for shoot in shoots_closed_to_trades()))
    names = clients.keys() | licences.keys() | shoots.keys()
    return {name: Uses(clients.get(name, 0), licences.get(name, 0), shoots[name]) for name in names}


def trade_rows() -> list[tuple[Trade, Uses]]:
    """Every trade on the list with how often it is named."""
    uses = uses_by_trade()
    return [(trade, uses.get(trade.name, Uses())) for trade in Trade.objects.all()]


def shoots_closed_to_trades() -> list[Shoot]:
    """The shoots whose pictures are not sold to named trades."""
    return list(
        Shoot.objects.filter(selling_on=SellingOn.NOT_TO).only("pk", "title", "selling_on_not_to").order_by("pk")
    )


def shoots_naming(*trades: str) -> set[int]:
    """The keys of the shoots closed to these trades, and of those whose licences, or their pictures' licences, are of them."""
    of_licences = Licence.objects.filter(trade_listed__in=trades).exclude(shoot=None).order_by()
    of_pictures = LicencePicture.objects.filter(licence__trade_listed__in=trades).order_by()
    closed = {shoot.pk for shoot in shoots_closed_to_trades() if set(shoot.selling_on_not_to) & set(trades)}
    return {
        *closed,
        *of_licences.values_list("shoot", flat=True).distinct(),
        *of_pictures.values_list("picture__shoot", flat=True).distinct(),
    }


def join_preview(gone: Trade, into: Trade, on: date) -> Preview:
    """What joining ``gone`` into another trade would do to the licences that stand on that day. A constant number of queries."""
    names = (gone.name, into.name)
    found = Licence.objects.filter(trade_listed__in=names, state__in=STATES_THAT_BLOCK)
    found = found.filter(Q(is_placed=False) | Q(use_until=None) | Q(use_until__gt=on))
    licences = list(found.select_related("licensee").prefetch_related("licence_pictures").order_by("pk"))
    unplaced = {licence.shoot_id for licence in licences if not licence.is_placed}
    of_shoot: dict[int, set[str]] = {}
    for key, shoot in Picture.objects.filter(shoot__in=unplaced).order_by().values_list("pk", "shoot"):
        of_shoot.setdefault(shoot, set()).add(str(key))
    by_id = {str(licence.pk): licence for licence in licences}
    grants = [grant_of(licence, _pictures_of(licence, of_shoot)) for licence in licences]
    told = tuple(_in_words(each, by_id) for each in meetings(grants, names, on))
    closed = tuple(shoot for shoot in shoots_closed_to_trades() if len(set(shoot.selling_on_not_to) & set(names)) == 1)
    facts = [*names, *(f"{each.numbers} {each.shared}" for each in told), *(str(shoot.pk) for shoot in closed)]
    return Preview(uses_by_trade().get(gone.name, Uses()), told, closed, digest_of({"shown": facts}))


def _pictures_of(licence: Licence, of_shoot: dict[int, set[str]]) -> set[str]:
    """Its pictures; unplaced, it stands for those of its shoot, and for the shoot itself before there are any."""
    if licence.is_placed:
        return {str(row.picture_id) for row in licence.licence_pictures.all()}
    return {f"shoot-{licence.shoot_id}", *of_shoot.get(licence.shoot_id or 0, ())}


def _in_words(meeting: Meeting, by_id: dict[str, Licence]) -> MeetingInWords:
    clash = meeting.clash
    # The older licence first: by their ids as text the tenth would stand before the ninth.
    one, other = sorted((by_id[clash.wanted], by_id[clash.held]), key=lambda licence: licence.pk)
    until = f" to {formats.day(last_day(clash.shared_until), 'en')}" if clash.shared_until else ", without end"
    what = shared_in_words(clash.classes, clash.media, clash.territories)
    return MeetingInWords(
        (one.number, other.number),
        (one.pk, other.pk),
        (one.licensee.name, other.licensee.name),
        f"{what}, {formats.day(clash.shared_from, 'en')}{until}",
        meeting.must_stop,
    )
