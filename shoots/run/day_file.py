"""A day to be planned as a JSON file, and the plan as one. Unknown keys and wrong types are refused with their path."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shared.strict_json import InvalidJson, KeyTwice, read_json
from shoots.run.day_plan import Activity, Caution, Day, InvalidDay, Need, Plan, Resource, check

MOST_MINUTES = 100_000
MOST_AMOUNT = 1_000
MOST_ACTIVITIES = 500
MOST_SECONDS = 60


@dataclass(frozen=True)
class DayFile:
    """What a file asks for."""

    day: Day
    seconds: float = 1
    seed: int = 1


def read_day(text: str) -> DayFile:
    """The day of a JSON text, checked. Raises InvalidDay with the path of what is wrong."""
    try:
        table = read_json(text)
    except KeyTwice as twice:
        raise InvalidDay(twice.key, "Stands twice in the same object.") from None
    except InvalidJson as wrong:
        raise InvalidDay("(file)", f"This is no JSON: {wrong}") from None
    table = _object(table, "(file)", must=("resources", "activities"), may=("seconds", "seed"))
    resources = table["resources"]
    if not isinstance(resources, dict):
        raise InvalidDay("resources", _wanted("an object of names and amounts", resources))
    activities = _list(table["activities"], "activities")
    if len(activities) > MOST_ACTIVITIES:
        raise InvalidDay("activities", f"{len(activities)} are more than {MOST_ACTIVITIES}.")
    day = Day(
        {name: _resource(value, f"resources.{name}") for name, value in resources.items()},
        tuple(_activity(each, f"activities[{place}]") for place, each in enumerate(activities)),
    )
    check(day)
    seconds = table.get("seconds", 1)
    if isinstance(seconds, bool) or not isinstance(seconds, int | float) or not 0 <= seconds <= MOST_SECONDS:
        raise InvalidDay("seconds", _wanted(f"a number from 0 to {MOST_SECONDS}", seconds))
    return DayFile(day, seconds, _whole(table.get("seed", 1), "seed", 0, 2**53))


def plan_as_json(plan: Plan, day: Day) -> dict[str, Any]:
    """The plan as the JSON of the shell door: starts, finish, bound, and warnings with their words."""
    return {
        "starts": dict(plan.starts),
        "finish": plan.finish,
        "bound": plan.bound,
        "warnings": [
            {"kind": each.kind, "activity": each.activity, "minutes": each.minutes, "text": said(each, day)}
            for each in plan.cautions
        ],
    }


def said(caution: Caution, day: Day) -> str:
    """A caution in a sentence, its activities by their ids."""
    minutes = f"{caution.minutes} minute{'' if caution.minutes == 1 else 's'}"
    match caution.kind:
        case "outside_daylight":
            return f"{caution.activity} is {minutes} outside its daylight."
        case "hold":
            holds = next(each.hold for each in day.activities if each.id == caution.activity) or 0
            return f"{caution.activity} waits {caution.minutes + holds} minutes for {caution.other}; it lasts about {holds}."
        case "overfull":
            return f"The day is too full: {caution.activity} ends {minutes} after closing."
        case "too_late":
            return f"{caution.activity} is done {minutes} too late for {caution.other}."
        case "closed":
            return f"{caution.activity} stands {minutes} in a closed time of {caution.resource}."
        case _:
            return f"{caution.activity} takes more of {caution.resource} than there is, for {minutes}."


def _resource(value: object, path: str) -> Resource:
    if not isinstance(value, dict):
        return Resource(_whole(value, path, 0, MOST_AMOUNT))
    table = _object(value, path, must=("amount",), may=("closed",))
    amount = table["amount"]
    closed = [
        _stretch(each, f"{path}.closed[{place}]")
        for place, each in enumerate(_list(table.get("closed", []), f"{path}.closed"))
    ]
    return Resource(None if amount is None else _whole(amount, f"{path}.amount", 0, MOST_AMOUNT), tuple(closed))


def _activity(value: object, path: str) -> Activity:
    table = _object(value, path, must=("id", "minutes"), may=("needs", "after", "hold", "not_before", "daylight"))
    minutes = _whole(table["minutes"], f"{path}.minutes", 0, MOST_MINUTES)
    needs = _list(table.get("needs", []), f"{path}.needs")
    after = _list(table.get("after", []), f"{path}.after")
    hold, not_before, daylight = table.get("hold"), table.get("not_before"), table.get("daylight")
    return Activity(
        _text(table["id"], f"{path}.id"),
        minutes,
        tuple(_need(each, f"{path}.needs[{place}]", minutes) for place, each in enumerate(needs)),
        tuple(_text(each, f"{path}.after[{place}]") for place, each in enumerate(after)),
        hold=None if hold is None else _whole(hold, f"{path}.hold", 0, MOST_MINUTES),
        not_before=0 if not_before is None else _whole(not_before, f"{path}.not_before", 0, MOST_MINUTES),
        window=None if daylight is None else _stretch(daylight, f"{path}.daylight"),
    )


def _need(value: object, path: str, minutes: int) -> Need:
    table = _object(value, path, must=("resource",), may=("amount", "from", "to"))
    return Need(
        _text(table["resource"], f"{path}.resource"),
        _whole(table.get("from", 0), f"{path}.from", 0, MOST_MINUTES),
        _whole(table.get("to", minutes), f"{path}.to", 0, MOST_MINUTES),
        _whole(table.get("amount", 1), f"{path}.amount", 1, MOST_AMOUNT),
    )


def _stretch(value: object, path: str) -> tuple[int, int]:
    pair = _list(value, path)
    if len(pair) != 2:
        raise InvalidDay(path, "Two minutes are wanted here: from and until.")
    since, until = (_whole(each, f"{path}[{place}]", 0, MOST_MINUTES) for place, each in enumerate(pair))
    if since > until:
        raise InvalidDay(path, f"{since} to {until} runs backwards.")
    return since, until


def _object(value: object, path: str, *, must: tuple[str, ...], may: tuple[str, ...] = ()) -> Mapping[str, Any]:
    if not isinstance(value, dict):
        raise InvalidDay(path, _wanted("an object", value))
    inside = "" if path == "(file)" else f"{path}."
    for key in value:
        if key not in must and key not in may:
            raise InvalidDay(f"{inside}{key}", f"Not known here. Known: {', '.join([*must, *may])}.")
    for key in must:
        if key not in value:
            raise InvalidDay(f"{inside}{key}", "Missing.")
    return value


def _list(value: object, path: str) -> list[Any]:
    if not isinstance(value, list):
        raise InvalidDay(path, _wanted("a list", value))
    return value


def _text(value: object, path: str) -> str:
    if not isinstance(value, str) or not value:
        raise InvalidDay(path, _wanted("some text", value))
    return value


def _whole(value: object, path: str, least: int, most: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise InvalidDay(path, _wanted("a whole number", value))
    if not least <= value <= most:
        raise InvalidDay(path, f"A whole number from {least} to {most} is wanted, not {value}.")
    return value


def _wanted(what: str, value: object) -> str:
    kinds = {dict: "an object", list: "a list", str: "text", bool: "true or false", type(None): "null"}
    return f"{what[:1].upper()}{what[1:]} is wanted, not {kinds.get(type(value), value)}."
