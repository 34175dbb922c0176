import hashlib
import json
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from clients.models import Client
from shared.business.queries import current_business, today
from shared.evidence.actions import conceal, record_evidence
from shared.numbers.actions import take_number
from shared.states import move
from shoots.brief.models import Exclusivity, IntendedUse, Shoot
from shoots.licences.models import Licence, LicenceState
from shoots.licences.states import LICENCE_MOVES
from shoots.uses import intended
from shoots.uses.sentences import LicenceWords, licence_sentences
from shoots.uses.shipped import SHIPPED

USE_FIELDS = ("is_own_promotion", "use_classes", "use_media", "use_territories", "use_months", "exclusivity", "exclusive_months", "use_copies")


@transaction.atomic
def agree_licence(
    *,
    shoot: Shoot,
    licensee: Client,
    billing_party: Client,
    use: IntendedUse,
    pictures_agreed: int,
    begins: str,
    begins_on: date | None,
    lapse_days: int,
    fee_net: Decimal,
    currency: str,
    origin: str,
    at: datetime,
    accepted_by: str,
    order_number: str = "",
    language: str = "en",
    supersedes: Licence | None = None,
) -> Licence:
    """A licence the client has accepted before there are pictures: it is *unplaced* and covers nothing yet.

    ``use`` has the fields of ``IntendedUse`` (an option, a shoot). The words, codes and trees are frozen with their SHA-256.
    ``supersedes``: the licence this one takes the place of; it ends today.
    """
    on = today(at)
    values: dict[str, Any] = {name: getattr(use, name) for name in USE_FIELDS}
    sentences = licence_sentences(
        LicenceWords(
            licensee=licensee.name,
            classes=frozenset(values["use_classes"]),
            media=frozenset(values["use_media"]),
            territories=frozenset(values["use_territories"]),
            months=values["use_months"],
            begins=intended.Begins(begins),
            begins_on=begins_on,
            lapse_days=lapse_days,
            exclusivity=intended.Exclusivity(values["exclusivity"]),
            exclusive_months=values["exclusive_months"],
            trade=licensee.trade or None,
            copies=values["use_copies"],
            picture_count=pictures_agreed,
            licensor=current_business(on).name,
        ),
        language,
    )
    frozen = {"language": language, "sentences": list(sentences), "on": on.isoformat(), "trees": [SHIPPED.media.version, SHIPPED.territories.version]}
    licence = Licence.objects.create(
        number=take_number("licence", on=on),
        shoot=shoot,
        licensee=licensee,
        billing_party=billing_party,
        trade=licensee.trade if values["exclusivity"] != Exclusivity.NONE else "",
        state=LicenceState.ACCEPTED,
        pictures_agreed=pictures_agreed,
        begins=begins,
        begins_on=begins_on,
        lapse_days=lapse_days,
        fee_net=fee_net,
        currency=currency,
        order_number=order_number,
        tree_version=SHIPPED.media.version,
        frozen=frozen,
        frozen_sha256=hashlib.sha256(json.dumps(frozen, sort_keys=True, ensure_ascii=False).encode()).hexdigest(),
        supersedes=supersedes,
        origin=origin,
        made_at=at,
        accepted_at=at,
        accepted_by=accepted_by,
        **values,
    )
    if supersedes is not None:
        supersede_licence(supersedes, cut_on=on, at=at)
    record_evidence(
        "accepted",
        subject=f"licence:{licence.pk}",
        payload={"number": licence.number, "origin": origin, "words": licence.frozen_sha256, "by": conceal(accepted_by)},
        at=at,
    )
    return licence


@transaction.atomic
def supersede_licence(licence: Licence, *, cut_on: date, at: datetime) -> None:
    """Another licence takes the place of this one, which covers and blocks up to the day before ``cut_on``."""
    move(licence, LicenceState.SUPERSEDED, moves=LICENCE_MOVES, noun="licence", cut_on=cut_on)
    record_evidence("superseded", subject=f"licence:{licence.pk}", payload={"number": licence.number, "cut_on": cut_on.isoformat()}, at=at)
