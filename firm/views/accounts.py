"""Pages for logging in and out, for passwords and for coming in by invitation."""

import logging
from typing import Any, cast

from django.contrib import messages
from django.contrib.auth import login as open_session
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth import views as auth_views
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from firm import clock
from firm.access import StaffRequest, needs, public
from firm.actions.accounts import (
    InvitationOver,
    ask_for_new_password,
    come_in,
    set_password,
)
from firm.forms.accounts import (
    ComeInForm,
    ForgottenForm,
    LoginForm,
    NewPasswordForm,
    PasswordChangeForm,
)
from firm.permissions import Permission
from firm.queries.people import invitation_by_key, is_open
from firm.queries.setup import is_set_up

logger = logging.getLogger(__name__)

BACKEND = "django.contrib.auth.backends.ModelBackend"
KEY_IN_SESSION = "invitation key"
FORM_METHODS = ["GET", "HEAD", "POST"]


class LoginPage(auth_views.LoginView):
    """The login page; a firm that is not set up is sent to its first run."""

    template_name = "firm/login.html"
    authentication_form = LoginForm
    redirect_authenticated_user = True

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> Any:
        """The first run while nobody owns the firm, else the login page."""
        if not is_set_up():
            return redirect("first-run")
        return super().dispatch(request, *args, **kwargs)

    def form_valid(self, form: Any) -> HttpResponse:
        """The page after logging in, and a line in the log."""
        logger.info("logged in: person %s", form.get_user().pk)
        return super().form_valid(form)

    def form_invalid(self, form: Any) -> HttpResponse:
        """The login page again, and a line in the log that holds no password."""
        # repr keeps a line break in the address from making a second line.
        logger.warning("login refused: %r", self.request.POST.get("username", "")[:254])
        return super().form_invalid(form)


class LogoutPage(auth_views.LogoutView):
    """Ends the session on the server; only a form does that."""


login = public(require_http_methods(FORM_METHODS)(LoginPage.as_view()))
logout = needs(Permission.SEE_HOME)(require_POST(LogoutPage.as_view()))


@needs(Permission.SEE_HOME)
@sensitive_post_parameters()
@never_cache
@require_http_methods(FORM_METHODS)
def password_change(request: StaffRequest) -> HttpResponse:
    """The form for a new password; every other session of the person ends."""
    form = PasswordChangeForm(
        request.user, request.POST if request.method == "POST" else None
    )
    if request.method == "POST" and form.is_valid():
        person = set_password(
            person=request.user,
            password=form.cleaned_data["new_password1"],
            by=request.user,
            now=clock.now(),
        )
        update_session_auth_hash(request, person)
        messages.success(
            request,
            _("Your password was changed. You were logged out everywhere else."),
        )
        return redirect("home")
    return render(request, "firm/password_change.html", {"form": form})


@public
@never_cache
@require_http_methods(FORM_METHODS)
def password_forgotten(request: HttpRequest) -> HttpResponse:
    """The form that asks for a link; the answer is the same for any address."""
    form = ForgottenForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        ask_for_new_password(email=form.cleaned_data["email"], now=clock.now())
        return redirect("password-asked")
    return render(request, "firm/password_forgotten.html", {"form": form})


@public
@require_safe
def password_asked(request: HttpRequest) -> HttpResponse:
    """What happens after a link was asked for."""
    return render(request, "firm/password_asked.html")


@method_decorator(sensitive_post_parameters(), name="dispatch")
class NewPasswordPage(auth_views.PasswordResetConfirmView):
    """The form behind the link in the letter; the link works once and for a day."""

    template_name = "firm/password_new.html"
    form_class = NewPasswordForm  # type: ignore[assignment]

    def get_user(self, uidb64: str) -> Any:
        """The person of the link, unless switched off since."""
        person = super().get_user(uidb64)
        return person if person is not None and person.is_active else None

    def form_valid(self, form: Any) -> HttpResponse:
        """The login page, with the new password kept."""
        set_password(
            person=cast(Any, self.user),
            password=form.cleaned_data["new_password1"],
            by=None,
            now=clock.now(),
        )
        del self.request.session[auth_views.INTERNAL_RESET_SESSION_TOKEN]
        messages.success(
            self.request, _("Your new password was kept. Log in with it now.")
        )
        return redirect("login")

    def render_to_response(self, context: dict[str, Any], **kwargs: Any) -> Any:
        """The page; a link that no longer works is gone for good."""
        if not context["validlink"]:
            kwargs["status"] = 410
        response = super().render_to_response(context, **kwargs)
        # Not no-referrer: then browsers send the form with no origin, and the check
        # against forged forms refuses it. Other places learn no address either way.
        response["Referrer-Policy"] = "same-origin"
        return response


password_new = public(require_http_methods(FORM_METHODS)(NewPasswordPage.as_view()))


@public
@never_cache
@require_safe
def invitation(request: HttpRequest, key: str) -> HttpResponseBase:
    """Takes the key out of the address into the session and goes to the form."""
    found = invitation_by_key(key=key)
    if found is None:
        raise Http404
    if not is_open(invitation=found, now=clock.now()):
        return _over(request, "")
    request.session[KEY_IN_SESSION] = key
    response = redirect("come-in")
    response["Referrer-Policy"] = "no-referrer"
    return response


def _over(request: HttpRequest, why: str) -> HttpResponse:
    """The kind page for an invitation that no longer works."""
    request.session.pop(KEY_IN_SESSION, None)
    return render(request, "firm/invitation_over.html", {"why": why}, status=410)


@public
@sensitive_post_parameters()
@never_cache
@require_http_methods(FORM_METHODS)
def come_in_page(request: HttpRequest) -> HttpResponseBase:
    """The invited person's form: own name, own password, and in."""
    key = str(request.session.get(KEY_IN_SESSION, ""))
    found = invitation_by_key(key=key)
    if found is None:
        raise Http404
    now = clock.now()
    if not is_open(invitation=found, now=now):
        return _over(request, "")
    form = ComeInForm(found, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            person = come_in(
                key=key,
                name=form.cleaned_data["name"],
                password=form.cleaned_data["new_password1"],
                now=now,
            )
        except InvitationOver as over:
            return _over(request, str(over))
        request.session.pop(KEY_IN_SESSION, None)
        open_session(request, person, backend=BACKEND)
        messages.success(
            request, _("Welcome, %(name)s. You are logged in.") % {"name": person.name}
        )
        return cast(HttpResponseBase, redirect("home"))
    return render(request, "firm/come_in.html", {"form": form, "invitation": found})
