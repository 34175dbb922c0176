"""A form sent twice counts once."""

import uuid
from functools import wraps
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponseBase, HttpResponseRedirect
from django.utils import timezone

from shared.access.doors import View
from shared.access.models import Submission


def once(view: View) -> View:
    """For views that make something: a second press of the same form gets the first answer and makes nothing.

    The form carries a key (``{% once %}``). The key and what the view makes are written in one transaction, so a press
    that comes while the first is at work waits for it. Only an answer that leads on (a redirect) is remembered; a form
    shown again with its errors, or a refusal, frees the key. A form without a key is not guarded.
    """

    @wraps(view)
    def first_time_only(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        key = _key_of(request)
        if key is None:
            return view(request, *args, **kwargs)
        user = request.user if request.user.is_authenticated else None
        with transaction.atomic():
            sent, is_first = Submission.objects.get_or_create(key=key, defaults={"user": user, "at": timezone.now()})
            if not is_first:
                return _answer_again(request, sent)
            response = view(request, *args, **kwargs)
            if response.status_code in (302, 303):
                Submission.objects.filter(pk=key).update(answer_url=response["Location"][:400])
            elif not transaction.get_rollback():
                sent.delete()
        return response

    return first_time_only


def _key_of(request: HttpRequest) -> uuid.UUID | None:
    if request.method != "POST":
        return None
    try:
        return uuid.UUID(request.POST.get("once", ""))
    except ValueError:
        return None


def _answer_again(request: HttpRequest, sent: Submission) -> HttpResponseBase:
    user_id = request.user.pk if request.user.is_authenticated else None
    if sent.user_id != user_id or not sent.answer_url:
        messages.info(request, "This form was sent before. Nothing was done twice. Check below what is saved.")
        return HttpResponseRedirect(request.path)
    return HttpResponseRedirect(sent.answer_url)
