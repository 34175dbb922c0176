"""Minutes food stands between fridge or heat and the last picture: as planned, and as it is on the day. Cautions only.

FDA Food Code 3-501.19(B); Food Hygiene (Wales) Regulations 2006, Schedule 4, paragraphs 2, 6 and 7. The cook and local rules decide.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time

from shoots.run.clocks import WARN_AT


@dataclass(frozen=True, slots=True)
class FoodPlan:
    """A dish in the planned run: when it leaves fridge or heat, when its last picture is done, and what limit it passes (0: none).

    ``day`` is the day of a shoot of several; 0 where there is only one.
    """

    leaves: time
    done: time
    minutes: int
    day: int = 0

    @property
    def limit(self) -> int:
        return limit_of(self.minutes)


@dataclass(frozen=True, slots=True)
class FoodNow:
    """A dish on the day: since when it stands, how many minutes, and whether they still run."""

    since: datetime
    minutes: int
    is_running: bool

    @property
    def limit(self) -> int:
        return limit_of(self.minutes)


def limit_of(minutes: int) -> int:
    """The graver of 1 h 30 and 3 h 30 that these minutes reach; 0 for neither."""
    return next((limit for limit in WARN_AT if minutes >= limit), 0)


def food_now(since: datetime, *, last_picture: datetime | None, is_all_taken: bool, now: datetime) -> FoodNow:
    """How long food has stood: until the last picture when all of the dish are taken, until now while some are open."""
    ended = is_all_taken and last_picture is not None and last_picture >= since
    until = last_picture if ended and last_picture is not None else now
    return FoodNow(since, max(0, int((until - since).total_seconds() // 60)), not ended)
