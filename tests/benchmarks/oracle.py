"""The optimum of a day by a constraint solver (OR-Tools CP-SAT), which the product itself never needs."""

from dataclasses import dataclass

from shoots.run.day_plan import OUTSIDE_COSTS, Day


@dataclass(frozen=True)
class Optimum:
    """The least cost found (finish and what lies outside windows), a cost below which none can be, and the starts."""

    cost: int
    least: int
    starts: dict[str, int]

    @property
    def is_proved(self) -> bool:
        return self.cost == self.least


def is_there() -> bool:
    """Whether the solver is installed here."""
    try:
        import ortools.sat.python.cp_model  # noqa: F401
    except ImportError:
        return False
    return True


def optimum_of(day: Day, *, seconds: float = 10, workers: int = 1) -> Optimum | None:
    """The optimum of a day, or the best that was found in so many seconds; None when nothing was."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    horizon = (
        sum(activity.minutes for activity in day.activities)
        + max([activity.not_before for activity in day.activities] + [0])
        + max([until for each in day.resources.values() for _, until in each.closed] + [0])
        + max([activity.window[1] for activity in day.activities if activity.window] + [0])
    )
    start = {
        activity.id: model.new_int_var(max(0, activity.not_before), horizon, activity.id) for activity in day.activities
    }
    by_id = {activity.id: activity for activity in day.activities}
    finish = model.new_int_var(0, 2 * horizon, "finish")
    costs = []
    for activity in day.activities:
        model.add(finish >= start[activity.id] + activity.minutes)
        for key in activity.after:
            model.add(start[activity.id] + activity.lead >= start[key] + by_id[key].minutes)
        if activity.window:
            inside = model.new_int_var(0, activity.minutes, f"inside {activity.id}")
            last = model.new_int_var(-2 * horizon, 2 * horizon, f"last {activity.id}")
            first = model.new_int_var(0, 2 * horizon, f"first {activity.id}")
            model.add_min_equality(last, [start[activity.id] + activity.minutes, activity.window[1]])
            model.add_max_equality(first, [start[activity.id], activity.window[0]])
            model.add_max_equality(inside, [last - first, 0])
            costs.append(activity.minutes - inside)
    for name, resource in day.resources.items():
        blocks = [
            (model.new_fixed_size_interval_var(start[each.id] + need.start, need.end - need.start, ""), need.amount)
            for each in day.activities
            for need in each.needs
            if need.resource == name
        ]
        shut = [model.new_fixed_size_interval_var(since, until - since, "") for since, until in resource.closed]
        if resource.amount is None:
            for block, _ in blocks:
                for each in shut:
                    model.add_no_overlap([block, each])
        else:
            merged = _merged(resource.closed)
            walls = [model.new_fixed_size_interval_var(since, until - since, "") for since, until in merged]
            model.add_cumulative(
                [block for block, _ in blocks] + walls,
                [amount for _, amount in blocks] + [resource.amount] * len(walls),
                resource.amount,
            )
    model.minimize(finish + OUTSIDE_COSTS * sum(costs))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return Optimum(
        round(solver.objective_value),
        round(solver.best_objective_bound),
        {key: solver.value(each) for key, each in start.items()},
    )


def _merged(closed: tuple[tuple[int, int], ...]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for since, until in sorted(closed):
        if since >= until:
            continue
        if found and since <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], until))
        else:
            found.append((since, until))
    return found
