"""A shoot in a kitchen whose windows and position are known."""

from decimal import Decimal
from typing import Any

from clients.models import KitchenWindow
from shoots.brief.models import Shoot
from shoots.light.actions import set_light
from shoots.light.forms import OF_A_WINDOW
from shoots.light.models import LightPlan
from tests.factories.plan import ShotFactory
from tests.factories.shoots import DishFactory, ShootFactory

LINDHAFEN = {"latitude": Decimal("54.35"), "longitude": Decimal("10.16"), "time_zone": "Europe/Berlin"}


def lit_shoot(windows: int = 1, shots: int = 1, *, bearing: int = 180, **also: Any) -> Shoot:
    """On Saturday 14 November 2026 in Lindhafen, at a window that looks south unless told otherwise."""
    place = {f"kitchen__{name}": value for name, value in LINDHAFEN.items()}
    shoot = ShootFactory(**{**place, **also})
    for number in range(windows):
        KitchenWindow.objects.create(
            kitchen=shoot.kitchen,
            name=f"Window {number + 1}",
            bearing_degrees=(bearing + 90 * number) % 360,
            width_cm=180,
            height_cm=150,
        )
    for number in range(shots):
        ShotFactory(shoot=shoot, dish=DishFactory(shoot=shoot), light="back", angle="level", order=number)
    return shoot


def set_up(shoot: Shoot, **values: Any) -> LightPlan:
    """The set-up written down for the first time; what is a window's goes to every window of the kitchen."""
    measures = {name: values.pop(name) for name in list(values) if name in OF_A_WINDOW}
    windows = {(row.bearing_degrees, 1): measures for row in shoot.kitchen.windows.all()} if measures else {}
    if "window_bearing" in values:
        windows = {key: each for key, each in windows.items() if key[0] == values["window_bearing"]}
    return set_light(shoot, values=values, windows=windows, version=1)
