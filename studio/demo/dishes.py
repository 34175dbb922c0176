"""What the demo's drawn pictures show. Each function paints one subject into a scene; chance comes from the scene's seed."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from PIL import Image

from studio.demo.paint import Colour, Point, Scene, box, colour, darker, lighter, mixed, outline, oval

WHITE, CREAM, SLATE, CLAY = colour("efece6"), colour("e4dccb"), colour("2f3436"), colour("9a5230")
GREENS = [colour(name) for name in ("3f6b2b", "5a8a3a", "2f5522", "7da844")]
RUBY = [colour(name) for name in ("b3122c", "d2324a", "8d0d22")]
BROWNS = [colour(name) for name in ("a97a45", "8a5f34", "c79a62", "96683a")]
BEANS = [colour(name) for name in ("7a2f22", "8c3a2a", "64241a", "93452f")]


# --- tables and plates ---------------------------------------------------------------------------------------------------------------------


def table(scene: Scene, kind: str = "") -> None:
    """The surface under it all."""
    kind = kind or scene.rng.choice(["dark wood", "wood", "slate", "plaster", "linen", "dark linen"])
    tone = scene.rng.uniform(-0.12, 0.12)

    def base(name: str) -> Colour:
        return lighter(colour(name), tone) if tone > 0 else darker(colour(name), -tone)

    if kind == "dark wood":
        scene.wood(base("4a3426"), planks=scene.rng.randint(3, 5))
    elif kind == "wood":
        scene.wood(base("93714e"), planks=scene.rng.randint(3, 6))
    elif kind == "slate":
        scene.stone(base("565b5d"))
    elif kind == "plaster":
        scene.stone(base("a8a59d"), spread=0.16)
    elif kind == "linen":
        scene.linen(base("b9b09e"))
    else:
        scene.linen(base("4e565c"))
    scene.panes(strength=scene.rng.uniform(0.06, 0.2))


def plate(scene: Scene, at: Point, r: float, base: Colour = WHITE, *, deep: bool = False) -> None:
    """A round plate; a deep one has a well to fill."""
    circle = outline(oval(r, n=120), at=at)
    scene.shadow(circle, reach=r * 0.14, strength=0.36, soft=r * 0.16)
    scene.shape(circle, base, lit=0.34, lift=r * 0.04, strength=0.6)
    scene.shape(outline(oval(r * 0.965, n=120), at=at), lighter(base, 0.12), lit=0.16)
    well = r * (0.78 if deep else 0.7)
    scene.shape(outline(oval(well * 1.03, n=120), at=at), darker(base, 0.26), lit=-0.3)
    scene.shape(
        outline(oval(well, n=120), at=(at[0] + 1, at[1] + 2)),
        darker(base, 0.1) if deep else lighter(base, 0.05),
        lit=-0.22 if deep else 0.1,
    )


def within(scene: Scene, at: Point, r: float, n: int) -> list[Point]:
    """Places at random in a circle."""
    places = []
    for _ in range(n):
        angle, reach = scene.rng.uniform(0, math.tau), r * math.sqrt(scene.rng.random())
        places.append((at[0] + reach * math.cos(angle), at[1] + reach * math.sin(angle)))
    return places


def beads(scene: Scene, size: float, colours: Sequence[Colour], *, lift: float | None = None) -> list[Image.Image]:
    """Stamps of small round things with a glint."""
    stamps = []
    for base in colours:
        for share in (0.8, 1, 1.2):

            def paint(little: Scene, base: Colour = base, r: float = size * share) -> None:
                little.shape(oval(r, r * 0.86, n=28), base, lit=0.5, ball=True, lift=r * 0.5 if lift is None else lift)
                little.shape(
                    outline(oval(r * 0.2, r * 0.13, n=14), at=(-r * 0.32, -r * 0.34), turn=-35),
                    WHITE,
                    lit=0,
                    see_through=0.3,
                )

            stamps.append(scene.stamp(paint, size * 3))
    return stamps


def kidneys(scene: Scene, size: float, colours: Sequence[Colour]) -> list[Image.Image]:
    """Stamps of beans, lying in all directions."""
    stamps = []
    for number in range(14):
        base = colours[number % len(colours)]
        turn = number * 137.5

        def paint(little: Scene, base: Colour = base, turn: float = turn) -> None:
            bean = [
                (size * math.cos(t), size * (0.58 * math.sin(t) - 0.2 * math.cos(t) ** 2))
                for t in [math.tau * k / 30 for k in range(30)]
            ]
            little.shape(outline(bean, turn=turn), base, lit=0.42, ball=True, lift=size * 0.3, strength=0.6)
            little.shape(
                outline(oval(size * 0.24, size * 0.09, n=14), turn=turn, at=(-size * 0.18, -size * 0.3)),
                WHITE,
                lit=0,
                see_through=0.5,
            )

        stamps.append(scene.stamp(paint, size * 2.2))
    return stamps


def leaves(scene: Scene, size: float, colours: Sequence[Colour] = GREENS) -> list[Image.Image]:
    """Stamps of small leaves."""
    stamps = []
    for number in range(12):
        base = colours[number % len(colours)]
        turn = number * 137.5

        def paint(little: Scene, base: Colour = base, turn: float = turn) -> None:
            blade = [
                (size * math.cos(t), size * 0.42 * math.sin(t) * abs(math.sin(t / 2 + 0.4)))
                for t in [math.tau * k / 28 for k in range(28)]
            ]
            little.shape(outline(blade, turn=turn), base, lit=0.34, lift=size * 0.2, strength=0.45)
            little.line(
                outline([(-size * 0.8, 0), (size * 0.75, 0)], turn=turn),
                lighter(base, 0.35),
                size * 0.06,
                see_through=0.3,
            )

        stamps.append(scene.stamp(paint, size * 1.9))
    return stamps


def crumbs(scene: Scene, size: float, colours: Sequence[Colour]) -> list[Image.Image]:
    """Stamps of broken bits."""
    stamps = []
    for number in range(10):
        base = colours[number % len(colours)]
        bits = oval(size, size * 0.7, wobble=0.35, rng=scene.rng, n=9)

        def paint(little: Scene, base: Colour = base, bits: list[Point] = bits) -> None:
            little.shape(bits, base, lit=0.4, lift=size * 0.45)

        stamps.append(scene.stamp(paint, size * 2.6))
    return stamps


def flour_dust(scene: Scene, at: Point, r: float, n: int = 260) -> None:
    """Flour thrown over a place."""
    stamps = []
    for size in (1.4, 2.2, 3.4, 5):

        def paint(little: Scene, speck: float = size) -> None:
            little.shape(oval(speck, n=12), CREAM, lit=0, see_through=0.35)

        stamps.append(scene.stamp(paint, 8))
    scene.many(within(scene, at, r, n), stamps)
    scene.glow(at, r * 0.9, CREAM, 0.26)


def board(scene: Scene, at: Point, width: float, height: float, turn: float = 0, base: Colour | None = None) -> None:
    """A wooden board with a bored handle end."""
    base = base or colour("a77b4e")
    slab = outline(box(width, height, 26), turn=turn, at=at)
    scene.shadow(slab, reach=30, strength=0.34, soft=34)
    scene.shape(slab, base, lit=0.26, lift=10, strength=0.6)
    for row in range(9):
        y = height * (row / 9 - 0.44)
        wave = [(x, y + 5 * math.sin(x / 70 + row * 1.7)) for x in range(int(-width / 2 + 14), int(width / 2 - 14), 24)]
        scene.line(outline(wave, turn=turn, at=at), darker(base, 0.28), 3, see_through=0.72)
    scene.shape(
        outline(oval(17, n=24), at=outline([(width / 2 - 48, 0)], turn=turn, at=at)[0]), darker(base, 0.7), lit=-0.4
    )


def fork(scene: Scene, at: Point, turn: float) -> None:
    metal = colour("b7b9ba")
    handle = [(-8, 40), (-13, 300), (0, 316), (13, 300), (8, 40), (26, -20), (26, -70), (-26, -70), (-26, -20)]
    scene.shape(outline(handle, turn=turn, at=at), metal, lit=0.5, lift=8)
    for x in (-22, -7.5, 7.5, 22):
        scene.line(outline([(x, -60), (x, -150)], turn=turn, at=at), lighter(metal, 0.3), 8)


def spoon(scene: Scene, at: Point, turn: float, base: Colour | None = None) -> None:
    metal = base or colour("b7b9ba")
    scene.line(outline([(0, 40), (0, 310)], turn=turn, at=(at[0] + 6, at[1] + 8)), (20, 14, 12), 17, see_through=0.6)
    scene.line(outline([(0, 40), (0, 310)], turn=turn, at=at), metal, 16)
    scene.shape(outline(oval(46, 70), turn=turn, at=at), metal, lit=0.5, lift=9)
    scene.shape(outline(oval(36, 58), turn=turn, at=at), darker(metal, 0.2), lit=-0.5)


def cloth(scene: Scene, at: Point, turn: float, base: Colour) -> None:
    """A folded napkin."""
    for shrink, move in ((1, 0), (0.94, 12)):
        piece = outline(box(320 * shrink, 460 * shrink, 12), turn=turn, at=(at[0] + move, at[1] + move))
        scene.shape(piece, base if shrink == 1 else lighter(base, 0.12), lit=0.2, lift=9, strength=0.4)
    for x in (-96, 92):
        scene.line(
            outline([(x, -200), (x, 200)], turn=turn, at=(at[0] + 12, at[1] + 12)),
            mixed(base, colour("7a2f22"), 0.5),
            7,
            see_through=0.3,
        )


def beside(scene: Scene) -> None:
    """Something at the edge of the table, or nothing."""
    edge = scene.rng.choice([-1, 1])
    at = (scene.middle[0] + edge * scene.rng.uniform(600, 690), scene.middle[1] + scene.rng.uniform(-60, 60))
    kind = scene.rng.choice(["fork", "spoon", "cloth", "cup", "nothing"])
    if scene.width < scene.height:
        return
    if kind == "fork":
        fork(scene, at, scene.rng.uniform(-8, 8))
    elif kind == "spoon":
        spoon(scene, at, scene.rng.uniform(-10, 10))
    elif kind == "cloth":
        cloth(
            scene,
            at,
            scene.rng.uniform(-14, 14),
            scene.rng.choice([colour("c9c2b4"), colour("8b9596"), colour("b9a27c")]),
        )
    elif kind == "cup":
        cup(scene, (at[0], at[1] - 250), 105)


def cup(scene: Scene, at: Point, r: float, drink: Colour | None = None) -> None:
    """A cup seen from above."""
    drink = drink or colour("5a3016")
    scene.line(
        outline([(r * 0.8, 0), (r * 1.45, r * 0.1), (r * 1.4, r * 0.45), (r * 0.8, r * 0.4)], at=at),
        darker(WHITE, 0.12),
        r * 0.15,
    )
    scene.shape(outline(oval(r), at=at), WHITE, lit=0.3, lift=r * 0.2)
    scene.shape(outline(oval(r * 0.88), at=at), darker(WHITE, 0.32), lit=-0.3)
    scene.shape(outline(oval(r * 0.82), at=(at[0] + 2, at[1] + 4)), drink, lit=-0.25)
    scene.shape(
        outline(oval(r * 0.72, wobble=0.06, rng=scene.rng), at=(at[0] - 2, at[1] - 2)),
        lighter(drink, 0.25),
        lit=0.2,
        see_through=0.4,
    )


def whirl(turns: float, start: float, end: float, step: float = 0.2) -> list[Point]:
    """A spiral from radius `start` to `end`."""
    n = int(turns * math.tau / step)
    return [
        ((start + (end - start) * k / n) * math.cos(k * step), (start + (end - start) * k / n) * math.sin(k * step))
        for k in range(n + 1)
    ]


# --- the kitchen of the Walnut Lantern -------------------------------------------------------------------------------------------------------


def _hull(length: float, width: float, *, knob: float = 0.16) -> list[Point]:
    """The outline of a boat: a long oval with pinched ends."""
    points = []
    for k in range(96):
        t = math.tau * k / 96
        x, y = math.cos(t), math.sin(t)
        pinch = (1 - abs(x) ** 2.6) * 0.84 + knob * math.exp(-(((abs(x) - 0.97) / 0.07) ** 2))
        points.append(
            (
                length * x * (1.03 if abs(x) > 0.96 else 1),
                width * math.copysign(max(abs(y) * pinch + 0.16 * abs(y), 0), y),
            )
        )
    return points


def boat(scene: Scene, at: Point, size: float = 1, turn: float = -24, *, egg: bool = True, raw: bool = False) -> None:
    """A bread boat filled with cheese; baked with or without its yolk, or raw."""
    crust, cheese = (colour("e6d6b4"), colour("f4ecd6")) if raw else (colour("c07a34"), colour("f3dc98"))
    hull = outline(_hull(400, 190), turn=turn, at=at, size=size)
    scene.shadow(hull, reach=34 * size, strength=0.4, soft=30 * size)
    scene.shape(hull, crust, lit=0.46, lift=13 * size, strength=0.6)
    scene.shape(
        outline(_hull(345, 152), turn=turn, at=(at[0] - 5 * size, at[1] - 6 * size), size=size),
        lighter(crust, 0.2),
        lit=0.36,
        see_through=0.25,
    )
    if not raw:
        for place in _along(scene, 330, 26):
            scene.shape(
                outline(
                    oval(34, 15, wobble=0.2, rng=scene.rng, n=20),
                    turn=scene.rng.uniform(-20, 20) + turn,
                    at=outline([place], turn=turn, at=at, size=size)[0],
                    size=size,
                ),
                darker(crust, 0.45),
                lit=0,
                see_through=0.72,
            )
    pool = outline(_hull(292, 112, knob=0.02), turn=turn, at=at, size=size)
    scene.shape(outline(_hull(302, 120, knob=0.02), turn=turn, at=at, size=size), darker(crust, 0.4), lit=-0.3)
    scene.shape(pool, cheese, lit=0.2)
    for _ in range(46):
        x = scene.rng.uniform(-250, 250)
        y = scene.rng.uniform(-1, 1) * 86 * (1 - (x / 292) ** 2)
        spot = outline([(x, y)], turn=turn, at=at, size=size)[0]
        shade = lighter(cheese, 0.5) if raw or scene.rng.random() < 0.55 else darker(cheese, 0.24)
        scene.shape(
            outline(
                oval(scene.rng.uniform(8, 24), scene.rng.uniform(5, 13), n=18),
                turn=turn + scene.rng.uniform(-40, 40),
                at=spot,
                size=size,
            ),
            shade,
            lit=0.2,
            see_through=0.4,
        )
    if egg and not raw:
        yolk(scene, outline([(14, 0)], turn=turn, at=at, size=size)[0], 62 * size)
        pat = outline([(120, 22), (176, 2), (192, 34), (136, 56)], turn=turn, at=at, size=size)
        scene.shape(pat, colour("ffe7a0"), lit=0.25, lift=7 * size)
        scene.many(within(scene, at, 190 * size, 14), crumbs(scene, 3.4 * size, [colour("2a2320"), colour("5a4a3c")]))


def _along(scene: Scene, reach: float, n: int) -> list[Point]:
    """Places on the two long rims of a boat."""
    places = []
    for _ in range(n):
        x = scene.rng.uniform(-reach, reach)
        places.append((x, scene.rng.choice([-1, 1]) * (116 * (1 - (x / 400) ** 2) + 6)))
    return places


def yolk(scene: Scene, at: Point, r: float) -> None:
    scene.shape(outline(oval(r * 1.02, r * 0.98), at=at), colour("f7a80f"), lit=0.5, ball=True, lift=r * 0.16)
    scene.shape(
        outline(oval(r * 0.62, r * 0.55), at=(at[0] - r * 0.14, at[1] - r * 0.16)),
        colour("ffc53a"),
        lit=0.2,
        see_through=0.5,
    )
    scene.shape(
        outline(oval(r * 0.24, r * 0.13), turn=-35, at=(at[0] - r * 0.36, at[1] - r * 0.42)),
        WHITE,
        lit=0,
        see_through=0.12,
    )


def bread_boat(scene: Scene) -> None:
    table(scene, scene.rng.choice(["dark wood", "slate", "dark linen"]))
    plate(scene, scene.middle, 430, scene.rng.choice([SLATE, colour("4a4e52"), WHITE]))
    boat(scene, scene.middle, 0.92, scene.rng.uniform(-40, 10))
    beside(scene)


def bread_boat_raw(scene: Scene) -> None:
    table(scene, "wood")
    flour_dust(scene, scene.middle, 620, 420)
    count = scene.rng.choice([1, 2, 3])
    for place in range(count):
        boat(
            scene,
            (scene.middle[0] + (place - (count - 1) / 2) * 90, scene.middle[1] + (place - (count - 1) / 2) * 290),
            0.95 if count == 1 else 0.72,
            scene.rng.uniform(-22, -10),
            raw=True,
        )
    flour_dust(scene, scene.middle, 520, 60)


def bread_boat_oven(scene: Scene) -> None:
    scene.plain(colour("150d09"))
    x, y = scene.middle
    scene.glow((x, y + 620), 1250, colour("d8621a"), 0.62)
    scene.glow((x, y + 640), 760, colour("ffab45"), 0.62)
    for row in range(7):
        scene.line([(0, y + 90 + row * 74), (scene.width, y + 60 + row * 78)], colour("3a2a20"), 11, see_through=0.2)
    tray = outline(box(1180, 470, 24), at=(x, y + 170), turn=-2)
    scene.shape(tray, colour("2a211c"), lit=0.2, lift=24)
    boat(scene, (x - 290, y + 130), 0.62, -10, egg=False)
    boat(scene, (x + 290, y + 210), 0.66, -14, egg=False)
    scene.glow((x, y + 560), 900, colour("ff9a3c"), 0.34)


def leek_rolls(scene: Scene) -> None:
    table(scene)
    x, y = scene.middle
    if scene.rng.random() < 0.7:
        plate(scene, scene.middle, 440, scene.rng.choice([WHITE, CREAM, colour("c9ccc9")]))
        n = scene.rng.choice([5, 6, 7])
        for k in range(n):
            angle = math.tau * k / n + 0.2
            _leek_roll(
                scene,
                (x + 205 * math.cos(angle), y + 205 * math.sin(angle)),
                math.degrees(angle) + 90 + scene.rng.uniform(-5, 5),
            )
        spread = 330
    else:
        board(scene, scene.middle, 1060, 560, scene.rng.uniform(-6, 6))
        for k in range(5):
            _leek_roll(scene, (x - 330 + k * 165, y + scene.rng.uniform(-24, 24)), 78 + scene.rng.uniform(-6, 6), 1.2)
        spread = 400
    scene.many(within(scene, scene.middle, spread, 34), crumbs(scene, 11, BROWNS))
    scene.many(within(scene, scene.middle, spread * 0.9, 26), beads(scene, 11, RUBY))
    scene.many(within(scene, scene.middle, spread, 16), leaves(scene, 22))
    beside(scene)


def _leek_roll(scene: Scene, at: Point, turn: float, size: float = 1) -> None:
    green = colour("a4c763")
    scene.shape(outline(box(216, 112, 40), turn=turn, at=at, size=size), green, lit=0.42, lift=17 * size)
    for y in (-38, -19, 0, 19, 38):
        vein = [(x, y + 3 * math.sin(x / 22 + y)) for x in range(-84, 68, 12)]
        scene.line(outline(vein, turn=turn, at=at, size=size), darker(green, 0.34), 4 * size, see_through=0.45)
    scene.line(
        outline([(-76, -30), (30, -34)], turn=turn, at=at, size=size), colour("eef6cf"), 9 * size, see_through=0.45
    )
    end = outline([(90, 0)], turn=turn, at=at, size=size)[0]
    scene.shape(outline(oval(25, 51), turn=turn, at=end, size=size), colour("dbe9b3"), lit=0.2)
    scene.shape(outline(oval(19, 41), turn=turn, at=end, size=size), colour("a9763c"), lit=0.25)
    for radius in (0.66, 0.34):
        scene.line(
            outline(oval(19 * radius, 41 * radius, n=24), turn=turn, at=end, size=size),
            colour("dbe9b3"),
            4 * size,
            see_through=0.2,
        )


def spinach_balls(scene: Scene) -> None:
    table(scene, scene.rng.choice(["slate", "dark linen", "dark wood"]))
    plate(scene, scene.middle, 445, scene.rng.choice([CREAM, WHITE, SLATE]))
    x, y = scene.middle
    tones = [colour("4f6d2c"), colour("86204a"), colour("b2763a")]
    places = [
        (0.0, 0.0),
        *[
            (230 * math.cos(a), 215 * math.sin(a))
            for a in [math.tau * k / 6 + scene.rng.uniform(-0.08, 0.08) for k in range(6)]
        ],
    ]
    ruby = beads(scene, 15, RUBY)
    for number, (dx, dy) in enumerate(sorted(places, key=lambda place: place[1])):
        at, tone = (x + dx, y + dy), tones[number % 3]
        scene.shape(
            outline(oval(104, 100, wobble=0.03, rng=scene.rng), at=at), tone, lit=0.5, ball=True, lift=30, strength=0.6
        )
        scene.many(
            within(scene, at, 78, 42), crumbs(scene, 4.2, [lighter(tone, 0.25), darker(tone, 0.4), colour("c7a16a")])
        )
        scene.many([(at[0] - 10, at[1] - 16)], ruby)
    scene.many(within(scene, scene.middle, 320, 22), ruby)
    scene.many(within(scene, scene.middle, 330, 26), crumbs(scene, 9, BROWNS))
    beside(scene)


def bean_pot(scene: Scene) -> None:
    table(scene)
    at, r = scene.middle, 395
    for side in (-1, 1):
        scene.shape(outline(oval(92, 74), at=(at[0] + side * (r + 28), at[1])), darker(CLAY, 0.08), lit=0.4, lift=18)
    circle = outline(oval(r, n=120), at=at)
    scene.shadow(circle, reach=70, strength=0.42, soft=60)
    scene.shape(circle, CLAY, lit=0.5, lift=20, strength=0.6)
    scene.shape(outline(oval(r * 0.93, n=120), at=at), lighter(CLAY, 0.16), lit=0.3)
    scene.shape(outline(oval(r * 0.845, n=120), at=at), darker(CLAY, 0.6), lit=-0.4)
    scene.shape(outline(oval(r * 0.8, n=120), at=(at[0] + 4, at[1] + 7)), colour("531f13"), lit=-0.2)
    scene.many(within(scene, (at[0] + 4, at[1] + 6), r * 0.73, 210), kidneys(scene, 25, BEANS))
    scene.many(within(scene, at, r * 0.6, 26), leaves(scene, 20))
    scene.many(within(scene, at, r * 0.62, 16), crumbs(scene, 9, [colour("d9c6a0"), colour("e8d9bb")]))
    if scene.rng.random() < 0.5:
        scene.steam((at[0] + 20, at[1] + 120), 520)
    beside(scene)


def walnut_board(scene: Scene) -> None:
    table(scene, scene.rng.choice(["slate", "plaster", "dark linen"]))
    x, y = scene.middle
    board(scene, scene.middle, 1120, 640, scene.rng.uniform(-8, 8), colour("8a6140"))
    for place in within(scene, (x - 130, y + 10), 270, 30):
        _walnut(scene, place, scene.rng.uniform(52, 66))
    scene.many(within(scene, (x + 340, y - 20), 150, 60), leaves(scene, 36))
    scene.many(within(scene, scene.middle, 400, 24), crumbs(scene, 10, BROWNS))


def _walnut(scene: Scene, at: Point, r: float) -> None:
    base, turn = scene.rng.choice(BROWNS), scene.rng.uniform(0, 180)
    if scene.rng.random() < 0.6:
        scene.shape(
            outline(oval(r, r * 0.86, wobble=0.03, rng=scene.rng), turn=turn, at=at),
            base,
            lit=0.5,
            ball=True,
            lift=r * 0.28,
        )
        scene.line(
            outline([(-r * 0.95, 0), (r * 0.95, 0)], turn=turn, at=at), darker(base, 0.4), r * 0.09, see_through=0.2
        )
        for y in (-0.5, -0.25, 0.25, 0.5):
            ridge = [(x * r * 0.8, r * (y + 0.07 * math.sin(x * 9 + y * 20))) for x in [k / 6 - 1 for k in range(13)]]
            scene.line(outline(ridge, turn=turn, at=at), darker(base, 0.3), r * 0.05, see_through=0.4)
        return
    scene.shape(outline(oval(r, r * 0.84), turn=turn, at=at), darker(base, 0.2), lit=0.4, lift=r * 0.24)
    scene.shape(outline(oval(r * 0.84, r * 0.68), turn=turn, at=at), darker(base, 0.5), lit=-0.3)
    for side in (-1, 1):
        lobe = outline(
            oval(r * 0.7, r * 0.28, wobble=0.14, rng=scene.rng, n=30),
            turn=turn,
            at=outline([(0, side * r * 0.3)], turn=turn, at=at)[0],
        )
        scene.shape(lobe, colour("d8b682"), lit=0.4)
        for k in range(4):
            fold = [(r * (-0.45 + k * 0.3 + 0.05 * math.sin(t)), side * r * (0.12 + 0.06 * t)) for t in range(6)]
            scene.line(outline(fold, turn=turn, at=at), colour("9a7040"), r * 0.05, see_through=0.25)


def bean_bowl(scene: Scene) -> None:
    table(scene, scene.rng.choice(["plaster", "wood", "linen"]))
    at = scene.middle
    plate(scene, at, 410, scene.rng.choice([WHITE, CREAM, colour("66706e")]), deep=True)
    scene.shape(outline(oval(306), at=(at[0] + 3, at[1] + 6)), colour("4a1c13"), lit=-0.3)
    scene.many(within(scene, at, 290, 300), kidneys(scene, 26, BEANS))
    scene.many(
        [(at[0] + scene.rng.uniform(-680, 680), at[1] + scene.rng.uniform(-440, 440)) for _ in range(9)],
        kidneys(scene, 26, BEANS),
    )


def whole_table(scene: Scene) -> None:
    table(scene, scene.rng.choice(["dark wood", "dark linen"]))
    x, y = scene.middle
    plate(scene, (x - 420, y - 210), 240)
    for k in range(6):
        _leek_roll(
            scene,
            (x - 420 + 112 * math.cos(k * math.tau / 6), y - 210 + 112 * math.sin(k * math.tau / 6)),
            k * 60 + 90,
            0.52,
        )
    plate(scene, (x + 400, y - 230), 230, SLATE)
    boat(scene, (x + 400, y - 230), 0.48, -20)
    pot = (x + 30, y + 215)
    scene.shape(outline(oval(235, n=100), at=pot), CLAY, lit=0.5, lift=34)
    scene.shape(outline(oval(196, n=100), at=pot), darker(CLAY, 0.6), lit=-0.4)
    scene.many(within(scene, pot, 172, 130), kidneys(scene, 17, BEANS))
    scene.many(within(scene, pot, 140, 14), leaves(scene, 16))
    plate(scene, (x - 480, y + 290), 165, CREAM)
    scene.many(within(scene, (x - 480, y + 290), 96, 80), beads(scene, 13, RUBY))
    plate(scene, (x + 560, y + 240), 175)
    for place in within(scene, (x + 560, y + 240), 92, 9):
        _walnut(scene, place, 34)
    cup(scene, (x + 40, y - 330), 78, colour("7a1f22"))
    fork(scene, (x - 730, y - 190), 4)


# --- people and places: shapes without faces -------------------------------------------------------------------------------------------------


def cook(scene: Scene) -> None:
    scene.stone(colour("3d4244"), spread=0.2)
    x, y = scene.middle
    for row in range(5):
        for column in range(9):
            tile = outline(box(176, 108, 6), at=(column * 190 + (row % 2) * 95 - 20, 60 + row * 122))
            scene.shape(tile, colour("565d5f"), lit=0.16)
    scene.panes(strength=0.16)
    skin, coat, apron = (
        scene.rng.choice([colour("a9744f"), colour("c79270"), colour("8a5a3c")]),
        colour("dcd8cf"),
        scene.rng.choice([colour("2b3a4a"), colour("4a3a2e"), colour("3a4638")]),
    )
    lean = scene.rng.uniform(-40, 40)
    body = [
        (x - 330, y + 520),
        (x - 290 + lean, y + 190),
        (x - 150 + lean, y + 60),
        (x + 150 + lean, y + 60),
        (x + 290 + lean, y + 190),
        (x + 330, y + 520),
    ]
    scene.shape(body, coat, lit=0.34, lift=46)
    scene.shape(
        [(x - 190, y + 520), (x - 130 + lean, y + 150), (x + 130 + lean, y + 150), (x + 190, y + 520)],
        apron,
        lit=0.22,
        lift=6,
    )
    scene.line([(x - 120 + lean, y + 160), (x - 70 + lean, y + 66)], apron, 20)
    scene.line([(x + 120 + lean, y + 160), (x + 70 + lean, y + 66)], apron, 20)
    head = (x + lean * 1.3, y - 100)
    scene.shape(outline(box(96, 120, 30), at=(head[0], head[1] + 120)), darker(skin, 0.24), lit=0.2)
    scene.shape(outline(oval(118, 142), at=head), skin, lit=0.4, ball=True, lift=14)
    hat = outline(
        [
            (-126, 6),
            (-128, -70),
            (-96, -150),
            (0, -172),
            (96, -150),
            (128, -70),
            (126, 6),
            (60, -30),
            (0, -40),
            (-60, -30),
        ],
        at=(head[0], head[1] - 30),
    )
    scene.shape(hat, colour("efece4"), lit=0.26, lift=8)
    top = [(0, y + 420), (scene.width, y + 420), (scene.width, y + 520), (0, y + 520)]
    for side in (-1, 1):
        arm = [(x + side * 250 + lean, y + 190), (x + side * 330 + lean, y + 330), (x + side * 190, y + 420)]
        scene.line(arm, coat if side < 0 else darker(coat, 0.16), 104)
        scene.shape(
            outline(oval(58, 50), at=(x + side * 176, y + 424)),
            skin if side < 0 else darker(skin, 0.16),
            lit=0.3,
            ball=True,
        )
    scene.shape(top, colour("1c1d1e"), lit=0.2)
    pan = outline(oval(210, 52), at=(x, y + 416))
    scene.shape(pan, colour("2a2b2c"), lit=0.5, lift=10)
    scene.shape(outline(oval(186, 40), at=(x, y + 412)), colour("8a5a2a"), lit=-0.2)
    scene.steam((x + 30, y + 400), 380)
    scene.glow((x + 620, y + 460), 460, colour("e2701b"), 0.5)


def hands(scene: Scene) -> None:
    table(scene, "wood")
    x, y = scene.middle
    flour_dust(scene, scene.middle, 600, 380)
    scene.shape(
        outline(oval(300, 215, wobble=0.05, rng=scene.rng), at=(x, y - 20)),
        colour("ead9b4"),
        lit=0.4,
        ball=True,
        lift=36,
    )
    skin = scene.rng.choice([colour("c79270"), colour("a9744f"), colour("8a5a3c")])
    for side in (-1, 1):
        wrist, palm = (x + side * 330, y + 300), (x + side * 150, y + 50)
        sleeve = (x + side * 460, y + 520)
        scene.line([(wrist[0] + 16, wrist[1] + 20), (palm[0] + 16, palm[1] + 22)], (20, 14, 12), 92, see_through=0.72)
        scene.line([sleeve, wrist, palm], skin if side < 0 else darker(skin, 0.14), 96)
        scene.shape(
            outline(oval(88, 76), turn=side * 40, at=palm), skin if side < 0 else darker(skin, 0.12), lit=0.3, ball=True
        )
        for finger in range(4):
            root = (palm[0] - side * (20 + finger * 10), palm[1] - 46 + finger * 22)
            tip = (root[0] - side * (72 - finger * 8), root[1] - 52 + finger * 26)
            scene.line([root, tip], lighter(skin, 0.06 if side < 0 else 0), 33)
        scene.line([sleeve, ((sleeve[0] + wrist[0]) / 2, (sleeve[1] + wrist[1]) / 2 + 20)], colour("dcd8cf"), 132)
    flour_dust(scene, (x, y - 40), 300, 70)


def room(scene: Scene) -> None:
    x, y = scene.middle
    scene.stone(colour("8f8a80"), spread=0.14)
    floor = [(0, y + 230), (scene.width, y + 170), (scene.width, y + 510), (0, y + 510)]
    scene.shape(floor, colour("5e4631"), lit=0.24)
    for k in range(8):
        scene.line([(k * 230 - 60, y + 230), (k * 330 - 480, y + 520)], colour("3c2b1e"), 5, see_through=0.4)
    frame = outline(box(430, 470, 6), at=(x - 370, y - 130))
    scene.shape(frame, colour("4b4035"), lit=0.2, lift=8)
    sky = scene.rng.choice([colour("dfe8ec"), colour("f2e2c4"), colour("c8d4de")])
    for row in (-1, 1):
        for column in (-1, 1):
            scene.shape(outline(box(186, 208, 3), at=(x - 370 + column * 100, y - 130 + row * 113)), sky, lit=0.18)
    scene.glow((x - 370, y - 130), 560, colour("fff2d8"), 0.34)
    for number in range(3):
        hang = (x + 60 + number * 230, y - 200)
        scene.line([(hang[0], 0), hang], colour("26221e"), 6)
        scene.shape(outline([(-64, 44), (-30, -34), (30, -34), (64, 44)], at=hang), colour("6d4a26"), lit=0.4, lift=6)
        scene.glow((hang[0], hang[1] + 60), 220, colour("ffcf86"), 0.5)
    for number in range(2):
        at = (x - 60 + number * 500, y + 210 + number * 30)
        for leg in (-150, 150):
            scene.line([(at[0] + leg, at[1] + 20), (at[0] + leg * 1.08, at[1] + 250)], colour("33251a"), 22)
        scene.shape(
            outline([(-230, 0), (-180, -62), (210, -62), (250, 0), (250, 26), (-230, 26)], at=at),
            colour("8a6140"),
            lit=0.34,
            lift=20,
        )
        scene.shape(outline(oval(70, 16), at=(at[0], at[1] - 32)), WHITE, lit=0.2, lift=4)


# --- other kitchens --------------------------------------------------------------------------------------------------------------------------


def soup(scene: Scene) -> None:
    table(scene)
    at = scene.middle
    liquid, swirl, seeds = scene.rng.choice(
        [
            (colour("d9832b"), colour("fbeccb"), [colour("5a7030"), colour("7c8f3f")]),
            (colour("7b9a43"), colour("f3f3dc"), [colour("2f5522"), colour("e8d9bb")]),
            (colour("b23a2a"), colour("f7e3d0"), [colour("3f6b2b"), colour("2a2320")]),
            (colour("e6d7ae"), colour("c78a2c"), [colour("6b4a2c"), colour("5a8a3a")]),
        ]
    )
    plate(scene, at, 430, scene.rng.choice([WHITE, SLATE, CREAM, colour("5f7076")]), deep=True)
    scene.shape(outline(oval(322, n=120), at=(at[0] + 2, at[1] + 5)), liquid, lit=0.16)
    scene.line(
        outline(
            whirl(2.2, 20, 190),
            at=(at[0] + scene.rng.uniform(-50, 50), at[1] + scene.rng.uniform(-40, 40)),
            turn=scene.rng.uniform(0, 360),
        ),
        swirl,
        19,
        see_through=0.12,
    )
    scene.many(within(scene, at, 210, 46), crumbs(scene, 9, seeds))
    scene.many(within(scene, at, 150, 14), leaves(scene, 26))
    scene.shape(outline(oval(120, 40), turn=-38, at=(at[0] - 165, at[1] - 185)), WHITE, lit=0, see_through=0.8)
    if scene.rng.random() < 0.4:
        scene.steam((at[0], at[1] + 60), 480)
    beside(scene)


def loaf(scene: Scene) -> None:
    table(scene, scene.rng.choice(["wood", "linen", "dark wood"]))
    at, crust = scene.middle, scene.rng.choice([colour("a8642c"), colour("8a4c22"), colour("bb7a3a")])
    flour_dust(scene, at, 560, 220)
    long = scene.rng.random() < 0.5
    rx, ry, turn = (470, 250, scene.rng.uniform(-35, 35)) if long else (360, 345, 0)
    body = outline(oval(rx, ry, wobble=0.025, rng=scene.rng, n=100), turn=turn, at=at)
    scene.shadow(body, reach=70, strength=0.4, soft=60)
    scene.shape(body, crust, lit=0.55, ball=True, lift=20, strength=0.6)
    cuts = [(k - 2) * rx * 0.32 for k in range(5)] if long else [-150, 0, 150]
    for cut in cuts:
        reach = ry * math.sqrt(max(0.1, 1 - (cut / rx) ** 2)) * 0.72
        gash = [(cut + t * reach * 0.35, t * reach) for t in (-1, -0.5, 0, 0.5, 1)]
        scene.line(outline(gash, turn=turn, at=at), darker(crust, 0.5), 46)
        scene.line(outline(gash, turn=turn, at=(at[0] + 3, at[1] + 4)), colour("e2bf84"), 34)
        scene.line(
            outline([(px - 12, py) for px, py in gash], turn=turn, at=at), darker(crust, 0.3), 9, see_through=0.3
        )
    for place in within(scene, at, min(rx, ry) * 0.8, 50):
        scene.shape(
            outline(
                oval(scene.rng.uniform(10, 34), scene.rng.uniform(5, 14), n=16),
                turn=turn + scene.rng.uniform(-50, 50),
                at=place,
            ),
            CREAM,
            lit=0,
            see_through=0.78,
        )


def tart(scene: Scene) -> None:
    table(scene)
    at = scene.middle
    plate(scene, at, 450, scene.rng.choice([WHITE, CREAM, SLATE]))
    fruit, glaze = scene.rng.choice(
        [
            (colour("c8364a"), colour("8d1a2c")),
            (colour("e0a030"), colour("b06a18")),
            (colour("6a3a6e"), colour("42204a")),
            (colour("b9c04a"), colour("7d8a2a")),
        ]
    )
    crust = colour("c98f4e")
    rim = [
        ((372 + 12 * math.cos(26 * t)) * math.cos(t), (372 + 12 * math.cos(26 * t)) * math.sin(t))
        for t in [math.tau * k / 260 for k in range(260)]
    ]
    scene.shape(outline(rim, at=at), crust, lit=0.4, lift=24)
    scene.shape(outline(oval(338, n=120), at=at), darker(crust, 0.35), lit=-0.3)
    scene.shape(outline(oval(332, n=120), at=at), glaze, lit=0.2)
    for ring, n in ((268, 22), (186, 16), (104, 9), (26, 3)):
        for k in range(n):
            angle = math.tau * k / n + ring
            spot = (at[0] + ring * math.cos(angle), at[1] + ring * math.sin(angle))
            slice_ = oval(58, 27, n=36)
            scene.shape(
                outline(slice_, turn=math.degrees(angle) + 62, at=spot),
                mixed(fruit, colour("f3d9b0"), scene.rng.uniform(0, 0.2)),
                lit=0.42,
                lift=6,
            )
            scene.line(
                outline([(-34, -10), (26, -14)], turn=math.degrees(angle) + 62, at=spot), WHITE, 5, see_through=0.6
            )
    if scene.rng.random() < 0.5:
        turn = scene.rng.uniform(0, 360)
        wedge = [(0, 0), *[(400 * math.cos(t / 20), 400 * math.sin(t / 20)) for t in range(12)]]
        scene.shape(outline(wedge, turn=turn, at=at), WHITE if scene.rng.random() < 0.7 else CREAM, lit=0.1)
        scene.many(
            within(scene, outline([(230, 60)], turn=turn, at=at)[0], 90, 16),
            crumbs(scene, 8, [crust, darker(crust, 0.2)]),
        )
    beside(scene)


def dumplings(scene: Scene) -> None:
    table(scene, scene.rng.choice(["dark wood", "slate", "dark linen"]))
    at, x, y = scene.middle, *scene.middle
    plate(scene, at, 450, scene.rng.choice([SLATE, CLAY, WHITE]))
    dough = colour("eee2c8")
    for dx, dy in [(0, -215), (205, -66), (127, 174), (-127, 174), (-205, -66), (0, 0)]:
        spot = (x + dx + scene.rng.uniform(-8, 8), y + dy + scene.rng.uniform(-8, 8))
        scene.shape(
            outline(oval(116, 110, wobble=0.03, rng=scene.rng), at=spot),
            dough,
            lit=0.4,
            ball=True,
            lift=28,
            strength=0.55,
        )
        for k in range(14):
            angle = math.tau * k / 14 + dx
            fold = [(r * math.cos(angle + r / 260), r * math.sin(angle + r / 260)) for r in range(18, 100, 9)]
            scene.line(outline(fold, at=spot), darker(dough, 0.3), 6, see_through=0.45)
            scene.line(outline(fold, at=(spot[0] - 5, spot[1] - 4)), WHITE, 5, see_through=0.55)
        scene.shape(outline(oval(21), at=(spot[0] - 3, spot[1] - 4)), dough, lit=0.5, ball=True, lift=7)
    scene.many(within(scene, at, 320, 40), crumbs(scene, 5, [colour("2a2320"), colour("5a4a3c")]))
    scene.many(within(scene, at, 320, 16), leaves(scene, 20))
    beside(scene)


def oysters(scene: Scene) -> None:
    table(scene, scene.rng.choice(["slate", "dark wood"]))
    x, y = scene.middle
    plate(scene, scene.middle, 460, colour("c4c9cb"))
    scene.many(
        within(scene, scene.middle, 330, 190), crumbs(scene, 24, [colour("dfe7ea"), colour("eef3f5"), colour("c8d3d8")])
    )
    for k in range(7):
        angle = math.tau * k / 7 + 0.3
        spot = (x + 245 * math.cos(angle), y + 245 * math.sin(angle))
        shell = [
            ((124 + 30 * math.cos(t) + 7 * math.sin(7 * t)) * math.cos(t), (84 + 6 * math.sin(5 * t)) * math.sin(t))
            for t in [math.tau * k / 80 for k in range(80)]
        ]
        scene.shape(outline(shell, turn=math.degrees(angle) + 180, at=spot), colour("6f6a60"), lit=0.4, lift=18)
        scene.shape(outline(shell, turn=math.degrees(angle) + 180, at=spot, size=0.86), colour("dcd9d2"), lit=-0.24)
        scene.shape(
            outline(oval(72, 46, wobble=0.1, rng=scene.rng), turn=math.degrees(angle), at=spot),
            colour("a9a08c"),
            lit=0.4,
            ball=True,
        )
        scene.shape(
            outline(oval(46, 27, wobble=0.1, rng=scene.rng), turn=math.degrees(angle), at=(spot[0] + 6, spot[1] + 5)),
            colour("cfc6ae"),
            lit=0.3,
            ball=True,
        )
        scene.shape(outline(oval(14, 6), turn=-30, at=(spot[0] - 26, spot[1] - 20)), WHITE, lit=0, see_through=0.2)
    for dx, dy in ((-40, -20), (50, 30)):
        _slice_of_citrus(scene, (x + dx, y + dy), 82, colour("f0c93a"))


def _slice_of_citrus(scene: Scene, at: Point, r: float, flesh: Colour) -> None:
    scene.shape(outline(oval(r), at=at), darker(flesh, 0.08), lit=0.3, lift=r * 0.14)
    scene.shape(outline(oval(r * 0.91), at=at), colour("fbf3da"), lit=0.1)
    for k in range(9):
        wedge = [
            (r * 0.1, 0),
            *[(r * 0.84 * math.cos(t), r * 0.84 * math.sin(t)) for t in (-0.29, -0.2, -0.1, 0, 0.1, 0.2, 0.29)],
        ]
        scene.shape(outline(wedge, turn=k * 40 + r, at=at), mixed(flesh, colour("fff1c0"), (k % 3) * 0.08), lit=0.3)


def citrus(scene: Scene) -> None:
    table(scene, scene.rng.choice(["plaster", "linen", "slate"]))
    flesh = [colour("e8862a"), colour("f0c93a"), colour("c73a3a"), colour("a9c03a")]
    for column in range(5):
        for row in range(3):
            spot = (
                scene.middle[0] + (column - 2) * 275 + scene.rng.uniform(-34, 34),
                scene.middle[1] + (row - 1) * 300 + scene.rng.uniform(-34, 34),
            )
            if scene.rng.random() < 0.28:
                scene.shape(outline(oval(118, 112), at=spot), scene.rng.choice(flesh), lit=0.5, ball=True, lift=34)
            else:
                _slice_of_citrus(scene, spot, scene.rng.uniform(100, 124), scene.rng.choice(flesh))
    scene.many(
        [(scene.rng.uniform(0, scene.width), scene.rng.uniform(0, scene.height)) for _ in range(16)], leaves(scene, 44)
    )


def jars(scene: Scene) -> None:
    table(scene)
    fills = [colour(name) for name in ("8d1a2c", "c7781c", "4f6d2c", "5a2a5e", "b7a03a", "d06a3a")]
    scene.rng.shuffle(fills)
    for number in range(6):
        at = (
            scene.middle[0] + (number % 3 - 1) * 400 + scene.rng.uniform(-18, 18),
            scene.middle[1] + (number // 3 - 0.5) * 420 + scene.rng.uniform(-14, 14),
        )
        fill = fills[number]
        scene.shape(outline(oval(178, n=90), at=at), colour("cfd6d6"), lit=0.4, lift=44)
        scene.shape(outline(oval(160, n=90), at=at), darker(fill, 0.4), lit=-0.3)
        scene.shape(outline(oval(150, n=90), at=(at[0] + 3, at[1] + 5)), fill, lit=0.34)
        scene.many(within(scene, at, 118, 34), beads(scene, 17, [lighter(fill, 0.14), darker(fill, 0.2)], lift=4))
        scene.line(
            outline([(166 * math.cos(t / 10), 166 * math.sin(t / 10)) for t in range(33, 46)], at=at),
            WHITE,
            9,
            see_through=0.35,
        )
    spoon(scene, (scene.middle[0] + 610, scene.middle[1] - 60), 12, colour("9a6a3c"))


def salad(scene: Scene) -> None:
    table(scene)
    at = scene.middle
    plate(scene, at, 440, scene.rng.choice([WHITE, SLATE, CREAM]), deep=True)
    big = leaves(scene, 92, [*GREENS, colour("8b2247"), colour("a9c65a")])
    scene.many(within(scene, at, 250, 74), big)
    scene.many(within(scene, at, 250, 22), beads(scene, 25, [colour("c8362a"), colour("e0a030")]))
    scene.many(within(scene, at, 230, 20), crumbs(scene, 21, [colour("f3ecdc"), colour("fbf6ea")]))
    scene.many(within(scene, at, 240, 34), crumbs(scene, 9, BROWNS))
    beside(scene)


def eggs(scene: Scene) -> None:
    table(scene, scene.rng.choice(["wood", "linen", "slate"]))
    at = scene.middle
    plate(scene, at, 420, scene.rng.choice([colour("7d8a8c"), CLAY, SLATE]), deep=True)
    for dx, dy in sorted(
        [(-120, -90), (60, -140), (170, 10), (-10, 30), (-150, 100), (60, 160)], key=lambda spot: spot[1]
    ):
        shell = scene.rng.choice([colour("d9a87c"), colour("efe2cf"), colour("c48a5c"), colour("f4eee2")])
        egg = [
            (122 * math.cos(t), 94 * math.sin(t) * (1 - 0.13 * math.cos(t)))
            for t in [math.tau * k / 60 for k in range(60)]
        ]
        scene.shape(
            outline(egg, turn=scene.rng.uniform(0, 360), at=(at[0] + dx, at[1] + dy)),
            shell,
            lit=0.42,
            ball=True,
            lift=30,
            strength=0.55,
        )
    if scene.rng.random() < 0.6:
        broken = (at[0] + scene.rng.choice([-1, 1]) * 580, at[1] + 180)
        scene.shape(outline(oval(120, 106, wobble=0.06, rng=scene.rng), at=broken), colour("f4eee2"), lit=0.3, lift=18)
        scene.shape(outline(oval(102, 90, wobble=0.05, rng=scene.rng), at=broken), colour("e6e2d6"), lit=-0.2)
        yolk(scene, broken, 58)
    beside(scene)


def flour(scene: Scene) -> None:
    table(scene, scene.rng.choice(["dark wood", "wood", "slate"]))
    x, y = scene.middle
    flour_dust(scene, (x - 120, y + 20), 600, 460)
    for r, share in ((250, 0.12), (206, 0.04), (150, 0)):
        scene.shape(
            outline(oval(r, r * 0.9, wobble=0.06, rng=scene.rng), at=(x - 160, y + 20)),
            darker(colour("f4ecdc"), share),
            lit=0.28,
            ball=True,
            lift=r * 0.07,
            see_through=0.05,
        )
    pin = (x + 330, y + 10)
    turn = scene.rng.uniform(60, 110)
    scene.line(
        outline([(-410, 0), (410, 0)], turn=turn, at=(pin[0] + 20, pin[1] + 28)), (20, 14, 12), 44, see_through=0.7
    )
    scene.line(outline([(-410, 0), (410, 0)], turn=turn, at=pin), colour("8a5a34"), 40)
    scene.shape(outline(box(560, 104, 26), turn=turn, at=pin), colour("bb8a58"), lit=0.4, lift=20)
    flour_dust(scene, (x + 100, y), 420, 90)
    scene.many(
        [(x - 520, y - 330), (x - 470, y - 300), (x - 540, y - 270)],
        leaves(scene, 60, [colour("c9a55a"), colour("b08a40")]),
    )


def fish(scene: Scene) -> None:
    table(scene, scene.rng.choice(["slate", "dark linen"]))
    x, y = scene.middle
    tray = outline(box(1240, 560, 60), at=scene.middle)
    scene.shape(tray, scene.rng.choice([colour("c4c9cb"), WHITE, colour("6a5644")]), lit=0.3, lift=24)
    scene.shape(outline(box(1160, 480, 50), at=scene.middle), colour("d7dadb"), lit=-0.14)
    for number in range(scene.rng.choice([1, 2])):
        at, back = (
            (x - 10, y - 70 + number * 190 if number else y - 60),
            scene.rng.choice([colour("5f7480"), colour("8a7a60"), colour("a0584c")]),
        )
        body = [
            (460 * math.cos(t) - 20 * math.sin(t) ** 2, 112 * math.sin(t) * (1 - 0.25 * math.cos(t + 0.3)))
            for t in [math.tau * k / 90 for k in range(90)]
        ]
        tail = [(-400, 0), (-560, -110), (-530, 0), (-560, 110)]
        scene.shape(outline(tail, at=at), darker(back, 0.2), lit=0.3, lift=14)
        scene.shape(outline(body, at=at), back, lit=0.4, lift=26)
        scene.shape(
            outline([(px * 0.93, py * 0.5 + 42) for px, py in body], at=at), colour("d9dcd6"), lit=0.3, see_through=0.25
        )
        for k in range(12):
            for row in range(3):
                scale = (at[0] - 250 + k * 46 + (row % 2) * 23, at[1] - 52 + row * 30)
                scene.line(outline([(-12, -12), (4, 0), (-12, 12)], at=scale), lighter(back, 0.3), 4, see_through=0.5)
        scene.line(outline([(300, -74), (262, 0), (296, 74)], at=at), darker(back, 0.5), 8, see_through=0.3)
        scene.shape(outline(oval(21), at=(at[0] + 372, at[1] - 22)), colour("f0ead8"), lit=0.1)
        scene.shape(outline(oval(12), at=(at[0] + 372, at[1] - 22)), (16, 14, 14), lit=0.2)
    for k in range(4):
        _slice_of_citrus(scene, (x - 330 + k * 220, y + 178), 66, colour("f0c93a"))
    scene.many(within(scene, (x, y + 150), 320, 26), leaves(scene, 40))


def coffee(scene: Scene) -> None:
    table(scene)
    x, y = scene.middle
    for at, r in (((x - 230, y - 60), 210), ((x + 330, y + 120), 190)):
        plate(scene, at, r * 1.75, scene.rng.choice([WHITE, CREAM]))
        cup(scene, at, r, scene.rng.choice([colour("5a3016"), colour("7a4a22"), colour("8a9a3a")]))
    spoon(scene, (x + 40, y - 330), 70)
    for place in within(scene, (x + 330, y - 300), 80, 3):
        scene.shape(
            outline(box(84, 84, 8), turn=scene.rng.uniform(0, 90), at=place), colour("f4efe6"), lit=0.3, lift=14
        )


def pasta(scene: Scene) -> None:
    table(scene)
    at = scene.middle
    plate(scene, at, 450, scene.rng.choice([WHITE, SLATE, CLAY]), deep=True)
    strand = scene.rng.choice([colour("e2b860"), colour("e8cf8e"), colour("4a4440")])
    for k in range(74):
        start, sweep, r = (
            scene.rng.uniform(0, math.tau),
            scene.rng.uniform(1.2, 3.4),
            60 + 205 * math.sqrt(scene.rng.random()),
        )
        off = (at[0] + scene.rng.uniform(-46, 46), at[1] + scene.rng.uniform(-46, 46))
        curve = [
            (r * math.cos(start + sweep * t / 14), r * (0.9 + 0.1 * math.sin(t)) * math.sin(start + sweep * t / 14))
            for t in range(15)
        ]
        scene.line(outline(curve, at=(off[0] + 4, off[1] + 6)), darker(strand, 0.6), 15, see_through=0.45)
        scene.line(outline(curve, at=off), mixed(strand, darker(strand, 0.3), k % 3 / 4), 14)
        scene.line(outline(curve[3:11], at=(off[0] - 3, off[1] - 3)), lighter(strand, 0.6), 3, see_through=0.45)
    scene.many(within(scene, at, 190, 12), beads(scene, 30, [colour("c8362a"), colour("b3281e")]))
    scene.many(within(scene, at, 190, 14), leaves(scene, 40))
    scene.many(within(scene, at, 230, 40), crumbs(scene, 7, [colour("f6eed6")]))
    beside(scene)


def cheese(scene: Scene) -> None:
    table(scene, scene.rng.choice(["slate", "dark wood", "dark linen"]))
    x, y = scene.middle
    board(scene, scene.middle, 1180, 660, scene.rng.uniform(-7, 7))
    paste = colour("efd58a")
    wheel = [(0, 0), *[(300 * math.cos(t / 20), 300 * math.sin(t / 20)) for t in range(8, 104)]]
    at = (x - 250, y)
    scene.shape(outline(wheel, at=at, turn=-24), colour("d9b25a"), lit=0.4, lift=44)
    scene.shape(outline(wheel, at=at, turn=-24, size=0.93), paste, lit=0.26)
    for place in within(scene, at, 215, 16):
        scene.shape(
            outline(oval(scene.rng.uniform(7, 21), wobble=0.1, rng=scene.rng, n=24), at=place),
            darker(paste, 0.34),
            lit=-0.4,
        )
    scene.shape(
        outline([(0, -130), (230, 90), (-60, 110)], at=(x + 190, y - 60), turn=scene.rng.uniform(-20, 20)),
        colour("f4ead0"),
        lit=0.3,
        lift=34,
    )
    grapes = beads(scene, 36, [colour("5a2a4e"), colour("7a3a5e"), colour("42204a")])
    scene.many(within(scene, (x + 400, y + 140), 140, 26), grapes)
    for place in within(scene, (x + 60, y + 230), 90, 5):
        _walnut(scene, place, 40)


def berries(scene: Scene) -> None:
    table(scene)
    at = scene.middle
    plate(scene, at, 430, scene.rng.choice([WHITE, colour("66706e"), CREAM]), deep=True)
    kinds = scene.rng.choice(
        [[colour("3a4a7a"), colour("2a3460"), colour("4a5a8e")], RUBY, [colour("42204a"), colour("8d1a2c")]]
    )
    scene.shape(outline(oval(318), at=at), darker(kinds[0], 0.6), lit=-0.3)
    scene.many(within(scene, at, 280, 170), beads(scene, 34, kinds))
    scene.many(within(scene, at, 240, 8), leaves(scene, 46))
    scene.many(
        [(at[0] + scene.rng.uniform(-680, 680), at[1] + scene.rng.uniform(-430, 430)) for _ in range(7)],
        beads(scene, 34, kinds),
    )
    beside(scene)


DISHES: dict[str, Callable[[Scene], None]] = {
    "boat": bread_boat,
    "boat-raw": bread_boat_raw,
    "boat-oven": bread_boat_oven,
    "rolls": leek_rolls,
    "balls": spinach_balls,
    "pot": bean_pot,
    "walnuts": walnut_board,
    "beans": bean_bowl,
    "table": whole_table,
    "cook": cook,
    "hands": hands,
    "room": room,
    "soup": soup,
    "loaf": loaf,
    "tart": tart,
    "dumplings": dumplings,
    "oysters": oysters,
    "citrus": citrus,
    "jars": jars,
    "salad": salad,
    "eggs": eggs,
    "flour": flour,
    "fish": fish,
    "coffee": coffee,
    "pasta": pasta,
    "cheese": cheese,
    "berries": berries,
}
