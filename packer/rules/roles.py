"""Roles: what the show needs twice and has only once.

What comes in: roles, their needs and the stops. What goes out: warnings where the loss of one
object or case stops the show, which the plan cannot prevent.
"""

from __future__ import annotations

from collections.abc import Iterator

from packer.model.finding import Severity
from packer.model.trip import Gear, Stop
from packer.rules.catalogue import Found, rule
from packer.rules.scope import Scope, listed, plural


def _by_role(scope: Scope) -> dict[str, list[Gear]]:
    roles: dict[str, list[Gear]] = {}
    for line in scope.trip.gear:
        if line.role:
            roles.setdefault(line.role, []).append(line)
    return roles


def _units_at(stop: Stop, lines: list[Gear]) -> int:
    return sum(line.quantity for line in lines if stop.name in line.needed_at)


@rule("role-without-spare", "roles", Severity.WARNING)
def without_spare(scope: Scope) -> Iterator[Found]:
    """A role has no spare at a stop that needs it.

    What: Roles whose units needed at a stop are not more than Role needs, where the trip asks
        that it survives the loss of any one case; one finding for each role.
    Why: Airlines lose cases one at a time; without a spare the show cannot be saved by packing.
    Source: common practice, no published source: everything vital is carried twice.
    Fails: Role `playback` needs 1 and one laptop has it.
    Passes: Two laptops have it; or the trip says no to One case lost.
    Limits: Counts units, not whether the spare is set up.
    Decides: the production manager.
    """
    if not scope.trip.one_case_lost:
        return
    for role, lines in _by_role(scope).items():
        needs = max((line.role_needs or 0 for line in lines), default=0)
        units = {stop.name: _units_at(stop, lines) for stop in scope.trip.stops}
        bare = [stop for stop, count in units.items() if 0 < count <= needs]
        if bare:
            least = min(units[stop] for stop in bare)
            yield Found(
                f"Role {role}: found {plural(least, 'unit')} where {needs} "
                f"{'is' if needs == 1 else 'are'} needed, so there is no spare at {listed(bare)}.",
                lines[0].source.cell("role"),
                role,
                "Add a spare, or ask the stop for one.",
            )
