from datetime import date
from typing import Any

from django.db.models import Q, QuerySet
from django.urls import reverse

from clients.models import Client
from shared.dates import add_months
from shoots.brief.models import Shoot
from shoots.holdings.lanes import Held, client_chart, first_month, picture_chart, shoot_chart
from shoots.licences.availability import SellingOn, offers
from shoots.licences.models import Licence, LicencePicture, LicenceState
from shoots.licences.queries import (
    SHOWN_ON_A_PICTURE,
    STANDING,
    Holding,
    clashes_of,
    grant_of,
    holdings_on,
    home_country,
    licence_row,
    licence_rows,
    licences_in_rows,
    names_shown,
    selling_on_of,
    use_of,
    with_ends,
)
from shoots.licences.standing import Standing
from shoots.licences.wishes import CommonWish, Sale, common_wishes, sale_of
from shoots.licences.wording import clearance_in_words
from shoots.pictures.models import Picture
from shoots.pictures.queries import pictures_showing, subjects_of
from shoots.releases.clearance import clear
from shoots.releases.models import Release
from shoots.uses.intended import Use

# Lists


def licences_of(shoot: Shoot) -> QuerySet[Licence]:
    """The licences made with a shoot or granted on its pictures; the newest first."""
    rows = LicencePicture.objects.filter(picture__shoot=shoot)
    return licences_in_rows(Licence.objects.filter(Q(shoot=shoot) | Q(pk__in=rows.values("licence")))).order_by("-pk")


def licences_touched_by(release: Release, on: date) -> QuerySet[Licence]:
    """Licences not ended whose pictures show whom or what a release is about, offers and those still to be placed among them.

    What a withdrawal touches; the nearest end first.
    """
    shown = pictures_showing(release).order_by()
    placed = Q(pk__in=LicencePicture.objects.filter(picture__in=shown.values("pk")).values("licence"))
    unplaced = Q(is_placed=False, shoot__in=shown.values("shoot"), state__in=STANDING)
    alive = Licence.objects.filter(state__in=SHOWN_ON_A_PICTURE).filter(placed | unplaced)
    return with_ends(licences_in_rows(alive)).filter(ends__gt=on).order_by("ends", "pk")


def held_by(client: Client) -> QuerySet[Licence]:
    """What a client holds, held or is offered; declined and refunded ones left out. The last to end first."""
    found = Licence.objects.filter(licensee=client, state__in=SHOWN_ON_A_PICTURE)
    return with_ends(licences_in_rows(found)).order_by("-ends", "-pk")


# What pages ask


def picture_answer(picture: Picture, on: date) -> dict[str, Any]:
    """Who may use a picture, for what and until when; what may still be sold of it; what is cleared. A constant number of queries.

    Hand in a picture of ``with_people``.
    """
    holdings = holdings_on([picture])
    standing = [holding for holding in holdings if holding.licence.state != LicenceState.OFFERED]
    selling_on = selling_on_of(picture.shoot)
    sales = _sales(picture, standing, selling_on, on)
    names, subjects = names_shown([picture]), subjects_of([picture])[picture.pk]

    def verdict(use: Use, licensee: str) -> dict[str, str]:
        found = clear(use, licensee=licensee, people=subjects[0], properties=subjects[1])
        return {"verdict": found.verdict.value, "notes": clearance_in_words(found, names)}

    rows = []
    for holding in holdings:
        is_offer = holding.licence.state == LicenceState.OFFERED
        row = licence_row(holding.licence, on)
        row["cleared"] = verdict(use_of(holding.licence), holding.grant.licensee) if holding.grant.is_placed else None
        row["clashes"], row["free_on"] = clashes_of(holding.grant, standing) if is_offer else ([], None)
        rows.append(row)
    begin = reverse("grant_licence")
    urls = {sale.wish.key: f"{begin}?picture={picture.pk}&use={sale.wish.key}" for sale in sales}
    chart = picture_chart(
        f"Who may use {picture}, where and until when. The table below says the same.",
        on,
        held=[_held(holding, row["use"]) for holding, row in zip(holdings, rows, strict=True)],
        sales=sales,
        clashing={str(row["licence"].pk) for row in rows if row["clashes"]},
        grant_urls=urls,
    )
    wished = [
        {
            "sale": sale,
            "cleared": verdict(_use_of_wish(sale.wish, sale.shared_from or on), ""),
            "url": urls[sale.wish.key] + (f"&first={sale.shared_from}" if sale.shared_from else ""),
        }
        for sale in sales
    ]
    return {"rows": rows, "sales": wished, "chart": chart, "selling_on": selling_on}


