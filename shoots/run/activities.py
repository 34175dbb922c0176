"""From dishes, their steps and shots to the activities of a day, with the minutes each is given until somebody changes them.

All default minutes, and which step needs the cook throughout, are common practice, no source. The person sees and changes them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from shoots.plan.steps import GUESSED_MINUTES, guess_minutes, minutes_named
from shoots.plan.time_left import AT_ONCE, HERO_SET_UP, HERO_TAKE, NEW_ANGLE, NEW_SET, TAKE
from shoots.run.clocks import hold_of
from shoots.run.day_plan import DAY, Activity, Day, Need, Resource
from shoots.run.scheduling import first_plan

PLATING, CLIENT_LOOKS, STARTING_A_PAN = 4, 2, 2
BREAK_EVERY, BREAK_MAY_BE_EARLY, BREAK_MAY_BE_LATE = 300, 90, 30
LONGEST_WAIT_ON_THE_DAY = 180  # passive minutes; a longer one is a task for the day before

IN_THE_OVEN = frozenset({"bake"})
ON_A_BURNER = frozenset(
    {
        "boil", "caramelise", "cook", "deepfry", "deglaze", "flambe", "flip", "fry", "heat", "melt", "reduce", "render", "saute", "sear",
        "simmer", "skim", "steam",
    }
)  # fmt: skip
BY_ITSELF = frozenset({"bake", "boil", "chill", "cook", "dry", "marinate", "rest", "simmer", "smoke", "steam"})
HEAT = IN_THE_OVEN | ON_A_BURNER | {"grill", "toast", "torch", "smoke"}
COOK, STYLIST, CAMERA, CLIENT, OVEN, BURNER, KITCHEN = (
    "cook",
    "stylist",
    "camera",
    "client",
    "oven",
    "burner",
    "kitchen",
)
PROPS, ASSISTANT, OPERATOR = "props", "assistant", "operator"
AT_THE_STRIKE = (ASSISTANT, OPERATOR)  # who clears and who copies the cards; without them both are the camera's
NAMES = {
    COOK: "Cook", STYLIST: "Food stylist", PROPS: "Prop stylist", CAMERA: "Camera", ASSISTANT: "Assistant", OPERATOR: "Digital operator",
    CLIENT: "Client", OVEN: "Oven", BURNER: "Burners", KITCHEN: "Kitchen",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class ShotOf:
    """A shot by its key, words and stage (raw and ready, hands, heat, plated or none), whether it must be had, and its kind on the shot list.

    ``cards``: the grey cards of its light, taken right before it.
    """

    key: int
    title: str
    stage: str = ""
    is_must: bool = True
    kind: str = ""
    cards: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class StepOf:
    """A step of a recipe with the actions in it, the minutes its text names (None: none), and the shots of its moments.

    ``parts``: where its sentences name a time each, those minutes; the step takes all of them.
    """

    key: int
    text: str
    actions: tuple[str, ...] = ()
    minutes: int | None = None
    shots: tuple[ShotOf, ...] = ()
    parts: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class DishOf:
    """A dish with its steps in order and the shots that belong to no step."""

    key: int
    name: str
    steps: tuple[StepOf, ...] = ()
    shots: tuple[ShotOf, ...] = ()


@dataclass(frozen=True, slots=True)
class Block:
    """A need of an activity whose length may still change: ``end`` None is its end; a ``start`` below nought counts from there."""

    resource: str
    start: int = 0
    end: int | None = None


@dataclass(frozen=True, slots=True)
class Drafted:
    """One thing to be done on the day. ``why`` says where its minutes come from; ``shots`` are keys with minutes from its start."""

    key: str
    kind: str
    title: str
    minutes: int
    why: str
    blocks: tuple[Block, ...]
    after: tuple[str, ...] = ()
    dish: int | None = None
    dish_name: str = ""
    lead: int = 0
    hold: int | None = None
    shots: tuple[tuple[int, int], ...] = ()
    is_hot: bool = False
    window: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class DayBefore:
    """A step that waits too long for the day, or stands before one that does."""

    dish: str
    text: str
    minutes: int


@dataclass(frozen=True)
class DayDraft:
    """What is done on the day, and what the day before."""

    activities: tuple[Drafted, ...]
    day_before: tuple[DayBefore, ...] = ()


@dataclass(frozen=True)
class Terms:
    """Whom and what the day has, in minutes from the call time. ``closed`` stretches by resource; ``ends_at``: last out (None: not said).

    ``also``: who else is there of prop stylist, assistant and digital operator; what they would do is the camera's without them.
    ``goes``: when somebody leaves. Nobody is shut out after it, for the day would stand still until the next morning: heroes that need
    them are planned before it where they can be, and what is not is said.
    """

    first_set: int = 45
    strike: int = 30
    break_minutes: int = 30
    slack_percent: int = 15
    cooks: int = 1
    ovens: int = 2
    burners: int = 4
    has_stylist: bool = False
    has_client: bool = False
    also: tuple[str, ...] = ()
    closed: Mapping[str, tuple[tuple[int, int], ...]] = field(default_factory=dict)
    ends_at: int | None = None
    goes: Mapping[str, int] = field(default_factory=dict)

    @property
    def opens(self) -> int:
        """The first minute at which the kitchen is open: nobody has worked before it."""
        now = 0
        for since, until in sorted(self.closed.get(KITCHEN, ())):
            now = max(now, until) if since <= now else now
        return now


@dataclass(frozen=True, slots=True)
class Change:
    """What a person changed about an activity; None is as drafted. ``light`` is soft, hard, lamp, or empty for what the set-up says."""

    minutes: int | None = None
    hold: int | None = None
    pinned: int | None = None
    window: tuple[int, int] | None = None
    light: str = ""


@lru_cache(maxsize=4096)
def minutes_by_sentence(text: str) -> tuple[int, ...]:
    """The minutes each sentence of a step names, the longer of a range: knead for 10 minutes, then leave to rise for an hour."""
    named = [minutes_named(sentence) for sentence in re.split(r"(?<=[.;!])\s+", text)]
    return tuple(each[1] for each in named if each)


def draft_day(dishes: Sequence[DishOf], day_shots: Sequence[ShotOf], terms: Terms) -> DayDraft:
    """The activities of a day: first set, what is cooked and filmed, one hero a dish, what belongs to no dish, strike."""
    found: list[Drafted] = []
    before: list[DayBefore] = []
    cards = [shot for shot in day_shots if shot.kind == "grey card"]
    portraits = [shot for shot in day_shots if shot.kind == "portrait"]
    others = [shot for shot in day_shots if shot not in cards and shot not in portraits]
    first = Drafted(
        "first", "first", "First set", terms.first_set, "usual for the first set of a day", (Block(CAMERA), Block(KITCHEN)),
        shots=tuple((shot.key, max(0, terms.first_set - TAKE)) for shot in cards), window=(0, DAY),  # a window, so that it stays at the call
    )  # fmt: skip
    found.append(first)
    for dish in dishes:
        made, held_back = _dish(dish, terms)
        found += made
        before += held_back
    found += [
        Drafted(
            f"shot:{shot.key}", "shot", shot.title, NEW_SET + TAKE, f"new set {NEW_SET}, take {TAKE}", _new_set(terms),
            ("first",), shots=((shot.key, NEW_SET),),
        )
        for shot in others
    ]  # fmt: skip
    last = _without_followers(found)
    found += [
        Drafted(
            f"shot:{shot.key}", "portrait", shot.title, NEW_SET + TAKE, f"new set {NEW_SET}, take {TAKE}",
            (*_new_set(terms), Block(COOK, -TAKE)), last, shots=((shot.key, NEW_SET),),
        )
        for shot in portraits
    ]  # fmt: skip
    found.append(
        Drafted(
            "strike", "strike", "Strike and clean", terms.strike, "usual", (Block(CAMERA), *(Block(each) for each in terms.also if each in AT_THE_STRIKE), Block(KITCHEN)), _without_followers(found)
        )
    )  # fmt: skip
    return DayDraft(tuple(found), tuple(before))


def with_breaks(draft: DayDraft, terms: Terms, changes: Mapping[str, Change]) -> DayDraft:
    """The draft with a break for everyone in each five hours that the first plan of it takes."""
    return add_breaks(draft, terms, count_breaks(draft, terms, changes))


def count_breaks(draft: DayDraft, terms: Terms, changes: Mapping[str, Change]) -> int:
    """How many breaks a day has: as many times five hours as its first plan takes; none where a break has no minutes."""
    if not terms.break_minutes:
        return 0
    return (first_plan(day_of(draft, terms, changes)).finish - terms.opens) // BREAK_EVERY


def add_breaks(draft: DayDraft, terms: Terms, count: int) -> DayDraft:
    """The draft with so many breaks, the strike after all of them."""
    breaks = breaks_for(count * BREAK_EVERY, terms)
    if not breaks:
        return draft
    keys = tuple(each.key for each in breaks)
    others = (replace(each, after=(*each.after, *keys)) if each.kind == "strike" else each for each in draft.activities)
    return replace(draft, activities=(*others, *breaks))


def breaks_for(length: int, terms: Terms) -> tuple[Drafted, ...]:
    """The breaks of so many minutes of work: one in each five hours from when the kitchen opens, not much before and not after they are over."""
    everyone = (Block(COOK), Block(CAMERA), *((Block(STYLIST),) if terms.has_stylist else ()), *map(Block, terms.also))
    return tuple(
        Drafted(
            f"break:{number}", "break", "Break for everyone", terms.break_minutes, "one in five hours", everyone,
            window=(terms.opens + BREAK_EVERY * number - BREAK_MAY_BE_EARLY, terms.opens + BREAK_EVERY * number + BREAK_MAY_BE_LATE),
        )
        for number in range(1, length // BREAK_EVERY + 1)
    )  # fmt: skip


IN_THE_LIGHT = frozenset({"hero", "shot", "portrait"})


def lit(
    draft: DayDraft,
    changes: Mapping[str, Change],
    stretches: Mapping[str, Sequence[tuple[int, int]]],
    *,
    usual: str = "",
) -> tuple[dict[str, Change], tuple[str, ...]]:
    """The changes with the light of the day as windows, and the keys that want a light the day does not have.

    ``stretches`` are minutes from the call by light (soft, hard); of several the longest is taken, for a shot wants one of them whole.
    ``usual`` is the light of heroes nobody said otherwise for. A window that was typed stays.
    """
    found, without = dict(changes), []
    for each in draft.activities:
        change = changes.get(each.key, Change())
        wanted = change.light or (usual if each.kind == "hero" else "")
        if change.window is not None or wanted not in ("soft", "hard") or each.kind not in IN_THE_LIGHT:
            continue
        there = [span for span in stretches.get(wanted, ()) if span[1] > span[0]]
        if there:
            found[each.key] = replace(change, window=max(there, key=lambda span: (span[1] - span[0], -span[0])))
        else:
            without.append(each.key)
    return found, tuple(without)


def day_of(draft: DayDraft, terms: Terms, changes: Mapping[str, Change]) -> Day:
    """The day as the scheduler takes it, with what was changed by hand."""
    closed = terms.closed
    resources = {
        COOK: Resource(terms.cooks, closed.get(COOK, ())),
        CAMERA: Resource(1, closed.get(CAMERA, ())),
        OVEN: Resource(terms.ovens),
        BURNER: Resource(terms.burners),
        KITCHEN: Resource(None, closed.get(KITCHEN, ())),
    }
    if terms.has_stylist:
        resources[STYLIST] = Resource(1, closed.get(STYLIST, ()))
    resources |= {each: Resource(1, closed.get(each, ())) for each in terms.also}
    if terms.has_client:
        resources[CLIENT] = Resource(1, closed.get(CLIENT, ()))
    return Day(resources, tuple(_activity(each, terms, changes.get(each.key, Change())) for each in draft.activities))


def done_by(finish: int, slack_percent: int) -> int:
    """When the day is over with its slack, which is shown apart: a share of the whole, rounded up."""
    return finish - (-finish * slack_percent // 100)


def _activity(drafted: Drafted, terms: Terms, change: Change) -> Activity:
    minutes = drafted.minutes if change.minutes is None else change.minutes
    needs = []
    for block in drafted.blocks:
        start = max(0, minutes + block.start) if block.start < 0 else block.start
        end = minutes if block.end is None else min(block.end, minutes)
        if start < end:
            amount = terms.cooks if drafted.kind == "break" and block.resource == COOK else 1
            needs.append(Need(block.resource, start, end, amount))
    return Activity(
        drafted.key, minutes, tuple(needs), drafted.after,
        lead=min(drafted.lead, minutes),
        hold=drafted.hold if change.hold is None else change.hold,
        window=change.window or drafted.window or _before_they_go(drafted, terms),
        pinned=change.pinned,
        group=str(drafted.dish) if drafted.dish is not None else "",
    )  # fmt: skip


def _before_they_go(drafted: Drafted, terms: Terms) -> tuple[int, int] | None:
    """The stretch in which everyone a hero needs is there still; None where nobody leaves early."""
    if drafted.kind != "hero":
        return None
    goes = [terms.goes[block.resource] for block in drafted.blocks if block.resource in terms.goes]
    return (0, min(goes)) if goes else None


def _without_followers(found: Sequence[Drafted]) -> tuple[str, ...]:
    wanted = {key for each in found for key in each.after}
    return tuple(each.key for each in found if each.key not in wanted)


def _dish(dish: DishOf, terms: Terms) -> tuple[list[Drafted], list[DayBefore]]:
    """A dish's steps in order, the shots of no step, and its hero."""
    long_ones = [place for place, step in enumerate(dish.steps) if _waits(step) > LONGEST_WAIT_ON_THE_DAY]
    cut = long_ones[-1] + 1 if long_ones else 0
    before = [DayBefore(dish.name, step.text, _step_minutes(step)[0]) for step in dish.steps[:cut]]
    today = dish.steps[cut:]
    found: list[Drafted] = []
    # A shot of a step that was done the day before is still wanted: it is taken with what belongs to no step.
    loose = (*dish.shots, *(shot for step in dish.steps[:cut] for shot in step.shots))
    ready = [shot for shot in loose if shot.stage == "ready"]
    plated = [shot for shot in loose if shot.stage == "plated"]
    if ready:
        found.append(_laid_out(dish, ready, terms))
    for step in today:
        after = (found[-1].key,) if found else ()
        found.append(_step(dish, step, after))
    if today:
        found[-1] = replace(found[-1], hold=hold_of(dish.name, today[-1].text))
    by_hand = [_loose(dish, shot) for shot in loose if shot.stage not in ("ready", "plated")]
    chain = (found[-1].key,) if found else ()
    hero = _hero(dish, plated, (*dict.fromkeys(("first", *chain, *(each.key for each in by_hand))),), terms)
    return [*found, *by_hand, hero], before


