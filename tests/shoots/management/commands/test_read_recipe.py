"""The shell door `manage.py read_recipe`, called as a script calls it: another process, a file in, words or JSON and an exit code out."""

import json
import os
import subprocess
import sys

import pytest

from tests.house import rooms

SOUP = "Leek soup\n\nServes 4\n\nIngredients\n- 3 leeks\n\nMethod\n1. Simmer the leeks for 20 minutes.\n"


@pytest.fixture
def read_recipe(tmp_path):
    """Runs the command on words, or on bytes as they are, in a file or piped in; no books are there, and none may come to be."""

    def run(data, *words, piped=False):
        file, books = tmp_path / "recipe.txt", tmp_path / "books"
        data = data if isinstance(data, bytes) else data.encode()
        file.write_bytes(data)
        done = subprocess.run(
            [sys.executable, "manage.py", "read_recipe", "-" if piped else str(file), *words],
            cwd=rooms.ROOT,
            env={
                **os.environ,
                "PLATE_LEDGER_DATA": str(books),
                "DATABASE_URL": f"sqlite:///{books}/ledger.sqlite3",
                "PYTHONUTF8": "1",
            },
            input=data if piped else b"",
            capture_output=True,
            timeout=60,
        )
        assert not (books / "ledger.sqlite3").exists()
        assert b"Traceback" not in done.stderr
        return done.returncode, done.stdout.decode(), done.stderr.decode()

    return run


@pytest.mark.parametrize("piped", [False, True])
def test_a_recipe_in_a_file_or_piped_in_is_one_json_object(read_recipe, piped):
    code, out, err = read_recipe(SOUP, "--json", piped=piped)
    assert (code, err) == (0, "")
    assert json.loads(out) == {
        "title": "Leek soup",
        "servings": 4,
        "ingredients": [{"text": "3 leeks", "quantity": 3, "unit": None, "name": "leeks"}],
        "steps": [{"number": 1, "text": "Simmer the leeks for 20 minutes.", "actions": ["simmer"], "minutes": [20, 20], "celsius": None}],
        "allergens": [],
        "unread": [],
    }  # fmt: skip


def test_without_json_a_person_can_read_it(read_recipe):
    code, out, _ = read_recipe(SOUP)
    assert code == 0
    assert "  1. Simmer the leeks for 20 minutes.\n     simmer, 20 min\n" in out


def test_another_language_is_said_beside_the_answer(read_recipe):
    code, out, err = read_recipe("Lauch\nZubereitung\n1. Den Lauch schneiden und in der Butter braten.", "--json")
    assert (code, json.loads(out)["steps"][0]["actions"]) == (0, [])
    assert "seems to be German" in err


def test_a_recipe_saved_as_utf_16_is_read(read_recipe):
    assert json.loads(read_recipe(SOUP.encode("utf-16"), "--json")[1])["title"] == "Leek soup"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "No recipe was pasted"),
        (b"\xff\xd8\xff\xe0\x00\x10", "no text in UTF-8"),
        (b'{"@type": "Recipe", "name": ', "damaged"),
        (b"word " * 400_000, "more than a recipe has"),
    ],
)
def test_what_is_no_recipe_ends_with_2_and_what_to_do(read_recipe, data, said):
    code, out, err = read_recipe(data, "--json")
    assert (code, out) == (2, "")
    assert said in err
    assert "recipe.txt" in err


def test_a_file_that_is_not_there_ends_with_2(tmp_path):
    command = [sys.executable, "manage.py", "read_recipe", str(tmp_path / "nowhere.txt")]
    done = subprocess.run(command, cwd=rooms.ROOT, capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stdout) == (2, "")
    assert "nowhere.txt cannot be read: No such file or directory." in done.stderr