def _sales(picture: Picture, standing: list[Holding], selling_on: SellingOn, on: date) -> list[Sale]:
    wishes = common_wishes(home_country(on))
    found = offers(
        [wish.starting(on) for wish in wishes],
        picture=str(picture.pk),
        grants=[holding.grant for holding in standing],
        selling_on=selling_on,
    )
    holders = {holding.grant.id: holding.licence.licensee.name for holding in standing}
    return [
        sale_of(wish, offer, on, selling_on=selling_on, holders=holders)
        for wish, offer in zip(wishes, found, strict=True)
    ]


def _use_of_wish(wish: CommonWish, first: date) -> Use:
    return Use(
        classes=wish.classes,
        media=wish.media,
        territories=wish.territories,
        use_from=first,
        use_until=add_months(first, wish.months),
    )


def _held(holding: Holding, use: str) -> Held:
    licence = holding.licence
    return Held(holding.grant, licence.licensee.name, use, reverse("licence_page", args=[licence.pk]))


def client_answer(client: Client, on: date) -> dict[str, Any]:
    """What a client may use: a row and a lane a licence, those that still stand first. A constant number of queries."""
    rows = licence_rows(held_by(client), on)
    standing = [row for row in rows if row["shown"].standing not in (Standing.ENDED, Standing.OFF)]
    held = [
        Held(
            grant_of(row["licence"], ()),
            _of_shoot(row["licence"]),
            row["use"],
            reverse("licence_page", args=[row["licence"].pk]),
        )
        for row in rows
        if row["shown"].standing is not Standing.ENDED or row["licence"].use_until > first_month(on)
    ]
    renewals = {
        str(row["licence"].pk): reverse("renew_licence", args=[row["licence"].pk])
        for row in rows
        if row["ends_soon"] and not row["licence"].is_renewed
    }
    title = f"What {client.name} may use, by licence. The table below says the same."
    return {
        "rows": rows,
        "standing": standing,
        "ending": [row for row in standing if str(row["licence"].pk) in renewals],
        "chart": client_chart(title, on, held=held, renewals=renewals),
    }


def shoot_answer(shoot: Shoot, on: date) -> dict[str, Any]:
    """Who holds which of a shoot's pictures, for what, where and until when: a row a licence, a lane each that shows in the chart's months."""
    rows = licence_rows(licences_of(shoot), on)
    held = [
        Held(
            grant_of(row["licence"], ()),
            row["licence"].licensee.name,
            f"{_count_of(row['licence'])}. {row['use']}",
            reverse("licence_page", args=[row["licence"].pk]),
        )
        for row in rows
    ]
    chart = shoot_chart(
        f"Who holds what of {shoot}, where and until when. The table below says the same.", on, held=held
    )
    return {"rows": rows, "chart": chart}


def _count_of(licence: Licence) -> str:
    count = licence.pictures_count or licence.pictures_agreed
    return f"{count} picture{'' if count == 1 else 's'}"


def _of_shoot(licence: Licence) -> str:
    count = licence.pictures_count or licence.pictures_agreed
    name = licence.shoot.title if licence.shoot else licence.number
    return f"{name}, {count} picture{'' if count == 1 else 's'}"
