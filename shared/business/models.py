from django.db import models

from shared.edits import Edited


class Language(models.TextChoices):
    ENGLISH = "en", "English"
    GERMAN = "de", "German"


class BusinessProfile(Edited):
    """The studio as its papers name it, from a day on. The newest row not after a day is the one that day had."""

    valid_from = models.DateField(unique=True)
    legal_name = models.CharField(max_length=120)
    trading_name = models.CharField(max_length=120, blank=True)
    what_we_do = models.CharField(max_length=80, blank=True, default="Food photography")
    street = models.CharField(max_length=120, blank=True)
    postcode = models.CharField(max_length=20, blank=True)
    city = models.CharField(max_length=80, blank=True)
    country = models.CharField(max_length=2, default="DE")
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    website = models.URLField(blank=True)
    vat_number = models.CharField(max_length=20, blank=True)
    tax_number = models.CharField(max_length=40, blank=True)
    register_number = models.CharField(max_length=40, blank=True)
    is_small_business = models.BooleanField(default=False)
    exemption_wording_en = models.CharField(max_length=300, blank=True)
    exemption_wording_de = models.CharField(max_length=300, blank=True)
    tax_percent = models.DecimalField(max_digits=5, decimal_places=2, default=19)
    reclaims_tax = models.BooleanField(default=True)
    bank_name = models.CharField(max_length=80, blank=True)
    account_name = models.CharField(max_length=70, blank=True)
    iban = models.CharField(max_length=34, blank=True)
    bic = models.CharField(max_length=11, blank=True)
    logo = models.ForeignKey("shared.StoredFile", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    signature = models.ForeignKey(
        "shared.StoredFile", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    estimate_prefix = models.CharField(max_length=10, default="E-")
    invoice_prefix = models.CharField(max_length=10, blank=True, default="")
    credit_note_prefix = models.CharField(max_length=10, default="C-")
    release_prefix = models.CharField(max_length=10, default="R-")
    licence_prefix = models.CharField(max_length=10, default="L-")
    delivery_prefix = models.CharField(max_length=10, default="D-")
    currency = models.CharField(max_length=3, default="EUR")
    language = models.CharField(max_length=5, choices=Language, default=Language.ENGLISH)
    time_zone = models.CharField(max_length=40, default="Europe/Berlin")
    payment_days = models.PositiveSmallIntegerField(default=14)
    minor_signs_from = models.PositiveSmallIntegerField(null=True, blank=True)
    """From this age on somebody under age signs a release beside the guardian; None: not set. Local law differs, so nothing is preset."""

    class Meta:
        ordering = ["valid_from"]

    def __str__(self) -> str:
        return f"{self.legal_name} from {self.valid_from}"

    @property
    def name(self) -> str:
        return self.trading_name or self.legal_name

    @property
    def address_lines(self) -> tuple[str, ...]:
        return tuple(line for line in (self.street, f"{self.postcode} {self.city}".strip()) if line)
