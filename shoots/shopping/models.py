from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from shared.edits import Edited
from shoots.brief.models import Dish, Shoot
from shoots.plan.models import Moment, Shot


class DishShopping(Edited):
    """How much of a dish is cooked, and what becomes of what is left. ``portions_written`` is what was last put into the brief from here.

    ``serves`` stands over what the recipe says; the three ``…_portions`` of what is left are counted in portions.
    """

    dish = models.OneToOneField(Dish, on_delete=models.CASCADE, related_name="shopping")
    serves = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(1000)]
    )
    eaters = models.PositiveSmallIntegerField(default=0, validators=[MaxValueValidator(500)])
    heroes = models.PositiveSmallIntegerField(default=2, validators=[MaxValueValidator(50)])
    stand_ins = models.PositiveSmallIntegerField(default=1, validators=[MaxValueValidator(50)])
    garnish = models.CharField(max_length=200, blank=True)
    eaten_portions = models.DecimalField(max_digits=6, decimal_places=1, null=True, blank=True)
    eaten_by = models.CharField(max_length=120, blank=True)
    given_portions = models.DecimalField(max_digits=6, decimal_places=1, null=True, blank=True)
    given_to = models.CharField(max_length=120, blank=True)
    thrown_portions = models.DecimalField(max_digits=6, decimal_places=1, null=True, blank=True)
    portions_written = models.PositiveSmallIntegerField(null=True, blank=True, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(serves__isnull=True) | Q(serves__gt=0), name="dish_serves_somebody")
        ]

    def __str__(self) -> str:
        return f"Shopping for {self.dish}"


class MomentTakes(Edited):
    """What the takes of a moment use, as a person said. How many are wanted stands on its shots (``Shot.tries``).

    ``lines`` are the texts of the recipe's lines that were chosen (None: guessed anew each time), ``part`` how much of one line the
    moment uses in one recipe. ``keep_back_written`` is the text last written onto the shots from here.
    """

    moment = models.OneToOneField(Moment, on_delete=models.CASCADE, related_name="shopping")
    lines = models.JSONField(null=True, blank=True, default=None)
    part = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    can_split = models.BooleanField(default=True)
    per_take = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1), MaxValueValidator(99)])
    batch = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1), MaxValueValidator(500)])
    keep_back_written = models.CharField(max_length=200, blank=True, editable=False)

    def __str__(self) -> str:
        return f"Takes of {self.moment}"


class Purchase(models.Model):
    """What is known of a line of the buying list: price of all of it, where, who, and bought by whom and when.

    ``key`` is the line's (name and kind of unit), which changes when the recipe does; ``words`` is set where the line was typed by hand.
    """

    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="purchases")
    key = models.CharField(max_length=200)
    words = models.CharField(max_length=160, blank=True)
    price = models.DecimalField(max_digits=12, decimal_places=2, null=True, blank=True)
    where = models.CharField(max_length=80, blank=True)
    who = models.CharField(max_length=80, blank=True)
    bought_at = models.DateTimeField(null=True, blank=True)
    bought_by = models.CharField(max_length=150, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["shoot", "key"], name="purchase_once_per_shoot"),
            models.CheckConstraint(
                condition=Q(price__isnull=True) | Q(price__gte=0), name="purchase_price_not_below_0"
            ),
        ]

    def __str__(self) -> str:
        return self.words or self.key


class Prop(Edited):
    """Something brought to the set that goes back where it came from, counted out and counted back by name. It may serve several dishes."""

    class Kind(models.TextChoices):
        PROP = "prop", "Prop"
        CROCKERY = "crockery", "Plate, bowl or glass"
        CUTLERY = "cutlery", "Cutlery"
        CLOTH = "cloth", "Cloth"
        SURFACE = "surface", "Surface"

    class Source(models.TextChoices):
        OWN = "own", "Own"
        HIRED = "hired", "Hired"
        HOUSE = "house", "Borrowed from the house"
        LENT = "lent", "Lent by somebody else"
        BOUGHT = "bought", "Bought"

    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="props")
    dishes = models.ManyToManyField(Dish, blank=True, related_name="props")
    shot = models.ForeignKey(Shot, null=True, blank=True, on_delete=models.SET_NULL, related_name="prop_list")
    what = models.CharField(max_length=120)
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.PROP)
    count = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1), MaxValueValidator(999)])
    source = models.CharField(max_length=6, choices=Source, default=Source.OWN)
    from_whom = models.CharField(max_length=120, blank=True)
    goes_back_to = models.CharField(max_length=120, blank=True)
    back_by = models.DateField(null=True, blank=True)
    counted_out = models.PositiveSmallIntegerField(null=True, blank=True, editable=False)
    out_at = models.DateTimeField(null=True, blank=True, editable=False)
    out_by = models.CharField(max_length=120, blank=True, editable=False)
    counted_back = models.PositiveSmallIntegerField(null=True, blank=True, editable=False)
    back_at = models.DateTimeField(null=True, blank=True, editable=False)
    back_counted_by = models.CharField(max_length=120, blank=True, editable=False)
    damage = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["kind", "pk"]

    def __str__(self) -> str:
        return self.what

    @property
    def still_out(self) -> int:
        """How many were counted out and not back."""
        return max((self.counted_out or 0) - (self.counted_back or 0), 0)
