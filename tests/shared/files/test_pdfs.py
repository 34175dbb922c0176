import io

import pikepdf
import pytest

from shared.files.pdfs import check_pdf
from shared.files.refusals import PictureRefused


def paper(pages, **saved):
    out = io.BytesIO()
    with pikepdf.new() as pdf:
        for _ in range(pages):
            pdf.add_blank_page()
        pdf.save(out, **saved)
    return out.getvalue()


@pytest.mark.parametrize("pages", [1, 3])
def test_a_whole_paper_has_its_pages(pages):
    assert check_pdf(paper(pages)) == pages


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"%PDF-1.7\nthis is no paper", "cut off or damaged"),
        (paper(0), "without a page"),
        (paper(1, encryption=pikepdf.Encryption(owner="a", user="b")), "asks for a password"),
    ],
)
def test_what_shows_nothing_is_refused_with_what_to_do(data, said):
    with pytest.raises(PictureRefused, match=said) as refused:
        check_pdf(data, name="scan.pdf")
    assert refused.value.what_to_do
