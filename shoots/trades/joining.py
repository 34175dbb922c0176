"""What two trades joined to one would do to the licences that stand. Values in, pairs out; no clock."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import date

from clients.trades import trade_key
from shoots.licences.conflicts import Clash, find_clashes, find_conflicts
from shoots.licences.grants import Grant
from shoots.uses.days import is_before
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Trees


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two licences that stand beside each other today and would clash as one trade. ``must_stop``: each is sold as exclusive."""

    clash: Clash
    must_stop: bool


def meetings(
    grants: Iterable[Grant], trades: Collection[str], on: date, *, trees: Trees = IN_FORCE
) -> tuple[Meeting, ...]:
    """The pairs of licences that come to clash from that day on once ``trades`` are one, by id; days before it count no more.

    Joining only ever adds a pair: firms of one trade stay of one trade. Hand in the blocking licences of these trades.
    """
    standing = [still for grant in grants if (still := _from_day(grant, on)) is not None]
    keys = {trade_key(name) for name in trades}
    as_one = [
        replace(grant, trade=min(trades)) if grant.trade and trade_key(grant.trade) in keys else grant
        for grant in standing
    ]
    before, by_id = set(find_conflicts(standing, trees)), {grant.id: grant for grant in as_one}
    return tuple(
        Meeting(
            find_clashes(by_id[one], [by_id[other]], trees)[0], by_id[one].is_exclusive and by_id[other].is_exclusive
        )
        for one, other in find_conflicts(as_one, trees)
        if (one, other) not in before
    )


def _from_day(grant: Grant, on: date) -> Grant | None:
    """What is left of a licence from that day on; None where it is over."""
    if grant.use_from >= on:
        return grant
    return replace(grant, use_from=on) if is_before(on, grant.until) else None
