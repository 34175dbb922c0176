from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Lower

from clients.trades import LONGEST_KEY, LONGEST_TRADE
from shared.business.models import Language
from shared.edits import Edited
from shared.words import formats
from shared.words.phrases import LICENCE_LANGUAGES


class Trade(Edited):
    """A line of business on the studio's one flat list. ``names`` holds what it is called on papers, by language.

    Clients, offers and shoots name it as the list does and follow when it is renamed; what was agreed keeps the name of its day.
    """

    name = models.CharField(max_length=LONGEST_TRADE, unique=True)
    names = models.JSONField(default=dict, blank=True)
    is_shipped = models.BooleanField(default=False)

    class Meta:
        ordering = [Lower("name"), "pk"]

    def __str__(self) -> str:
        return self.name


class TradeWord(models.Model):
    """Any name a trade has or had, by ``trade_key``: its own, those in other languages, those before. It stays with its trade.

    So a name in an agreed licence never comes to mean another trade, and one trade is not typed as two.
    """

    key = models.CharField(max_length=LONGEST_KEY, unique=True)
    trade = models.ForeignKey(Trade, on_delete=models.CASCADE, related_name="words")

    class Meta:
        ordering = ["key"]

    def __str__(self) -> str:
        return self.key


class ClientKind(models.TextChoices):
    RESTAURANT = "restaurant", "Restaurant"
    PUBLISHER = "publisher", "Publisher"
    AGENCY = "agency", "Agency"
    BRAND = "brand", "Brand"
    OTHER = "other", "Other"


