"""Signing in, joining, one's own page, and the keepers' pages of people and settings."""

from typing import Any

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import (
    LoginView,
    PasswordChangeView,
    PasswordResetConfirmView,
    PasswordResetView,
)
from django.core.exceptions import PermissionDenied, ValidationError
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
from society.core.throttle import tries_counted, tries_forgotten
from society.members import services
from society.members.forms import (
    InvitationForm,
    JoinForm,
    LeaveForm,
    MailForm,
    PersonForm,
    RolesForm,
    SigninForm,
    SocietyForm,
)
from society.members.models import Account, Invitation, Person
from society.members.permissions import Viewer, may_keep
from society.members.queries import invitation_by_token, people_listed, society_settings, viewer_of


def keeper_of(request: HttpRequest) -> Viewer:
    """Return the viewer, who is a keeper; anybody else is answered 403."""
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    if not may_keep(viewer):
        raise PermissionDenied
    return viewer


@method_decorator([login_not_required, never_cache], name="dispatch")
class Signin(LoginView):
    template_name = "members/signin.html"
    authentication_form = SigninForm
    redirect_authenticated_user = True

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if services.signin_is_throttled(_who(request)):
            form = self.get_form_class()(request)
            context = self.get_context_data(form=form, is_throttled=True)
            return self.render_to_response(context, status=429)
        return super().post(request, *args, **kwargs)

    def form_valid(self, form: Any) -> HttpResponse:
        tries_forgotten("signin", _who(self.request))
        return super().form_valid(form)


def _who(request: HttpRequest) -> str:
    """Name a try by address and mail address together, so that neither alone locks others out."""
    email = request.POST.get("username", "").strip().casefold()
    return f"{request.META.get('REMOTE_ADDR', '')} {email}"


@login_not_required
@never_cache
@sensitive_post_parameters("password")
def join(request: HttpRequest, token: str) -> HttpResponse:
    invitation = invitation_by_token(token)
    if invitation is None or not invitation.is_open(timezone.now()):
        return render(request, "members/join_closed.html", status=410)
    form = JoinForm(request.POST or None, person=invitation.person)
    if request.method == "POST" and form.is_valid():
        name = form.cleaned_data.get("name", "")
        try:
            account = services.account_join(
                token=token,
                name=name,
                email=form.cleaned_data["email"],
                password=form.cleaned_data["password"],
            )
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            login(request, account)
            messages.success(request, _("Welcome. You can post finds now."))
            return redirect("/")
    return render(request, "members/join.html", {"form": form, "invitation": invitation})


