"""What the licence of a draft could cover as well at the fee it has: Europe for Germany, Austria and Switzerland."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from billing.rates.examples import ALL_CLASSES
from billing.rates.fees import Fee
from billing.rates.steps import named
from billing.rates.working import wider_offers
from shoots.uses.intended import CLASS_BITS, class_bits, class_names
from shoots.uses.shipped import IN_FORCE


class Use(Protocol):
    """What is asked of a use here: its codes."""

    use_classes: Sequence[str]
    use_media: Sequence[str]
    use_territories: Sequence[str]


@dataclass(frozen=True, slots=True)
class WiderUse:
    """What a draft's licence could cover as well at the fee it has: ``of`` is classes, media or territories, ``items`` the uses it widens, from 0."""

    of: str
    items: tuple[int, ...]
    codes: tuple[str, ...]
    name: str
    instead: str

    @property
    def key(self) -> str:
        return f"{self.of}-{self.items[0]}"


def wider_by_fee(fee: Fee, uses: Sequence[Use]) -> tuple[WiderUse, ...]:
    """The wider uses that cost no more than the fee of these uses, in the order of its lines; none where a licence cannot name them."""
    found = []
    for offer in wider_offers(fee):
        wanted = {code for index in offer.items for code in getattr(uses[index], f"use_{offer.of}")}
        codes = granted_codes(offer.of, offer.codes)
        if codes:
            found.append(
                WiderUse(offer.of, offer.items, codes, named(offer.of, offer.codes), named(offer.of, sorted(wanted)))
            )
    return tuple(found)


def granted_codes(of: str, codes: Iterable[str]) -> tuple[str, ...]:
    """Codes of a rate card as a licence names them: all classes one by one; nothing where the trees in force lack one."""
    if of == "classes":
        return class_names(class_bits(CLASS_BITS if ALL_CLASSES in codes else codes))
    tree = getattr(IN_FORCE, of)
    return tuple(codes) if all(code in tree.nodes for code in codes) else ()
