from datetime import time

from shoots.run.activities import CAMERA, COOK, KITCHEN
from shoots.run.day_plan import Activity, Day, Need, Resource
from shoots.run.timeline import LEFT, ROW, WIDTH, draw


def test_blocks_stand_at_their_minutes_and_beside_one_another():
    day = Day(
        {COOK: Resource(2), CAMERA: Resource(1), KITCHEN: Resource(None, ((100, 120),))},
        (
            Activity("a", 60, (Need(COOK, 0, 60), Need(KITCHEN, 0, 60))),
            Activity("b", 100, (Need(COOK, 10, 100), Need(CAMERA, 0, 100))),
        ),
    )
    names = {"a": ("step", "Chop", "Chop the roots"), "b": ("hero", "Roots", "Plating and hero: Roots")}
    made = draw(day, {"a": 0, "b": 20}, names, time(9, 30), until=0)
    cook, camera, kitchen = made.lanes
    assert [lane.name for lane in made.lanes] == ["Cook", "Camera", "Kitchen"]
    assert cook.height == 2 * ROW + 2  # they overlap, so one is below the other
    assert [bar.y for bar in cook.bars] == [cook.y, cook.y + ROW + 2]
    assert camera.bars[0].words == "Plating and hero: Roots"
    assert kitchen.bars == ()
    assert len(kitchen.closed) == 1
    assert cook.bars[0].x == LEFT
    assert all(bar.x + bar.width <= WIDTH for lane in made.lanes for bar in lane.bars)
    assert [words for _, words in made.hours] == ["10:00", "11:00"]


def test_a_name_is_cut_where_there_is_no_room():
    day = Day({COOK: Resource(1)}, (Activity("a", 5, (Need(COOK, 0, 5),)), Activity("b", 60, (Need(COOK, 0, 60),))))
    names = dict.fromkeys(
        "ab",
        (
            "step",
            "A very long name of a step that goes on and on and on, and then goes on still, word after word after word, longer than the drawing is wide, which it is not",
            "words",
        ),
    )
    small, wide = draw(day, {"a": 0, "b": 5}, names, time(9), until=0).lanes[0].bars
    assert wide.short.endswith("…")
    assert len(small.short) < 12