def _taken(shots: Sequence[ShotOf], at: int, first: int | None = None) -> tuple[list[tuple[int, int]], int]:
    """When shots are taken one after the other from minute ``at`` on, each with the grey cards of its light before it, and when that is over.

    The first one's set-up takes ``first`` minutes, where that is another than its kind's.
    """
    times = []
    for shot in shots:
        for card in shot.cards:
            times.append((card, at))
            at += TAKE
        at += (0 if shot.kind in AT_ONCE else NEW_ANGLE) if first is None else first
        first = None
        times.append((shot.key, at))
        at += TAKE
    return times, at


def _with_cards(why: str, shots: Sequence[ShotOf]) -> str:
    cards = sum(len(shot.cards) for shot in shots)
    return f"{why}, grey card {TAKE * cards}" if cards else why


def _loose(dish: DishOf, shot: ShotOf) -> Drafted:
    times, minutes = _taken([shot], 0)
    why = f"take {TAKE}" if shot.kind in AT_ONCE else f"new angle {NEW_ANGLE}, take {TAKE}"
    return Drafted(
        f"shot:{shot.key}", "shot", shot.title, minutes, _with_cards(why, [shot]),
        (Block(CAMERA), Block(COOK, times[-1][1]), Block(KITCHEN)), ("first",), dish.key, dish.name, shots=tuple(times),
    )  # fmt: skip


