from dataclasses import replace

import pytest

from shoots.delivery.checklist import Fix, PictureFacts, Promise, Step, check, in_rows, why_not

GOOD = PictureFacts(
    key=1, number="WL-1126-001", is_checked=True, has_caption=True, not_released="", has_licence=True, is_sent=False, is_received=False
)  # fmt: skip


def promise(*pictures, key=1):
    return Promise(key=key, title="Bread boat from above", pictures=pictures)


def checked(*promises, to_place=False):
    return check(promises, has_licence_to_place=to_place)


def test_a_picture_with_nothing_missing_is_ready():
    found = checked(promise(GOOD))
    assert found.can_deliver
    assert found.pictures_to_send == (1,)
    assert why_not(found) == ""


@pytest.mark.parametrize(
    ("change", "step", "fix"),
    [
        ({"is_checked": False}, Step.CHECKED, Fix.PICTURE),
        ({"has_caption": False}, Step.CAPTIONED, Fix.PICTURE),
        ({"not_released": "Maro Lantadze: no release is signed"}, Step.RELEASED, Fix.PICTURE),
        ({"has_licence": False}, Step.RIGHTS, Fix.ESTIMATE),
    ],
)
def test_each_missing_thing_blocks_and_says_its_way_round(change, step, fix):
    found = checked(promise(replace(GOOD, **change)))
    (missing,) = found.blocked[0].missing
    assert (missing.step, missing.fix, missing.picture) == (step, fix, 1)
    assert step not in found.blocked[0].done
    assert not found.can_deliver
    assert why_not(found) == f"It waits for one picture. {missing.words}"


def test_a_promise_nobody_keeps_is_missing_first_of_all():
    found = checked(promise())
    assert found.blocked[0].missing[0].fix is Fix.PICTURES
    assert found.blocked[0].done == frozenset()


def test_a_licence_that_waits_is_the_way_to_rights():
    found = checked(promise(replace(GOOD, has_licence=False)), to_place=True)
    assert found.blocked[0].missing[0].fix is Fix.LICENCE


def test_all_pictures_of_a_promise_count_and_missing_things_come_in_order():
    second = replace(GOOD, key=2, number="WL-1126-002", has_caption=False, is_checked=False)
    found = checked(promise(GOOD, second))
    assert [each.step for each in found.blocked[0].missing] == [Step.CHECKED, Step.CAPTIONED]


def test_what_was_sent_is_not_sent_again_nor_blocks():
    sent = replace(GOOD, is_sent=True, has_caption=False)
    found = checked(promise(sent), promise(replace(GOOD, key=2), key=2))
    assert found.can_deliver
    assert found.pictures_to_send == (2,)
    assert len(found.sent) == 1


def test_received_is_the_last_step():
    found = checked(promise(replace(GOOD, is_sent=True, is_received=True)))
    assert found.received == found.lines
    assert found.lines[0].done == frozenset(Step)
    assert all(is_done for _step, _name, is_done in found.lines[0].steps)
    assert why_not(found) == "Every picture is delivered."


def test_one_picture_that_keeps_two_promises_goes_once():
    assert checked(promise(GOOD), promise(GOOD, key=2)).pictures_to_send == (1,)


def test_nothing_agreed_is_said():
    assert why_not(checked()).startswith("There is no agreed picture")


def test_blocked_lines_come_first():
    found = checked(promise(GOOD), promise(key=2), promise(replace(GOOD, is_sent=True), key=3))
    assert [line.promise.key for line in in_rows(found.lines)] == [2, 1, 3]
    two = checked(promise(key=1), promise(key=2))
    assert why_not(two).startswith("It waits for 2 pictures. First: ")
