import io
import json
import time

import pytest
from django.core.management import CommandError, call_command

from shoots.run.day_file import plan_as_json, read_day, said
from shoots.run.day_plan import Caution, InvalidDay
from shoots.run.scheduling import plan_day

DAY = {
    "resources": {"cook": 1, "camera": {"amount": 1, "closed": [[60, 100]]}, "kitchen": {"amount": None}},
    "activities": [
        {"id": "foam", "minutes": 5, "needs": [{"resource": "cook", "amount": 1, "from": 0, "to": 5}], "hold": 3},
        {"id": "hero", "minutes": 20, "needs": [{"resource": "camera", "amount": 1, "from": 0, "to": 20}],
         "after": ["foam"], "hold": None, "not_before": 45, "daylight": [0, 60]},
    ],
    "seconds": 0.01,
    "seed": 3,
}  # fmt: skip


def changed(path, value):
    """The day with one thing changed; a path as the errors write it."""
    day = json.loads(json.dumps(DAY))
    here, *rest = [int(each) if each.isdigit() else each for each in path.replace("[", ".").replace("]", "").split(".")]
    at = day
    for each in rest:
        at, here = at[here], each
    at[here] = value
    return json.dumps(day)


def test_a_day_is_read_and_planned():
    asked = read_day(json.dumps(DAY))
    assert (asked.seconds, asked.seed, asked.day.resources["kitchen"].amount) == (0.01, 3, None)
    plan = plan_day(asked.day, seconds=asked.seconds, seed=asked.seed)
    assert plan_as_json(plan, asked.day) == {
        "starts": {"foam": 95, "hero": 100},
        "finish": 120,
        "bound": 120,
        "warnings": [
            {"kind": "outside_daylight", "activity": "hero", "minutes": 20, "text": "hero is 20 minutes outside its daylight."}
        ],
    }  # fmt: skip


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("colour", 1),
        ("seconds", "1"),
        ("seconds", 61),
        ("seed", 1.5),
        ("seed", True),
        ("resources", []),
        ("resources.cook", -1),
        ("resources.cook", "one"),
        ("resources.camera.amount", 1.5),
        ("resources.camera.closed", 7),
        ("resources.camera.closed[0]", [1, 2, 3]),
        ("resources.camera.closed[0]", [2, 1]),
        ("resources.camera.closed[0][1]", None),
        ("resources.camera.open", 1),
        ("activities", {}),
        ("activities[0]", 4),
        ("activities[0].id", ""),
        ("activities[0].id", 4),
        ("activities[0].minutes", "5"),
        ("activities[0].minutes", -5),
        ("activities[0].hold", "3"),
        ("activities[0].pinned", 3),
        ("activities[0].needs[0].resource", "oven"),
        ("activities[0].needs[0].amount", 2),
        ("activities[0].needs[0].amount", 0),
        ("activities[0].needs[0].colour", 2),
        ("activities[1].after[0]", "soup"),
        ("activities[1].daylight", [10]),
        ("activities[1].not_before", 1.0),
    ],
)
def test_what_is_wrong_is_refused_with_its_path(path, value):
    with pytest.raises(InvalidDay) as refused:
        read_day(changed(path, value))
    assert refused.value.path == path


@pytest.mark.parametrize(
    "text", ["", "[]", "{", '{"resources": {}}', '{"resources": {}, "resources": {}, "activities": []}',
             '{"resources": {}, "activities": [], "seconds": NaN}', "[" * 100_000]
)  # fmt: skip
def test_what_is_no_day_is_refused(text):
    with pytest.raises(InvalidDay):
        read_day(text)


def test_each_kind_of_warning_has_its_words():
    day = read_day(json.dumps(DAY)).day
    assert said(Caution("hold", "foam", 4, "hero"), day) == "foam waits 7 minutes for hero; it lasts about 3."
    assert said(Caution("overfull", "hero", 1), day) == "The day is too full: hero ends 1 minute after closing."
    for kind in ("too_late", "closed", "clash"):
        assert said(Caution(kind, "foam", 2, "hero", "cook"), day).startswith("foam ")


def test_the_shell_door_plans_without_books_and_refuses_with_code_2(tmp_path):
    file, out = tmp_path / "day.json", io.StringIO()
    file.write_text(json.dumps(DAY))
    call_command("plan_day", str(file), "--json", stdout=out)
    assert json.loads(out.getvalue())["finish"] == 120
    call_command("plan_day", str(file), stdout=out)
    assert "Done at minute 120; no plan can be done before minute 120." in out.getvalue()
    file.write_text(changed("activities[1].after[0]", "hero"))
    with pytest.raises(CommandError, match="wait for one another") as refused:
        call_command("plan_day", str(file))
    assert refused.value.returncode == 2
    with pytest.raises(CommandError) as refused:
        call_command("plan_day", str(tmp_path / "none.json"))
    assert refused.value.returncode == 2


def test_a_day_of_huge_numbers_is_planned_in_the_time_of_a_small_one():
    need = [{"resource": "cook", "amount": 600}]
    activities = [{"id": str(number), "minutes": 2000, "needs": need, "not_before": 90_000} for number in range(40)]
    asked = read_day(json.dumps({"resources": {"cook": 1000}, "activities": activities}))
    began = time.process_time()
    assert plan_day(asked.day).finish == 90_000 + 40 * 2000
    assert time.process_time() - began < 20
