"""Fees from a file. The worked rows: the project's own method for fees, section 8 "Fee" (starting values: common practice, no source)."""

import copy
from fractions import Fraction as F

import pytest

from billing.rates.card import card_data
from billing.rates.scenarios import price_scenario
from billing.rates.starting_card import STARTING_CARD as CARD
from shoots.licences.scenarios import InvalidScenario


def use(classes, media, months, places="DE", **more):
    return {
        "classes": classes.split(),
        "media": media.split(),
        "territories": places.split(),
        "from": "2027-03-01",
        "months": months,
        **more,
    }


def only(kind, months=None):
    return {"kind": kind, "months": months}


PACKAGING = use("stock", "print.packaging", 24, copies=100_000, exclusivity=only("trade"))
WORKED = [
    (12, [PACKAGING], "6728.6700", "6730.00"),
    (12, [{**PACKAGING, "copies": 100_001}], "8281.4400", "8285.00"),
    (12, [{**PACKAGING, "classes": ["advertising"]}], "8074.4040", "8075.00"),
    (12, [{**PACKAGING, "exclusivity": only("trade", 12)}], "5981.0400", "5985.00"),
    (6, [use("advertising", "web.own web.social", 12), use("advertising", "print.menu", 12, copies=900)], "1440.5040", "1445.00"),
    (5, [use("advertising", "web.own", 12, "DE AT CH")], "1080.0000", "1080.00"),
    (1, [use("stock", "web.own", 18)], "112.5000", "115.00"),
    (1, [use("editorial", "print.editorial", 1, "AT", copies=500)], "5.6700", "90.00"),
    (1, [use("all", "all", None, "world", copies="unlimited", exclusivity=only("picture"))], "113400.0000", "113400.00"),
    (1, [use("advertising", "print.ad", 60, copies=1_000_000, exclusivity=only("picture"))], "2970.0000", "2970.00"),
]  # fmt: skip


def ask(pictures=1, items=(), **more):
    return {"requests": [{"id": "q", "pictures": pictures, "items": list(items), **more}]}


def refused(data):
    with pytest.raises(InvalidScenario) as wrong:
        price_scenario(data)
    return wrong.value.path


@pytest.mark.parametrize(("pictures", "items", "total", "fee"), WORKED)
def test_the_worked_requests(pictures, items, total, fee):
    answer = price_scenario(ask(pictures, items))["fees"]["q"]
    assert (answer["total"], answer["fee"]) == (total, fee)
    assert "change_fee" not in answer
    for line in answer["lines"]:
        product = F(1)
        for _, value, reason in line["working"]:
            assert reason
            product *= F(value)
        assert product == F(line["sum"])


def test_a_website_and_a_menu_are_two_lines():
    lines = price_scenario(ask(*WORKED[4][:2]))["fees"]["q"]["lines"]
    assert [(line["items"], line["sum"]) for line in lines] == [([0], "1137.24"), ([1], "303.264")]


def test_a_change_costs_the_difference_and_handling():
    data = ask(12, [{**PACKAGING, "classes": ["advertising"]}], agreed_fee="6730.00")
    assert price_scenario(data)["fees"]["q"]["change_fee"] == "1385.00"


def test_what_has_no_fee_is_an_answer():
    assert price_scenario(ask(1, [use("stock", "print.menu", 1)]))["fees"] == {"q": {"error": "QUANTITY_REQUIRED"}}
    for items in ([], [PACKAGING] * 7):
        assert price_scenario(ask(1, items))["fees"] == {"q": {"error": "ITEMS"}}


def test_a_card_of_the_file_counts():
    card = {**card_data(CARD), "base": "360", "minimum": "5"}
    assert price_scenario({"card": card, **ask(1, [use("stock", "web.own", 18)])})["fees"]["q"]["fee"] == "225.00"


def test_terms_at_the_end_of_the_calendar_are_priced():
    last = {**use("stock", "web.own", 1200), "from": "9999-12-31"}
    assert price_scenario(ask(1, [last]))["fees"]["q"]["total"] == "450.0000"
    assert price_scenario(ask(1, [last, {**last, "from": "9999-12-01"}]))["fees"]["q"]["total"] == "450.0000"
    assert refused(ask(1, [last, {**last, "from": "0001-01-01"}])) == "requests[0].items"


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"media": ["fax"]}, "media[0]"),
        ({"classes": []}, "classes"),
        ({"territories": ["DE", 7]}, "territories[1]"),
        ({"from": "2027-02-30"}, "from"),
        ({"months": 0}, "months"),
        ({"months": 1201}, "months"),
        ({"months": 1.5}, "months"),
        ({"copies": 0}, "copies"),
        ({"copies": "many"}, "copies"),
        ({"exclusivity": only("all")}, "exclusivity.kind"),
        ({"exclusivity": only("trade", -1)}, "exclusivity.months"),
        ({"colour": 1}, "colour"),
    ],
)
def test_a_faulty_item_is_refused_with_its_path(change, path):
    assert refused(ask(1, [PACKAGING, {**PACKAGING, **change}])) == f"requests[0].items[1].{path}"


def test_a_faulty_request_is_refused_with_its_path():
    assert refused(ask(0, [PACKAGING])) == "requests[0].pictures"
    assert refused(ask(10**9, [PACKAGING])) == "requests[0].pictures"
    assert refused(ask(1, [PACKAGING], agreed_fee=6730)) == "requests[0].agreed_fee"
    assert refused(ask(1, [PACKAGING], agreed_fee="-1")) == "requests[0].agreed_fee"
    twice = ask(1, [PACKAGING])["requests"] * 2
    assert refused({"requests": twice}) == "requests[1].id"
    assert refused({"fees": {}}) == "fees"
    assert refused({}) == "requests"


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"base": 180}, "card.base"),
        ({"base": "0"}, "card.base"),
        ({"step": "7"}, "card.minimum"),
        ({"term": [["0", "1"]]}, "card.term[0]"),
        ({"term": [[0, "0.25"], [1, "0.35"], [3, "0.52"], [6, "2"]]}, "card.term[3]"),
        ({"copy_bands": [[1000, "1"], [5000, "0.5"], [None, "1"]]}, "card.copy_bands[1]"),
        ({"media": {"all": {"parent": None, "factor": "0"}}}, "card.media.all.factor"),
        ({"media": {"web": {"parent": "all", "factor": "1"}}}, "card.media.web"),
    ],
)
def test_a_card_that_breaks_its_rules_is_refused_with_the_path(change, path):
    card = copy.deepcopy({**card_data(CARD), **change})
    assert refused({"card": card, "requests": []}) == path
