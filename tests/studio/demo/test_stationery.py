import io

from PIL import Image

from studio.demo.stationery import draw_logo, draw_page, draw_receipt, draw_signature


def test_logo_and_signature_are_real_pictures():
    for data in (draw_logo(), draw_signature()):
        assert Image.open(io.BytesIO(data)).format == "PNG"


def test_a_receipt_is_a_picture_or_a_pdf():
    lines = [("Flour", "3.20")]
    assert draw_receipt("Market hall", lines, day="12 Nov 2026").startswith((b"\x89PNG", b"\xff\xd8"))
    assert draw_receipt("Market hall", lines, day="12 Nov 2026", as_pdf=True).startswith(b"%PDF")


def test_a_drawn_page_shows_its_picture():
    plate = io.BytesIO()
    Image.new("RGB", (600, 400), (200, 30, 30)).save(plate, "JPEG")
    page = Image.open(io.BytesIO(draw_page("https://soup.example", "Soup of the week", plate.getvalue())))
    assert (page.format, page.size) == ("PNG", (960, 640))
    red, green, _blue = page.convert("RGB").getpixel((100, 200))
    assert red > 180
    assert green < 60
