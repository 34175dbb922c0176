"""The examples of README.md do what it says: each file is saved as it stands there and handed to its command."""

import json
import re
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

README = (Path(__file__).resolve().parents[2] / "README.md").read_text()
EXAMPLES = re.findall(
    r"Save this as `(?P<name>[\w.]+)`:\n\n```\w+\n(?P<text>.*?)^```\n\n    python3 manage\.py (?P<line>[^\n]+)$",
    README,
    re.DOTALL | re.MULTILINE,
)


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
