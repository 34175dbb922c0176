from typing import Any

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone, translation
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door, link_door
from shared.access.once import once
from shared.business.queries import today
from shared.errors import Refusal
from shared.evidence.queries import evidence_about
from shared.links.queries import shown_url
from shoots.brief.actions import leave_out_picture
from shoots.brief.models import AgreedPicture, Shoot
from shoots.delivery import actions, queries
from shoots.delivery.checklist import in_rows, why_not
from shoots.delivery.forms import DeliverForm, NewLinkForm, ReceivedForm
from shoots.delivery.models import Delivery
from shoots.delivery.naming import file_names
from shoots.delivery.papers import delivery_zip
from shoots.pictures.models import Picture
from shoots.releases.models import Release


def _by(request: HttpRequest) -> str:
    return request.user.get_full_name() or request.user.get_username()


def _checked(shoot: Shoot) -> dict[str, Any]:
    checklist = queries.checklist_of(shoot, today(timezone.now()))
    why = why_not(checklist)
    if not why and shoot.state not in {"shot", "delivered"}:
        why = "The shoot is not marked as shot yet."
    return {
        "shoot": shoot,
        "checklist": checklist,
        "lines": in_rows(checklist.lines),
        "why": why,
        "is_shot": shoot.state in {"shot", "delivered"},
        "licence": shoot.licences.filter(state__in=queries.STANDING).first(),
    }


# The studio


@door(reads=STUDIO, writes=STUDIO)
@once
def shoot_delivery(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot.objects.select_related("client", "licensee"), pk=shoot_pk)
    email, name = queries.address_for(shoot)
    form = DeliverForm(request.POST if request.method == "POST" else None, initial={"email": email, "name": name})
    if form.is_valid():
        deed = request.POST.get("do", "")
        ways = {"leave_out": deed == "leave_out", "only_ready": deed == "only_ready"}
        try:
            delivery = actions.deliver_pictures(shoot, **form.terms(), **ways, by=_by(request), at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"Delivery {delivery.number} is made. Its private link is below.")
            return redirect("delivery_page", delivery.pk)
    context = {**_checked(shoot), "form": form, "deliveries": queries.deliveries_of(shoot)}
    return render(request, "shoots/delivery/shoot_delivery.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO)
def release_deliveries_panel(request: HttpRequest, pk: int) -> HttpResponse:
    release = get_object_or_404(Release.objects.select_related("person", "kitchen"), pk=pk)
    found = queries.deliveries_touched_by(release, timezone.now())
    return render(request, "shoots/delivery/release_deliveries_panel.html", {"release": release, "deliveries": found})


@door(reads=STUDIO)
def shoot_delivery_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot.objects.select_related("client", "licensee"), pk=shoot_pk)
    context = {**_checked(shoot), "deliveries": queries.deliveries_of(shoot)}
    return render(request, "shoots/delivery/shoot_delivery_panel.html", context)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def leave_out_undelivered(request: HttpRequest, shoot_pk: int, pk: int) -> HttpResponse:
    picture = get_object_or_404(AgreedPicture, pk=pk, shoot=shoot_pk)
    leave_out_picture(picture)
    messages.success(request, f"{picture} is left out. It stays on the list of the shoot and can be wanted again.")
    return redirect("shoot_delivery", shoot_pk)


@door(reads=STUDIO)
def delivery_page(request: HttpRequest, pk: int) -> HttpResponse:
    delivery = get_object_or_404(queries.delivery_in_full(pk))
    link = queries.link_of(delivery)
    context = {
        "delivery": delivery,
        "shoot": delivery.shoot,
        "pictures": delivery.pictures.all(),
        "link": link,
        "url": shown_url(link),
        "size": queries.size_of(delivery),
        "evidence": evidence_about(f"delivery:{pk}"),
        "form": NewLinkForm(initial={"email": delivery.sent_to}),
    }
    return render(request, "shoots/delivery/delivery_page.html", context)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def send_delivery_link(request: HttpRequest, pk: int) -> HttpResponse:
    form = NewLinkForm(request.POST)
    if form.is_valid():
        actions.send_delivery_link(
            get_object_or_404(Delivery, pk=pk), email=form.cleaned_data["email"], at=timezone.now()
        )
        messages.success(request, "A new link is written. The earlier link opens nothing now.")
    else:
        messages.error(request, "No link was sent. " + " ".join(form.errors["email"]))
    return redirect("delivery_page", pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def call_back_delivery(request: HttpRequest, pk: int) -> HttpResponse:
    delivery = actions.call_back_delivery(get_object_or_404(Delivery, pk=pk), by=_by(request), at=timezone.now())
    messages.success(request, f"Delivery {delivery.number} is called back. Its link opens nothing now.")
    return redirect("delivery_page", pk)


# The client, by private link


def _linked(request: HttpRequest) -> Delivery:
    key = int(request.link.subject.partition(":")[2])  # type: ignore[attr-defined]
    return get_object_or_404(queries.delivery_in_full(key))


def _one_of(request: HttpRequest, pk: int) -> tuple[Delivery, Picture]:
    delivery = _linked(request)
    return delivery, get_object_or_404(delivery.pictures.select_related("original", "thumbnail", "preview"), pk=pk)


@link_door("delivery", lands=True)
def receive_delivery(request: HttpRequest, token: str) -> HttpResponse:
    delivery = _linked(request)
    language = delivery.shoot.client.language
    with translation.override(language):
        form = ReceivedForm(request.POST if request.method == "POST" else None)
        if form.is_valid():
            actions.receive_delivery(
                delivery,
                received_by=form.cleaned_data["name"],
                link=request.link,  # type: ignore[attr-defined]
                at=timezone.now(),
            )
            return redirect(request.path)
        context = {
            "delivery": delivery,
            "shoot": delivery.shoot,
            "pictures": delivery.pictures.all(),
            "size": queries.size_of(delivery),
            "licences": queries.licence_words_of(delivery, language),
            "form": form,
            "language": language,
            "token": token,
            "link": request.link,  # type: ignore[attr-defined]
        }
        return render(request, "shoots/delivery/receive_delivery.html", context, status=422 if form.is_bound else 200)


@link_door("delivery")
def delivered_archive(request: HttpRequest, token: str) -> StreamingHttpResponse:
    delivery = _linked(request)
    if not request.user.is_authenticated:
        actions.record_download(delivery, what="all", at=timezone.now())
    response = StreamingHttpResponse(delivery_zip(queries.entries_of(delivery)), content_type="application/zip")
    response["Content-Disposition"] = f'attachment; filename="{delivery.number}.zip"'
    return response


@link_door("delivery")
def delivered_picture(request: HttpRequest, token: str, pk: int) -> FileResponse:
    delivery, picture = _one_of(request, pk)
    if not request.user.is_authenticated:
        actions.record_download(delivery, what=picture.number, at=timezone.now())
    name = file_names([(picture.pk, picture.number, picture.original_name)])[picture.pk]
    stored = picture.original
    return FileResponse(stored.path.open("rb"), content_type=stored.media_type, filename=name, as_attachment=True)


@link_door("delivery")
def delivered_thumbnail(request: HttpRequest, token: str, pk: int) -> FileResponse:
    _delivery, picture = _one_of(request, pk)
    return FileResponse(picture.preview.path.open("rb"), content_type=picture.preview.media_type)
