from dataclasses import replace
from datetime import date

from hypothesis import given

from shoots.licences.boxes import Box, boxes_meet, boxes_of
from shoots.licences.conflicts import claim_of
from shoots.uses.days import is_before, runs_meet
from shoots.uses.territory_tree import TERRITORIES
from tests.shoots.licences.odd_licences import TREES, drawn, odd_grant
from tests.shoots.licences.test_grants import PAID

grants = drawn(odd_grant)


def test_a_licence_is_one_box_a_class_with_adjacent_numbers_merged():
    grant = replace(PAID, classes=frozenset({"stock", "advertising"}), media=frozenset({"web.own", "web.email"}))
    low, high = TERRITORIES.interval("DE")
    days = (date(2026, 12, 1), date(2028, 12, 1))
    assert boxes_of(grant) == (Box(2, 0, 2, low, high, *days), Box(4, 0, 2, low, high, *days))


def test_a_cut_licence_has_boxes_up_to_its_cut_and_an_unplaced_one_none():
    assert {box.day_until for box in boxes_of(replace(PAID, cut_on=date(2027, 1, 1)))} == {date(2027, 1, 1)}
    assert boxes_of(replace(PAID, cut_on=date(2026, 12, 1))) == ()
    assert boxes_of(replace(PAID, is_placed=False)) == ()


@given(grants(0), grants(1))
def test_boxes_meet_exactly_when_the_licences_share_a_cell(one, other):
    a, b = claim_of(one, TREES), claim_of(other, TREES)
    shared = a.classes & b.classes and a.media & b.media and a.territories & b.territories
    wanted = bool(shared) and runs_meet(a.first, a.until, b.first, b.until)
    found = any(boxes_meet(x, y) for x in boxes_of(one, TREES) for y in boxes_of(other, TREES))
    assert found == wanted


@given(grants(0))
def test_a_licence_with_a_day_has_a_box(grant):
    assert bool(boxes_of(grant, TREES)) == is_before(grant.use_from, grant.until)
