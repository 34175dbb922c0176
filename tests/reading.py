"""What an answer says, for tests that read it."""

import html
import re
from typing import Any

from shared.words.formats import plain_spaces


def words(answer: Any) -> str:
    """The page as it was sent, its spaces plain."""
    return plain_spaces(answer.content.decode())


def text(answer: Any) -> str:
    """The page without its tags, its spaces plain and single."""
    return plain_spaces(html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))))


def refusal_on(answer: Any) -> str:
    """What the page says of a refusal, or its note, and nothing else: a failure stays readable."""
    found = re.findall(
        r'role="alert".*?</ul></div>|<div class="note look">.*?</div>', answer.content.decode(), re.DOTALL
    )
    return plain_spaces(html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", " ".join(found)))))
