import uuid

from django.contrib import messages as notes
from django.core.paginator import Paginator
from django.http import FileResponse, HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from shared.access.doors import NOBODY, OWNER, door
from shared.links.queries import LinkKeyLost
from shared.outbox.actions import has_mail_server, mark_sent_by_hand, send_again, try_job_again
from shared.outbox.letters import full_text
from shared.outbox.models import Job, Message
from shared.outbox.queries import messages_newest_first, messages_waiting_for_you, parked_jobs

A_PAGE = 50


@door(reads=OWNER)
def message_list(request: HttpRequest) -> HttpResponseBase:
    """Every message: those that wait for you first in the sentence, all of them below, newest first."""
    page = Paginator(messages_newest_first(), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "waiting": messages_waiting_for_you().count(),
        "jobs": parked_jobs(),
        "has_mail": has_mail_server(),
    }
    return render(request, "shared/outbox/message_list.html", context)


@door(reads=OWNER)
def message_page(request: HttpRequest, pk: uuid.UUID) -> HttpResponseBase:
    """One message as it reads, with its private link filled in."""
    message = get_object_or_404(messages_newest_first(), pk=pk)
    try:
        text, lost = full_text(message), None
    except LinkKeyLost as refusal:
        text, lost = message.body, refusal
    context = {"message": message, "text": text, "refusal": lost, "has_mail": has_mail_server()}
    return render(request, "shared/outbox/message_page.html", context)


@door(reads=OWNER)
def message_paper(request: HttpRequest, pk: uuid.UUID, file: uuid.UUID) -> HttpResponseBase:
    """A paper that goes with a message."""
    stored = get_object_or_404(get_object_or_404(Message, pk=pk).attachments, pk=file)
    return FileResponse(stored.path.open("rb"), content_type=stored.media_type, filename=stored.name)


@door(reads=NOBODY, writes=OWNER)
def send_message_again(request: HttpRequest, pk: uuid.UUID) -> HttpResponseBase:
    message = get_object_or_404(Message, pk=pk)
    send_again(message, at=timezone.now())
    notes.success(request, f"The message to {message.to} waits to be sent.")
    return redirect("message_page", pk=pk)


@door(reads=NOBODY, writes=OWNER)
def mark_message_sent(request: HttpRequest, pk: uuid.UUID) -> HttpResponseBase:
    message = get_object_or_404(Message, pk=pk)
    mark_sent_by_hand(message, at=timezone.now())
    notes.success(request, f"Marked: you sent the message to {message.to} yourself.")
    return redirect("message_page", pk=pk)


@door(reads=NOBODY, writes=OWNER)
def take_up_job(request: HttpRequest, pk: uuid.UUID) -> HttpResponseBase:
    try_job_again(get_object_or_404(Job, pk=pk), at=timezone.now())
    notes.success(request, "The work is tried again within a minute.")
    return redirect("message_list")
