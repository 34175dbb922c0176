"""What becomes of a trade on the list: another name, one with another, taken out. Agreed words stay as they were agreed."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TypeVar

from django.db import IntegrityError, transaction

from clients.actions import claim_names
from clients.models import Client, Trade, TradeWord
from clients.trades import TradeRefused, read_names, read_trade
from shared.business.queries import today
from shared.edits import save_edit
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shoots.brief.actions import lock_shoots
from shoots.brief.models import Shoot
from shoots.licences.models import Licence, LicenceState
from shoots.trades.queries import (
    Preview,
    Uses,
    join_preview,
    shoots_closed_to_trades,
    shoots_naming,
    uses_by_trade,
)

NOT_AGREED = (LicenceState.DRAFT, LicenceState.OFFERED)
Done = TypeVar("Done")


class TradesClash(Refusal):
    """Joined, two licences that were each sold as exclusive would stand against each other."""

    def __init__(self, preview: Preview) -> None:
        self.preview = preview
        pairs = " ".join(
            f"{each.numbers[0]} ({each.holders[0]}) and {each.numbers[1]} ({each.holders[1]}): {each.shared}."
            for each in preview.stopping[:3]
        )
        more = f" {len(preview.stopping) - 3} more pairs stand against it." if len(preview.stopping) > 3 else ""
        super().__init__(
            f"As one trade, exclusive licences that are agreed would clash. {pairs}{more}",
            "Both trades are as they were.",
            "Keep them apart until one of each pair has ended, or change that licence first.",
        )


class ShownOtherwise(Refusal):
    """Between looking and joining a licence, a shoot or a trade changed."""

    def __init__(self) -> None:
        super().__init__(
            "Something changed since you looked: joining would do other things than were shown.",
            "Both trades are as they were.",
            "Look again, then join them.",
        )


class TradeIsGone(Refusal):
    """Somebody joined it with another, or took it out, just now."""

    def __init__(self) -> None:
        super().__init__(
            "This trade is not on the list any more: somebody joined it with another or took it out.",
            "Nothing was changed.",
            "Look at the list of trades as it is now.",
        )


class TradeStays(Refusal):
    """A trade that something names is not taken out."""

    def __init__(self, trade: Trade, uses: Uses) -> None:
        self.uses = uses
        super().__init__(
            f"“{trade}” stays: {uses.in_words()} name{'s' if uses in ONE else ''} it.",
            "The list of trades is as it was.",
            "Rename it, or join it with another trade.",
        )


ONE = (Uses(clients=1), Uses(licences=1), Uses(shoots=1))


class _MoreShoots(Exception):
    """Shoots came to name a trade while its row was waited for: everything is let go and begun anew, shoots first."""


def rename_trade(trade: Trade, *, name: str, names: Mapping[str, str], version: int, by: str, at: datetime) -> Trade:
    """Another name, and what the trade is called on papers by language (``names``, empty ones left out).

    Clients, offers and shoots follow; what was agreed keeps its words, and goes on meaning this trade. The name before stays with it,
    so that nobody adds it anew as another trade. Raises TradeRefused, EditedMeanwhile, TradeIsGone.
    """
    name, names = read_trade(name), read_names(names)

    def rename() -> Trade:
        (row,) = _locked(trade)
        was, row.name, row.names = row.name, name, names
        try:
            with transaction.atomic():
                claim_names(row)
                save_edit(row, ["name", "names"], version=version)
        except IntegrityError:
            raise TradeRefused(f"“{name}” was put on the list just now.", "Look at the list, then rename.") from None
        if was != name:
            _called_anew(was, name)
        payload = {"was": was, "became": name, "names": dict(names), "by": conceal(by)}
        record_evidence("trade_renamed", subject=f"trade:{row.pk}", payload=payload, at=at)
        return row

    return _with_every_shoot(rename)


def join_trades(gone: Trade, *, into: Trade, seen: str, by: str, at: datetime) -> Trade:
    """Makes two trades one: from now on firms of both are of the same trade, and every name of ``gone`` is one of ``into``.

    ``seen`` is that of the ``Preview`` shown before. Shoots and both trades are locked, as agreeing on a licence locks them, and the
    question is asked anew. It is never taken back. Raises TradesClash where two exclusive licences would clash, ShownOtherwise,
    TradeIsGone.
    """

    def join() -> Trade:
        if gone.pk == into.pk:
            raise TradeRefused("A trade is not joined with itself.", "Choose another one.")
        rows = {row.pk: row for row in _locked(gone, into)}
        leaving, staying = rows[gone.pk], rows[into.pk]
        preview = join_preview(leaving, staying, today(at))
        if preview.stopping:
            raise TradesClash(preview)
        if preview.seen != seen:
            raise ShownOtherwise
        TradeWord.objects.filter(trade=leaving).update(trade=staying)
        _called_anew(leaving.name, staying.name)
        leaving.delete()
        payload = {
            "gone": leaving.name,
            "into": staying.name,
            "clients": preview.moved.clients,
            "licences": preview.moved.licences,
            "shoots": preview.moved.shoots,
            "clashes": [list(each.numbers) for each in preview.meetings],
            "by": conceal(by),
        }
        record_evidence("trades_joined", subject=f"trade:{staying.pk}", payload=payload, at=at)
        return staying

    return _with_every_shoot(join)


def remove_trade(trade: Trade, *, by: str, at: datetime) -> None:
    """Takes a trade off the list that no client, licence or shoot names, with every name it had. Raises TradeStays, TradeIsGone."""

    def remove() -> None:
        (row,) = _locked(trade)
        uses = uses_by_trade().get(row.name, Uses())
        if not uses.is_none:
            raise TradeStays(row, uses)
        payload = {"name": row.name, "by": conceal(by)}
        record_evidence("trade_removed", subject=f"trade:{row.pk}", payload=payload, at=at)
        row.delete()

    _with_every_shoot(remove)


def _with_every_shoot(deed: Callable[[], Done]) -> Done:
    while True:
        try:
            with transaction.atomic():
                return deed()
        except _MoreShoots:
            continue


def _locked(*trades: Trade) -> list[Trade]:
    """The rows as they are now, locked after every shoot that names them: in this order whoever agrees on a licence locks, too."""
    keys = {trade.pk for trade in trades}
    names = set(Trade.objects.filter(pk__in=keys).values_list("name", flat=True))
    shoots = shoots_naming(*names)
    lock_shoots(*shoots)
    rows = list(Trade.objects.select_for_update(no_key=True).filter(pk__in=keys).order_by("pk"))
    if len(rows) < len(keys):
        raise TradeIsGone
    now = {row.name for row in rows}
    if now != names or not shoots_naming(*now) <= shoots:
        raise _MoreShoots
    return rows


def _called_anew(was: str, became: str) -> None:
    """Clients, offers and shoots name the trade as it is called now; a licence that is agreed is only compared by it."""
    Client.objects.filter(trade=was).update(trade=became)
    Licence.objects.filter(trade_listed=was, state__in=NOT_AGREED).update(trade=became)
    Licence.objects.filter(trade_listed=was).update(trade_listed=became)
    for shoot in shoots_closed_to_trades():
        if was in shoot.selling_on_not_to:
            names = [became if each == was else each for each in shoot.selling_on_not_to]
            Shoot.objects.filter(pk=shoot.pk).update(selling_on_not_to=list(dict.fromkeys(names)))