def _waits(step: StepOf) -> int:
    """How many minutes of a step pass without the cook."""
    minutes, alone, _ = _step_minutes(step)
    return minutes if alone is not None else 0


def _step_minutes(step: StepOf) -> tuple[int, int | None, str]:
    """Minutes of a step, after how many of them it goes on without the cook (None: never), and where they come from."""
    alone = [action for action in step.actions if action in BY_ITSELF]
    at_work = [action for action in step.actions if action not in BY_ITSELF]
    if len(step.parts) > 1:
        whole, why = sum(step.parts), f"{' and '.join(map(str, step.parts))} from the recipe"
        head = max(STARTING_A_PAN, step.parts[0] if at_work else 0)
        return whole, (min(whole, head) if alone else None), why
    if step.minutes is None:
        why = f"usual for {', '.join(step.actions)}" if step.actions else "usual, nothing is named"
    else:
        why = "from the recipe"
    if not alone:
        return step.minutes or guess_minutes(step.actions), None, why
    head = max(STARTING_A_PAN, guess_minutes(at_work)) if at_work else STARTING_A_PAN
    waiting = step.minutes or max(GUESSED_MINUTES.get(action, 0) for action in alone) or STARTING_A_PAN
    if step.minutes is not None and at_work:
        why = f"{head} before, then {step.minutes} from the recipe"
    return (head + waiting if at_work else max(waiting, STARTING_A_PAN)), head, why


