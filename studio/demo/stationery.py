"""Small drawn papers and marks of the demo: the studio's logo and signature, and receipts. Each receipt says that it is drawn."""

from collections.abc import Sequence
from io import BytesIO

from PIL import Image, ImageDraw, ImageFont

INK, PAPER = (38, 34, 30), (252, 250, 245)
# Strokes in a box of 600 by 300, as a finger draws them on a phone; written for the demo.
SIGNATURE = "M60 170L120 70L150 190L190 110L230 180L270 120L300 175L360 140L420 165L500 120L540 150"
COOK_SIGNATURE = "M50 200L80 80L130 180L180 80L210 200M240 170L270 140L300 172L330 140L372 170L420 150L480 162L548 120"


def draw_logo() -> bytes:
    """A window of four panes with a plate before it, as PNG."""
    picture = Image.new("RGB", (480, 480), PAPER)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((90, 60, 390, 330), outline=INK, width=14)
    pen.line((240, 60, 240, 330), fill=INK, width=10)
    pen.line((90, 195, 390, 195), fill=INK, width=10)
    pen.ellipse((60, 340, 420, 430), outline=INK, width=14)
    return _png(picture.resize((240, 240), Image.Resampling.LANCZOS))


def draw_signature(path: str = SIGNATURE) -> bytes:
    """The strokes of a signature as a picture on white, as PNG."""
    picture = Image.new("RGB", (1200, 600), "white")
    pen = ImageDraw.Draw(picture)
    for stroke in path.split("M")[1:]:
        points = [tuple(2 * int(part) for part in point.split()) for point in stroke.split("L")]
        pen.line(points, fill=(24, 32, 72), width=9, joint="curve")
    return _png(picture.resize((600, 300), Image.Resampling.LANCZOS))


def draw_receipt(shop: str, lines: Sequence[tuple[str, str]], *, day: str, as_pdf: bool = False) -> bytes:
    """A till receipt with lines of words and sums, as JPEG, or as PDF."""
    picture = Image.new("RGB", (420, 170 + 34 * len(lines)), PAPER)
    pen = ImageDraw.Draw(picture)
    pen.text((24, 20), shop, font=ImageFont.load_default(24), fill=INK)
    pen.text((24, 56), day, font=ImageFont.load_default(16), fill=INK)
    for row, (what, amount) in enumerate(lines):
        pen.text((24, 96 + 34 * row), what, font=ImageFont.load_default(17), fill=INK)
        pen.text((396, 96 + 34 * row), amount, font=ImageFont.load_default(17), fill=INK, anchor="ra")
    bottom = picture.height - 34
    pen.text((24, bottom), "Drawn for the demo. Not a receipt.", font=ImageFont.load_default(15), fill=(150, 60, 40))
    out = BytesIO()
    picture.save(out, "PDF" if as_pdf else "JPEG", **({} if as_pdf else {"quality": 84}))
    return out.getvalue()


def draw_page(site: str, headline: str, plate: bytes) -> bytes:
    """A page of an invented website that shows a picture, as a screenshot in PNG. It says that it is drawn."""
    page = Image.new("RGB", (960, 640), "white")
    pen = ImageDraw.Draw(page)
    pen.rectangle((0, 0, 960, 56), fill=(226, 222, 214))
    pen.rounded_rectangle((24, 12, 936, 44), 8, fill="white")
    pen.text((40, 18), site, font=ImageFont.load_default(18), fill=INK)
    pen.text((40, 88), headline, font=ImageFont.load_default(34), fill=INK)
    with Image.open(BytesIO(plate)) as picture:
        shown = picture.convert("RGB")
    shown.thumbnail((880, 400))
    page.paste(shown, (40, 150))
    for row in range(3):
        left = 60 + shown.width
        pen.rectangle((left, 160 + 34 * row, 910 - 60 * row, 174 + 34 * row), fill=(210, 206, 198))
    pen.text((40, 596), "Drawn for the demo. No such page.", font=ImageFont.load_default(17), fill=(150, 60, 40))
    return _png(page)


def _png(picture: Image.Image) -> bytes:
    out = BytesIO()
    picture.save(out, "PNG", optimize=True)
    return out.getvalue()
