from django.db import models
from django.db.models import F, Q

from clients.models import Client, Kitchen, Person
from shared.edits import Edited


class ShootState(models.TextChoices):
    ENQUIRY = "enquiry", "Enquiry"
    PENCILLED = "pencilled", "Pencilled"
    CONFIRMED = "confirmed", "Confirmed"
    SHOT = "shot", "Shot"
    DELIVERED = "delivered", "Delivered"
    CANCELLED = "cancelled", "Cancelled"
    POSTPONED = "postponed", "Postponed"


SHOOT_MOVES: dict[str, frozenset[str]] = {
    "enquiry": frozenset({"pencilled", "confirmed", "cancelled", "postponed"}),
    "pencilled": frozenset({"enquiry", "confirmed", "cancelled", "postponed"}),
    "confirmed": frozenset({"shot", "cancelled", "postponed"}),
    "shot": frozenset({"confirmed", "delivered"}),
    "delivered": frozenset({"shot"}),
    "cancelled": frozenset(),
    "postponed": frozenset({"enquiry", "pencilled", "confirmed", "cancelled"}),
}


class SellingOn(models.TextChoices):
    NOT_AGREED = "not_agreed", "Not agreed"
    AFTER = "after", "After a date"
    NOT_TO = "not_to", "Not to named trades"
    FREE = "free", "Free"


class BillableWhen(models.TextChoices):
    SHOT = "shot", "When shot"
    DELIVERED = "delivered", "When delivered"


class Exclusivity(models.TextChoices):
    NONE = "none", "Not exclusive"
    TRADE = "trade", "Exclusive in the trade"
    PICTURE = "picture", "Exclusive for the pictures"


USE_FIELDS = ("is_own_promotion", "use_classes", "use_media", "use_territories", "use_months", "exclusivity", "exclusive_months", "use_copies")  # fmt: skip


class IntendedUse(models.Model):
    """A use in codes of ``shoots.uses``: classes, media, territories, months (``None`` is without end), exclusivity, copies
    (``ANY_NUMBER`` where they are not to be limited, ``None`` while nothing is said or counted).
    """

    is_own_promotion = models.BooleanField(default=True)
    use_classes = models.JSONField(default=list, blank=True)
    use_media = models.JSONField(default=list, blank=True)
    use_territories = models.JSONField(default=list, blank=True)
    use_months = models.PositiveSmallIntegerField(null=True, blank=True, default=24)
    exclusivity = models.CharField(max_length=8, choices=Exclusivity, default=Exclusivity.NONE)
    exclusive_months = models.PositiveSmallIntegerField(null=True, blank=True)
    use_copies = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        abstract = True


class Shoot(Edited, IntendedUse):
    """One job: what is cooked and photographed, for whom, where and when."""

    title = models.CharField(max_length=120)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="shoots")
    billing_party = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="shoots_billed")
    licensee = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="shoots_licensed")
    kitchen = models.ForeignKey(Kitchen, null=True, blank=True, on_delete=models.PROTECT, related_name="shoots")
    state = models.CharField(max_length=10, choices=ShootState, default=ShootState.ENQUIRY)
    first_on = models.DateField(null=True, blank=True)
    last_on = models.DateField(null=True, blank=True)
    from_time = models.TimeField(null=True, blank=True)
    until_time = models.TimeField(null=True, blank=True)
    held_until = models.DateField(null=True, blank=True)
    brief = models.TextField(blank=True)
    selling_on = models.CharField(max_length=10, choices=SellingOn, default=SellingOn.NOT_AGREED)
    selling_on_after = models.DateField(null=True, blank=True)
    selling_on_not_to = models.JSONField(default=list, blank=True)
    order_number = models.CharField(max_length=60, blank=True)
    corrections_included = models.PositiveSmallIntegerField(default=1)
    corrections_used = models.PositiveSmallIntegerField(default=0)
    billable_when = models.CharField(max_length=9, choices=BillableWhen, default=BillableWhen.DELIVERED)
    portfolio_from = models.DateField(null=True, blank=True)
    shot_on = models.DateField(null=True, blank=True)
    delivered_on = models.DateField(null=True, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = [F("first_on").desc(nulls_first=True), "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(last_on__isnull=True) | Q(first_on__lte=F("last_on")), name="shoot_ends_after_it_begins"
            )
        ]
        indexes = [
            models.Index(fields=["first_on", "id"], name="shoot_by_day"),
            models.Index(fields=["state"], name="shoot_by_state"),
        ]

    def __str__(self) -> str:
        return self.title


