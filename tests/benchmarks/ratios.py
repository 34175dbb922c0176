"""Times and work of pages as ratios to an empty page of the same run: a slow machine is slow for both."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

GOAL_FOR_HALF, GOAL_FOR_ALL = 4, 10


@dataclass(frozen=True, slots=True)
class PageTime:
    """What a page took in each round, and an empty page right before it; the functions called for each; its queries."""

    name: str
    path: str
    queries: int
    calls: int
    empty_calls: int
    seconds: Sequence[float]
    empty_seconds: Sequence[float]

    @property
    def ratio(self) -> float:
        """How many times the empty page, the fastest round of each: what else the machine does can only add to it."""
        return min(self.seconds) / min(self.empty_seconds)

    @property
    def work(self) -> float:
        """The same by functions called: alike in every run, on a busy machine too, but blind to what a database does."""
        return self.calls / self.empty_calls


def ratio_table(times: Iterable[PageTime]) -> list[str]:
    """One line a page, the slowest first."""
    rows = sorted(times, key=lambda each: -each.ratio)
    width = max((len(each.name) for each in rows), default=0)
    return [
        f"{'ratio':>6} {'work':>6} {'ms':>7} {'queries':>7}  page",
        *(
            f"{e.ratio:6.1f} {e.work:6.1f} {min(e.seconds) * 1000:7.1f} {e.queries:7}  {e.name:<{width}}  {e.path}"
            for e in rows
        ),
    ]


def verdict(times: Sequence[PageTime]) -> list[str]:
    """How many pages are within the two goals, and the slowest: by time, then by work."""
    return [
        _verdict("Time", {each.name: each.ratio for each in times}),
        _verdict("Work", {each.name: each.work for each in times}),
    ]


def _verdict(of: str, ratios: dict[str, float]) -> str:
    half, all_ = (sum(ratio <= goal for ratio in ratios.values()) for goal in (GOAL_FOR_HALF, GOAL_FOR_ALL))
    most = max(ratios, key=lambda name: ratios[name])
    return (
        f"{of}: {half} of {len(ratios)} within {GOAL_FOR_HALF} times an empty page (goal: half), "
        f"{all_} within {GOAL_FOR_ALL} (goal: all). Most: {most}, {ratios[most]:.1f} times."
    )
