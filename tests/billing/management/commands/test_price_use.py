"""The shell door `manage.py price_use`, called as a script calls it: another process, a file in, JSON and an exit code out."""

import json
import os
import subprocess
import sys

import pytest

from tests.billing.rates.test_scenarios import PACKAGING, WORKED, ask
from tests.house import rooms


@pytest.fixture
def price_use(tmp_path):
    """Runs the command on a value written as JSON, or on bytes as they are; None: on no file."""

    def run(data):
        file, books = tmp_path / "uses.json", tmp_path / "books"
        if data is not None:
            file.write_bytes(data if isinstance(data, bytes) else json.dumps(data).encode())
        done = subprocess.run(
            [sys.executable, "manage.py", "price_use", file],
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


def test_fees_are_printed_as_one_object(price_use):
    rows = [{"id": str(place), "pictures": row[0], "items": row[1]} for place, row in enumerate(WORKED)]
    done = price_use({"requests": [*rows, {"id": "none", "pictures": 1, "items": []}]})
    assert (done.returncode, done.stderr) == (0, "")
    fees = json.loads(done.stdout)["fees"]
    assert [fees[str(place)]["fee"] for place in range(len(WORKED))] == [row[3] for row in WORKED]
    assert fees["none"] == {"error": "ITEMS"}


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (ask(1, [{**PACKAGING, "media": ["fax"]}]), "requests[0].items[0].media[0]: “fax” is not a known code."),
        (b"{", "the file: This is not JSON"),
        (b'{"requests": [], "requests": []}', "there twice"),
        (b"\xff\xfe\x00", "the file: This is not JSON"),
        (None, "cannot be read"),
    ],
)
def test_what_is_wrong_ends_with_2_and_is_named(price_use, data, said):
    done = price_use(data)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr
