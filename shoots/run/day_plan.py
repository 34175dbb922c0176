"""What is to be planned and what a plan is: activities, resources, starts. Whole minutes from the call time.

The model is a small resource-constrained project: each activity holds resources for stretches inside it, so that a step can need
the cook for two minutes and the oven for forty.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

OUTSIDE_COSTS = 3  # of the finish, for each minute outside a window: planner rule, common practice, no source
DAY = 24 * 60


class InvalidDay(ValueError):
    """The day cannot be planned as written. ``path`` says where, such as ``activities[2].after[0]``."""

    def __init__(self, path: str, reason: str) -> None:
        self.path = path
        super().__init__(f"{path}: {reason}")


@dataclass(frozen=True, slots=True)
class Resource:
    """Someone or something of which ``amount`` can be used at once (None: no limit). ``closed`` stretches are half-open minutes."""

    amount: int | None
    closed: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Need:
    """``amount`` of a resource from minute ``start`` to before minute ``end`` inside the activity."""

    resource: str
    start: int
    end: int
    amount: int = 1


@dataclass(frozen=True, slots=True)
class Activity:
    """Something that takes ``minutes`` without a break.

    ``after``: what must be done first. ``lead``: how many of its own minutes may pass before that is done, as a camera is set up
    while the food still cooks. ``hold``: longest wait until the next one of its followers begins. ``window``: minutes outside it cost.
    ``pinned``: the start a person typed, which is never moved. ``group``: the dish, whose activities the search may shift together.
    """

    id: str
    minutes: int
    needs: tuple[Need, ...] = ()
    after: tuple[str, ...] = ()
    lead: int = 0
    hold: int | None = None
    not_before: int = 0
    window: tuple[int, int] | None = None
    pinned: int | None = None
    group: str = ""


@dataclass(frozen=True)
class Day:
    """All there is to plan. ``check`` it before planning."""

    resources: Mapping[str, Resource]
    activities: tuple[Activity, ...]
    followers: Mapping[str, tuple[str, ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        found: dict[str, list[str]] = {activity.id: [] for activity in self.activities}
        for activity in self.activities:
            for before in activity.after:
                found.setdefault(before, []).append(activity.id)
        object.__setattr__(self, "followers", {key: tuple(ids) for key, ids in found.items()})


@dataclass(frozen=True, slots=True)
class Caution:
    """What cannot hold. ``kind``: outside_daylight, hold, overfull, too_late (for a pin), clash or closed (of a pin).

    ``minutes`` too many; ``resource`` and ``other`` name what it is about where there is such a thing.
    """

    kind: str
    activity: str
    minutes: int
    other: str = ""
    resource: str = ""


@dataclass(frozen=True)
class Plan:
    """Starts by id; ``finish`` is when the last activity ends, ``bound`` a minute before which nobody can finish."""

    starts: Mapping[str, int]
    finish: int
    bound: int
    cost: int
    cautions: tuple[Caution, ...] = ()


def check(day: Day) -> None:
    """Raises InvalidDay for an id used twice or unknown, a need that is above the amount or outside its activity, or a circle."""
    ids: set[str] = set()
    for place, activity in enumerate(day.activities):
        at = f"activities[{place}]"
        if activity.id in ids:
            raise InvalidDay(f"{at}.id", f"“{activity.id}” is the id of another activity too.")
        ids.add(activity.id)
        for number, need in enumerate(activity.needs):
            if need.resource not in day.resources:
                raise InvalidDay(f"{at}.needs[{number}].resource", f"No resource is called “{need.resource}”.")
            if not 0 <= need.start < need.end <= activity.minutes:
                raise InvalidDay(
                    f"{at}.needs[{number}]", f"{need.start} to {need.end} is not inside its {activity.minutes} minutes."
                )
            _check_amount(day, activity, need, f"{at}.needs[{number}].amount")
    for place, activity in enumerate(day.activities):
        for number, before in enumerate(activity.after):
            if before not in ids:
                raise InvalidDay(f"activities[{place}].after[{number}]", f"No activity is called “{before}”.")
    circle = find_circle(day)
    if circle:
        place = next(place for place, activity in enumerate(day.activities) if activity.id == circle[0])
        raise InvalidDay(f"activities[{place}].after", f"These wait for one another: {', '.join(circle)}.")


def _check_amount(day: Day, activity: Activity, need: Need, path: str) -> None:
    amount = day.resources[need.resource].amount
    if amount is None:
        return
    at_once = sum(
        other.amount
        for other in activity.needs
        if other.resource == need.resource and other.start <= need.start < other.end
    )
    if at_once > amount:
        raise InvalidDay(path, f"{at_once} of “{need.resource}” are needed at once and there are {amount}.")


def find_circle(day: Day) -> tuple[str, ...]:
    """The ids of some activities that wait for one another; empty where there are none."""
    after = {activity.id: activity.after for activity in day.activities}
    left = {key: len(set(before)) for key, before in after.items()}
    ready = [key for key, count in left.items() if not count]
    while ready:
        for follower in dict.fromkeys(day.followers.get(ready.pop(), ())):
            left[follower] -= 1
            if not left[follower]:
                ready.append(follower)
    stuck = [key for key, count in left.items() if count]
    if not stuck:
        return ()
    path = [stuck[0]]
    while True:
        before = next(each for each in after[path[-1]] if left.get(each))
        if before in path:
            return tuple(path[path.index(before) :])
        path.append(before)


def minutes_outside(start: int, minutes: int, window: tuple[int, int] | None) -> int:
    """How many of the minutes from ``start`` lie outside a window."""
    if window is None:
        return 0
    return minutes - max(0, min(start + minutes, window[1]) - max(start, window[0]))


def waits(day: Day, starts: Mapping[str, int]) -> dict[str, int]:
    """How long each activity with followers waits until the next one of them wants it; never under none."""
    by_id = {activity.id: activity for activity in day.activities}
    return {
        key: max(0, min(starts[each] + by_id[each].lead for each in ids) - starts[key] - by_id[key].minutes)
        for key, ids in day.followers.items()
        if ids
    }


def cautions_of(day: Day, starts: Mapping[str, int]) -> tuple[Caution, ...]:
    """Everything about a plan that does not hold, in the order of the activities."""
    waiting, by_id, found = waits(day, starts), {activity.id: activity for activity in day.activities}, []
    for activity in day.activities:
        start, end = starts[activity.id], starts[activity.id] + activity.minutes
        if outside := minutes_outside(start, activity.minutes, activity.window):
            found.append(Caution("outside_daylight", activity.id, outside))
        if activity.hold is not None and waiting.get(activity.id, 0) > activity.hold:
            follower = min(day.followers[activity.id], key=lambda key: starts[key] + by_id[key].lead)
            found.append(Caution("hold", activity.id, waiting[activity.id] - activity.hold, follower))
        for before in activity.after:
            late = starts[before] + by_id[before].minutes - start - activity.lead
            if late > 0:
                found.append(Caution("too_late", before, late, activity.id))
        for need in activity.needs:
            closed = day.resources[need.resource].closed
            inside = sum(
                max(0, min(until, start + need.end) - max(since, start + need.start)) for since, until in closed
            )
            if inside:
                found.append(Caution("closed", activity.id, inside, resource=need.resource))
        past = max((end - shut for shut in _shut_for_good(day, activity) if end > shut), default=0)
        if past or end > DAY:
            found.append(Caution("overfull", activity.id, past or end - DAY))
    return (*found, *_clashes(day, starts))


def broken(day: Day, starts: Mapping[str, int]) -> int:
    """Minutes by which a plan breaks what must hold (order, numbers, closed times, earliest starts, pins); none for a plan that can be done."""
    hard = sum(each.minutes for each in cautions_of(day, starts) if each.kind in ("too_late", "closed", "clash"))
    for activity in day.activities:
        wanted, start = activity.pinned, starts[activity.id]
        hard += max(0, activity.not_before - start) if wanted is None else abs(start - wanted)
    return hard


def _shut_for_good(day: Day, activity: Activity) -> list[int]:
    """When each resource of an activity closes for the rest of the day."""
    closed = {need.resource: day.resources[need.resource].closed for need in activity.needs}
    return [since for each in closed.values() for since, until in each if until >= DAY]


def _clashes(day: Day, starts: Mapping[str, int]) -> list[Caution]:
    found: dict[tuple[str, str], int] = {}
    for name, resource in day.resources.items():
        blocks = [
            (starts[activity.id] + need.start, starts[activity.id] + need.end, need.amount, activity)
            for activity in day.activities
            for need in activity.needs
            if need.resource == name
        ]
        if resource.amount is None:
            continue
        edges = sorted({edge for block in blocks for edge in block[:2]})
        for since, until in pairwise(edges):
            at_once = [block for block in blocks if block[0] <= since and block[1] >= until]
            if sum(block[2] for block in at_once) > resource.amount:
                who = next((block[3].id for block in at_once if block[3].pinned is not None), at_once[0][3].id)
                found[who, name] = found.get((who, name), 0) + until - since
    return [Caution("clash", who, minutes, resource=name) for (who, name), minutes in found.items()]
