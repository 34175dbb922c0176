from dataclasses import FrozenInstanceError
from datetime import time

import pytest

from shoots.run.snapshot import RunLine


def test_a_line_of_the_run_is_frozen():
    line = RunLine(time(9), time(9, 45), "First set", "", "Camera", 45)
    assert not line.is_pinned
    with pytest.raises(FrozenInstanceError):
        line.minutes = 50