def _step(dish: DishOf, step: StepOf, after: tuple[str, ...]) -> Drafted:
    minutes, alone_after, why = _step_minutes(step)
    times, camera = _taken(step.shots, 0)
    begin = times[len(step.shots[0].cards)][1] if step.shots else 0
    place = OVEN if IN_THE_OVEN & set(step.actions) else BURNER if ON_A_BURNER & set(step.actions) else ""
    heats_from = begin
    if alone_after is not None and alone_after != STARTING_A_PAN:
        heats_from = begin + alone_after
    blocks = [Block(COOK, begin, None if alone_after is None else begin + alone_after), Block(KITCHEN)]
    if place:
        blocks.append(Block(place, heats_from))
    if step.shots:
        blocks.append(Block(CAMERA, 0, camera))
        why = _with_cards(f"{why}, new angle {NEW_ANGLE}", step.shots)
    return Drafted(
        f"step:{step.key}", "step", step.text, max(begin + minutes, camera), why, tuple(blocks),
        (*after, *(("first",) if step.shots else ())), dish.key, dish.name,
        shots=tuple(times),
        is_hot=bool(HEAT & set(step.actions)),
    )  # fmt: skip


def _new_set(terms: Terms) -> tuple[Block, ...]:
    """Whom a new set takes: the prop stylist dresses it, where there is one, until the camera finds its angle."""
    if PROPS not in terms.also:
        return Block(CAMERA), Block(KITCHEN)
    return Block(PROPS, 0, NEW_SET - NEW_ANGLE), Block(CAMERA, NEW_SET - NEW_ANGLE), Block(KITCHEN)


