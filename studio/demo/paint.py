"""Paint for the demo's drawn pictures: shapes lit by one window at ten o'clock, with soft shadows towards four o'clock.

Places and sizes are in the picture's own units: 1500 by 1000 for a landscape, the short side always 1000.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Sequence
from functools import cache

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont, ImageOps

Point = tuple[float, float]
Colour = tuple[int, int, int]

SMOOTH = 3  # small shapes are drawn three times as large and reduced, large ones twice
SHORT_SIDE = 1000


def colour(name: str) -> Colour:
    """The colour of a hexadecimal name (`c67f33`)."""
    return int(name[0:2], 16), int(name[2:4], 16), int(name[4:6], 16)


def mixed(one: Colour, other: Colour, share: float) -> Colour:
    """One colour with a share of the other."""
    return tuple(round(a + (b - a) * share) for a, b in zip(one, other, strict=True))  # type: ignore[return-value]


def lighter(base: Colour, share: float) -> Colour:
    return mixed(base, (255, 247, 232), share)


def darker(base: Colour, share: float) -> Colour:
    return mixed(base, (14, 9, 8), share)


@cache
def _diagonal() -> Image.Image:
    """White where the window is, at the upper left; black at the lower right."""
    corners = Image.frombytes("L", (2, 2), bytes([255, 138, 118, 0]))
    return corners.resize((128, 128), Image.Resampling.BILINEAR).crop((32, 32, 96, 96))


@cache
def _ball() -> Image.Image:
    """Light on a ball: brightest up left of the middle, dark round the lower right edge."""
    radial = Image.radial_gradient("L").resize((640, 640), Image.Resampling.BILINEAR)
    return ImageOps.invert(radial.crop((150, 160, 590, 600)).resize((64, 64), Image.Resampling.BOX))


def outline(points: Iterable[Point], *, turn: float = 0, at: Point = (0, 0), size: float = 1) -> list[Point]:
    """The points turned by degrees, enlarged and moved."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return [(at[0] + size * (x * cos - y * sin), at[1] + size * (x * sin + y * cos)) for x, y in points]


def oval(
    rx: float, ry: float | None = None, *, wobble: float = 0, rng: random.Random | None = None, n: int = 72
) -> list[Point]:
    """Points of an ellipse, out of true by `wobble` (a share of the radius) in slow waves."""
    ry = rx if ry is None else ry
    waves = [(rng.uniform(0, wobble), k, rng.uniform(0, math.tau)) for k in (2, 3, 5)] if rng and wobble else []
    points = []
    for step in range(n):
        angle = math.tau * step / n
        reach = 1 + sum(height * math.sin(k * angle + phase) for height, k, phase in waves)
        points.append((rx * reach * math.cos(angle), ry * reach * math.sin(angle)))
    return points


def box(width: float, height: float, corner: float = 0) -> list[Point]:
    """Points of a rectangle round the origin, with rounded corners."""
    points = []
    for cx, cy, start in ((1, 1, 0), (-1, 1, 90), (-1, -1, 180), (1, -1, 270)):
        for step in range(0, 91, 15 if corner else 90):
            angle = math.radians(start + step)
            points.append(
                (
                    cx * (width / 2 - corner) + corner * math.cos(angle),
                    cy * (height / 2 - corner) + corner * math.sin(angle),
                )
            )
    return points


