"""The shell door `manage.py check_use`, called as a script calls it: another process, a file in, JSON and an exit code out."""

import copy
import json
import os
import subprocess
import sys

import pytest

from tests.house import rooms
from tests.shoots.licences.test_scenarios import MILL, SCENARIO, USE

ASKED = {"id": "q", "ask": "coverage", "use": USE}


@pytest.fixture
def check_use(tmp_path):
    """Runs the command on a value written as JSON, or on bytes as they are."""

    def run(data):
        file, books = tmp_path / "scenario.json", tmp_path / "books"
        file.write_bytes(data if isinstance(data, bytes) else json.dumps(data).encode())
        done = subprocess.run(
            [sys.executable, "manage.py", "check_use", file],
            cwd=rooms.ROOT,
            env={**os.environ, "PLATE_LEDGER_DATA": str(books), "DATABASE_URL": f"sqlite:///{books}/ledger.sqlite3"},
            capture_output=True,
            text=True,
            timeout=60,
        )
        assert not (books / "ledger.sqlite3").exists()
        assert "Traceback" not in done.stderr
        return done

    return run


def test_all_allowed_ends_with_0_and_prints_one_object(check_use):
    done = check_use({"licences": [MILL], "questions": [ASKED, {"id": "c", "ask": "conflicts"}]})
    assert (done.returncode, done.stderr) == (0, "")
    covered = {"covered": True, "first_gap": None, "reasons": {"mill": []}, "none": False}
    assert json.loads(done.stdout) == {"answers": {"q": covered, "c": []}}


def test_something_not_allowed_ends_with_3_and_prints_every_answer(check_use):
    done = check_use(SCENARIO)
    assert done.returncode == 3
    assert json.loads(done.stdout)["answers"]["q1"] == [["mill", "pantry"]]
    assert list(json.loads(done.stdout)["answers"]) == ["q1", "q2", "q3", "q4"]


def test_a_faulty_value_ends_with_2_and_its_path(check_use):
    wrong = copy.deepcopy(SCENARIO)
    wrong["questions"][3]["wish"]["media"] = ["fax"]
    done = check_use(wrong)
    assert (done.returncode, done.stdout) == (2, "")
    assert "questions[3].wish.media[0]: “fax” is not a known code." in done.stderr


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "the file: This is not JSON"),
        (b'{"questions": [', "the file: This is not JSON"),
        (b"\xff\xfe\xff", "the file: This is not JSON"),
        (b"[" * 100_000, "the file: This is not JSON"),
        (b'{"questions": [], "questions": []}', "“questions” is there twice"),
        (b"[]", "the file: An object is wanted here."),
    ],
)
def test_what_is_no_such_file_ends_with_2(check_use, data, said):
    done = check_use(data)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr


def test_a_file_that_is_not_there_ends_with_2(tmp_path):
    command = [sys.executable, "manage.py", "check_use", tmp_path / "nowhere.json"]
    done = subprocess.run(command, cwd=rooms.ROOT, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2
    assert "nowhere.json cannot be read: No such file or directory." in done.stderr
