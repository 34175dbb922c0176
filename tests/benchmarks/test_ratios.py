from tests.benchmarks.ratios import PageTime, ratio_table, verdict


def timed(name, *milliseconds, calls=3000, empty=(10.0, 10.0, 10.0)):
    seconds, empty_seconds = [each / 1000 for each in milliseconds], [each / 1000 for each in empty]
    return PageTime(name, f"/{name}/", 7, calls, 1000, seconds, empty_seconds)


def test_what_else_the_machine_did_counts_for_nothing():
    assert timed("shoots", 30, 3000, 900, empty=(700, 10, 900)).ratio == 3


def test_the_slowest_page_stands_first():
    _, first, second = ratio_table([timed("clients", 20), timed("shoots", 125)])
    assert first.split() == ["12.5", "3.0", "125.0", "7", "shoots", "/shoots/"]
    assert second.split() == ["2.0", "3.0", "20.0", "7", "clients", "/clients/"]


def test_the_verdict_counts_a_page_at_the_goal_as_within():
    times = [timed("a", 40, calls=9000), timed("b", 41), timed("c", 100), timed("d", 101)]
    by_time, by_work = verdict(times)
    assert by_time == (
        "Time: 1 of 4 within 4 times an empty page (goal: half), 3 within 10 (goal: all). Most: d, 10.1 times."
    )
    assert by_work.startswith("Work: 3 of 4 within 4 ")
    assert by_work.endswith("4 within 10 (goal: all). Most: a, 9.0 times.")
