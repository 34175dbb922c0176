"""The examples of README.md do what it says: each file is saved as it stands there and handed to its command."""

import json
import re
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from billing.rates.card import card_data
from billing.rates.scenarios import price_scenario
from billing.rates.starting_card import STARTING_CARD
from shoots.licences.scenarios import Part, answer_scenario

README = (Path(__file__).resolve().parents[2] / "README.md").read_text()
EXAMPLES = re.findall(
    r"Save this as `(?P<name>[\w.]+)`:\n\n```\w+\n(?P<text>.*?)^```\n\n    python3 manage\.py (?P<line>[^\n]+)$",
    README,
    re.DOTALL | re.MULTILINE,
)


KEYS = re.compile(r"^\| (?P<keys>`[^|]+`) \| [^|]+ \| (?P<without>[^|]+) \|$", re.MULTILINE)


def listed(command):
    """The keys of a door's table, and whether each must be there."""
    table = README.partition(f"### Every key of `{command}`")[2].partition("It prints")[0]
    rows = [
        (key, row["without"] == "must be there")
        for row in KEYS.finditer(table)
        for key in re.findall("`(.+?)`", row["keys"])
    ]
    assert len(dict(rows)) == len(rows)
    return dict(rows)


RELEASE = {"signed": True, "classes": ["stock"]}
EVERYTHING = {
    "trees": {"media": {"CODE": {"parent": None}}, "territories": {"CODE": {}}},
    "licences": [
        {"id": "a", "pictures": ["ID"], "licensee": "b", "classes": ["stock"], "media": ["CODE"], "territories": ["CODE"], "use_from": "2026-12-01",
         "use_until": None, "state": "paid", "exclusivity": {"kind": "none"}},
    ],
    "pictures": {"ID": {"people": [{"id": "c", "release": RELEASE}], "properties": [{"id": "d"}], "selling_on": {"after": "2026-12-01"}}},
    "questions": [
        {"id": "e", "ask": "coverage",
         "use": {"picture": "ID", "licensee": "b", "classes": ["stock"], "media": ["CODE"], "territories": ["CODE"], "from": "2026-12-01", "until": None}},
        {"id": "f", "ask": "free_from",
         "wish": {"picture": "ID", "licensee": "b", "classes": ["stock"], "media": ["CODE"], "territories": ["CODE"], "from": "2026-12-01", "months": None,
                  "exclusivity": {"kind": "none"}}},
    ],
}  # fmt: skip
PRICED = {
    "card": card_data(STARTING_CARD),
    "requests": [
        {"id": "a", "pictures": 1,
         "items": [{"classes": ["stock"], "media": ["web.own"], "territories": ["DE"], "from": "2026-12-01", "months": 1, "exclusivity": {"kind": "none"}}]},
    ],
}  # fmt: skip


def known_keys(monkeypatch, answer, data):
    """Every key the reader asks for while it reads a file with all parts, and whether it must be there."""
    asked, fields = {}, Part.fields

    def noted(part, required, optional=""):
        path = re.sub(r"\[\d+\]", "[]", part.path)
        for name in (*required.split(), *optional.split()):
            asked[f"{path}.{name}".lstrip(".")] = name in required.split()
        return fields(part, required, optional)

    monkeypatch.setattr(Part, "fields", noted)
    answer(data)
    return asked


def test_every_key_of_check_use_is_listed_and_no_other(monkeypatch):
    assert listed("check_use") == known_keys(monkeypatch, answer_scenario, EVERYTHING) | {
        "questions[].use": True, "questions[].wish": True,
    }  # fmt: skip


def test_every_key_of_price_use_is_listed_and_no_other(monkeypatch):
    known = known_keys(monkeypatch, price_scenario, PRICED) | {f"card.{name}": True for name in PRICED["card"]}
    for tree in ("classes", "media", "territories"):
        for mark in next(iter(PRICED["card"][tree].values())):
            known[f"card.{tree}.CODE.{mark}"] = mark == "factor"
    assert listed("price_use") == known


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)

    def said(command, change=lambda text: text):
        for name, text, line in EXAMPLES:
            word, *arguments = line.split()
            if word == command:
                assert name in arguments
                Path(name).write_text(change(text))
                call_command(word, *arguments)
                return json.loads(capsys.readouterr().out)
        raise AssertionError(f"README.md has no example of {command}")

    return said


def test_each_shell_door_has_one_example():
    assert [line.split()[0] for _, _, line in EXAMPLES] == ["check_use", "price_use", "read_recipe", "plan_day"]


def test_check_use_answers_the_example(run):
    answer = run("check_use")["answers"]["post in May"]
    assert answer == {"covered": True, "first_gap": None, "reasons": {"L-1": []}, "none": False}


def test_check_use_ends_with_3_where_something_is_not_allowed(run):
    with pytest.raises(CommandError) as refused:
        run("check_use", lambda text: text.replace('"from": "2027-05-01"', '"from": "2026-11-01"'))
    assert refused.value.returncode == 3


def test_a_faulty_example_ends_with_2_and_names_the_place(run):
    with pytest.raises(CommandError, match=r"licences\[0\]\.media\[0\]") as refused:
        run("check_use", lambda text: text.replace("web.own", "web.hologram"))
    assert refused.value.returncode == 2


def test_price_use_prices_the_example(run):
    fee = run("price_use")["fees"]["own website"]
    assert set(fee) >= {"total", "fee", "lines"}
    assert float(fee["fee"]) >= float(fee["total"]) > 0


def test_read_recipe_reads_the_example(run):
    recipe = run("read_recipe")
    assert recipe["servings"] == 4
    assert [each["name"] for each in recipe["ingredients"]] == ["leeks", "walnut oil"]


def test_plan_day_plans_the_example(run):
    assert set(run("plan_day")["starts"]) == {"leeks on the grill", "leeks from above"}
