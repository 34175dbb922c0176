from collections.abc import Iterator
from typing import Any

import pytest

from tests.shared.outbox.mailserver import Post, open_post


@pytest.fixture
def post(settings: Any) -> Iterator[Post]:
    with open_post() as open_one:
        settings.MAIL_ADDRESS = f"smtp://127.0.0.1:{open_one.port}"
        yield open_one
