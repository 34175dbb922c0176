"""Days to be planned: the hand-checked one, days drawn by lot, and a checker that shares no line with the scheduler."""

from hypothesis import strategies as st

from shoots.run.day_plan import Activity, Day, Need, Resource


def two_dishes(*, lead: int = 0, first_set: bool = False, cook_closed: tuple[tuple[int, int], ...] = ()) -> Day:
    """Dish A: chop 10, roast 40 (the cook 2), hero. Dish B: mix 15, hero. A hero: camera 20, the cook plates from 6 to 10."""

    def hero(key: str, after: str) -> Activity:
        return Activity(
            key,
            20,
            (Need("camera", 0, 20), Need("cook", 6, 10)),
            (after, *(("first",) if first_set else ())),
            lead=lead,
        )

    activities = [
        Activity("chop", 10, (Need("cook", 0, 10),)),
        Activity("roast", 40, (Need("oven", 0, 40), Need("cook", 0, 2)), ("chop",)),
        hero("A", "roast"),
        Activity("mix", 15, (Need("cook", 0, 15),)),
        hero("B", "mix"),
    ]
    if first_set:
        activities.append(Activity("first", 45, (Need("camera", 0, 45),)))
    resources = {"cook": Resource(1, cook_closed), "camera": Resource(1), "oven": Resource(2)}
    return Day(resources, tuple(activities))


def faults(day: Day, starts: dict[str, int]) -> list[str]:
    """What is wrong with a plan, minute by minute: nothing of it is taken from the code that made it."""
    found, used = [], {}
    by_id = {each.id: each for each in day.activities}
    if set(starts) != set(by_id):
        return ["other activities than asked for"]
    for key, each in by_id.items():
        at = starts[key]
        if each.pinned is not None:
            if at != each.pinned:
                found.append(f"{key} was moved from its pin")
        elif at < max(0, each.not_before):
            found.append(f"{key} is too early")
        for before in each.after:
            if each.pinned is None and at + each.lead < starts[before] + by_id[before].minutes:
                found.append(f"{key} does not wait for {before}")
        for need in each.needs:
            for minute in range(at + need.start, at + need.end):
                used[need.resource, minute] = used.get((need.resource, minute), 0) + need.amount
                if each.pinned is None and any(a <= minute < b for a, b in day.resources[need.resource].closed):
                    found.append(f"{key} stands in a closed minute {minute} of {need.resource}")
    pinned = any(each.pinned is not None for each in day.activities)
    for (name, minute), amount in used.items():
        most = day.resources[name].amount
        if most is not None and amount > most and not pinned:
            found.append(f"{amount} of {name} in minute {minute}")
    return found


@st.composite
def days(draw, pins: bool = False) -> Day:
    """A small day by lot: up to nine activities, blocks inside them, closed times, windows, holds."""
    stretch = st.tuples(st.integers(0, 90), st.integers(1, 40)).map(lambda each: (each[0], each[0] + each[1]))
    closed = st.lists(stretch, max_size=2).map(tuple)
    resources = {
        "cook": Resource(draw(st.integers(1, 2)), draw(closed)),
        "camera": Resource(1, draw(closed)),
        "burner": Resource(draw(st.integers(1, 4))),
        "kitchen": Resource(None, draw(closed)),
    }
    activities = []
    for number in range(draw(st.integers(1, 9))):
        minutes = draw(st.integers(0, 30))
        needs = []
        for name in draw(st.lists(st.sampled_from(sorted(resources)), unique=True, max_size=3)) if minutes else ():
            start = draw(st.integers(0, minutes - 1))
            amount = draw(st.integers(1, resources[name].amount or 3))
            needs.append(Need(name, start, draw(st.integers(start + 1, minutes)), amount))
        activities.append(
            Activity(
                f"a{number}",
                minutes,
                tuple(needs),
                tuple(draw(st.lists(st.sampled_from([each.id for each in activities]), unique=True, max_size=2)))
                if activities
                else (),
                lead=draw(st.integers(0, minutes)),
                hold=draw(st.none() | st.integers(0, 20)),
                not_before=draw(st.sampled_from([0, 0, 15])),
                window=draw(st.none() | stretch),
                pinned=draw(st.none() | st.integers(0, 120)) if pins else None,
                group=draw(st.sampled_from(["", "soup", "roast"])),
            )
        )
    return Day(resources, tuple(activities))


@st.composite
def crowded_days(draw) -> Day:
    """Many short activities on few places of one resource and one closed time, so that its number is always in question."""
    amount = draw(st.integers(2, 3))
    minutes = draw(st.lists(st.integers(1, 20), min_size=amount + 2, max_size=8))
    wanted = [draw(st.integers(1, 2)) for _ in minutes]
    closed = draw(st.sampled_from([(), ((10, 25),)]))
    activities = tuple(
        Activity(f"a{number}", length, (Need("burner", 0, length, many),), group=f"dish {number % 2}")
        for number, (length, many) in enumerate(zip(minutes, wanted, strict=True))
    )
    return Day({"burner": Resource(amount, closed)}, activities)
