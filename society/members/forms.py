"""Forms of the members room."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm, SetPasswordForm
from django.utils.dates import MONTHS
from django.utils.translation import gettext_lazy as _

from society.core.free_text import FreeTextFormField
from society.members.models import Account, MailChoice, Person, Society, one_line
from society.members.queries import people_to_invite

PASSWORD_HELP = _("At least 10 characters; a few unrelated words make a good one.")
CURRENT_PASSWORD = {"autocomplete": "current-password"}


class NameField(forms.CharField):
    """A person's name, on one line."""

    default_validators = [one_line]

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"max_length": 80, **kwargs})


class SigninForm(AuthenticationForm):
    username = forms.EmailField(
        label=_("Mail address"),
        widget=forms.EmailInput(attrs={"autocomplete": "username", "autofocus": True}),
    )
    error_messages = {
        "invalid_login": _("That mail address and password do not go together. Try again."),
        "inactive": _("That mail address and password do not go together. Try again."),
    }


class JoinForm(forms.Form):
    name = NameField(label=_("Your name"), help_text=_("As it should stand under your finds."))
    email = forms.EmailField(
        label=_("Mail address"),
        max_length=254,
        help_text=_("You sign in with it. Only keepers see it."),
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )
    password = forms.CharField(
        label=_("Password"),
        strip=False,
        max_length=4096,
        help_text=PASSWORD_HELP,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def __init__(self, *args: Any, person: Person | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if person is not None:
            del self.fields["name"]


class ResetForm(forms.Form):
    email = forms.EmailField(
        label=_("Mail address"),
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )


class NewPasswordForm(SetPasswordForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        first, again = self.fields["new_password1"], self.fields["new_password2"]
        first.label, first.help_text = _("New password"), PASSWORD_HELP
        again.label, again.help_text = _("The same again"), ""


class OwnPasswordForm(NewPasswordForm, PasswordChangeForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["old_password"].label = _("Your password so far")


class PersonForm(forms.Form):
    name = NameField(label=_("Name"))
    initials = NameField(label=_("Initials"), max_length=8, required=False)


class MailForm(forms.Form):
    choice = forms.ChoiceField(
        label=_("Notices by mail"), choices=MailChoice.choices, widget=forms.RadioSelect
    )


class RolesForm(forms.Form):
    is_active = forms.BooleanField(label=_("may sign in"), required=False)
    is_organiser = forms.BooleanField(
        label=_("organiser: sites, forays, people without a sign-in"), required=False
    )
    is_keeper = forms.BooleanField(
        label=_("keeper: members, roles, names, settings"), required=False
    )


class AddressForm(forms.Form):
    email = forms.EmailField(
        label=_("Mail address"),
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )


class LeaveForm(forms.Form):
    kept_name = NameField(
        label=_("Name under which the records stay"),
        help_text=_("It may be the same name, initials, or something like 'a former member'."),
    )
    sure = forms.BooleanField(label=_("The sign-in and the mail address are to be deleted"))


class OwnPassword(forms.Form):
    """Adds the member's own password to a form whose effect a borrowed phone must not have."""

    password = forms.CharField(
        label=_("Your password"), strip=False, widget=forms.PasswordInput(attrs=CURRENT_PASSWORD)
    )

    def __init__(self, *args: Any, account: Account, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.account = account

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        if not self.account.check_password(password):
            raise forms.ValidationError(_("That is not your password."), code="wrong_password")
        return password


class OwnAddressForm(OwnPassword, AddressForm):
    field_order = ["email", "password"]


class OwnLeaveForm(OwnPassword, LeaveForm):
    field_order = ["kept_name", "password", "sure"]


class InvitationForm(forms.Form):
    note = NameField(
        label=_("Who it is for"),
        required=False,
        help_text=_("Only keepers see this, until the invitation is used."),
    )
    person = forms.ModelChoiceField(
        label=_("A person of the records"),
        queryset=Person.objects.none(),
        required=False,
        empty_label=_("somebody new"),
        help_text=_("Joins the new sign-in to the finds this person already has."),
    )
    as_organiser = forms.BooleanField(label=_("as an organiser"), required=False)
    as_keeper = forms.BooleanField(label=_("as a keeper"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = people_to_invite()  # type: ignore[attr-defined]


class SocietyForm(forms.Form):
    """The society's settings; ``society_edit`` takes its cleaned data."""

    name = forms.CharField(label=_("Name of the society"), max_length=80)
    region_name = forms.CharField(
        label=_("Name of its region"),
        max_length=80,
        help_text=_("Given in place of a position for what must stay secret."),
    )
    welcome = FreeTextFormField(
        label=_("Words of welcome for guests"),
        max_length=4000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 5}),
    )
    season_start_month = forms.TypedChoiceField(
        label=_("Month in which the season starts"), coerce=int
    )
    earliest_year = forms.IntegerField(
        label=_("Earliest year of the records"),
        help_text=_("A find dated earlier is questioned, never refused."),
        min_value=1700,
        max_value=2200,
    )
    day_first = forms.BooleanField(label=_("Dates are written day first"), required=False)
    emergency_number = forms.CharField(
        label=_("Emergency number"),
        max_length=40,
        required=False,
        help_text=_("Stands first on the poisoning sheet. Enter numbers that you have checked."),
    )
    poison_centre_number = forms.CharField(
        label=_("Poison centre's number"), max_length=40, required=False
    )
    vet_number = forms.CharField(label=_("Number for animals"), max_length=40, required=False)
    numbers_checked_on = forms.DateField(
        label=_("Numbers last checked on"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    old_books_entered = forms.BooleanField(
        label=_("The old books are entered"),
        required=False,
        help_text=_("Until then a first for the society asks for no second referee."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["season_start_month"].choices = list(MONTHS.items())  # type: ignore[attr-defined]

    @staticmethod
    def initial_from(society: Society) -> dict[str, Any]:
        """Return the form's starting values."""
        return {name: getattr(society, name) for name in SocietyForm.base_fields}
