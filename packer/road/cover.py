"""The cheapest way to fill what is short at one stop from the offers there.

In: shortfalls (units wanted, and the lines that would do) and a market (offers by unit and by
kit, deliveries not yet paid, what is already paid for). Out: the cheapest purchases that fill as
much as money can, and what it cannot. Exact: every choice of kits and of suppliers that charge
delivery is tried, each filled greedily; where there are many, a CP-SAT model says the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import product

from ortools.sat.python import cp_model

MOST_TRIED = 10
"""Up to this many yes-or-no choices are tried one by one: at most 1024 fillings."""


@dataclass(frozen=True, slots=True)
class Short:
    """So many units are wanted of a role or a line; units of any of `lines` would do."""

    label: str
    lines: tuple[str, ...]
    units: int
    is_role: bool = False


@dataclass(frozen=True, slots=True)
class UnitOffer:
    """An offer of single units; `available` None means without end."""

    line: str
    supplier: str
    price_minor: int
    available: int | None = None


@dataclass(frozen=True, slots=True)
class KitOffer:
    """An offer of a whole kit, taken once or not at all; `brings` holds units by line."""

    kit: str
    supplier: str
    price_minor: int
    brings: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Market:
    """What a stop offers. `deliveries`: still to pay, by supplier. `paid`: units there already."""

    units: tuple[UnitOffer, ...] = ()
    kits: tuple[KitOffer, ...] = ()
    deliveries: Mapping[str, int] = field(default_factory=dict)
    paid: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Purchase:
    """Units (or one kit) taken from a supplier and what they cost together."""

    supplier: str
    target: str
    is_kit: bool
    units: int
    cost_minor: int


@dataclass(frozen=True, slots=True)
class Covering:
    """The cheapest cover: purchases, deliveries they bring on, and what no money can cover."""

    purchases: tuple[Purchase, ...] = ()
    deliveries: tuple[tuple[str, int], ...] = ()
    unmet: tuple[Short, ...] = ()

    @property
    def cost_minor(self) -> int:
        """Purchases and deliveries together."""
        bought = sum(purchase.cost_minor for purchase in self.purchases)
        return bought + sum(cost for _, cost in self.deliveries)


def cheapest_cover(shorts: tuple[Short, ...], market: Market) -> Covering:
    """The cheapest cover of as much as can be covered; ties by fewer purchases, then by name."""
    wanted = tuple(rest for short in shorts if (rest := _after_paid(short, market)).units > 0)
    if not wanted:
        return Covering()
    useful = _useful(wanted, market)
    coverable = {short.label: _coverable(short, useful) for short in wanted}
    unmet = tuple(
        Short(short.label, short.lines, short.units - coverable[short.label], short.is_role)
        for short in wanted
        if coverable[short.label] < short.units
    )
    fillings = _tried if _choices(useful) <= MOST_TRIED else _modelled
    best = fillings(wanted, coverable, useful)
    return Covering(best.purchases, best.deliveries, unmet)


def _after_paid(short: Short, market: Market) -> Short:
    paid = sum(market.paid.get(line, 0) for line in short.lines)
    return Short(short.label, short.lines, max(0, short.units - paid), short.is_role)


def _useful(wanted: tuple[Short, ...], market: Market) -> Market:
    """The part of a market that can serve what is wanted."""
    lines = {line for short in wanted for line in short.lines}
    units = tuple(offer for offer in market.units if offer.line in lines and offer.available != 0)
    kits = tuple(kit for kit in market.kits if any(line in lines for line, _ in kit.brings))
    suppliers = {offer.supplier for offer in units} | {kit.supplier for kit in kits}
    charged = {s: cost for s, cost in market.deliveries.items() if s in suppliers and cost > 0}
    return Market(units, kits, charged)


def _choices(market: Market) -> int:
    return len(market.kits) + len(market.deliveries)


def _coverable(short: Short, market: Market) -> int:
    """How many units all offers together bring, up to what is wanted."""
    brought = sum(_brought(short, kit) for kit in market.kits)
    for offer in market.units:
        if offer.line in short.lines:
            brought += short.units if offer.available is None else offer.available
    return min(short.units, brought)


def _brought(short: Short, kit: KitOffer) -> int:
    return sum(units for line, units in kit.brings if line in short.lines)


def _tried(wanted: tuple[Short, ...], coverable: Mapping[str, int], market: Market) -> Covering:
    found = [
        covering
        for kits, suppliers in _subsets(market)
        if (covering := _filled(wanted, coverable, market, kits, suppliers)) is not None
    ]
    return min(found, key=_rank)


def _rank(covering: Covering) -> tuple[int, int, list[tuple[str, str]]]:
    names = [(purchase.target, purchase.supplier) for purchase in covering.purchases]
    return (covering.cost_minor, len(covering.purchases), names)


def _subsets(market: Market) -> Iterator[tuple[tuple[KitOffer, ...], frozenset[str]]]:
    """Every choice of kits and of suppliers to pay delivery to."""
    charging = sorted(market.deliveries)
    for marks in product((False, True), repeat=_choices(market)):
        kits = tuple(kit for kit, taken in zip(market.kits, marks, strict=False) if taken)
        paid = frozenset(s for s, m in zip(charging, marks[len(market.kits) :], strict=True) if m)
        if all(kit.supplier in paid or kit.supplier not in market.deliveries for kit in kits):
            yield kits, paid


def _filled(
    wanted: tuple[Short, ...],
    coverable: Mapping[str, int],
    market: Market,
    kits: tuple[KitOffer, ...],
    suppliers: frozenset[str],
) -> Covering | None:
    """The cheapest filling with these kits from these suppliers; None if it falls short."""
    open_offers = sorted(
        (o for o in market.units if o.supplier in suppliers or o.supplier not in market.deliveries),
        key=lambda offer: (offer.price_minor, offer.line, offer.supplier),
    )
    purchases = [Purchase(kit.supplier, kit.kit, True, 1, kit.price_minor) for kit in kits]
    for short in wanted:
        missing = coverable[short.label] - sum(_brought(short, kit) for kit in kits)
        for offer in (o for o in open_offers if o.line in short.lines):
            if missing <= 0:
                break
            units = missing if offer.available is None else min(missing, offer.available)
            purchases.append(_bought(offer, units))
            missing -= units
        if missing > 0:
            return None
    return _with_deliveries(purchases, market)


def _bought(offer: UnitOffer, units: int) -> Purchase:
    return Purchase(offer.supplier, offer.line, False, units, units * offer.price_minor)


def _with_deliveries(purchases: list[Purchase], market: Market) -> Covering:
    suppliers = sorted({purchase.supplier for purchase in purchases} & market.deliveries.keys())
    ordered = tuple(sorted(purchases, key=lambda p: (p.target, p.supplier)))
    return Covering(ordered, tuple((s, market.deliveries[s]) for s in suppliers))


def _modelled(wanted: tuple[Short, ...], coverable: Mapping[str, int], market: Market) -> Covering:
    model = cp_model.CpModel()
    most = sum(coverable.values())
    paid = {s: model.new_bool_var(s) for s in market.deliveries}
    kits = [model.new_bool_var(kit.kit) for kit in market.kits]
    units = [
        model.new_int_var(0, most if o.available is None else min(most, o.available), o.line)
        for o in market.units
    ]
    for kit, taken in zip(market.kits, kits, strict=True):
        if kit.supplier in paid:
            model.add_implication(taken, paid[kit.supplier])
    for offer, taken in zip(market.units, units, strict=True):
        if offer.supplier in paid:
            model.add(taken <= most * paid[offer.supplier])
    for short in wanted:
        brought = [_brought(short, k) * taken for k, taken in zip(market.kits, kits, strict=True)]
        bought = [u for o, u in zip(market.units, units, strict=True) if o.line in short.lines]
        model.add(sum(brought) + sum(bought) >= coverable[short.label])
    model.minimize(
        sum(kit.price_minor * taken for kit, taken in zip(market.kits, kits, strict=True))
        + sum(offer.price_minor * taken for offer, taken in zip(market.units, units, strict=True))
        + sum(market.deliveries[supplier] * taken for supplier, taken in paid.items())
    )
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False
    status = solver.solve(model)
    if status != cp_model.OPTIMAL:
        raise RuntimeError(f"covering ended {solver.status_name(status)}")
    purchases = [
        Purchase(kit.supplier, kit.kit, True, 1, kit.price_minor)
        for kit, taken in zip(market.kits, kits, strict=True)
        if solver.value(taken)
    ] + [
        _bought(offer, solver.value(taken))
        for offer, taken in zip(market.units, units, strict=True)
        if solver.value(taken)
    ]
    return _with_deliveries(purchases, market)
