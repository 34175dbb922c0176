"""A minute before which nobody can finish the day, however clever: shown beside the plan that was found."""

from __future__ import annotations

from shoots.run.day_plan import Activity, Day, Resource


def lower_bound(day: Day) -> int:
    """The latest of: the longest chain, what is pinned, and for each resource its minutes of work in its open time.

    Closed times, starts that are not allowed earlier, and what must come before and after the work of a resource all count.
    """
    heads = _heads(day)
    tails = _tails(day)
    found = max(
        (heads[activity.id] + activity.minutes + tails[activity.id] for activity in day.activities),
        default=0,
    )
    return max([found, *(_work_bound(day, name, heads, tails) for name in day.resources)])


def earliest_open(activity: Activity, day: Day, start: int) -> int:
    """The first minute from ``start`` at which none of an activity's blocks meets a closed time."""
    moved = True
    while moved:
        moved = False
        for need in activity.needs:
            for since, until in day.resources[need.resource].closed:
                if start + need.start < until and since < start + need.end and since < until:
                    start, moved = until - need.start, True
    return start


def _in_order(day: Day) -> list[Activity]:
    by_id = {activity.id: activity for activity in day.activities}
    left = {activity.id: len(set(activity.after)) for activity in day.activities}
    ready, found = [key for key, count in left.items() if not count], []
    while ready:
        key = ready.pop()
        found.append(by_id[key])
        for follower in dict.fromkeys(day.followers[key]):
            left[follower] -= 1
            if not left[follower]:
                ready.append(follower)
    return found


def _heads(day: Day) -> dict[str, int]:
    heads: dict[str, int] = {}
    minutes = {activity.id: activity.minutes for activity in day.activities}
    for activity in _in_order(day):
        if activity.pinned is not None:
            heads[activity.id] = activity.pinned
            continue
        ready = max((heads[key] + minutes[key] - activity.lead for key in activity.after), default=0)
        heads[activity.id] = earliest_open(activity, day, max(ready, activity.not_before, 0))
    return heads


def _tails(day: Day) -> dict[str, int]:
    """Minutes that must still pass when an activity has ended. Behind a pin they are not added: it may have to be missed."""
    by_id = {activity.id: activity for activity in day.activities}
    tails: dict[str, int] = {}
    for activity in reversed(_in_order(day)):
        tails[activity.id] = max(
            (
                by_id[key].minutes - by_id[key].lead + tails[key]
                for key in day.followers[activity.id]
                if by_id[key].pinned is None
            ),
            default=0,
        )
    return tails


def _work_bound(day: Day, name: str, heads: dict[str, int], tails: dict[str, int]) -> int:
    resource = day.resources[name]
    if not resource.amount or _pins_are_in_the_way(day, name):
        return 0
    blocks = [
        (heads[each.id] + need.start, (need.end - need.start) * need.amount, each.minutes - need.end + tails[each.id])
        for each in day.activities
        for need in each.needs
        if need.resource == name
    ]
    found = 0
    for begin in {block[0] for block in blocks}:
        later = [block for block in blocks if block[0] >= begin]
        work = -(-sum(block[1] for block in later) // resource.amount)
        found = max(found, _open_until(resource, begin, work) + min(block[2] for block in later))
    return found


def _pins_are_in_the_way(day: Day, name: str) -> bool:
    """Whether pins stand on one another or in a closed time of a resource, so that its work takes no time of its own there."""
    blocks = [
        (each.pinned + need.start, each.pinned + need.end, need.amount)
        for each in day.activities
        if each.pinned is not None
        for need in each.needs
        if need.resource == name
    ]
    resource = day.resources[name]
    return any(
        sum(amount for since, until, amount in blocks if since <= block[0] < until) > (resource.amount or 0)
        or any(block[0] < until and since < block[1] for since, until in resource.closed)
        for block in blocks
    )


def _open_until(resource: Resource, begin: int, work: int) -> int:
    """When ``work`` minutes from ``begin`` are over, closed times left out."""
    now = begin
    for since, until in sorted(resource.closed):
        if now + work <= since:
            break
        if until > now and until > since:
            work -= max(0, since - now)
            now = until
    return now + work
