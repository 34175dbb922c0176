"""What the winter menu needs beside its recipes: takes, props and prices, invented for the demo."""

from decimal import Decimal

# Takes of a shot, by dish and how its title begins.
WINTER_TAKES = {
    ("Bread boat with egg yolk", "Sift the flour"): 3,
    ("Bread boat with egg yolk", "Serve at once"): 2,
    ("Leek rolls with walnut", "Pull the layers"): 3,
    ("Leek rolls with walnut", "Scatter with pomegranate"): 4,
    ("Spinach and beetroot balls", "Garnish each ball"): 3,
    ("Bean stew in clay", "Ladle the stew"): 2,
}
# What a moment uses where its words do not say: dish, how the moment begins, the recipe's line.
WINTER_LINES = (("Leek rolls with walnut", "Pull the layers", "3 large leeks"),)
# Eaters and hero garnish of a dish.
WINTER_TABLE = {
    "Bread boat with egg yolk": {"eaters": 3, "garnish": "Two yolks without a spot, in their half shells"},
    "Leek rolls with walnut": {"eaters": 4, "garnish": "Six whole walnut halves, the brightest seeds"},
    "Spinach and beetroot balls": {"eaters": 3, "garnish": "A dozen seeds, dry on a cloth"},
    "Bean stew in clay": {"eaters": 5, "garnish": "Small parsley leaves in iced water"},
}
WINTER_LEFT = {
    "Bean stew in clay": {
        "eaten_portions": Decimal(5), "eaten_by": "the staff table, from the untouched pot", "given_portions": Decimal(1),
        "given_to": "Ivo Pellander, in his own jar", "thrown_portions": Decimal(2),
    },
}  # fmt: skip
# Props on the hero shots of a dish.
WINTER_PROPS = {
    "Bread boat with egg yolk": "dark oak board, linen napkin in grey, two forks",
    "Leek rolls with walnut": "four black plates, slate tile, brass bowl for the seeds",
    "Spinach and beetroot balls": "white oval platter, small spoon",
    "Bean stew in clay": "four clay pots with lids, dark oak board, wooden ladle, cotton cloth",
    "Roast squash with blue fenugreek": "iron pan, linen napkin in grey",
    "Trout with tarragon": "long fish plate, fish knife, lemon press",
    "Walnut brittle": "marble slab, small hammer",
}
# Where props come from that are not the studio's own: name, source, from whom, goes back to, days after the shoot.
WINTER_LENT = (
    ("clay pots with lids", "house", "Walnut Lantern, top shelf", "the pass", 0),
    ("black plates", "hired", "Skerry Prop Cellar", "Skerry Prop Cellar, counter", 4),
    ("brass bowl for the seeds", "hired", "Skerry Prop Cellar", "Skerry Prop Cellar, counter", 4),
    ("long fish plate", "lent", "Maro’s aunt", "Maro Lantadze", 1),
    ("iron pan", "house", "Walnut Lantern, stove", "the stove", 0),
)
# Price of all that is bought of a line, where, who, and whether it is bought: by the line's name.
WINTER_PRICES = {
    "strong wheat flour": ("2.40", "Mill shop", "Maro", True),
    "young cheese": ("11.80", "Cheese stall", "Maro", True),
    "brined cheese": ("6.20", "Cheese stall", "Maro", True),
    "eggs": ("4.90", "Market, egg cart", "Ivo", False),
    "large leeks": ("7.60", "Market", "Ivo", False),
    "walnuts": ("13.50", "From the house", "Maro", True),
    "Pomegranate seeds": ("5.40", "Market", "Ivo", False),
    "red beans": ("4.10", "From the house", "Maro", True),
    "spinach": ("4.60", "Market", "Ivo", False),
}
WINTER_OWN_LINES = ("Ice, 4 kg", "Baking paper, one roll")
