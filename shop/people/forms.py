"""Forms of staff and letterhead."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.password_validation import validate_password

from circuits.errors import UnreadableError
from shop.people.letterhead_image import clean_logo
from shop.people.models import Role, ShopRow, User


class LogInForm(AuthenticationForm):
    """User name and password."""

    error_messages = {
        "invalid_login": "No user has this name and password. Names and passwords mind capitals.",
        "inactive": "This user may no longer log in. The owner can change that under Shop, Staff.",
    }


class ShopForm(forms.ModelForm):
    """The letterhead."""

    logo = forms.FileField(required=False, help_text="PNG, JPEG, GIF or WebP, up to 2 MB. Printed at most 40 mm high.")
    drop_logo = forms.BooleanField(required=False, label="Take the present logo off")

    class Meta:
        model = ShopRow
        fields = ["name", "address", "phone", "email", "web", "tax_number"]
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
        help_texts = {"tax_number": "Printed on quotes and invoices where the law asks for it."}

    def clean_logo(self) -> bytes | None:
        """The logo re-encoded, or None where none was sent."""
        upload = self.cleaned_data["logo"]
        if not upload:
            return None
        try:
            return clean_logo(upload, upload.name)
        except UnreadableError as error:
            raise forms.ValidationError(str(error)) from error

    def save(self, commit: bool = True) -> Any:
        """Store text and picture together."""
        shop = super().save(commit=False)
        if self.cleaned_data["drop_logo"]:
            shop.logo_png = None
        if self.cleaned_data["logo"]:
            shop.logo_png = self.cleaned_data["logo"]
        shop.pk = 1
        if commit:
            shop.save()
        return shop


class StaffForm(forms.ModelForm):
    """A member of staff. The password is set here and changed by its holder."""

    password = forms.CharField(
        required=False,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="At least 8 characters. Leave empty to keep the present one.",
    )

    class Meta:
        model = User
        fields = ["username", "first_name", "last_name", "role", "is_active"]
        labels = {"username": "User name", "is_active": "May log in"}
        help_texts = {
            "username": "",
            "is_active": "Take the tick off when someone leaves; what they did stays on record.",
            "role": "Technicians see plans, parts and hours, but no price.",
        }

    def clean_password(self) -> str:
        """The password, judged by the site's rules; required for a new member of staff."""
        password: str = self.cleaned_data["password"]
        if password:
            validate_password(password, self.instance)
        elif self.instance.pk is None:
            raise forms.ValidationError("A new member of staff needs a password.")
        return password

    def clean(self) -> dict[str, Any]:
        """There is always an owner who may log in."""
        data: dict[str, Any] = super().clean() or {}
        stays_owner = data.get("role") == Role.OWNER and data.get("is_active")
        others = User.objects.filter(role=Role.OWNER, is_active=True).exclude(pk=self.instance.pk)
        if not stays_owner and self.instance.pk and not others.exists():
            raise forms.ValidationError("This is the last owner who may log in. Make another owner first.")
        return data

    def save(self, commit: bool = True) -> Any:
        """Store, with the password hashed."""
        user = super().save(commit=False)
        if self.cleaned_data["password"]:
            user.set_password(self.cleaned_data["password"])
        if commit:
            user.save()
        return user
