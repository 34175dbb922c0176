"""Where in the making of a dish a shot belongs: raw and ready, hands at work, at the heat, or plated."""

from __future__ import annotations

from collections.abc import Collection

READY, HANDS, HEAT, PLATED, NO_STAGE = "ready", "hands", "heat", "plated", ""

OWN = "kind-"  # how the id of a studio's own kind begins

# Common practice, no source.
AT_THE_HEAT = frozenset(
    {
        "bake", "boil", "caramelise", "cook", "deepfry", "deglaze", "flambe", "flip", "fry", "grill", "heat", "light_up", "melt", "reduce",
        "render", "saute", "sear", "simmer", "skim", "smoke", "steam", "toast", "torch", "uncover",
    }
)  # fmt: skip
ON_THE_PLATE = frozenset({"carve", "garnish", "plate", "taste", "unmould"})
BEFORE_ANY_HEAT = frozenset({"rinse", "dry", "sort"})
HOT = frozenset({"hot oil", "hot metal", "flame", "steam"})  # where a pan, an oven or a fire is at work


def stage_of(kind: str, action_id: str | None, hazards: Collection[str] = ()) -> str:
    """The stage of a drafted shot: by its action when it shows a moment, else by the kind of always-wanted picture; empty for shots of the day.

    ``hazards`` speak for a moment without a kind, or of one the studio added.
    """
    if kind == "moment":
        if action_id in AT_THE_HEAT:
            return HEAT
        if action_id in ON_THE_PLATE:
            return PLATED
        if (not action_id or action_id.startswith(OWN)) and not HOT.isdisjoint(hazards):
            return HEAT
        return READY if action_id in BEFORE_ANY_HEAT else HANDS
    if kind == "ingredients":
        return READY
    if kind == "hands":
        return HANDS
    return NO_STAGE if kind in ("grey card", "room", "portrait") else PLATED
