"""The owner's page of what goes out, and what may be done about it."""

import uuid

from django.contrib import messages as notices
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.messages import (
    AlreadySettled,
    CannotBeAddressed,
    NoWayOut,
    drop,
    queue_trial_letter,
    send_again,
)
from firm.enums import MessageState
from firm.permissions import Permission
from firm.queries.messages import message_of, messages_listed, outbox


@needs(Permission.RUN_FIRM)
@require_safe
def messages(request: StaffRequest) -> HttpResponse:
    """How the outbox stands, and its messages, newest first."""
    state = request.GET.get("state", "")
    if state not in MessageState.values:
        state = ""
    lines, page = messages_listed(state=state, page=request.GET.get("page", "1"))
    return render(
        request,
        "firm/messages.html",
        {
            "outbox": outbox(now=clock.now()),
            "lines": lines,
            "page": page,
            "state": MessageState(state) if state else None,
            "key": uuid.uuid4(),
        },
    )


@needs(Permission.RUN_FIRM)
@require_POST
def message_again(request: StaffRequest, pk: int) -> HttpResponse:
    """The message waits again; the page says so or why not."""
    message = message_of(pk=pk)
    if message is None:
        raise Http404
    try:
        send_again(message=message, by=request.user, now=clock.now())
    except (AlreadySettled, NoWayOut) as refusal:
        notices.error(request, str(refusal))
    else:
        notices.success(request, _("It waits again and goes out within seconds."))
    return redirect("messages")


@needs(Permission.RUN_FIRM)
@require_POST
def message_drop(request: StaffRequest, pk: int) -> HttpResponse:
    """The message is given up; the page says so or why not."""
    message = message_of(pk=pk)
    if message is None:
        raise Http404
    try:
        drop(message=message, by=request.user, now=clock.now())
    except AlreadySettled as refusal:
        notices.error(request, str(refusal))
    else:
        notices.success(request, _("It was dropped and will not go out."))
    return redirect("messages")


@needs(Permission.RUN_FIRM)
@require_POST
def messages_trial(request: StaffRequest) -> HttpResponse:
    """A trial letter to the person who asks; sent twice, the form makes one."""
    try:
        key = uuid.UUID(request.POST.get("key", ""))
    except ValueError:
        notices.error(request, _("The form was incomplete. Please try once more."))
        return redirect("messages")
    try:
        message = queue_trial_letter(key=key, by=request.user, now=clock.now())
    except CannotBeAddressed as refusal:
        notices.error(request, str(refusal))
    else:
        notices.success(
            request,
            _("A trial letter to %(address)s waits to go out.")
            % {"address": message.recipient},
        )
    return redirect("messages")