class ShootMove(models.Model):
    """History of a shoot: each change of state or date, by whom and why."""

    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="moves")
    at = models.DateTimeField()
    was = models.CharField(max_length=10, choices=ShootState)
    became = models.CharField(max_length=10, choices=ShootState)
    old_first_on = models.DateField(null=True, blank=True)
    new_first_on = models.DateField(null=True, blank=True)
    reason = models.CharField(max_length=300, blank=True)
    by = models.CharField(max_length=150, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]


class Part(models.TextChoices):
    COOK = "cook", "Cook"
    KITCHEN_HAND = "kitchen_hand", "Kitchen hand"
    FOOD_STYLIST = "food_stylist", "Food stylist"
    PROP_STYLIST = "prop_stylist", "Prop stylist"
    ASSISTANT = "assistant", "Assistant"
    DIGITAL_OPERATOR = "digital_operator", "Digital operator"
    DECIDES = "decides", "Decides for the client"


class ShootPerson(models.Model):
    """A person's part in a shoot, with hours and what they bring."""

    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="people")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="shoot_parts")
    part = models.CharField(max_length=16, choices=Part)
    from_time = models.TimeField(null=True, blank=True)
    until_time = models.TimeField(null=True, blank=True)
    brings = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["shoot", "person", "part"], name="part_once_per_shoot")]

    def __str__(self) -> str:
        return f"{self.person}, {self.get_part_display().lower()}"


class Dish(Edited):
    """A dish of the shoot, with the allergens the cook told."""

    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="dishes")
    name = models.CharField(max_length=120)
    order = models.PositiveSmallIntegerField(default=0)
    portions = models.PositiveSmallIntegerField(null=True, blank=True)
    allergens = models.JSONField(default=list, blank=True)
    allergens_told_by = models.CharField(max_length=120, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return self.name


class Finishing(models.TextChoices):
    """What a picture asks for after the shoot."""

    SIMPLE = "simple", "Simple retouching"
    CUT_OUT = "cut_out", "Cut-out"
    COMPOSITE = "composite", "Composite of several frames"


class AgreedPicture(Edited):
    """A picture promised to the client: wanted while quoting, agreed by acceptance, left out when not taken."""

    class State(models.TextChoices):
        WANTED = "wanted", "Wanted"
        AGREED = "agreed", "Agreed"
        LEFT_OUT = "left_out", "Left out"

    class Orientation(models.TextChoices):
        ANY = "any", "Any"
        UPRIGHT = "upright", "Upright"
        LANDSCAPE = "landscape", "Landscape"
        SQUARE = "square", "Square"

    class SpaceForType(models.TextChoices):
        NONE = "", "None"
        TOP = "top", "At the top"
        FOOT = "foot", "At the foot"
        LEFT = "left", "On the left"
        RIGHT = "right", "On the right"
        ROUND = "round", "All round"

    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="agreed_pictures")
    dish = models.ForeignKey(Dish, null=True, blank=True, on_delete=models.SET_NULL, related_name="agreed_pictures")
    title = models.CharField(max_length=160)
    purpose = models.CharField(max_length=160, blank=True)
    orientation = models.CharField(max_length=9, choices=Orientation, default=Orientation.ANY)
    crop = models.CharField(max_length=60, blank=True)
    space_for_type = models.CharField(max_length=5, choices=SpaceForType, blank=True, default=SpaceForType.NONE)
    finishing = models.CharField(max_length=9, choices=Finishing, default=Finishing.SIMPLE)
    order = models.PositiveSmallIntegerField(default=0)
    state = models.CharField(max_length=8, choices=State, default=State.WANTED)

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return self.title

    @property
    def asks(self) -> str:
        """What the frame has to be, in a few words: shape, crop, and the space left for type. Empty when nothing was said."""
        shape = self.get_orientation_display() if self.orientation != self.Orientation.ANY else ""
        space = f"space for type {self.get_space_for_type_display().lower()}" if self.space_for_type else ""
        return ", ".join(part for part in (shape.lower(), self.crop, space) if part)
