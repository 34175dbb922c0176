from shared.access.forms import ChangePasswordForm, InviteForm, SignInForm


def test_a_password_keeps_its_spaces() -> None:
    form = SignInForm({"name": " tindra ", "password": " smoke "})
    assert form.is_valid()
    assert form.cleaned_data == {"name": "tindra", "password": " smoke "}


def test_nobody_is_invited_as_an_owner() -> None:
    form = InviteForm({"name": "Ivo", "email": "ivo@lantern.example", "role": "owner"})
    assert not form.is_valid()
    assert "role" in form.errors


def test_the_old_password_is_asked_first() -> None:
    assert list(ChangePasswordForm().fields) == ["old", "password"]
