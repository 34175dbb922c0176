from typing import Any

from babel import Locale
from crispy_forms.layout import Fieldset, Layout, Row
from django import forms

from shared.access.forms import PASSWORD_HELP
from shared.business.checks import InvalidBic, InvalidIban, InvalidVatNumber, check_bic, check_iban, check_vat_number
from shared.business.models import BusinessProfile
from shared.errors import Refusal
from shared.files.actions import FileTooLarge, FileTypeRefused
from shared.files.media_types import media_type_of
from shared.files.pictures import check_picture
from shared.numbers.series import InvalidNumber, format_number
from shared.words.forms import EditedFormMixin, SheetForm, SheetModelForm, zone_names

CURRENCIES = (
    "EUR",
    "GBP",
    "CHF",
    "SEK",
    "NOK",
    "DKK",
    "PLN",
    "CZK",
    "HUF",
    "RON",
    "USD",
    "CAD",
    "AUD",
    "NZD",
)
ON_PAPERS = frozenset({"image/png", "image/jpeg"})
LARGEST_ON_PAPERS = 5 * 1024 * 1024
MOST_PIXELS_ON_PAPERS = 12_000_000
OLDEST_MINOR = 25
PREFIXES = (
    "estimate_prefix",
    "invoice_prefix",
    "credit_note_prefix",
    "release_prefix",
    "licence_prefix",
    "delivery_prefix",
)


def countries() -> list[tuple[str, str]]:
    """ISO 3166 alpha-2 codes with their English names (CLDR), sorted by name."""
    names = Locale("en").territories
    found = [
        (code, name)
        for code, name in names.items()
        if len(code) == 2 and code.isalpha() and code not in ("EU", "EZ", "QO", "UN", "XA", "XB", "ZZ")
    ]
    return sorted(found, key=lambda each: each[1])


def time_zones() -> list[tuple[str, str]]:
    regions = ("Africa/", "America/", "Asia/", "Atlantic/", "Australia/", "Europe/", "Indian/", "Pacific/")
    return [(name, name.replace("_", " ")) for name in sorted(zone_names()) if name.startswith(regions)]


def currencies() -> list[tuple[str, str]]:
    names = Locale("en", "GB").currencies
    return [(code, f"{names[code]} ({code})") for code in CURRENCIES]


def checked_paper_picture(upload: Any) -> bytes | None:
    """The bytes of a logo or signature, or None when none was sent. Raises a ``ValidationError`` with what to do."""
    if not upload:
        return None
    try:
        if upload.size > LARGEST_ON_PAPERS:
            raise FileTooLarge(upload.name, upload.size, LARGEST_ON_PAPERS)
        content = upload.read()
        if (found := media_type_of(content)) not in ON_PAPERS:
            raise FileTypeRefused(upload.name, found, ON_PAPERS)
        check_picture(content, name=upload.name, most_pixels=MOST_PIXELS_ON_PAPERS)
    except Refusal as refusal:
        raise forms.ValidationError(str(refusal)) from None
    return bytes(content)