@never_cache
def me(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    account = get_object_or_404(Account.objects.select_related("person"), pk=viewer.account_id)
    person = account.person
    which = request.POST.get("which")
    forms = {
        "person": PersonForm(
            request.POST if which == "person" else None,
            initial={"name": person.display_name, "initials": person.initials},
        ),
        "mail": MailForm(
            request.POST if which == "mail" else None, initial={"choice": account.mail_choice}
        ),
        "leave": LeaveForm(
            request.POST if which == "leave" else None, initial={"kept_name": person.display_name}
        ),
    }
    form = forms.get(which or "")
    if form is not None and form.is_valid() and _me_changed(viewer, which, form):
        messages.success(request, _("Kept."))
        return redirect("/" if which == "leave" else "members:me")
    return render(request, "members/me.html", {"forms": forms, "account": account})


def _me_changed(viewer: Viewer, which: str | None, form: Any) -> bool:
    assert viewer.person_id is not None and viewer.account_id is not None
    data = form.cleaned_data
    try:
        if which == "person":
            services.person_edit(viewer.person_id, by=viewer, **data)
        elif which == "mail":
            services.mail_choice_set(viewer.account_id, choice=data["choice"], by=viewer)
        else:
            services.member_leave(viewer.account_id, kept_name=data["kept_name"], by=viewer)
    except (Refused, ValidationError) as error:
        refusal_shown(form, error)
        return False
    return True


@method_decorator(never_cache, name="dispatch")
class PasswordChange(PasswordChangeView):
    template_name = "members/password_change.html"
    success_url = reverse_lazy("members:me")

    def form_valid(self, form: Any) -> HttpResponse:
        messages.success(self.request, _("Your password is changed."))
        return super().form_valid(form)


@method_decorator([login_not_required, never_cache], name="dispatch")
class PasswordReset(PasswordResetView):
    """Ask for a link by mail. The answer is the same whether or not the address is known."""

    template_name = "members/password_reset.html"
    email_template_name = "members/mail_password_reset.txt"
    subject_template_name = "members/mail_password_reset_subject.txt"
    success_url = reverse_lazy("members:password_reset_sent")

    def form_valid(self, form: Any) -> HttpResponse:
        who = self.request.META.get("REMOTE_ADDR", "")
        if tries_counted("reset", who, window_minutes=60) > 20:
            return redirect(self.success_url)
        self.extra_email_context = {"society": society_settings()}
        return super().form_valid(form)


@login_not_required
def password_reset_sent(request: HttpRequest) -> HttpResponse:
    return render(request, "members/password_reset_sent.html")


@method_decorator([login_not_required, never_cache], name="dispatch")
class PasswordResetConfirm(PasswordResetConfirmView):
    template_name = "members/password_reset_confirm.html"
    success_url = reverse_lazy("members:signin")

    def form_valid(self, form: Any) -> HttpResponse:
        messages.success(self.request, _("Your new password is kept. Sign in with it."))
        return super().form_valid(form)


@never_cache
def keeper(request: HttpRequest) -> HttpResponse:
    keeper_of(request)
    return render(request, "members/keeper.html")


@never_cache
def people(request: HttpRequest) -> HttpResponse:
    viewer = keeper_of(request)
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            services.person_add(by=viewer, **form.cleaned_data)
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            messages.success(request, _("Added."))
            return redirect("members:people")
    query = request.GET.get("q", "").strip()
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
    shown = get_object_or_404(Person.objects.select_related("account"), pk=person_id)
    account = Account.objects.filter(person=shown).first()
    which = request.POST.get("which")
    forms: dict[str, Any] = {
        "person": PersonForm(
            request.POST if which == "person" else None,
            initial={"name": shown.display_name, "initials": shown.initials},
        )
    }
    if account is not None:
        forms["roles"] = RolesForm(request.POST if which == "roles" else None, instance=account)
        forms["leave"] = LeaveForm(
            request.POST if which == "leave" else None, initial={"kept_name": shown.display_name}
        )
    form = forms.get(which or "")
    if form is not None and form.is_valid() and _person_changed(viewer, shown, which, form):
        messages.success(request, _("Kept."))
        return redirect("members:person", person_id=shown.pk)
    return render(
        request, "members/person.html", {"person": shown, "account": account, "forms": forms}
    )


def _person_changed(viewer: Viewer, person: Person, which: str | None, form: Any) -> bool:
    data = form.cleaned_data
    try:
        if which == "person":
            services.person_edit(person.pk, by=viewer, **data)
        elif which == "roles":
            services.roles_set(form.instance.pk, by=viewer, **data)
        else:
            account_id = Account.objects.get(person=person).pk
            services.member_leave(account_id, kept_name=data["kept_name"], by=viewer)
    except (Refused, ValidationError) as error:
        refusal_shown(form, error)
        return False
    return True


@never_cache
def invitations(request: HttpRequest) -> HttpResponse:
    viewer = keeper_of(request)
    form = InvitationForm(request.POST or None)
    link = ""
    if request.method == "POST" and form.is_valid():
        data = dict(form.cleaned_data)
        person = data.pop("person")
        try:
            _invitation, token = services.invitation_make(
                by=viewer, person_id=person.pk if person else None, **data
            )
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            link = request.build_absolute_uri(reverse("members:join", args=[token]))
            form = InvitationForm()
    made = Invitation.objects.select_related("made_by", "person")
    context = {
        "form": form,
        "link": link,
        "page_obj": page_of(request, made),
        "now": timezone.now(),
    }
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
    form = SocietyForm(request.POST or None, initial=SocietyForm.initial_from(society_settings()))
    if request.method == "POST" and form.is_valid():
        try:
            services.society_edit(form.cleaned_data, by=viewer)
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            messages.success(request, _("Kept."))
            return redirect("members:society")
    return render(request, "members/society.html", {"form": form})
