from django.db import models
from django.db.models import Q

from shared.edits import Edited
from shoots.brief.models import AgreedPicture, Dish, Shoot


class Recipe(Edited):
    """A dish's recipe as pasted, as read and as corrected. What could not be read stays beside what was.

    ``ingredients``: ``{"text", "section", "quantity", "quantity_to", "unit", "name", "preparation", "note"}``, numbers as text
    (``queries.ingredients_of``). ``unread``: ``{"what", "why", "done", "step"}``, ``step`` the text of the step it stands in. ``notes``: tips and remarks of the text, as written. ``changed_parts``: what was changed by hand since it was read.
    """

    dish = models.OneToOneField(Dish, on_delete=models.CASCADE, related_name="recipe")
    source = models.TextField()
    title = models.CharField(max_length=160, blank=True)
    yields = models.CharField(max_length=60, blank=True)
    servings = models.PositiveSmallIntegerField(null=True, blank=True)
    ingredients = models.JSONField(default=list, blank=True)
    unread = models.JSONField(default=list, blank=True)
    notes = models.JSONField(default=list, blank=True)
    changed_parts = models.JSONField(default=list, blank=True)
    talked_through_on = models.DateField(null=True, blank=True)

    def __str__(self) -> str:
        return self.title or str(self.dish)


class Step(Edited):
    """One step of a recipe, in the cook's order."""

    recipe = models.ForeignKey(Recipe, on_delete=models.CASCADE, related_name="steps")
    order = models.PositiveSmallIntegerField(default=0)
    section = models.CharField(max_length=120, blank=True)
    text = models.TextField()
    minutes_from = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    minutes_to = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    temperature_c = models.SmallIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return self.text[:60]


class Repeat(models.TextChoices):
    FREE = "free", "Again at will"
    KEEP = "keep", "Again, if part is held back"
    MANY = "many", "One chance per item"
    ONCE = "once", "Only once"


class Angle(models.TextChoices):
    LEVEL = "level", "Level with the food"
    THREE_QUARTER = "three-quarter", "Three-quarter"
    OVERHEAD = "overhead", "Overhead"


class Distance(models.TextChoices):
    TIGHT = "tight", "Tight"
    MEDIUM = "medium", "Medium"
    WIDE = "wide", "Wide"


class Motion(models.TextChoices):
    FREEZE = "freeze", "Frozen"
    BLUR = "blur", "Blurred"
    EITHER = "either", "Frozen or blurred"


class Interest(models.IntegerChoices):
    """How often such a moment earns a frame."""

    NONE = 0, "No picture wanted"
    HARDLY = 1, "Hardly ever worth one"
    SELDOM = 2, "Seldom worth one"
    AT_TIMES = 3, "Sometimes worth one"
    OFTEN = 4, "Worth one"
    ALWAYS = 5, "Always worth one"


class Staged(models.Model):
    """What can be seen, how often it can be had, and what it asks for: said of a moment, and of a kind of moment."""

    visible = models.CharField(max_length=200, blank=True)
    repeat = models.CharField(max_length=4, choices=Repeat, default=Repeat.FREE)
    peak_seconds = models.PositiveIntegerField(null=True, blank=True)
    hazards = models.JSONField(default=list, blank=True)
    cues = models.JSONField(default=list, blank=True)
    prepare = models.JSONField(default=list, blank=True)
    note = models.CharField(max_length=200, blank=True)
    angle = models.CharField(max_length=40, blank=True, choices=Angle)
    distance = models.CharField(max_length=40, blank=True, choices=Distance)
    motion = models.CharField(max_length=10, blank=True, choices=Motion)
    light = models.CharField(max_length=80, blank=True)
    interest = models.PositiveSmallIntegerField(default=Interest.OFTEN, choices=Interest)

    class Meta:
        abstract = True


class Moment(Edited, Staged):
    """Something worth a picture that happens while the dish is made."""

    dish = models.ForeignKey(Dish, on_delete=models.CASCADE, related_name="moments")
    step = models.ForeignKey(Step, null=True, blank=True, on_delete=models.SET_NULL, related_name="moments")
    order = models.PositiveSmallIntegerField(default=0)
    what = models.CharField(max_length=200)
    action = models.CharField(max_length=30, blank=True)
    is_draft = models.BooleanField(default=True)

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return self.what


class Stage(models.TextChoices):
    """Where in the making of a dish a shot belongs: the columns of the bench."""

    READY = "ready", "Raw and ready"
    HANDS = "hands", "Hands at work"
    HEAT = "heat", "At the heat"
    PLATED = "plated", "Plated"


