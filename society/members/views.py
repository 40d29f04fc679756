"""Signing in, joining, one's own page, and the keepers' pages of people and settings."""

from collections.abc import Mapping
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login, logout
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView, PasswordChangeView, PasswordResetConfirmView
from django.core.exceptions import PermissionDenied, ValidationError
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse, reverse_lazy
from django.utils import timezone
from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from society.core.errors import Refused
from society.core.forms import refusal_shown
from society.core.paging import page_of, querystring_without_page
from society.core.throttle import address_of
from society.members import services
from society.members.forms import (
    AddressForm,
    InvitationForm,
    JoinForm,
    LeaveForm,
    MailForm,
    NewPasswordForm,
    OwnAddressForm,
    OwnLeaveForm,
    OwnPasswordForm,
    PersonForm,
    ResetForm,
    RolesForm,
    SigninForm,
    SocietyForm,
)
from society.members.models import Account, Invitation, Person
from society.members.permissions import Viewer, may_keep
from society.members.queries import invitation_by_token, people_listed, society_settings, viewer_of

Forms = dict[str, BaseForm]


def keeper_of(request: HttpRequest) -> Viewer:
    """Return the viewer, who is a keeper; anybody else is answered 403."""
    viewer = viewer_of(request.user)
    if not may_keep(viewer):
        raise PermissionDenied
    return viewer


@method_decorator([login_not_required, never_cache], name="dispatch")
class Signin(LoginView):
    template_name = "members/signin.html"
    authentication_form = SigninForm
    redirect_authenticated_user = True

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        email = request.POST.get("username", "")
        if not services.signin_is_throttled(email=email, address=address_of(request)):
            return super().post(request, *args, **kwargs)
        minutes = settings.SIGNIN_WINDOW_MINUTES
        context = self.get_context_data(
            form=SigninForm(request, initial={"username": email}), wait_minutes=minutes
        )
        answer = render(request, self.template_name, context, status=429)
        answer["Retry-After"] = str(minutes * 60)
        return answer

    def form_valid(self, form: Any) -> HttpResponse:
        email = form.cleaned_data["username"]
        services.signin_tries_forget(email=email, address=address_of(self.request))
        return super().form_valid(form)


@login_not_required
@never_cache
@sensitive_post_parameters("password")
def join(request: HttpRequest, token: str) -> HttpResponse:
    invitation = invitation_by_token(token)
    if invitation is None or not invitation.is_open(timezone.now()):
        return render(request, "members/join_closed.html", status=410)
    form = JoinForm(_posted(request), person=invitation.person)
    if form.is_valid():
        try:
            account = services.account_join(token=token, **{"name": "", **form.cleaned_data})
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            login(request, account)
            messages.success(request, _("Welcome. You can post finds now."))
            return redirect("/")
    return render(request, "members/join.html", {"form": form, "invitation": invitation})


