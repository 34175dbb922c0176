"""The thirty shoots of the demo's year as plain values: who, when (days from the day of loading), what was agreed and what became of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

PICTURES_IN_ALL = 200


def own(months: int | None = 24, *media: str) -> dict[str, Any]:
    """A house promotes itself."""
    return {
        "is_own_promotion": True,
        "use_classes": ["advertising"],
        "use_media": list(media or ("web.own", "web.social")),
        "use_territories": ["world"],
        "use_months": months,
        "exclusivity": "none",
        "exclusive_months": None,
        "use_copies": None,
    }


def advertising(
    months: int | None, *media: str, exclusivity: str = "none", copies: int | None = None
) -> dict[str, Any]:
    """Pictures that sell, in Germany."""
    return {
        **own(months, *media),
        "is_own_promotion": False,
        "use_territories": ["DE"],
        "exclusivity": exclusivity,
        "use_copies": copies,
    }


def editorial(months: int | None, *media: str, copies: int | None = None) -> dict[str, Any]:
    """Pictures that tell, in the German-speaking countries."""
    return {
        **own(months, *media),
        "is_own_promotion": False,
        "use_classes": ["editorial"],
        "use_territories": ["DE", "AT", "CH"],
        "use_copies": copies,
    }


@dataclass(frozen=True, slots=True)
class Cost:
    """Money spent for a shoot: gross and VAT as text; ``charge`` says whether the client pays it under the line marked at most."""

    kind: str
    what: str
    supplier: str
    gross: str
    tax: str
    charge: str = "not"


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoShoot:
    """One shoot. ``lead`` is how many days before it the enquiry came; ``delivered`` and ``billed`` are days after what came before.

    ``paid`` holds (days after the invoice, share of what is left to pay). ``at_most`` adds a line for groceries with that cap.
    """

    key: str
    house: str
    title: str
    day: int | None
    state: str
    use: dict[str, Any]
    subjects: tuple[tuple[str, str], ...]
    agreed: int
    taken: int = 0
    days: int = 1
    lead: int = 22
    place: str = "studio"
    brief: str = ""
    licensee: str = ""
    selling_on: str = "not_agreed"
    order_number: str = ""
    deposit: bool = False
    at_most: str = ""
    costs: tuple[Cost, ...] = ()
    delivered: int = 7
    billed: int | None = 3
    paid: tuple[tuple[int, str], ...] = ((11, "1"),)
    begins: str = ""
    estimate: str = "accepted"
    receives: bool = True
    journey: bool = False
    tags: frozenset[str] = field(default_factory=frozenset)


GROCERIES = Cost("groceries", "Flour, eggs and cheese", "Lindhafen market hall", "64.20", "4.20", "at_cost")

SHOOTS: tuple[DemoShoot, ...] = (
    DemoShoot(
        key="opening",
        house="walnut",
        title="Opening",
        day=-346,
        state="delivered",
        use=own(12),
        place="walnut",
        agreed=12,
        taken=17,
        subjects=(
            ("table", "Whole table"),
            ("boat", "Bread boat"),
            ("room", "The room"),
            ("walnuts", "Walnuts on the board"),
            ("rolls", "Leek rolls"),
        ),
        brief="The house before its first evening: rooms without people, eight plates, one long table.",
        journey=True,
        tags=frozenset({"property", "renewal_due"}),
    ),
    DemoShoot(
        key="old_grains",
        house="mill",
        title="Old grains",
        day=-326,
        state="delivered",
        place="mill",
        agreed=6,
        taken=11,
        days=2,
        use=advertising(12, "print.ad", "print.brochure", "web.display", exclusivity="picture"),
        selling_on="free",
        journey=True,
        deposit=True,
        subjects=(
            ("loaf", "Rye loaf, cut"),
            ("flour", "Flour from the sifter"),
            ("eggs", "Eggs in straw"),
            ("cheese", "Bread and cheese"),
        ),
    ),
    DemoShoot(
        key="root_cellar",
        house="spoon",
        title="Root cellar, six pages",
        day=-336,
        state="delivered",
        agreed=6,
        taken=10,
        use=editorial(12, "print.editorial", "web.own", copies=40000),
        order_number="SL-7714",
        selling_on="after",
        tags=frozenset({"after"}),
        subjects=(
            ("jars", "Jars on the shelf"),
            ("soup", "Root soup"),
            ("beans", "Dried beans"),
            ("salad", "Winter salad"),
        ),
        brief="Six pages, upright openers. Cellar light, no cutlery.",
    ),
    DemoShoot(
        key="orchard",
        house="agency",
        title="Orchard cider, autumn campaign",
        day=-302,
        state="delivered",
        licensee="cider",
        agreed=5,
        taken=10,
        use=advertising(24, "web.paid_social", "out_of_home", exclusivity="trade"),
        order_number="HT-2231",
        deposit=True,
        subjects=(
            ("citrus", "Apples and citrus, cut"),
            ("cheese", "Cider with cheese"),
            ("berries", "Sloes in a bowl"),
            ("table", "Orchard table"),
        ),
        costs=(Cost("hire", "Bottle lamps, two days", "Wick & Ballast hire", "154.70", "24.70"),),
    ),
    DemoShoot(
        key="breakfast",
        house="hotel",
        title="Breakfast by the quay",
        day=-281,
        state="delivered",
        use=own(24, "web.own", "web.platforms"),
        place="hotel",
        agreed=6,
        taken=9,
        journey=True,
        tags=frozenset({"withdrawn"}),
        subjects=(
            ("eggs", "Eggs, soft boiled"),
            ("coffee", "Coffee at the window"),
            ("hands", "Hands with the bread"),
            ("berries", "Porridge berries"),
        ),
    ),
    DemoShoot(
        key="rinds",
        house="dairy",
        title="Reife Rinden",
        day=-262,
        state="delivered",
        agreed=6,
        taken=9,
        use=advertising(24, "print.packaging", "print.point_of_sale", copies=20000),
        tags=frozenset({"copies"}),
        subjects=(("cheese", "Laib, angeschnitten"), ("table", "Käsetafel"), ("walnuts", "Walnüsse dazu")),
        costs=(Cost("props", "Schiefertafeln", "Hohenmarsch Markt", "59.50", "9.50"),),
    ),
    DemoShoot(
        key="roast",
        house="coffee",
        title="First roast",
        day=-241,
        state="delivered",
        use=own(None),
        agreed=5,
        taken=8,
        subjects=(("coffee", "Coffee, poured"), ("tart", "Tart beside the cup"), ("citrus", "Orange peel")),
        tags=frozenset({"reminded"}),
        paid=((24, "0.5"), (38, "1")),
    ),
    DemoShoot(
        key="lake",
        house="inn",
        title="Hecht und Aal",
        day=-214,
        state="delivered",
        use=own(24, "web.own", "print.menu"),
        place="inn",
        agreed=6,
        taken=9,
        subjects=(("fish", "Hecht im Ganzen"), ("oysters", "Muscheln auf Eis"), ("soup", "Fischsuppe")),
        journey=True,
        tags=frozenset({"credit_note"}),
    ),
    DemoShoot(
        key="spring",
        house="walnut",
        title="Spring menu",
        day=-186,
        state="delivered",
        use=own(12),
        place="walnut",
        agreed=14,
        taken=19,
        deposit=True,
        subjects=(
            ("boat", "Bread boat with egg yolk"),
            ("cook", "Maro Lantadze at the oven"),
            ("rolls", "Leek rolls with walnut"),
            ("balls", "Spinach balls"),
            ("room", "Window table"),
            ("dumplings", "Dumplings, pleated"),
            ("pot", "Bean stew"),
        ),
        at_most="140",
        costs=(
            GROCERIES,
            Cost("groceries", "Walnuts, pomegranates", "Lindhafen market hall", "32.10", "2.10", "at_cost"),
        ),
        journey=True,
        tags=frozenset({"signed", "on_set"}),
        brief="Spring menu for their own promotion. Dark wood, one window. Maro at the oven, not posing.",
    ),
    DemoShoot(
        key="cookbook",
        house="press",
        title="Kochbuch: Moor und Meer",
        day=-172,
        days=3,
        state="delivered",
        use=editorial(None, "print.editorial"),
        agreed=16,
        taken=22,
        lead=40,
        subjects=(
            ("fish", "Räucherfisch"),
            ("pot", "Bohnentopf"),
            ("pasta", "Nudeln von Hand"),
            ("salad", "Blattsalat"),
            ("tart", "Pflaumenkuchen"),
            ("oysters", "Austern"),
        ),
        deposit=True,
        delivered=14,
        selling_on="free",
        at_most="420",
        tags=frozenset({"stock", "stylist"}),
        costs=(
            Cost("groceries", "Fisch und Gemüse, drei Tage", "Hafenmarkt Lindhafen", "329.56", "21.56", "at_cost"),
            Cost("people", "Food stylist, drei Tage", "Sunniva Tarrow", "1499.40", "239.40"),
        ),
    ),
    DemoShoot(
        key="yard",
        house="bakery",
        title="Fennel seed buns",
        day=-151,
        state="delivered",
        use=own(24),
        agreed=4,
        taken=7,
        subjects=(("loaf", "Buns, torn"), ("flour", "Dusting the board"), ("tart", "Seed tart")),
        paid=((16, "1"),),
    ),
    DemoShoot(
        key="summer_tins",
        house="pantry",
        title="Summer tins",
        day=-136,
        state="delivered",
        use=advertising(18, "print.packaging", "web.own", copies=15000),
        agreed=6,
        taken=9,
        selling_on="not_to",
        subjects=(("jars", "Pickled beans"), ("oysters", "Smoked oysters"), ("citrus", "Preserved lemons")),
        costs=(Cost("props", "Enamel trays", "Tin & Tackle", "47.60", "7.60"),),
    ),
    DemoShoot(
        key="rye",
        house="mill",
        title="Roggenernte",
        day=-118,
        state="delivered",
        use=own(24, "web.own", "web.social", "print.point_of_sale"),
        place="mill",
        agreed=6,
        taken=9,
        journey=True,
        subjects=(("loaf", "Roggenlaib"), ("flour", "Schrot"), ("table", "Brotzeit am Feld")),
    ),
    DemoShoot(
        key="picnic",
        house="spoon",
        title="Picnic, four pages",
        day=-88,
        state="delivered",
        agreed=4,
        taken=7,
        order_number="SL-7802",
        use=editorial(6, "print.editorial", copies=40000),
        subjects=(("salad", "Green salad in a box"), ("berries", "Berries, late"), ("tart", "Hand tart")),
        paid=((26, "1"),),
    ),
    DemoShoot(
        key="iced",
        house="coffee",
        title="Iced, tall glass",
        day=-62,
        state="delivered",
        use=own(24),
        agreed=4,
        taken=6,
        subjects=(("coffee", "Iced coffee"), ("citrus", "Lemon over ice")),
        paid=((12, "0.4"),),
        tags=frozenset({"part_paid"}),
    ),
    DemoShoot(
        key="lemons",
        house="pantry",
        title="Preserved lemons",
        day=-37,
        state="delivered",
        use=own(24),
        agreed=4,
        taken=6,
        subjects=(("citrus", "Lemons in salt"), ("jars", "Jar, first week")),
        delivered=10,
        billed=4,
        paid=(),
        tags=frozenset({"late"}),
    ),
    DemoShoot(
        key="harvest",
        house="mill",
        title="Erntebrot",
        day=-24,
        state="delivered",
        use=advertising(12, "print.ad", "web.own"),
        agreed=5,
        taken=8,
        place="mill",
        subjects=(("loaf", "Erntebrot"), ("cheese", "Brot mit Käse"), ("flour", "Mehl auf Holz")),
        delivered=9,
        billed=9,
        paid=(),
        journey=True,
        tags=frozenset({"refused"}),
    ),
    DemoShoot(
        key="soups",
        house="spoon",
        title="Autumn soups",
        day=-19,
        state="delivered",
        agreed=3,
        taken=5,
        use=editorial(12, "print.editorial", copies=40000),
        subjects=(("soup", "Squash soup"), ("pot", "Pot, lid off"), ("beans", "Beans, soaked")),
        delivered=8,
        billed=None,
        tags=frozenset({"no_order_number"}),
    ),
    DemoShoot(
        key="fish_tins",
        house="pantry",
        title="Smoked fish tins",
        day=-14,
        state="delivered",
        use=advertising(12, "print.packaging", "web.own", copies=8000),
        agreed=4,
        taken=6,
        subjects=(("fish", "Mackerel, smoked"), ("jars", "Tin and jar")),
        delivered=8,
        billed=None,
        deposit=True,
        at_most="60",
        costs=(Cost("groceries", "Mackerel, dill, lemons", "Lindhafen market hall", "77.47", "5.07", "at_cost"),),
        receives=False,
        tags=frozenset({"cap"}),
    ),
    DemoShoot(
        key="lunch",
        house="walnut",
        title="Lunch boxes",
        day=-12,
        state="delivered",
        use=own(24),
        agreed=3,
        taken=5,
        subjects=(("balls", "Spinach and beetroot balls"), ("beans", "Bean salad")),
        delivered=8,
        billed=None,
        receives=False,
    ),
    DemoShoot(
        key="crispbread",
        house="mill",
        title="Knäckebrot",
        day=-8,
        state="shot",
        use=own(24),
        agreed=8,
        taken=6,
        place="mill",
        subjects=(("loaf", "Knäckebrot, gestapelt"), ("flour", "Roggenmehl"), ("cheese", "Knäcke mit Käse")),
        tags=frozenset({"part_delivered", "ask"}),
    ),
    DemoShoot(
        key="moss",
        house="coffee",
        title="Moss and moor blends",
        day=-4,
        state="shot",
        use=own(24),
        agreed=4,
        taken=2,
        subjects=(("coffee", "Two cups"), ("berries", "Tasting notes")),
        tags=frozenset({"new_pictures"}),
    ),
    DemoShoot(
        key="winter",
        house="walnut",
        title="Winter menu",
        day=2,
        state="confirmed",
        use=own(24),
        place="walnut",
        agreed=9,
        lead=18,
        deposit=True,
        subjects=(),
        at_most="120",
        tags=frozenset({"winter"}),
        brief="Winter menu for their own promotion: website and social media. Dark wood, one window, no flowers. Maro at the oven, not posing. No guests in the picture.",
    ),
    DemoShoot(
        key="rye_week",
        house="mill",
        title="Roggenwoche",
        day=13,
        state="confirmed",
        use=own(24, "web.own", "web.social", "print.ad"),
        agreed=6,
        lead=28,
        deposit=True,
        subjects=(("loaf", "Four loaves"),),
        tags=frozenset({"deposit_unpaid"}),
    ),
    DemoShoot(
        key="broths",
        house="spoon",
        title="Broths",
        day=21,
        state="pencilled",
        use=editorial(12, "print.editorial", "web.own", copies=40000),
        agreed=6,
        lead=26,
        subjects=(("soup", "Broth, clear"),),
        estimate="sent",
        brief="Magazine, six pages. The date is held.",
        tags=frozenset({"question"}),
    ),
    DemoShoot(
        key="hampers",
        house="pantry",
        title="New year hampers",
        day=33,
        state="pencilled",
        use=own(12),
        agreed=5,
        lead=35,
        subjects=(("jars", "Hamper, open"),),
        estimate="sent",
    ),
    DemoShoot(
        key="brunch",
        house="hotel",
        title="Slow brunch",
        day=None,
        state="enquiry",
        use=own(24),
        agreed=6,
        place="hotel",
        lead=5,
        subjects=(("eggs", "Eggs, three ways"),),
        estimate="draft",
    ),
    DemoShoot(
        key="garden",
        house="inn",
        title="Biergarten",
        day=8,
        state="cancelled",
        use=own(12),
        agreed=4,
        place="inn",
        lead=30,
        subjects=(("salad", "Brotzeit im Garten"),),
        tags=frozenset({"called_off"}),
    ),
    DemoShoot(
        key="boards",
        house="dairy",
        title="Bretter für den Winter",
        day=-6,
        state="postponed",
        use=own(24),
        agreed=5,
        lead=30,
        subjects=(("cheese", "Winterbrett"),),
        tags=frozenset({"weather"}),
    ),
    DemoShoot(
        key="pamphlet",
        house="press",
        title="Kleines Kochheft",
        day=-30,
        state="cancelled",
        use=editorial(24, "print.editorial"),
        agreed=6,
        lead=26,
        subjects=(("pasta", "Nudelteig"),),
        estimate="declined",
    ),
)

WINTER_DISHES = (
    "Bread boat with egg yolk", "Leek rolls with walnut", "Spinach and beetroot balls", "Bean stew in clay",
    "Roast squash with blue fenugreek", "Trout with tarragon", "Cheese dumplings", "Walnut brittle",
)  # fmt: skip
WINTER_PICTURES = (
    "Bread boat with egg yolk, from above", "Leek rolls with walnut, from the side", "Spinach and beetroot balls, close",
    "Bean stew in clay, lid lifted", "Trout with tarragon", "Whole table from above", "Roast squash with blue fenugreek",
    "Walnut brittle, broken", "Maro Lantadze at the oven",
)  # fmt: skip
WINTER_FRAMES: dict[str, dict[str, str]] = {
    "Bread boat with egg yolk, from above": {
        "purpose": "first page of the menu", "orientation": "upright", "crop": "4:5", "space_for_type": "top",
    },
    "Whole table from above": {"purpose": "head of the website", "orientation": "landscape", "crop": "16:9", "space_for_type": "left"},
    "Walnut brittle, broken": {"purpose": "table card", "orientation": "square", "crop": "1:1", "finishing": "cut_out"},
}  # fmt: skip
WINTER_ALLERGENS = {
    "Bread boat with egg yolk": ("gluten", "milk", "eggs"), "Leek rolls with walnut": ("nuts",), "Spinach and beetroot balls": ("nuts",), "Bean stew in clay": (),
}  # fmt: skip

OFFICE_COSTS: tuple[tuple[int, Cost], ...] = (
    (-310, Cost("kit", "Macro lens, used", "Lindhafen Optics", "892.50", "142.50")),
    (-205, Cost("office", "Accounting course, one day", "Harbour Evening School", "178.50", "28.50")),
    (-95, Cost("kit", "Two light stands", "Wick & Ballast hire", "166.60", "26.60")),
    (-15, Cost("office", "Printer paper and ink", "Composing Row Stationers", "83.30", "13.30")),
)


def share_of(shoot: DemoShoot, pictures: int) -> int:
    """How many pictures the shoot gets when the whole year has ``pictures``: none without, at least one where it has any."""
    if not shoot.taken:
        return 0
    return max(1, shoot.taken * pictures // PICTURES_IN_ALL)
