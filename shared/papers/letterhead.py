"""What stands at the top and foot of a paper, and its lines of money, as plain values handed to the templates."""

from dataclasses import dataclass
from decimal import Decimal
from itertools import accumulate


@dataclass(frozen=True, slots=True)
class Letterhead:
    """The sender as its papers name it. ``logo`` is a data address (``picture_uri``); ``footer`` holds short facts, four at most."""

    name: str
    strapline: str = ""
    address: tuple[str, ...] = ()
    footer: tuple[str, ...] = ()
    logo: str = ""

    @property
    def return_line(self) -> str:
        """The sender in one line above the address in the window."""
        return ", ".join((self.name, *self.address))


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One line of money: what, how the sum came about, quantity and rate as written, the amount."""

    what: str
    how: str = ""
    quantity: str = ""
    rate: str = ""
    amount: Decimal | None = None
    mark: str = ""


def with_carried(lines: tuple[PaperLine, ...]) -> list[tuple[PaperLine, Decimal]]:
    """Each line with the running sum after it, to be carried over where a page ends."""
    return list(zip(lines, accumulate(line.amount or Decimal(0) for line in lines), strict=True))