class WelcomeForm(SheetForm):
    """The least that books need to begin; the profile page asks for the rest."""

    legal_name = forms.CharField(
        label="Your full legal name",
        help_text="As it must stand on your invoices.",
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    email = forms.EmailField(
        label="E-mail address",
        help_text="You sign in with it, and clients see it.",
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )
    password = forms.CharField(
        label="Password",
        strip=False,
        max_length=200,
        help_text=PASSWORD_HELP,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    country = forms.ChoiceField(label="Country", initial="DE")
    currency = forms.ChoiceField(label="Currency", initial="EUR")
    time_zone = forms.ChoiceField(label="Time zone", initial="Europe/Berlin")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, choices in (("country", countries), ("currency", currencies), ("time_zone", time_zones)):
            self.fields[name].choices = choices()


class BusinessProfileForm(EditedFormMixin, SheetModelForm):
    """The business as its papers name it, from a day on."""

    country = forms.ChoiceField(label="Country")
    currency = forms.ChoiceField(
        label="Currency", help_text="Of your own books. A client may be billed in another one."
    )
    time_zone = forms.ChoiceField(label="Time zone", help_text="Days on papers are counted by it.")
    website = forms.URLField(label="Web address", required=False, assume_scheme="https")
    logo_file = forms.FileField(
        label="Logo",
        required=False,
        help_text="PNG or JPEG. Stands at the top of papers.",
        widget=forms.FileInput(attrs={"accept": "image/png,image/jpeg"}),
    )
    drop_logo = forms.BooleanField(label="Take the logo off the papers", required=False)
    signature_file = forms.FileField(
        label="Picture of your signature",
        required=False,
        help_text="PNG or JPEG. Stands under releases and licences.",
        widget=forms.FileInput(attrs={"accept": "image/png,image/jpeg"}),
    )
    drop_signature = forms.BooleanField(label="Take the signature off the papers", required=False)

    class Meta:
        model = BusinessProfile
        exclude = ("logo", "signature", "version")
        labels = {
            "valid_from": "Holds from",
            "legal_name": "Full legal name",
            "trading_name": "Trading name",
            "what_we_do": "What you do, in a few words",
            "street": "Street and number",
            "city": "Town",
            "email": "E-mail address",
            "phone": "Phone",
            "vat_number": "VAT number",
            "tax_number": "Tax number",
            "register_number": "Register number",
            "is_small_business": "Small business: no VAT is charged",
            "exemption_wording_en": "Why no VAT is charged, in English",
            "exemption_wording_de": "Why no VAT is charged, in German",
            "tax_percent": "VAT rate in per cent",
            "reclaims_tax": "VAT paid on costs is reclaimed",
            "bank_name": "Bank",
            "account_name": "Account holder",
            "iban": "IBAN",
            "bic": "BIC",
            "estimate_prefix": "Estimates begin with",
            "invoice_prefix": "Invoices begin with",
            "credit_note_prefix": "Credit notes begin with",
            "release_prefix": "Releases begin with",
            "licence_prefix": "Licences begin with",
            "delivery_prefix": "Deliveries begin with",
            "language": "Language of your own papers",
            "payment_days": "Days to pay",
            "minor_signs_from": "Age from which somebody under age signs beside the guardian",
        }
        help_texts = {
            "valid_from": "Leave the day to correct this entry. Write another day, and a new entry holds from then on; papers issued before keep what they said.",
            "what_we_do": "Stands under your name on papers.",
            "register_number": "Only if you are in a trade register.",
            "is_small_business": "Who may do so depends on the law where you are. Ask your tax adviser.",
            "exemption_wording_en": "Stands on each invoice without VAT. Ask your tax adviser for the wording.",
            "tax_percent": "The usual rate where you are. Check it with your tax adviser.",
            "invoice_prefix": "Empty: 2026-001. With RE-: RE-2026-001. Each kind needs its own beginning.",
            "minor_signs_from": "Your own rule, in years; empty means that a parent or guardian signs alone. Local law says from which age they must sign too: ask a lawyer.",
            "payment_days": "From the day of the invoice, where a client has no own number.",
        }
        error_messages = {
            "valid_from": {
                "unique": "An entry begins on that day already. Open it to change it, or choose another day."
            }
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, choices in (("country", countries), ("currency", currencies), ("time_zone", time_zones)):
            self.fields[name].choices = choices()
        if not self.instance.logo_id:
            del self.fields["drop_logo"]
        if not self.instance.signature_id:
            del self.fields["drop_signature"]
        self.opened_from = self.instance.valid_from
        pictures = [
            name for name in ("logo_file", "drop_logo", "signature_file", "drop_signature") if name in self.fields
        ]
        self.helper.layout = Layout(
            "version",
            Fieldset("From when", "valid_from"),
            Fieldset(
                "Who you are", "legal_name", "trading_name", "what_we_do", "street", Row("postcode", "city"), "country"
            ),
            Fieldset("How to reach you", "email", "phone", "website"),
            Fieldset(
                "Tax",
                "vat_number",
                "tax_number",
                "register_number",
                Row("tax_percent", "reclaims_tax"),
                "is_small_business",
                "exemption_wording_en",
                "exemption_wording_de",
            ),
            Fieldset("Bank account", "account_name", "iban", Row("bic", "bank_name"), "payment_days"),
            Fieldset("Logo and signature", *pictures),
            Fieldset("Releases of somebody under age", "minor_signs_from"),
            Fieldset("Numbers of papers", Row(*PREFIXES[:2]), Row(*PREFIXES[2:4]), Row(*PREFIXES[4:])),
            Fieldset("Money, language, time", Row("currency", "language"), "time_zone"),
        )

    def clean_minor_signs_from(self) -> int | None:
        age: int | None = self.cleaned_data["minor_signs_from"]
        if age is not None and not 1 <= age <= OLDEST_MINOR:
            raise forms.ValidationError(f"Enter an age in years from 1 to {OLDEST_MINOR}, or leave it empty.")
        return age

    def clean_iban(self) -> str:
        return self._checked("iban", check_iban, InvalidIban)

    def clean_bic(self) -> str:
        return self._checked("bic", check_bic, InvalidBic)

    def clean_vat_number(self) -> str:
        return self._checked("vat_number", check_vat_number, InvalidVatNumber)

    def clean_logo_file(self) -> bytes | None:
        return checked_paper_picture(self.cleaned_data["logo_file"])

    def clean_signature_file(self) -> bytes | None:
        return checked_paper_picture(self.cleaned_data["signature_file"])

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        seen: dict[str, str] = {}
        for name in PREFIXES:
            prefix = typed.get(name, "")
            try:
                format_number(prefix, 2026, 1)
            except InvalidNumber as problem:
                self.add_error(name, str(problem))
            if prefix in seen and name in typed:
                self.add_error(
                    name,
                    f"Two kinds of papers would get the same numbers: “{self.fields[seen[prefix]].label}” has this beginning too.",
                )
            seen[prefix] = name
        if typed.get("tax_percent") is not None and not 0 <= typed["tax_percent"] <= 100:
            self.add_error("tax_percent", "Enter a rate between 0 and 100, for example 19.")
        return typed

    def _checked(self, name: str, check: Any, problem: type[ValueError]) -> str:
        typed = self.cleaned_data[name].strip()
        try:
            return check(typed) if typed else ""
        except problem as told:
            raise forms.ValidationError(str(told)) from None