class Client(Edited):
    """A house that orders, pays for or may use pictures."""

    name = models.CharField(max_length=120)
    legal_name = models.CharField(max_length=120, blank=True)
    kind = models.CharField(max_length=12, choices=ClientKind, default=ClientKind.RESTAURANT)
    trade = models.CharField(max_length=LONGEST_TRADE, blank=True)  # as the list of trades names it
    is_business = models.BooleanField(default=True)
    language = models.CharField(max_length=5, choices=Language, default=Language.ENGLISH)
    licence_language = models.CharField(max_length=5, blank=True, choices=list(LICENCE_LANGUAGES.items()))
    currency = models.CharField(max_length=3, default="EUR")
    payment_days = models.PositiveSmallIntegerField(null=True, blank=True)
    street = models.CharField(max_length=120, blank=True)
    postcode = models.CharField(max_length=20, blank=True)
    city = models.CharField(max_length=80, blank=True)
    country = models.CharField(max_length=2, default="DE")
    vat_number = models.CharField(max_length=20, blank=True)
    invoice_email = models.EmailField(blank=True)
    is_order_number_required = models.BooleanField(default=False)
    notes = models.TextField(blank=True)
    archived_at = models.DateTimeField(null=True, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = [Lower("name"), "pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def words_of_licence(self) -> str:
        """The language of their licences, certificates and the letters with them."""
        return self.licence_language or self.language

    @property
    def address_lines(self) -> list[str]:
        place = " ".join(part for part in (self.postcode, self.city) if part)
        return [line for line in (self.street, place) if line]

    def in_the_window(self, language: str, *, home: str) -> tuple[str, ...]:
        """Name and address as a paper from the country ``home`` is addressed: the country is named abroad only."""
        abroad = [formats.country(self.country, language)] if self.country != home else []
        return (self.legal_name or self.name, *self.address_lines, *abroad)


class SpokenLanguage(models.TextChoices):
    """The languages of the cook's sheet; letters and papers come in those of ``Language``."""

    ENGLISH = "en", "English"
    GERMAN = "de", "German"
    FRENCH = "fr", "French"
    SPANISH = "es", "Spanish"
    ITALIAN = "it", "Italian"
    SWEDISH = "sv", "Swedish"


class Person(Edited):
    """Somebody we work with: orders, approves, pays, cooks, styles, assists or signs."""

    name = models.CharField(max_length=120)
    language = models.CharField(max_length=5, choices=Language, default=Language.ENGLISH)
    kitchen_language = models.CharField(max_length=5, choices=SpokenLanguage, blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    note = models.TextField(blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = [Lower("name"), "pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def spoken(self) -> str:
        """The language this person is spoken to in at the stove; their letters come in ``language``."""
        return self.kitchen_language or self.language

    @property
    def spoken_name(self) -> str:
        return str(SpokenLanguage(self.spoken).label)


class ClientPerson(models.Model):
    """What a person does for a client."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="parts")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="parts")
    orders = models.BooleanField(default=False)
    approves = models.BooleanField(default=False)
    pays = models.BooleanField(default=False)
    cooks = models.BooleanField(default=False)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["client", "person"], name="person_once_per_client")]

    def __str__(self) -> str:
        return f"{self.person} for {self.client}"

    @property
    def words(self) -> list[str]:
        return [word for word in ("orders", "approves", "pays", "cooks") if getattr(self, word)]


class Kitchen(Edited):
    """A place where food is cooked and photographed. Without a client it is the studio's own."""

    client = models.ForeignKey(Client, null=True, blank=True, on_delete=models.PROTECT, related_name="kitchens")
    name = models.CharField(max_length=120)
    street = models.CharField(max_length=120, blank=True)
    postcode = models.CharField(max_length=20, blank=True)
    city = models.CharField(max_length=80, blank=True)
    country = models.CharField(max_length=2, default="DE")
    latitude = models.DecimalField(max_digits=8, decimal_places=5, null=True, blank=True)
    longitude = models.DecimalField(max_digits=8, decimal_places=5, null=True, blank=True)
    time_zone = models.CharField(max_length=40, default="Europe/Berlin")
    distance_km = models.DecimalField(max_digits=7, decimal_places=1, null=True, blank=True)
    way_in = models.TextField(blank=True)
    key_holder = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="kitchens_held"
    )
    house_rules = models.TextField(blank=True)
    hazards = models.TextField(blank=True)
    calls = models.TextField(blank=True)
    archived_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = [Lower("name"), "pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def address(self) -> str:
        place = " ".join(part for part in (self.postcode, self.city) if part)
        return ", ".join(part for part in (self.street, place) if part)


class KitchenWindow(models.Model):
    """A window: the bearing its outside faces, in degrees clockwise from north, and its size in centimetres."""

    kitchen = models.ForeignKey(Kitchen, on_delete=models.CASCADE, related_name="windows")
    name = models.CharField(max_length=60, blank=True)
    bearing_degrees = models.PositiveSmallIntegerField()
    width_cm = models.PositiveSmallIntegerField(null=True, blank=True)
    height_cm = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=Q(bearing_degrees__lt=360), name="bearing_below_360")]

    def __str__(self) -> str:
        return self.name or f"window facing {self.bearing_degrees}°"


class Weekday(models.IntegerChoices):
    MONDAY = 0, "Monday"
    TUESDAY = 1, "Tuesday"
    WEDNESDAY = 2, "Wednesday"
    THURSDAY = 3, "Thursday"
    FRIDAY = 4, "Friday"
    SATURDAY = 5, "Saturday"
    SUNDAY = 6, "Sunday"


class KitchenHours(models.Model):
    """Hours of a weekday when the kitchen is free of service."""

    kitchen = models.ForeignKey(Kitchen, on_delete=models.CASCADE, related_name="free_hours")
    weekday = models.PositiveSmallIntegerField(choices=Weekday)
    from_time = models.TimeField()
    until_time = models.TimeField()

    class Meta:
        ordering = ["weekday", "from_time"]
        constraints = [
            models.CheckConstraint(condition=Q(from_time__lt=F("until_time")), name="free_hours_begin_before_they_end")
        ]

    def __str__(self) -> str:
        return f"{self.get_weekday_display()} {self.from_time:%H:%M} to {self.until_time:%H:%M}"