@never_cache
@sensitive_post_parameters("password")
def me(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of(request.user)
    account = get_object_or_404(Account.objects.select_related("person"), pk=viewer.account_id)
    forms = _forms_of_me(request, account)
    which = _changed(viewer, account.person, account, forms)
    if which == "leave":
        logout(request)
        messages.success(request, _("You have left. Your records stay under the name you chose."))
        return redirect("/")
    if which:
        messages.success(request, _("Kept."))
        return redirect("members:me")
    return render(request, "members/me.html", {"forms": forms, "account": account})


@method_decorator(never_cache, name="dispatch")
class PasswordChange(PasswordChangeView):
    template_name = "members/password_change.html"
    form_class = OwnPasswordForm
    success_url = reverse_lazy("members:me")

    def form_valid(self, form: Any) -> HttpResponse:
        messages.success(self.request, _("Your password is changed."))
        return super().form_valid(form)


@login_not_required
@never_cache
def password_reset(request: HttpRequest) -> HttpResponse:
    """Ask for a link by mail. The answer is the same whether or not the address is known."""
    form = ResetForm(_posted(request))
    if form.is_valid():
        email = form.cleaned_data["email"]
        services.password_mail_ask(email=email, address=address_of(request))
        return redirect("members:password_reset_sent")
    return render(request, "members/password_reset.html", {"form": form})


@login_not_required
@never_cache
def password_reset_sent(request: HttpRequest) -> HttpResponse:
    return render(request, "members/password_reset_sent.html")


@method_decorator([login_not_required, never_cache], name="dispatch")
class PasswordResetConfirm(PasswordResetConfirmView):
    template_name = "members/password_reset_confirm.html"
    form_class = NewPasswordForm
    success_url = reverse_lazy("members:signin")

    def form_valid(self, form: Any) -> HttpResponse:
        services.signin_tries_forget(email=form.user.email, address=address_of(self.request))
        messages.success(self.request, _("Your new password is kept. Sign in with it."))
        return super().form_valid(form)


@never_cache
def keeper(request: HttpRequest) -> HttpResponse:
    keeper_of(request)
    return render(request, "members/keeper.html")


@never_cache
def people(request: HttpRequest) -> HttpResponse:
    viewer = keeper_of(request)
    form = PersonForm(_posted(request, "add"))
    if form.is_valid():
        try:
            services.person_add(by=viewer, **form.cleaned_data)
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            messages.success(request, _("Added."))
            return redirect("members:people")
    query = request.GET.get("q", "").strip()[:80]
    context = {
        "form": form,
        "q": query,
        "page_obj": page_of(request, people_listed(query)),
        "querystring": querystring_without_page(request),
    }
    return render(request, "members/people.html", context)


@never_cache
def person(request: HttpRequest, person_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    shown = get_object_or_404(Person, pk=person_id)
    account = Account.objects.filter(person=shown).first()
    forms = _forms_of_person(request, shown, account)
    if _changed(viewer, shown, account, forms):
        messages.success(request, _("Kept."))
        return redirect("members:person", person_id=shown.pk)
    context = {"person": shown, "account": account, "forms": forms}
    return render(request, "members/person.html", context)


@never_cache
def invitations(request: HttpRequest) -> HttpResponse:
    viewer = keeper_of(request)
    form = InvitationForm(_posted(request, "make"), initial={"person": request.GET.get("person")})
    link = ""
    if form.is_valid():
        data = dict(form.cleaned_data)
        person = data.pop("person")
        try:
            _made, token = services.invitation_make(
                by=viewer, person_id=person.pk if person else None, **data
            )
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            link = request.build_absolute_uri(reverse("members:join", args=[token]))
            form = InvitationForm()
    made = page_of(request, Invitation.objects.select_related("made_by", "person"))
    context = {"form": form, "link": link, "page_obj": made, "now": timezone.now()}
    return render(request, "members/invitations.html", context)


@require_POST
def invitation_revoke(request: HttpRequest, invitation_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    get_object_or_404(Invitation, pk=invitation_id)
    try:
        services.invitation_revoke(invitation_id, by=viewer)
    except Refused as error:
        messages.error(request, str(error.message))
    else:
        messages.success(request, _("The invitation is revoked."))
    return redirect("members:invitations")


@never_cache
def society(request: HttpRequest) -> HttpResponse:
    viewer = keeper_of(request)
    form = SocietyForm(_posted(request), initial=SocietyForm.initial_from(society_settings()))
    if form.is_valid():
        try:
            services.society_edit(form.cleaned_data, by=viewer)
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            messages.success(request, _("Kept."))
            return redirect("members:society")
    return render(request, "members/society.html", {"form": form})


def _posted(request: HttpRequest, which: str = "") -> Any:
    """Return what was posted to the form called ``which`` (of the page's only one), else None."""
    is_it = request.method == "POST" and request.POST.get("which", "") == which
    return request.POST if is_it else None


def _forms_of_person(request: HttpRequest, shown: Person, account: Account | None) -> Forms:
    name = {"name": shown.display_name, "initials": shown.initials}
    forms: Forms = {"person": PersonForm(_posted(request, "person"), initial=name)}
    if account is None:
        return forms
    roles = {role: getattr(account, role) for role in RolesForm.base_fields}
    email = {"email": account.email}
    kept = {"kept_name": shown.display_name}
    return forms | {
        "roles": RolesForm(_posted(request, "roles"), initial=roles),
        "address": AddressForm(_posted(request, "address"), initial=email),
        "leave": LeaveForm(_posted(request, "leave"), initial=kept),
    }


def _forms_of_me(request: HttpRequest, account: Account) -> Forms:
    person = account.person
    name = {"name": person.display_name, "initials": person.initials}
    email = {"email": account.email}
    kept = {"kept_name": person.display_name}
    return {
        "person": PersonForm(_posted(request, "person"), initial=name),
        "mail": MailForm(_posted(request, "mail"), initial={"choice": account.mail_choice}),
        "address": OwnAddressForm(_posted(request, "address"), account=account, initial=email),
        "leave": OwnLeaveForm(_posted(request, "leave"), account=account, initial=kept),
    }


def _changed(
    viewer: Viewer, person: Person, account: Account | None, forms: Mapping[str, BaseForm]
) -> str:
    """Do what the posted form of a person's page asks for; return which it was, '' for none."""
    which = next((name for name, form in forms.items() if form.is_bound), "")
    if not which or not forms[which].is_valid():
        return ""
    form = forms[which]
    data = form.cleaned_data
    try:
        if which == "person":
            services.person_edit(person.pk, by=viewer, **data)
        elif account is not None:
            _account_changed(which, account.pk, data, viewer)
    except (Refused, ValidationError) as error:
        refusal_shown(form, error)
        return ""
    return which


def _account_changed(which: str, account_id: int, data: Mapping[str, Any], by: Viewer) -> None:
    if which == "roles":
        services.roles_set(account_id, by=by, **data)
    elif which == "mail":
        services.mail_choice_set(account_id, choice=data["choice"], by=by)
    elif which == "address":
        services.address_set(account_id, email=data["email"], by=by)
    elif which == "leave":
        services.member_leave(account_id, kept_name=data["kept_name"], by=by)
