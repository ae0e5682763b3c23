"""A cutting plan: which pieces to saw from which bar so that the fewest bars are bought.

    plan        the bars, each as the pieces sawn from it

The plan is never worse than the best of first-fit-decreasing, and it is proven the least for up to MOST_KINDS
different lengths. A lower bound comes from the linear relaxation over cutting patterns, solved
in exact fractions; a plan that meets it is the best there is, and where the relaxation's own rounding does not meet
it, a search over the patterns that waste no more than can be wasted decides.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final, NamedTuple

MOST_KINDS: Final = 12
TAPE: Final = 64
"""Lengths on a 64th of an inch are whole numbers to the search; any others are taken to GRAIN of an inch."""

GRAIN: Final = 10**9
SLACK: Final = 1000
"""Grains a full bar may run over, so that nine pieces of 26 2/3 in come out of 240 in."""

MOST_ROUNDS: Final = 400
PRICING_EFFORT: Final = 50_000
ROUNDING_EFFORT: Final = 5_000
SEARCH_EFFORT: Final = 50_000

Pattern = tuple[int, ...]
"""How many of each kind come from one bar; kinds in falling order of length."""


def plan(pieces: Sequence[tuple[float, int]], stock: float, kerf: float = 0.0) -> list[list[float]]:
    """The bars to saw, each a list of lengths, longest first.

    pieces: (length, count), no length over the stock; stock, kerf: in the same unit as the lengths
    """
    counted: dict[float, int] = {}
    for length, count in pieces:
        counted[length] = counted.get(length, 0) + count
    lengths = sorted((length for length, count in counted.items() if count), reverse=True)
    demand = tuple(counted[length] for length in lengths)
    sizes, capacity = whole_sizes(lengths, stock, kerf)
    patterns = fewest(sizes, demand, capacity)
    bars = [
        [length for length, times in zip(lengths, pattern, strict=True) for _ in range(times)]
        for pattern in patterns
    ]
    return sorted(bars, reverse=True)


def whole_sizes(lengths: Sequence[float], stock: float, kerf: float) -> tuple[list[int], int]:
    """Each piece with its cut, and the bar with the cut that its last piece does not need, as whole numbers."""
    whole = [length + kerf for length in lengths]
    if all(abs(size * TAPE - round(size * TAPE)) < 1e-9 for size in (*whole, stock + kerf)):
        return [round(size * TAPE) for size in whole], round((stock + kerf) * TAPE)
    return [round(size * GRAIN) for size in whole], round((stock + kerf) * GRAIN) + SLACK


def fits(lengths: Sequence[float], stock: float, kerf: float) -> bool:
    """Whether every length comes out of one bar."""
    sizes, capacity = whole_sizes(lengths, stock, kerf)
    return max(sizes, default=0) <= capacity


def first_fit_decreasing(sizes: Sequence[int], demand: Sequence[int], capacity: int) -> list[Pattern]:
    """The longest pieces first, each into the first bar with room for it."""
    room: list[int] = []
    bars: list[list[int]] = []
    for kind, size in enumerate(sizes):
        left, start = demand[kind], 0
        while left:
            place = next((n for n in range(start, len(room)) if room[n] >= size), len(room))
            if place == len(room):
                room.append(capacity)
                bars.append([0] * len(sizes))
            times = min(left, room[place] // size)
            bars[place][kind] += times
            room[place] -= times * size
            left, start = left - times, place + 1
    return [tuple(bar) for bar in bars]


class Prices(NamedTuple):
    """A price for each kind under which no bar can hold more than `bar`; both whole numbers."""

    each: tuple[int, ...]
    bar: int

    def of(self, pattern: Sequence[int]) -> int:
        return sum(price * times for price, times in zip(self.each, pattern, strict=True))

    def least_bars(self, demand: Sequence[int]) -> int:
        return -(-self.of(demand) // self.bar)


def fewest(sizes: Sequence[int], demand: Pattern, capacity: int) -> list[Pattern]:
    """As few patterns as meet the demand; sizes fall strictly and none is over the capacity."""
    best = first_fit_decreasing(sizes, demand, capacity)
    by_length = Prices(tuple(sizes), capacity)
    if not best or len(best) == by_length.least_bars(demand):
        return best
    by_worth, shares = relaxation(sizes, demand, capacity)
    prices = (by_worth, by_length)
    least = max(each.least_bars(demand) for each in prices)
    if len(best) == least:
        return best
    # The relaxation's whole bars leave little to search; what is left decides whether the bound can be met.
    rounded = [pattern for pattern, share in shares.items() for _ in range(math.floor(share))]
    left = tuple(wanted - sum(taken) for wanted, *taken in zip(demand, *rounded, strict=True))
    rest = Search(sizes, capacity, prices, ROUNDING_EFFORT).within(left, least - len(rounded))
    if rest is not None:
        return rounded + rest
    effort = None if len(sizes) <= MOST_KINDS else SEARCH_EFFORT
    for bars in range(least, len(best)):
        found = Search(sizes, capacity, prices, effort).within(demand, bars)
        if found is not None:
            return found
    return best


def relaxation(
    sizes: Sequence[int], demand: Pattern, capacity: int
) -> tuple[Prices, dict[Pattern, Fraction]]:
    """The prices that prove the highest bound on the bars, by linear programming over patterns, and how often the
    relaxation uses each pattern.

    Everything is an exact fraction, so what the prices prove holds.
    """
    kinds = range(len(sizes))
    basis = [tuple(min(capacity // sizes[i], demand[i]) if i == j else 0 for j in kinds) for i in kinds]
    used = [Fraction(demand[i], basis[i][i]) for i in kinds]
    best, proven = Prices(tuple(sizes), capacity), Fraction(0)
    for _ in range(MOST_ROUNDS):
        dual = _solve([list(map(Fraction, pattern)) for pattern in basis], [Fraction(1) for _ in kinds])
        scale = math.lcm(*(price.denominator for price in dual))
        each = tuple(max(int(price * scale), 0) for price in dual)
        pattern, worth, most = dearest(sizes, demand, capacity, each)
        prices = Prices(each, most)
        bound = Fraction(prices.of(demand), most)
        if bound > proven:
            best, proven = prices, bound
        if worth <= scale:
            break
        columns = [[Fraction(basis[j][i]) for j in kinds] for i in kinds]
        change = _solve(columns, [Fraction(times) for times in pattern])
        out = min((i for i in kinds if change[i] > 0), key=lambda i: used[i] / change[i])
        step = used[out] / change[out]
        used = [share - step * moved for share, moved in zip(used, change, strict=True)]
        used[out], basis[out] = step, pattern
    shares: dict[Pattern, Fraction] = {}
    for pattern, share in zip(basis, used, strict=True):
        shares[pattern] = shares.get(pattern, Fraction(0)) + share
    return best, shares


def dearest(
    sizes: Sequence[int], demand: Pattern, capacity: int, prices: Sequence[int]
) -> tuple[Pattern, int, int]:
    """The pattern worth most at these prices, its worth, and a worth that none exceeds: the same, unless the search
    for it grew too long."""
    order = sorted(
        (i for i in range(len(sizes)) if prices[i]), key=lambda i: Fraction(prices[i], sizes[i]), reverse=True
    )
    best_worth, best, taken, steps = 0, [0] * len(sizes), [0] * len(sizes), 0

    def walk(place: int, room: int, worth: int) -> None:
        nonlocal best_worth, best, steps
        steps += 1
        if worth > best_worth:
            best_worth, best = worth, taken.copy()
        if place == len(order) or steps > PRICING_EFFORT:
            return
        kind = order[place]
        for times in range(min(demand[kind], room // sizes[kind]), -1, -1):
            after, made = room - times * sizes[kind], worth + times * prices[kind]
            most = made
            if place + 1 < len(order):
                following = order[place + 1]
                most += after * prices[following] // sizes[following]
            if most <= best_worth:
                break
            taken[kind] = times
            walk(place + 1, after, made)
        taken[kind] = 0

    walk(0, capacity, 0)
    if steps <= PRICING_EFFORT:
        return tuple(best), best_worth, best_worth
    return tuple(best), best_worth, capacity * prices[order[0]] // sizes[order[0]]


def _solve(rows: list[list[Fraction]], right: list[Fraction]) -> list[Fraction]:
    """The x with rows·x = right; the rows are independent."""
    size = len(rows)
    rows = [[*row, value] for row, value in zip(rows, right, strict=True)]
    for i in range(size):
        pivot = next(n for n in range(i, size) if rows[n][i])
        rows[i], rows[pivot] = rows[pivot], rows[i]
        first = rows[i][i]
        rows[i] = [value / first for value in rows[i]]
        for n in range(size):
            if n != i and rows[n][i]:
                times = rows[n][i]
                rows[n] = [a - times * b for a, b in zip(rows[n], rows[i], strict=True)]
    return [row[size] for row in rows]


class Search:
    """Whether a demand comes out of so many bars: bars filled one by one, the longest piece left always in the next.

    prices: under each, what a bar may hold less than its worth is bounded by what all the bars have to spare
    effort: how many bars to fill before giving up, None for never
    """

    def __init__(
        self, sizes: Sequence[int], capacity: int, prices: Sequence[Prices], effort: int | None
    ) -> None:
        self.sizes, self.capacity, self.prices, self.effort = sizes, capacity, prices, effort
        self.filled = 0
        self.failed: set[tuple[Pattern, int]] = set()

    def within(self, demand: Pattern, bars: int) -> list[Pattern] | None:
        """The patterns, or None when it cannot be done or the effort is spent."""
        if not any(demand):
            return []
        spare = [bars * each.bar - each.of(demand) for each in self.prices]
        if min(spare) < 0 or (demand, bars) in self.failed:
            return None
        tried: set[Pattern] = set()
        # First the bars that take no more than their share of what may be spared: few, and mostly enough.
        for limit in ([room // bars for room in spare], spare):
            for pattern in self.fillings(demand, limit):
                if pattern in tried:
                    continue
                tried.add(pattern)
                self.filled += 1
                if self.effort is not None and self.filled > self.effort:
                    return None
                left = tuple(wanted - times for wanted, times in zip(demand, pattern, strict=True))
                rest = self.within(left, bars - 1)
                if rest is not None:
                    return [pattern, *rest]
        self.failed.add((demand, bars))
        return None

    def fillings(self, demand: Pattern, spare: Sequence[int]) -> Iterator[Pattern]:
        """Every way to fill one bar that holds the longest piece left, has no room for a further piece and spares no
        more than `spare` under each of the prices; long pieces first."""
        longest = next(kind for kind, times in enumerate(demand) if times)
        taken = [0] * len(demand)
        least = [each.bar - room for each, room in zip(self.prices, spare, strict=True)]
        behind = [self._worth_behind(each.each, demand) for each in self.prices]

        def walk(kind: int, room: int, worth: list[int], shortest_left: int) -> Iterator[Pattern]:
            for so_far, wanted, ahead in zip(worth, least, behind, strict=True):
                everything, best = ahead[kind]
                if so_far + min(everything, math.floor(room * best)) < wanted:
                    return
            if kind == len(demand):
                if shortest_left > room:
                    yield tuple(taken)
                return
            size = self.sizes[kind]
            for times in range(min(demand[kind], room // size), 0 if kind == longest else -1, -1):
                taken[kind] = times
                made = [
                    before + times * each.each[kind] for before, each in zip(worth, self.prices, strict=True)
                ]
                yield from walk(
                    kind + 1, room - times * size, made, size if times < demand[kind] else shortest_left
                )
            taken[kind] = 0

        yield from walk(longest, self.capacity, [0] * len(self.prices), self.capacity + 1)

    def _worth_behind(self, each: Sequence[int], demand: Pattern) -> list[tuple[int, Fraction]]:
        """From each kind on: the worth of everything left, and the best worth of a unit of length."""
        ahead = [(0, Fraction(0))]
        for kind in range(len(demand) - 1, -1, -1):
            everything, best = ahead[-1]
            if demand[kind]:
                best = max(best, Fraction(each[kind], self.sizes[kind]))
            ahead.append((everything + demand[kind] * each[kind], best))
        return ahead[::-1]
