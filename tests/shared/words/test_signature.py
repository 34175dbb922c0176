"""A signature is a drawing of moves and lines and nothing else."""

import pytest

from shared.words.signature import SignatureUnreadable, read_signature


def test_a_signature_of_two_strokes_is_kept_as_drawn():
    path = "M42 118L50 70L66 44M120 90L300 88"
    assert read_signature(path) == path


@pytest.mark.parametrize(
    "path",
    [
        "",
        "M10 20",
        "M10 20L30 40Z",
        "m10 20l30 40",
        "M10 20L30 40 url(#x)",
        "M1000 20L30 40",
        "M601 20L30 40",
        "M10 301L300 40",
        "M10 20L12 20",
        "M-5 20L300 40",
    ],
)
def test_anything_else_is_refused_with_what_to_do(path):
    with pytest.raises(SignatureUnreadable, match=r"(?i)sign again"):
        read_signature(path)


def test_a_signature_without_end_is_refused():
    with pytest.raises(SignatureUnreadable):
        read_signature("M10 20" + "L300 100" * 60_000)
