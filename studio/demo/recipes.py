"""Recipes of the demo's kitchen, written for it."""

BREAD_BOAT = """\
Bread boat with egg yolk

Serves: 4
Preparation time: 1 hour 40 minutes
Baking time: 14 minutes

Ingredients

For the dough:
- 400 g strong wheat flour, plus some for the board
- 240 ml warm milk
- 7 g dried yeast
- 1 tsp salt
- 1 tbsp sunflower oil

For the filling:
- 350 g young cheese, grated
- 150 g brined cheese, crumbled
- 5 eggs
- 60 g butter, cold

Method

For the dough:
1. Sift the flour into a wide bowl and make a hollow in the middle. Stir the yeast into the warm milk and pour it in.
2. Knead for 10 minutes, until the dough springs back from a fingertip. Cover and leave to rise for 1 hour.
For the boats:
3. Mix both cheeses with one egg.
4. Divide the dough into four. Roll each piece into a long oval on a floured board.
5. Roll the long edges inwards and pinch the ends together, so that each piece becomes a boat.
6. Fill the boats with the cheese. Do not press it down.
7. Bake at 240 °C for 12 to 14 minutes, until the rim is golden and the cheese bubbles.
8. Separate the other four eggs. Drop one yolk into each boat and return to the oven for 1 minute.
9. Put a slice of cold butter beside the yolk and serve at once. At the table, tear off an end and stir the yolk into the cheese.

Notes

The whites keep for two days in the cold; the kitchen makes biscuits of them.
"""

LEEK_ROLLS = """\
Leek rolls with walnut

Serves: 6

Ingredients

3 large leeks
200 g walnuts, plus 6 halves for the top
2 cloves of garlic
1 small bunch of coriander
1/2 tsp ground coriander seed
1 pinch of marigold petals
2 to 3 tbsp wine vinegar
Salt
Pomegranate seeds: 50 g

Method

Trim the leeks and cut them across into pieces as long as a hand.
Blanch them for 6 minutes in salted water, drain, and cool in iced water.
Pull the layers apart and pat them dry.
Pound the walnuts with the garlic, the coriander and a pinch of salt until the oil shows.
Work in the ground coriander, the marigold and the vinegar. The paste should just hold together.
Lay a leek leaf flat, spread it with a spoonful of paste and roll it up tightly.
Chill for half an hour.
Arrange six rolls in a ring on each plate.
Scatter with pomegranate seeds and crown each roll with half a walnut.
"""

BEAN_STEW = """\
Bean stew in clay

Serves: 4 to 6

Ingredients

- 500 g red beans
- 2 onions, sliced
- 3 tbsp sunflower oil
- 4 cloves garlic
- 1 tsp blue fenugreek
- 1 tsp ground coriander seed
- 1 dried chilli
- 1 bay leaf
- 1 bunch parsley, chopped
- salt

Method

1. Soak the beans overnight in plenty of cold water.
2. Drain the beans, cover with fresh water, add the bay leaf and bring to the boil. Skim off the foam and simmer for 1 hour 15 minutes, until a bean
   gives way between two fingers.
3. Meanwhile fry the onions in the oil over a gentle heat for 15 minutes, until soft and golden.
4. Pound the garlic with the chilli, the fenugreek and the coriander seed.
5. Crush a third of the beans against the side of the pot. Stir in the onions and the garlic paste.
6. Ladle the stew into four clay pots, put the lids on and bake at 180 °C for 20 minutes.
7. Lift the lid at the table, while the steam rises. Sprinkle with parsley and serve.

Tips

- Best the day after.
"""

SPINACH_BALLS = """\
Spinach and beetroot balls

Serves: 6

Ingredients

- 500 g spinach
- 2 beetroots (about 400 g)
- 180 g walnuts
- 2 cloves of garlic, crushed
- 1 tbsp wine vinegar
- 1 onion, finely chopped
- salt
- pomegranate seeds, to finish

Method

1. Boil the beetroots for 50 minutes, rinse under cold water and peel them.
2. Wilt the spinach in a dry pan, let it cool and squeeze it dry over the sink.
3. Chop the spinach finely and grate the beetroot into a second bowl.
4. Grind the walnuts with the garlic. Divide between the two bowls, add onion and vinegar and mix by hand.
5. Shape into balls the size of a walnut and make a dent in each with a thumb.
6. Chill for 30 minutes.
7. Garnish each ball with a pomegranate seed and plate them in two colours.
"""

RECIPES = {
    "Bread boat with egg yolk": BREAD_BOAT,
    "Leek rolls with walnut": LEEK_ROLLS,
    "Bean stew in clay": BEAN_STEW,
    "Spinach and beetroot balls": SPINACH_BALLS,
}
