import json

from shared.papers.kept import as_json
from tests.shoots.found.letters import LETTER


def test_the_snapshot_is_json_with_days_as_text():
    kept = as_json(LETTER)
    assert json.loads(json.dumps(kept)) == kept
    assert kept["seen_on"] == "2026-11-18"
    assert kept["since"] is None
    assert kept["licences"][0]["reasons"] == ["MEDIUM", "ENDED"]
