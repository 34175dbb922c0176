"""Finds a good plan for a day: serial schedule generation from a priority list, improved by simulated annealing.

The search is counted in placements, never by a clock, so that the same day and seed give the same plan on every machine. Time is held
as bits: bit ``m`` of a whole number says that minute ``m`` is taken, so that the first free stretch is found by a few shifts.

Methods: serial generation, Kolisch and Sprecher, EJOR 96 (1997); double justification, Valls, Ballestin and Quintanilla, EJOR 165
(2005); both from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from heapq import heapify, heappop, heappush
from math import exp

from shoots.run.chance import Chance
from shoots.run.day_plan import (
    OUTSIDE_COSTS,
    Activity,
    Day,
    Plan,
    Resource,
    broken,
    cautions_of,
    check,
    minutes_outside,
    waits,
)
from shoots.run.lower_bound import lower_bound

PLACEMENTS_A_SECOND = 300_000  # measured on one slow core; a faster one needs less than the second
WORK_OF_A_USUAL_DAY = 60_000  # minutes times places, below which a day is a usual one
LATE_COSTS = 60  # for each minute by which something is not done when a pin wants it
RESTARTS = 4
FRESHNESS = 0.0003  # of a minute's cost, for each minute that food waits
LOOK_AT_WAITS = 3  # passes that one look at the waits counts for

Starts = list[int]


def plan_day(day: Day, *, seconds: float = 1, seed: int = 1, begin: Mapping[str, int] | None = None) -> Plan:
    """The best plan found for a day, pushed late where it costs nothing. Raises InvalidDay.

    ``seconds`` is how much to search (none: the first plan). ``begin``: starts of an earlier plan; the search sets out from their order,
    and where they still hold nothing worse is given.
    """
    check(day)
    bound = lower_bound(day)
    if not day.activities:
        return Plan({}, 0, 0, 0)
    search = _Search(day, bound, Chance(seed))
    given = None
    if begin:  # a pin stays where it was typed, wherever the earlier plan had it
        given = [begin.get(each.id, each.not_before) if each.pinned is None else each.pinned for each in day.activities]
    starts = search.best_of(int(seconds * PLACEMENTS_A_SECOND), given)
    return plan_of(day, {activity.id: start for activity, start in zip(day.activities, starts, strict=True)}, bound)


def first_plan(day: Day, *, begin: Mapping[str, int] | None = None) -> Plan:
    """The first plan of a day, without a search. Raises InvalidDay. Kept, since pages ask for the same day again and again."""
    return _first_plan(tuple(day.resources.items()), day.activities, tuple((begin or {}).items()))


@lru_cache(maxsize=256)
def _first_plan(
    resources: tuple[tuple[str, Resource], ...],
    activities: tuple[Activity, ...],
    begin: tuple[tuple[str, int], ...],
) -> Plan:
    return plan_day(Day(dict(resources), activities), seconds=0, begin=dict(begin) or None)


def plan_of(day: Day, starts: dict[str, int], bound: int | None = None) -> Plan:
    """A plan from its starts, with finish, cost and what does not hold."""
    finish = max((starts[activity.id] + activity.minutes for activity in day.activities), default=0)
    return Plan(
        starts,
        finish,
        lower_bound(day) if bound is None else bound,
        finish + _penalty(day, starts),
        cautions_of(day, starts),
    )


def hold_excess(day: Day, starts: dict[str, int]) -> int:
    """Minutes that food waits beyond what it bears, all dishes together."""
    waiting = waits(day, starts)
    return sum(
        max(0, waiting.get(activity.id, 0) - activity.hold) for activity in day.activities if activity.hold is not None
    )


def _penalty(day: Day, starts: dict[str, int]) -> int:
    by_id = {activity.id: activity for activity in day.activities}
    cost = 0
    for activity in day.activities:
        cost += OUTSIDE_COSTS * minutes_outside(starts[activity.id], activity.minutes, activity.window)
        if activity.pinned is not None:
            for key in activity.after:
                late = starts[key] + by_id[key].minutes - activity.pinned - activity.lead
                cost += LATE_COSTS * max(0, late)
    return cost


class _Taken:
    """How much of each resource is taken when: ``levels[r][k]`` has the minutes in which at least ``k + 1`` of ``r`` are taken."""

    __slots__ = ("levels", "needs")

    def __init__(self, levels: list[list[int]], needs: list[tuple[tuple[int, int, int, int, bool], ...]]) -> None:
        self.levels, self.needs = levels, needs

    def copy(self) -> _Taken:
        return _Taken([list(each) for each in self.levels], self.needs)

    def closed_starts(self, index: int) -> int:
        """The minutes at which an activity cannot begin, as bits."""
        shut = 0
        for resource, amount, start, length, _ in self.needs[index]:
            levels = self.levels[resource]
            taken = levels[len(levels) - amount]
            if taken:
                reach = 1
                while reach * 2 <= length:
                    taken |= taken >> reach
                    reach *= 2
                if reach < length:
                    taken |= taken >> (length - reach)
                shut |= taken >> start
        return shut

    def first_from(self, index: int, start: int) -> int:
        """The first minute from ``start`` at which an activity can begin. A block's own minutes before nought never count."""
        shut = self.closed_starts(index) >> start
        return start + ((shut + 1) & ~shut).bit_length() - 1

    def last_until(self, index: int, start: int) -> int:
        """The last minute up to ``start`` at which an activity can begin; -1 where there is none."""
        return (~self.closed_starts(index) & ((1 << (start + 1)) - 1)).bit_length() - 1 if start >= 0 else -1

    def take(self, index: int, at: int) -> None:
        for resource, amount, start, length, is_counted in self.needs[index]:
            if not is_counted:
                continue
            levels, block = self.levels[resource], ((1 << length) - 1) << (at + start)
            for place in range(len(levels) - 1, amount - 1, -1):
                levels[place] |= levels[place - amount] & block
            for place in range(min(amount, len(levels))):
                levels[place] |= block


class _Search:
    """One search over one day. Activities are their places in the day; a list of them is an order in which they are placed."""

    def __init__(self, day: Day, bound: int, chance: Chance) -> None:
        self.day, self.bound, self.chance = day, bound, chance
        activities = day.activities
        place = {activity.id: index for index, activity in enumerate(activities)}
        self.count = len(activities)
        self.minutes = [activity.minutes for activity in activities]
        self.lead = [activity.lead for activity in activities]
        self.before = [[place[key] for key in dict.fromkeys(activity.after)] for activity in activities]
        self.behind = [[place[key] for key in dict.fromkeys(day.followers[each.id])] for each in activities]
        self.pinned = {index: each.pinned for index, each in enumerate(activities) if each.pinned is not None}
        self.windows = {index: each.window for index, each in enumerate(activities) if each.window}
        self.flags = [index for index in self.windows if index not in self.pinned]
        self.free = [index for index in range(self.count) if index not in self.pinned]
        groups: dict[str, list[int]] = {}
        for index in self.free:
            groups.setdefault(activities[index].group, []).append(index)
        self.groups = [group for name, group in groups.items() if name and 1 < len(group) < len(self.free)]
        self.has_holds = any(activity.hold is not None for activity in activities)
        self.dishes = [index for index, each in enumerate(activities) if each.group and self.behind[index]]
        self.looks = self.has_holds or bool(self.dishes)
        self.empty = self._empty_day()
        self.base = self.empty.copy()
        for index, start in self.pinned.items():
            self.base.take(index, start)
        latest = max((each.not_before + each.minutes for each in activities), default=0)
        span = (
            latest
            + sum(self.minutes)
            + max((shut for each in day.resources.values() for _, shut in each.closed), default=0)
        )
        levels = sum(len(each) for each in self.empty.levels)
        # A pass over a day of thousands of minutes and places counts for more, so that a second of search stays about one.
        self.weight = self.count * (1 + levels * span // WORK_OF_A_USUAL_DAY)
        self.left = 0
        self.best: tuple[int, int, int] = (0, 0, 0)
        self.found: Starts = []

    def _empty_day(self) -> _Taken:
        names: dict[str, int] = {}
        levels: list[list[int]] = []
        counted: dict[str, bool] = {}
        for name, resource in self.day.resources.items():
            wanted = sum(need.amount for each in self.day.activities for need in each.needs if need.resource == name)
            shut = 0
            for since, until in resource.closed:
                if until > since:
                    shut |= ((1 << (until - since)) - 1) << since
            counted[name] = resource.amount is not None and wanted > resource.amount
            if counted[name] or shut:
                names[name] = len(levels)
                levels.append([shut] * (resource.amount or 1 if counted[name] else 1))
        needs = [
            tuple(
                (names[need.resource], need.amount if counted[need.resource] else 1, need.start, need.end - need.start, counted[need.resource])
                for need in activity.needs
                if need.resource in names and need.amount
            )
            for activity in self.day.activities
        ]  # fmt: skip
        return _Taken(levels, needs)

    # Placing

    def forward(self, order: list[int], waiting: frozenset[int] = frozenset()) -> Starts:
        """Each activity of the order as early as it can be; those of ``waiting`` not before their window opens."""
        self.left -= self.weight
        taken, starts = self.base.copy(), [0] * self.count
        for index, start in self.pinned.items():
            starts[index] = start
        for index in order:
            activity = self.day.activities[index]
            earliest = max(0, activity.not_before)
            if index in waiting:
                earliest = max(earliest, self.windows[index][0])
            for each in self.before[index]:
                ready = starts[each] + self.minutes[each] - self.lead[index]
                earliest = max(earliest, ready)
            if taken.needs[index]:
                earliest = taken.first_from(index, earliest)
                taken.take(index, earliest)
            starts[index] = earliest
        return starts

    def backward(self, starts: Starts) -> list[int] | None:
        """The order of the activities when each is as late as the finish allows, or None where they do not all fit so."""
        self.left -= self.weight
        finish = max(start + minutes for start, minutes in zip(starts, self.minutes, strict=True))
        taken, late = self.base.copy(), list(starts)
        for index in sorted(self.free, key=lambda each: (-starts[each] - self.minutes[each], -starts[each], -each)):
            latest = self._latest(index, late, finish)
            if taken.needs[index]:
                latest = taken.last_until(index, latest)
                if latest >= 0:
                    taken.take(index, latest)
            if latest < 0:
                return None
            late[index] = latest
        return self.in_order(late)

    def _latest(self, index: int, starts: Starts, finish: int) -> int:
        latest = finish - self.minutes[index]
        for each in self.behind[index]:
            latest = min(latest, starts[each] + self.lead[each] - self.minutes[index])
        return latest

    def in_order(self, keys: list[int] | list[float]) -> list[int]:
        """The free activities by a key, none before what it comes after."""
        left = [sum(each not in self.pinned for each in self.before[index]) for index in range(self.count)]
        ready = [(keys[index], index) for index in self.free if not left[index]]
        heapify(ready)
        order = []
        while ready:
            _, index = heappop(ready)
            order.append(index)
            for follower in self.behind[index]:
                if follower not in self.pinned:
                    left[follower] -= 1
                    if not left[follower]:
                        heappush(ready, (keys[follower], follower))
        return order

    def cost(self, starts: Starts) -> int:
        """Finish, minutes outside windows, and minutes too late for a pin."""
        cost = max(start + minutes for start, minutes in zip(starts, self.minutes, strict=True))
        for index, window in self.windows.items():
            cost += OUTSIDE_COSTS * minutes_outside(starts[index], self.minutes[index], window)
        for index, start in self.pinned.items():
            for each in self.before[index]:
                late = starts[each] + self.minutes[each] - start - self.lead[index]
                if late > 0:
                    cost += LATE_COSTS * late
        return cost

    # Searching

    def best_of(self, placements: int, given: Starts | None) -> Starts:
        """The best starts found within so many placements, pushed late."""
        self._search(placements, given)
        late = self.push_late(self.found)
        return late if self._rank(late) <= self.best else self.found

    def _search(self, placements: int, given: Starts | None) -> None:
        self.left = placements
        orders = self._first_orders(given)
        best_order, best_cost, best_waiting = orders[0][0], -1, orders[0][1]
        for order, waiting in orders:
            starts = self.forward(order, waiting)
            if best_cost < 0 or self.cost(starts) < best_cost:
                best_order, best_cost, best_waiting = order, self.cost(starts), waiting
            self._keep(starts)
        if given is not None and broken(self.day, self._by_id(given)) <= broken(self.day, self._by_id(self.found)):
            self._keep(given, pushed=given)
        share = placements // RESTARTS
        for turn in range(RESTARTS):
            if self._is_enough() or self.left <= 0:
                break
            self._anneal(best_order, best_waiting, max(0, placements - share * (turn + 1)))
            best_order = self.in_order(self.found)
            best_waiting = frozenset(each for each in self.flags if self.found[each] >= self.windows[each][0])

    def _first_orders(self, given: Starts | None) -> list[tuple[list[int], frozenset[int]]]:
        """Lists to begin with: what leads to most work first, and dish by dish."""
        tails = [0] * self.count
        for index in reversed(self.in_order([float(index) for index in range(self.count)])):
            tails[index] = max(
                (tails[each] + self.minutes[each] - self.lead[each] for each in self.behind[index]), default=0
            )
        longest = self.in_order([-tails[index] - self.minutes[index] for index in range(self.count)])
        as_written = self.in_order([float(index) for index in range(self.count)])
        orders = [longest, as_written, *([self.in_order(given)] if given else [])]
        none, every = frozenset[int](), frozenset(self.flags)
        if self.flags:  # what has a window among the others at its time, what must come before it earlier
            orders += [self._by_the_clock(order) for order in orders]
        return [(order, waiting) for order in orders for waiting in dict.fromkeys((none, every))]

    def _by_the_clock(self, order: list[int]) -> list[int]:
        keys = [float(start) for start in self.forward(order)]
        for flag in sorted(self.flags, key=lambda each: self.windows[each][0]):
            keys[flag] = min(keys[flag], self.windows[flag][0])
            self._not_after(flag, keys)
        return self.in_order(keys)

    def _not_after(self, index: int, keys: list[float]) -> None:
        """What must come before an activity is wanted in time for it."""
        wanted = [index]
        while wanted:
            here = wanted.pop()
            for each in self.before[here]:
                latest = keys[here] - self.minutes[each] + self.lead[here]
                if keys[each] > latest:
                    keys[each] = latest
                    wanted.append(each)

    def _is_enough(self) -> bool:
        return not self.free or (self.best[0] <= self.bound and not any(self.best[1:]))

    def _keep(self, starts: Starts, pushed: Starts | None = None) -> None:
        """Keep starts that beat the best so far: less cost; then food that waits less than it bears; then food that waits less."""
        cost = self.cost(starts)
        if self.found and (cost > self.best[0] or (cost == self.best[0] and not (self.looks and any(self.best[1:])))):
            return
        late = pushed or self._pushed_at_once(starts) or starts
        if self.looks:
            self.left -= LOOK_AT_WAITS * self.weight
        rank = self._rank(late)
        if not self.found or rank < self.best:
            self.best, self.found = rank, late

    def _rank(self, starts: Starts) -> tuple[int, int, int]:
        return self.cost(starts), self._excess(starts), self._waiting(starts)

    def _waiting(self, starts: Starts) -> int:
        """Minutes that the food of all dishes waits between one step and the next."""
        waiting = 0
        for index in self.dishes:
            wanted = min(starts[each] + self.lead[each] for each in self.behind[index])
            waiting += max(0, wanted - starts[index] - self.minutes[index])
        return waiting

    def _excess(self, starts: Starts) -> int:
        if not self.has_holds:
            return 0
        return hold_excess(self.day, self._by_id(starts))

    def _by_id(self, starts: Starts) -> dict[str, int]:
        return {each.id: start for each, start in zip(self.day.activities, starts, strict=True)}

    def _anneal(self, order: list[int], waiting: frozenset[int], stop_at: int) -> None:
        starts = self.forward(order, waiting)
        cost = self._energy(starts)
        hot, cold = max(2.0, cost * 0.06), 0.3
        whole = max(1, self.left - stop_at)
        looked = 0
        while self.left > stop_at and not self._is_enough():
            heat = hot * (cold / hot) ** (1 - (self.left - stop_at) / whole)
            new_order, new_waiting = self._move(order, waiting, starts)
            new_starts = self.forward(new_order, new_waiting)
            new_cost = self._energy(new_starts)
            if new_cost <= cost or self.chance.share() < exp((cost - new_cost) / heat):
                justified = self.backward(new_starts) if self._justifies() else None
                if justified is not None:
                    tight = self.forward(justified, new_waiting)
                    tight_cost = self._energy(tight)
                    if tight_cost <= new_cost:
                        new_order, new_starts, new_cost = justified, tight, tight_cost
                order, waiting, starts, cost = new_order, new_waiting, new_starts, new_cost
                looked += 1
                if cost < self.best[0] or (cost < self.best[0] + 1 and looked % 4 == 0):
                    self._keep(starts)

    def _energy(self, starts: Starts) -> float:
        """What the walk goes down: the cost, and between plans of one cost a little less for food that waits less."""
        if not self.dishes:
            return self.cost(starts)
        return self.cost(starts) + min(0.99, self._waiting(starts) * FRESHNESS)

    def _justifies(self) -> bool:
        """Double justification shortens a day; it also tears pictures out of their light, so with windows it is tried now and then."""
        return not self.flags or self.chance.below(5) == 0

    def _move(self, order: list[int], waiting: frozenset[int], starts: Starts) -> tuple[list[int], frozenset[int]]:
        lot = self.chance.below(100)
        if self.flags and lot < 15:
            flag = self.flags[self.chance.below(len(self.flags))]
            return order, waiting ^ {flag}
        if self.groups and lot < 30:
            group = set(self.groups[self.chance.below(len(self.groups))])
            by = (self.chance.share() - 0.5) * self.count
            keys: list[float] = [0.0] * self.count
            for position, index in enumerate(order):
                keys[index] = position + (by if index in group else 0)
            return self.in_order(keys), waiting
        if lot < 50:
            widest = 1 + self.chance.below(max(1, max(starts) // 4))
            return self.in_order([start + self.chance.share() * widest for start in starts]), waiting
        if lot < 65:
            return self._moved_with_its_own(order), waiting
        if len(order) < 2:
            return order, waiting
        return self._moved_one(order), waiting

    def _moved_with_its_own(self, order: list[int]) -> list[int]:
        """One activity earlier, and with it all that must come before it."""
        index = order[self.chance.below(len(order))]
        by = self.chance.share() * self.count / 2
        moved, wanted = {index}, [index]
        while wanted:
            for each in self.before[wanted.pop()]:
                if each not in moved:
                    moved.add(each)
                    wanted.append(each)
        keys = [0.0] * self.count
        for position, each in enumerate(order):
            keys[each] = position - (by if each in moved else 0)
        return self.in_order(keys)

    def _moved_one(self, order: list[int]) -> list[int]:
        """One activity put next to another, within what it comes after and before."""
        for _ in range(8):
            here = self.chance.below(len(order))
            index = order[here]
            low, high = here, here
            before, behind = self.before[index], self.behind[index]
            while low > 0 and order[low - 1] not in before:
                low -= 1
            while high < len(order) - 1 and order[high + 1] not in behind:
                high += 1
            if low < high:
                there = low + self.chance.below(high - low)
                there += there >= here
                moved = order[:here] + order[here + 1 :]
                moved.insert(there, index)
                return moved
        return order

    # Late

    def push_late(self, starts: Starts) -> Starts:
        """Every step as late as its followers and the resources allow; food shall not wait longer anywhere for it.

        What has no follower, a window or a pin stays: heroes, breaks and the end of the day.
        """
        pushed = self._pushed_at_once(starts) or self._pushed(starts, guards_waits=False)
        if self.has_holds and self._excess(pushed) > self._excess(starts):
            pushed = self._pushed(starts, guards_waits=True)
        return pushed

    def _pushed_at_once(self, starts: Starts) -> Starts | None:
        """All in one pass, from the end; None where that does not go, or where something would come earlier by it."""
        finish = max(start + minutes for start, minutes in zip(starts, self.minutes, strict=True))
        taken, late = self.base.copy(), list(starts)
        may_move = [index for index in self.free if self.behind[index] and index not in self.windows]
        moving = set(may_move)
        for index in self.free:
            if index not in moving and taken.needs[index]:
                taken.take(index, starts[index])
        for index in sorted(may_move, key=lambda each: (-starts[each] - self.minutes[each], -starts[each], -each)):
            latest = self._latest(index, late, finish)
            if taken.needs[index]:
                latest = taken.last_until(index, latest)
                if latest >= starts[index]:
                    taken.take(index, latest)
            if latest < starts[index]:
                return None
            late[index] = latest
        return late

    def _pushed(self, starts: Starts, *, guards_waits: bool) -> Starts:
        starts = list(starts)
        finish = max(start + minutes for start, minutes in zip(starts, self.minutes, strict=True))
        may_move = [index for index in self.free if self.behind[index] and index not in self.windows]
        for _ in range(3):
            changed = False
            for index in sorted(may_move, key=lambda each: (-starts[each] - self.minutes[each], -starts[each], -each)):
                latest = self._latest(index, starts, finish)
                if latest <= starts[index]:
                    continue
                taken = self.base.copy()
                for other in self.free:
                    if other != index and taken.needs[other]:
                        taken.take(other, starts[other])
                latest = taken.last_until(index, latest) if taken.needs[index] else latest
                if latest <= starts[index]:
                    continue
                was, excess = starts[index], self._excess(starts) if guards_waits else 0
                starts[index] = latest
                if guards_waits and self._excess(starts) > excess:
                    starts[index] = was
                else:
                    changed = True
            if not changed:
                break
        return starts
