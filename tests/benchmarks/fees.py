"""How quick fees are: many priced in one run, as a ratio to trying everything on the same inputs.

.venv/bin/python -m tests.benchmarks.fees --count 10000 --sample 100
"""

import argparse
import random
import time
from datetime import date

from billing.rates.fees import UNLIMITED, Exclusive, UseItem, usage_fee
from billing.rates.starting_card import STARTING_CARD
from tests.billing.rates.brute_force import brute_fee

MEDIA = ["web.own", "web.social", "web.email", "print.menu", "print.ad", "print.packaging", "press"]
PLACES = ["DE", "AT", "CH", "FR", "US", "BR", "JP"]


def draw_requests(count, seed=1):
    """Requests drawn by lot: 1 to 80 pictures, 1 to 6 items of one or two codes a tree."""
    chance = random.Random(seed)

    def some(codes):
        return frozenset(chance.sample(codes, chance.choice([1, 1, 2])))

    def item():
        return UseItem(
            some(["editorial", "advertising", "stock"]), some(MEDIA), some(PLACES), date(2027 + chance.randrange(2), chance.randint(1, 12), 1),
            chance.choice([None, *range(1, 61)]), chance.choice([UNLIMITED, 900, 5_001, 100_000]), chance.choice(list(Exclusive)),
            chance.choice([None, 6, 12]),
        )  # fmt: skip

    return [(chance.randint(1, 80), [item() for _ in range(chance.randint(1, 6))]) for _ in range(count)]


def compare(count, sample):
    """Seconds a fee of the product over all requests, over the sample alone, and of the brute force over the sample."""
    requests = draw_requests(count)
    started = time.process_time()
    fees = [usage_fee(STARTING_CARD, *request) for request in requests]
    all_of_them = time.process_time() - started
    started = time.process_time()
    for request in requests[:sample]:
        usage_fee(STARTING_CARD, *request)
    ours = time.process_time() - started
    started = time.process_time()
    for request, fee in zip(requests[:sample], fees, strict=False):
        if brute_fee(STARTING_CARD, *request) != (fee.total, fee.fee):
            raise AssertionError(f"{request}: {fee.total} is not the cheapest.")
    return all_of_them / count, ours / sample, (time.process_time() - started) / sample


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--sample", type=int, default=100)
    asked = parser.parse_args()
    each, ours, brute = compare(asked.count, asked.sample)
    print(f"{asked.count:,} fees: {each * 1000:.2f} ms each, {each * asked.count:.1f} s together")
    print(f"{asked.sample:,} of them: {ours / brute:.4f} of the brute force ({brute * 1000:.1f} ms each)")


if __name__ == "__main__":
    main()
