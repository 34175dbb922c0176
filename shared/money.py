"""Sums of money: an exact decimal with its currency, and the one function that rounds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction

# ISO 4217 minor units that differ from two. From memory.
MINOR_UNITS = {
    "JPY": 0,
    "KRW": 0,
    "ISK": 0,
    "CLP": 0,
    "VND": 0,
    "XAF": 0,
    "XOF": 0,
    "BHD": 3,
    "KWD": 3,
    "TND": 3,
    "JOD": 3,
    "OMR": 3,
}
ZERO = Decimal(0)


class InvalidMoney(ValueError):
    """A sum that cannot be a sum of money: a float, a fraction of a cent, or no currency."""


class CurrencyMix(ValueError):
    """Two sums in different currencies were added or compared."""


class InvalidShare(ValueError):
    """A sum cannot be shared by these weights."""


def minor_units(currency: str) -> int:
    """How many decimals an amount in ``currency`` has: 2 for EUR, 0 for JPY."""
    return MINOR_UNITS.get(currency, 2)


def round_money(amount: Decimal, currency: str = "EUR") -> Decimal:
    """``amount`` to the currency's smallest coin, half a coin away from zero: 2.665 is 2.67, -2.665 is -2.67.

    The only rounding of money in the house, with its twin for fractions. A credit therefore mirrors its invoice to the cent.
    """
    if not isinstance(amount, Decimal):
        raise InvalidMoney("An amount of money is an exact decimal, never a binary fraction.")
    return amount.quantize(Decimal(1).scaleb(-minor_units(currency)), rounding=ROUND_HALF_UP) + ZERO


def round_exact(value: Fraction, currency: str = "EUR") -> Decimal:
    """An exact fraction rounded as ``round_money`` rounds, with no decimal in between that could stand on the wrong side of half a coin."""
    places = minor_units(currency)
    coins = (abs(value) * 10**places * 2 + 1) // 2
    return Decimal(coins if value >= 0 else -coins).scaleb(-places) + ZERO


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in the currency's coins. Refuses floats, fractions of a coin and other currencies."""

    amount: Decimal
    currency: str

    def __post_init__(self) -> None:
        if not isinstance(self.amount, Decimal) or not self.amount.is_finite():
            raise InvalidMoney("An amount of money is an exact decimal, never a binary fraction.")
        if (
            len(self.currency) != 3
            or not self.currency.isascii()
            or not self.currency.isalpha()
            or not self.currency.isupper()
        ):
            raise InvalidMoney("A currency is three capital letters, for example EUR.")
        rounded = round_money(self.amount, self.currency)
        if rounded != self.amount:
            raise InvalidMoney(f"{self.amount} {self.currency} has a fraction of the smallest coin. Round it first.")
        object.__setattr__(self, "amount", rounded)

    def __add__(self, other: Money) -> Money:
        return Money(self.amount + self._same(other), self.currency)

    def __sub__(self, other: Money) -> Money:
        return Money(self.amount - self._same(other), self.currency)

    def __neg__(self) -> Money:
        return Money(-self.amount, self.currency)

    def __lt__(self, other: Money) -> bool:
        return self.amount < self._same(other)

    def __le__(self, other: Money) -> bool:
        return self.amount <= self._same(other)

    def __gt__(self, other: Money) -> bool:
        return self.amount > self._same(other)

    def __ge__(self, other: Money) -> bool:
        return self.amount >= self._same(other)

    def __bool__(self) -> bool:
        return bool(self.amount)

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"

    def times(self, factor: Decimal | int) -> Money:
        """This sum times ``factor``, rounded once."""
        return Money(round_money(self.amount * factor, self.currency), self.currency)

    def percent(self, percent: Decimal) -> Money:
        """``percent`` per cent of this sum, rounded once."""
        return Money(round_money(self.amount * percent / 100, self.currency), self.currency)

    def _same(self, other: Money) -> Decimal:
        if self.currency != other.currency:
            raise CurrencyMix(f"{self} and {other} are in different currencies. Convert one of them first.")
        return other.amount


def total(sums: Iterable[Money], currency: str) -> Money:
    """The sum of ``sums``; nothing at all is zero in ``currency``."""
    result = Money(ZERO, currency)
    for each in sums:
        result = result + each
    return result


def share(whole: Money, weights: Sequence[Decimal]) -> tuple[Money, ...]:
    """``whole`` split in proportion to ``weights`` (percentages, or any figures), to the coin and without loss.

    Each part is cut down to whole coins; the coins left over go one each to the parts that lost most,
    the earlier part first where two lost the same. A negative whole mirrors its positive twin.
    Raises InvalidShare when a weight is negative or all are zero.
    """
    weight_sum = sum(weights, ZERO)
    if not weights or weight_sum <= 0 or any(weight < 0 for weight in weights):
        raise InvalidShare("A sum is shared by weights of 0 or more, at least one of them above 0.")
    coin = Decimal(1).scaleb(-minor_units(whole.currency))
    coins = int(abs(whole.amount) / coin)
    exact = [coins * weight / weight_sum for weight in weights]
    parts = [int(each.to_integral_value(rounding=ROUND_FLOOR)) for each in exact]
    by_loss = sorted(range(len(parts)), key=lambda index: (parts[index] - exact[index], index))
    for index in by_loss[: coins - sum(parts)]:
        parts[index] += 1
    sign = -1 if whole.amount < 0 else 1
    return tuple(Money(sign * part * coin, whole.currency) for part in parts)
