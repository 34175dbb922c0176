from shoots.plan.queries import kitchen_lexicon
from tests.benchmarks.day_plans import day_of_dishes, line, measure, project, report
from tests.shoots.run.days import faults, two_dishes


def test_the_days_of_the_benchmark_are_real_days_and_measured():
    day = day_of_dishes(2, 1, kitchen_lexicon())
    assert {"first", "hero:1", "hero:2", "strike"} <= {each.id for each in day.activities}
    assert any(each.window and each.id.startswith("hero") for each in day.activities)
    result = measure(day, seconds=0.02, proof=2)
    assert result.gap >= 0
    assert "2 dishes" in line("2 dishes", [result])


def test_a_project_by_lot_is_planned_without_a_fault():
    from shoots.run.scheduling import plan_day

    day = project(5)
    assert len(day.activities) == 30
    assert faults(day, dict(plan_day(day, seconds=0.02).starts)) == []


def test_the_mean_up_to_five_dishes_is_printed_beside_its_aim(capsys):
    report({"2 dishes": [two_dishes], "7 dishes": [two_dishes]}, seconds=0.01, proof=1)
    last = capsys.readouterr().out.splitlines()[-1]
    assert last.startswith("up to five        1 ")
    assert last.endswith("aim: 0.50 at most")
