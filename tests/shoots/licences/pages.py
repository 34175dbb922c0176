from django.urls import reverse

from shoots.licences.actions import draft_licence, keep_licence_paper
from tests.factories import licences as make
from tests.house.pages import Deed, Page, Panel, Paper


def _paid(rows):
    return make.paid_at_once(rows)[0]


def _listed(rows):
    make.paid_at_once(rows)
    return reverse("licences")


def _shoot(rows):
    shoot = make.free_shoot()
    for _ in range(max(rows, 1)):
        make.picture_of(shoot)
    return shoot


def _page(rows):
    shoot = _shoot(rows)
    licence = make.placed(shoot, on=list(shoot.pictures.all()))
    return reverse("licence_page", args=[licence.pk])


def _kept_paper(rows):
    paper = keep_licence_paper(_paid(rows), at=make.AT)
    return reverse("kept_licence_paper", args=[paper.licence_id, paper.version])


def _place(rows):
    return reverse("place_licence", args=[make.agreed(_shoot(rows)).pk])


def _draft():
    return draft_licence(**make.terms([make.picture_of()]), at=make.AT)


PAGES = {
    "licences": Page(_listed, lists=True),
    "grant_licence": Page(lambda rows: f"{reverse('grant_licence')}?shoot={_shoot(rows).pk}", lists=True),
    "grant_check": Panel(lambda rows: f"{reverse('grant_check')}?shoot={_shoot(rows).pk}"),
    "licence_page": Page(_page, lists=True),
    "licence_paper": Paper(lambda rows: reverse("licence_paper", args=[_paid(rows).pk])),
    "kept_licence_paper": Paper(_kept_paper),
    "licence_terms": Paper(lambda rows: reverse("licence_terms"), seen_by="stranger"),
    "licence_term": Paper(lambda rows: reverse("licence_term", args=["media/web.own"]), seen_by="stranger"),
    "licence_odrl": Paper(lambda rows: reverse("licence_odrl", args=[_paid(rows).pk])),
    "send_licence": Deed(lambda rows: reverse("send_licence", args=[_paid(rows).pk])),
    "place_licence": Page(_place, lists=True),
    "accept_licence": Deed(lambda rows: reverse("accept_licence", args=[make.offered().pk])),
    "offer_draft": Deed(lambda rows: reverse("offer_draft", args=[_draft().pk])),
    "discard_draft": Deed(lambda rows: reverse("discard_draft", args=[_draft().pk])),
}