def _laid_out(dish: DishOf, shots: Sequence[ShotOf], terms: Terms) -> Drafted:
    times, minutes = _taken(shots, 0, first=NEW_SET)
    return Drafted(
        f"ready:{dish.key}", "shot", " · ".join(shot.title for shot in shots), minutes,
        _with_cards(f"new set {NEW_SET}, take {TAKE}", shots), _new_set(terms), ("first",), dish.key, dish.name,
        shots=tuple(times),
    )  # fmt: skip


def _hero(dish: DishOf, shots: Sequence[ShotOf], after: tuple[str, ...], terms: Terms) -> Drafted:
    """Plating and hero in one: the camera is set up, the cook plates, the camera shoots at once."""
    empty = [shot for shot in shots if shot.kind == "empty set"]
    food = [shot for shot in shots if shot not in empty]
    frames = sum(shot.kind in AT_ONCE for shot in food[1:])
    more = max(0, len(food) - 1 - frames)
    times, set_up = _taken(empty, HERO_SET_UP)
    for number, card in enumerate(food[0].cards if food else ()):
        times.append((card, set_up + number * TAKE))
    set_up += TAKE * len(food[0].cards) if food else 0
    times += [(shot.key, set_up) for shot in food[:1]]
    others, minutes = _taken(food[1:], set_up + HERO_TAKE)
    times += others
    minutes += CLIENT_LOOKS if terms.has_client else 0
    why = f"set-up {set_up}, hero {HERO_TAKE}"
    why += f", {more} more at {NEW_ANGLE + TAKE}" if more else ""
    why += f", {frames} safety frame{'' if frames == 1 else 's'} at {TAKE}" if frames else ""
    why += f", client looks {CLIENT_LOOKS}" if terms.has_client else ""
    plates = STYLIST if terms.has_stylist else COOK
    blocks = [Block(CAMERA), Block(plates, set_up - PLATING, set_up), Block(KITCHEN)]
    if terms.has_client:
        blocks.append(Block(CLIENT, -CLIENT_LOOKS))
    return Drafted(
        f"hero:{dish.key}", "hero", f"Plating and hero: {dish.name}", minutes, why, tuple(blocks), after, dish.key, dish.name,
        lead=set_up - PLATING, shots=tuple(times),
    )  # fmt: skip
