"""Forms of the members room."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.utils.dates import MONTHS
from django.utils.translation import gettext_lazy as _

from society.members.models import Account, MailChoice, Person, Society


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
    name = forms.CharField(
        label=_("Your name"), max_length=80, help_text=_("As it should stand under your finds.")
    )
    email = forms.EmailField(
        label=_("Mail address"),
        help_text=_("You sign in with it. Other members do not see it."),
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )
    password = forms.CharField(
        label=_("Password"),
        help_text=_("At least 10 characters; a few unrelated words make a good one."),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def __init__(self, *args: Any, person: Person | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if person is not None:
            del self.fields["name"]


class PersonForm(forms.Form):
    name = forms.CharField(label=_("Name"), max_length=80)
    initials = forms.CharField(label=_("Initials"), max_length=8, required=False)


class MailForm(forms.Form):
    choice = forms.ChoiceField(
        label=_("Notices by mail"), choices=MailChoice.choices, widget=forms.RadioSelect
    )


class RolesForm(forms.ModelForm):
    class Meta:
        model = Account
        fields = ["is_active", "is_organiser", "is_keeper"]


class LeaveForm(forms.Form):
    kept_name = forms.CharField(
        label=_("Name under which the records stay"),
        max_length=80,
        help_text=_("It may be the same name, initials, or something like 'a former member'."),
    )
    sure = forms.BooleanField(label=_("The sign-in and the mail address are to be deleted"))


class InvitationForm(forms.Form):
    note = forms.CharField(
        label=_("Who it is for"),
        max_length=80,
        required=False,
        help_text=_("Only keepers see this."),
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
        self.fields["person"].queryset = (  # type: ignore[attr-defined]
            Person.objects.present().filter(account=None).by_name()
        )


class SocietyForm(forms.Form):
    """The society's settings; ``society_edit`` takes its cleaned data."""

    name = forms.CharField(label=_("Name of the society"), max_length=80)
    region_name = forms.CharField(
        label=_("Name of its region"),
        max_length=80,
        help_text=_("Given in place of a position for what must stay secret."),
    )
    welcome = forms.CharField(
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
        """Return the form's starting values; the welcome as written."""
        values = {name: getattr(society, name) for name in SocietyForm.base_fields}
        return {**values, "welcome": society.welcome.raw if society.welcome else ""}