class Scene:
    """A picture in the making. Things put down later lie on top."""

    def __init__(self, width: int, height: int, seed: int, *, zoom: float = 1) -> None:
        """A scene of that many pixels; `zoom` above 1 comes closer, so that the edges fall out of the picture."""
        self.rng = random.Random(seed)  # noqa: S311  a picture needs no secret
        self.scale = zoom * min(width, height) / SHORT_SIDE
        self.image = Image.new("RGB", (width, height))
        self.width, self.height = width / self.scale, height / self.scale
        self.middle: Point = (self.width / 2, self.height / 2)
        self.origin: Point = (0, 0)

    # --- grounds ---------------------------------------------------------------------------------------------------------------------

    def _noise(self, across: int, down: int) -> Image.Image:
        """Chance in spots of that many across and down, at half size: a ground is soft."""
        size = (self.image.width // 2 + 1, self.image.height // 2 + 1)
        spots = Image.frombytes("L", (across, down), self.rng.randbytes(across * down))
        return spots.resize(size, Image.Resampling.BICUBIC)

    def _tint(self, grey: Image.Image, base: Colour, spread: float) -> None:
        ground = ImageOps.colorize(grey, darker(base, spread), lighter(base, spread * 0.55), base)
        self.image.paste(ground.resize(self.image.size, Image.Resampling.BICUBIC))

    def wood(self, base: Colour, *, planks: int = 4) -> None:
        """Planks, lying across."""
        grain = Image.blend(self._noise(5, 260), self._noise(14, 70), 0.45)
        tones = bytes(self.rng.randint(96, 160) for _ in range(planks))
        boards = Image.frombytes("L", (1, planks), tones).resize(grain.size, Image.Resampling.NEAREST)
        self._tint(Image.blend(grain, boards, 0.42), base, 0.4)
        draw = ImageDraw.Draw(self.image)
        for board in range(1, planks):
            y = self.image.height * board // planks
            draw.line((0, y, self.image.width, y), darker(base, 0.75), max(1, round(4 * self.scale)))
            draw.line(
                (0, y + round(4 * self.scale), self.image.width, y + round(4 * self.scale)),
                lighter(base, 0.12),
                max(1, round(2 * self.scale)),
            )

    def stone(self, base: Colour, *, spread: float = 0.25) -> None:
        """Slate or plaster."""
        self._tint(
            Image.blend(Image.blend(self._noise(6, 4), self._noise(34, 24), 0.45), self._noise(380, 250), 0.25),
            base,
            spread,
        )

    def linen(self, base: Colour) -> None:
        """Woven cloth."""
        weave = Image.blend(self._noise(460, 6), self._noise(8, 310), 0.5)
        self._tint(Image.blend(weave, self._noise(5, 4), 0.3), base, 0.26)

    def plain(self, base: Colour) -> None:
        self.image.paste(base, (0, 0, *self.image.size))

    # --- things ----------------------------------------------------------------------------------------------------------------------

    def _pixels(self, points: Iterable[Point]) -> list[Point]:
        return [((x + self.origin[0]) * self.scale, (y + self.origin[1]) * self.scale) for x, y in points]

    def shadow(
        self, points: Sequence[Point], *, reach: float, strength: float = 0.5, soft: float | None = None
    ) -> None:
        """The shadow a thing of that outline throws: `reach` is how high its edge stands."""
        soft = (reach * 0.8 if soft is None else soft) * self.scale
        moved = self._pixels((x + reach * 0.75, y + reach) for x, y in points)
        step = max(1, round(soft / 4))
        left, top, right, bottom = _frame(moved, soft * 2.5)
        size = (max(1, (right - left) // step), max(1, (bottom - top) // step))
        mask = Image.new("L", size)
        ImageDraw.Draw(mask).polygon(
            [((x - left) / step, (y - top) / step) for x, y in moved], fill=round(255 * strength)
        )
        mask = mask.filter(ImageFilter.GaussianBlur(soft / step))
        mask = mask.resize((size[0] * step, size[1] * step), Image.Resampling.BILINEAR)
        self.image.paste((12, 8, 6), (left, top), mask)

    def shape(
        self,
        points: Sequence[Point],
        base: Colour,
        *,
        lit: float = 0.3,
        lift: float = 0,
        ball: bool = False,
        strength: float = 0.5,
        see_through: float = 0,
    ) -> None:
        """A filled outline. `lit`: how far light and shade differ; `lift`: how far it stands off what is under it."""
        if lift:
            self.shadow(points, reach=lift, strength=strength)
        pixels = self._pixels(points)
        left, top, right, bottom = _frame(pixels)
        smooth = _smoothness((right - left) * (bottom - top))
        mask = Image.new("L", ((right - left) * smooth, (bottom - top) * smooth))
        scaled = [((x - left) * smooth, (y - top) * smooth) for x, y in pixels]
        ImageDraw.Draw(mask).polygon(scaled, fill=round(255 * (1 - see_through)))
        mask = mask.reduce(smooth)
        if not lit:
            self.image.paste(base, (left, top), mask)
            return
        light = _ball() if ball else _diagonal()
        fill = ImageOps.colorize(light, darker(base, min(1, lit * 1.1)), lighter(base, min(1, lit)), base)
        self.image.paste(fill.resize(mask.size, Image.Resampling.BILINEAR), (left, top), mask)

    def line(self, points: Iterable[Point], base: Colour, thick: float, *, see_through: float = 0) -> None:
        """A line with round ends and joints."""
        pixels = self._pixels(points)
        left, top, right, bottom = _frame(pixels, thick * self.scale + 2)
        smooth = _smoothness((right - left) * (bottom - top))
        thickness = max(1, thick * self.scale * smooth)
        mask = Image.new("L", ((right - left) * smooth, (bottom - top) * smooth))
        draw = ImageDraw.Draw(mask)
        scaled = [((x - left) * smooth, (y - top) * smooth) for x, y in pixels]
        solid = round(255 * (1 - see_through))
        draw.line(scaled, fill=solid, width=round(thickness), joint="curve")
        for x, y in (scaled[0], scaled[-1]):
            draw.ellipse((x - thickness / 2, y - thickness / 2, x + thickness / 2, y + thickness / 2), fill=solid)
        self.image.paste(base, (left, top), mask.reduce(smooth))

    def many(self, places: Iterable[Point], stamps: Sequence[Image.Image]) -> None:
        """Puts one of the stamps, at random, on each place."""
        for x, y in places:
            stamp = self.rng.choice(stamps)
            self.image.paste(
                stamp, (round(x * self.scale - stamp.width / 2), round(y * self.scale - stamp.height / 2)), stamp
            )

    def stamp(self, paint: Callable[[Scene], None], reach: float) -> Image.Image:
        """A small thing painted once round the point (0, 0), up to `reach` away, to be put down many times."""
        side = max(4, math.ceil(2 * reach * self.scale))
        on_black, on_white = (self._little(paint, side, ground) for ground in ((0, 0, 0), (255, 255, 255)))
        solid = ImageOps.invert(ImageChops.difference(on_white, on_black).convert("L"))
        return Image.merge("RGBa", (*on_black.split(), solid)).convert("RGBA")

    def _little(self, paint: Callable[[Scene], None], side: int, ground: Colour) -> Image.Image:
        little = Scene(side, side, 17)  # the same seed for both grounds: the same thing twice
        little.image.paste(ground, (0, 0, side, side))
        little.scale = self.scale
        little.origin = (side / 2 / self.scale, side / 2 / self.scale)
        paint(little)
        return little.image

    # --- light -----------------------------------------------------------------------------------------------------------------------

    def glow(self, at: Point, reach: float, base: Colour, strength: float) -> None:
        """Light of that colour round a point."""
        side = max(2, round(2 * reach * self.scale))
        round_light = ImageOps.invert(Image.radial_gradient("L")).point(
            lambda value: round(max(0, value - 75) * 255 / 180 * strength)
        )
        light = round_light.resize((side, side), Image.Resampling.BILINEAR)
        self.image.paste(base, (round(at[0] * self.scale - side / 2), round(at[1] * self.scale - side / 2)), light)

    def window(self, *, strength: float = 1) -> None:
        """The window's light over everything: bright at ten o'clock, falling off to four."""
        light = _diagonal().resize(self.image.size, Image.Resampling.BILINEAR)
        self.image.paste(
            (255, 248, 232), (0, 0), light.point(lambda value: round(max(0, value - 128) * 0.42 * strength))
        )
        self.image.paste((10, 9, 14), (0, 0), light.point(lambda value: round(max(0, 128 - value) * 0.95 * strength)))

    def panes(self, *, strength: float = 0.2) -> None:
        """The window's panes as they fall on the table."""
        grid = Image.new("L", (150, 150))
        draw = ImageDraw.Draw(grid)
        x, y, slant = self.rng.uniform(-10, 40), self.rng.uniform(-20, 10), self.rng.uniform(18, 34)
        for row in range(3):
            for column in range(2):
                left, top = x + column * 42 + row * slant * 0.8, y + row * 40
                draw.polygon(
                    [
                        (left, top),
                        (left + 36, top + 4),
                        (left + 36 + slant * 0.7, top + 38),
                        (left + slant * 0.7, top + 34),
                    ],
                    fill=round(255 * strength),
                )
        self.image.paste(
            (255, 240, 208),
            (0, 0),
            grid.filter(ImageFilter.GaussianBlur(2.4)).resize(self.image.size, Image.Resampling.BILINEAR),
        )

    def steam(self, at: Point, reach: float) -> None:
        """Wisps rising from a point."""
        small = Image.new("L", (100, 140))
        draw = ImageDraw.Draw(small)
        for _ in range(4):
            x, sway, phase = self.rng.uniform(35, 65), self.rng.uniform(4, 12), self.rng.uniform(0, math.tau)
            wisp = [(x + sway * math.sin(phase + t / 16) * (140 - t) / 100, t) for t in range(10, 130, 4)]
            draw.line(wisp, fill=self.rng.randint(60, 110), width=self.rng.randint(4, 9), joint="curve")
        mask = small.filter(ImageFilter.GaussianBlur(6)).resize(
            (round(reach * self.scale), round(reach * 1.4 * self.scale)), Image.Resampling.BILINEAR
        )
        self.image.paste(
            (238, 240, 242), (round((at[0] - reach / 2) * self.scale), round((at[1] - reach * 1.4) * self.scale)), mask
        )

    def mark(self, words: str) -> None:
        """Words at the lower right corner, so that nobody takes the picture for a photograph."""
        draw = ImageDraw.Draw(self.image)
        size = max(12, round(min(self.image.size) * 0.034))
        at = (self.image.width - size * 0.8, self.image.height - size * 0.6)
        draw.text(
            at,
            words,
            (255, 255, 255),
            _font(size),
            anchor="rs",
            stroke_width=max(1, size // 12),
            stroke_fill=(20, 20, 20),
        )


def _smoothness(area: int) -> int:
    """How many times larger a shape of that area (pixels) is drawn before it is reduced: fewer for large ones, which show it less."""
    return SMOOTH if area < 40_000 else 2


def _frame(pixels: Sequence[Point], margin: float = 2) -> tuple[int, int, int, int]:
    xs, ys = [x for x, _ in pixels], [y for _, y in pixels]
    left, top = math.floor(min(xs) - margin), math.floor(min(ys) - margin)
    return left, top, max(left + 1, math.ceil(max(xs) + margin)), max(top + 1, math.ceil(max(ys) + margin))


@cache
def _font(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)
