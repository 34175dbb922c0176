"""What does not hold about a plan, in words a person can act on. Times are of the clock, minutes as people say them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import time

from shoots.run.activities import KITCHEN, NAMES, Drafted
from shoots.run.clocks import NOT_FOR_EATING, FoodClock
from shoots.run.day_plan import DAY, Caution, Day


def clock_of(minute: int, call: time) -> time:
    """The time of day of a minute from the call."""
    return time(*divmod((call.hour * 60 + call.minute + minute) % DAY, 60))


def minute_of(at: time, call: time) -> int:
    """Minutes from the call to a time of day; one before the call is of the next morning."""
    return (at.hour * 60 + at.minute - call.hour * 60 - call.minute) % DAY


def span(minutes: int) -> str:
    """7 minutes, 1 hour 30."""
    if minutes < 60:
        return f"{minutes} minute{'' if minutes == 1 else 's'}"
    hours, rest = divmod(minutes, 60)
    return f"{hours} hour{'' if hours == 1 else 's'}" + (f" {rest}" if rest else "")


def title_of(drafted: Drafted) -> str:
    """An activity in few words: of a step its first words, with its dish."""
    title = drafted.title if len(drafted.title) <= 60 else drafted.title[:60].rsplit(" ", 1)[0] + " …"
    title = title.rstrip(".")
    return f"{drafted.dish_name}: {title}" if drafted.dish_name and drafted.kind != "hero" else title


def say(caution: Caution, day: Day, drafted: Mapping[str, Drafted], starts: Mapping[str, int], call: time) -> str:
    """A caution in a sentence."""
    what = f"“{title_of(drafted[caution.activity])}”"
    other = f"“{title_of(drafted[caution.other])}”" if caution.other else ""
    activity = next(each for each in day.activities if each.id == caution.activity)
    match caution.kind:
        case "hold":
            return f"{what} waits {span(caution.minutes + (activity.hold or 0))}; it lasts about {span(activity.hold or 0)}."
        case "outside_daylight" if drafted[caution.activity].kind == "break":
            return f"The break is {span(caution.minutes)} outside its five hours. Give it a time, or drop something before it."
        case "outside_daylight":
            return f"{what} is {span(caution.minutes)} outside its light."
        case "too_late":
            done = clock_of(starts[caution.activity] + activity.minutes, call)
            return f"{what} is done at {done:%H:%M}, {span(caution.minutes)} too late for {other}. Set that later, or drop something."
        case "closed" if caution.resource == KITCHEN:
            return f"{what} stands {span(caution.minutes)} in a time when the kitchen is closed."
        case "closed":
            return f"{what} stands {span(caution.minutes)} in a time when the {NAMES[caution.resource].lower()} is not there."
        case "overfull":
            return f"{what} ends after the day is over."
        case _:
            return f"{what} takes more of {NAMES[caution.resource].lower()} than there is, for {span(caution.minutes)}. Set one of them to another time."


def say_food(clock: FoodClock) -> str:
    """A food clock that passed a limit, with the usual caution."""
    return (
        f"{clock.dish}: {span(clock.minutes)} between the heat or the fridge and its last picture, past {span(clock.limit)}. "
        f"Ask the cook. {NOT_FOR_EATING}"
    )


def say_too_full(over: int, ways: Mapping[str, int]) -> str:
    """By how much a day is too full and what to do; ``ways`` are what could be done, with the minutes each would give back."""
    said = f"The day is {span(over)} too full. "
    if enough := [way for way, minutes in ways.items() if minutes >= over]:
        return said + f"{enough[0]} would be enough."
    if not ways:
        return said + "Begin earlier, or drop a picture."
    each = ", ".join(f"{way[:1].lower()}{way[1:]} {span(minutes)}" for way, minutes in list(ways.items())[:3])
    return said + f"What would give time back: {each}. None of it alone is enough: make it two days, or fewer dishes."