class ShotKind(models.TextChoices):
    """What a drafted shot is for. One written by hand has none."""

    MOMENT = "moment", "A moment of the recipe"
    PROMISED = "promised", "For a promised picture"
    GREY_CARD = "grey card", "Grey card"
    EMPTY_SET = "empty set", "Empty set"
    INGREDIENTS = "ingredients", "Ingredients"
    HANDS = "hands", "Hands"
    HERO = "hero", "Hero, three-quarter"
    HERO_ABOVE = "hero above", "Hero, from above"
    SAFETY = "safety", "Safety frame of the three-quarter hero"
    SAFETY_ABOVE = "safety above", "Safety frame of the hero from above"
    DETAIL = "detail", "Detail"
    FIRST_CUT = "first cut", "First cut or spoon"
    ROOM = "room", "The room"
    PORTRAIT = "portrait", "Portrait of the cook"


HEROES = (ShotKind.HERO, ShotKind.HERO_ABOVE)


class Shot(Edited):
    """One line of the shot list.

    ``frame_mm`` is what the short side of the picture shows, where the distance alone does not say it; ``lens_mm``, ``f_number`` and
    ``shutter`` (seconds as they are said: ``1/250``) are what the person fixed. ``substitution`` is empty until somebody answered;
    ``planned_day`` is the day of the shoot, counted from 1, that ``planned_time`` is on; ``left_for_time`` marks a shot that one press skipped for want of time, so that one press brings it back.
    """

    class State(models.TextChoices):
        PLANNED = "planned", "Planned"
        DONE = "done", "Done"
        REPEAT = "repeat", "Repeat"
        SKIPPED = "skipped", "Skipped"

    class Substitution(models.TextChoices):
        NOT_SAID = "", "Not answered yet"
        NOTHING = "nothing", "Nothing: all of it is real"
        SOMETHING = "something", "Something was"

    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="shots")
    dish = models.ForeignKey(Dish, null=True, blank=True, on_delete=models.SET_NULL, related_name="shots")
    moment = models.ForeignKey(Moment, null=True, blank=True, on_delete=models.SET_NULL, related_name="shots")
    agreed_pictures = models.ManyToManyField(AgreedPicture, blank=True, related_name="shots")
    order = models.PositiveSmallIntegerField(default=0)
    title = models.CharField(max_length=160)
    kind = models.CharField(max_length=12, choices=ShotKind, blank=True)
    stage = models.CharField(max_length=6, choices=Stage, blank=True)
    is_must = models.BooleanField(default=True)
    angle = models.CharField(max_length=40, blank=True)
    distance = models.CharField(max_length=40, blank=True)
    frame_mm = models.PositiveSmallIntegerField(null=True, blank=True)
    motion = models.CharField(max_length=6, choices=Motion, blank=True)
    lens_mm = models.PositiveSmallIntegerField(null=True, blank=True)
    f_number = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    shutter = models.CharField(max_length=10, blank=True)
    light = models.CharField(max_length=80, blank=True)
    props = models.CharField(max_length=200, blank=True)
    surface = models.CharField(max_length=120, blank=True)
    keep_back = models.CharField(max_length=200, blank=True)
    hazard = models.CharField(max_length=200, blank=True)
    cues = models.JSONField(default=list, blank=True)
    tries = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    planned_time = models.TimeField(null=True, blank=True)
    planned_day = models.PositiveSmallIntegerField(default=1)
    state = models.CharField(max_length=8, choices=State, default=State.PLANNED)
    left_for_time = models.BooleanField(default=False)
    substitution = models.CharField(max_length=9, choices=Substitution, blank=True, default=Substitution.NOT_SAID)
    substituted_what = models.CharField(max_length=120, blank=True)
    substituted_by = models.CharField(max_length=120, blank=True)
    substituted_why = models.CharField(max_length=200, blank=True)
    okd_by = models.CharField(max_length=120, blank=True)
    okd_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["order", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(substitution="something") | ~Q(substituted_what=""), name="what_was_substituted_is_named"
            )
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def planned_words(self) -> str:
        """When it is planned, with the day where it is not the first: `Day 2, 09:40`; empty without a time."""
        clock = f"{self.planned_time:%H:%M}" if self.planned_time else ""
        return f"Day {self.planned_day}, {clock}" if clock and self.planned_day > 1 else clock

    @property
    def is_hero(self) -> bool:
        """Is it one of the pictures that sell the dish?"""
        return self.kind in HEROES


class SheetChoice(models.Model):
    """What a person chose about the cook's sheet of a shoot."""

    shoot = models.OneToOneField(Shoot, on_delete=models.CASCADE, related_name="sheet_choice")
    is_musts_only = models.BooleanField(default=False)

    def __str__(self) -> str:
        return f"Cook’s sheet of {self.shoot}"
