from typing import Any

from django import forms

from shared.access.models import Role
from shared.words.forms import SheetForm

PASSWORD_HELP = "At least 10 characters. Three or four words that do not belong together are good and easy to keep."  # noqa: S105  a hint


class SignInForm(SheetForm):
    name = forms.CharField(
        label="Name or e-mail address", max_length=254, widget=forms.TextInput(attrs={"autocomplete": "username"})
    )
    password = forms.CharField(
        label="Password",
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )


class NewPasswordForm(SheetForm):
    """Shown once more in plain text on wish is not needed: the browser's own keeper offers that."""

    password = forms.CharField(
        label="New password",
        max_length=200,
        strip=False,
        help_text=PASSWORD_HELP,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )


class ChangePasswordForm(NewPasswordForm):
    old = forms.CharField(
        label="Old password",
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )
    field_order = ("old", "password")


class InviteForm(SheetForm):
    name = forms.CharField(label="Name", max_length=150, widget=forms.TextInput(attrs={"autocomplete": "off"}))
    email = forms.EmailField(label="E-mail address", widget=forms.EmailInput(attrs={"autocomplete": "off"}))
    role = forms.ChoiceField(label="What they may do", choices=(), widget=forms.RadioSelect)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].choices = [
            (
                Role.ASSISTANT,
                "Assistant: shoots, pictures, releases and estimates. No bank details, no invoices, no profit.",
            ),
            (Role.ACCOUNTANT, "Accountant: reads the money pages and the clients, and takes exports. Changes nothing."),
        ]
