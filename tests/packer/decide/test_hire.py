"""What can be hired at a stop, and which offers no plan could want."""

from support.by_hand import MOOR, QUAY, price, thing, trip_of
from support.worked import eur

from packer.decide.hire import StopHire, grouped, most_covered, stop_hires
from packer.model.trip import Delivery, Gear, Offer


def hire_of(lines: list[Gear], *offers: Offer, **more: object) -> StopHire:
    """What can be hired at the one stop."""
    return stop_hires(trip_of(lines, [], offers=offers, **more))[0]


def test_each_stop_has_its_own_lines_and_offers() -> None:
    """What is needed at one stop only is hired there only; other offers are passed over."""
    lines = [thing("A"), thing("B", needed_at=("Moor",))]
    offers = (price("A", 100), price("A", 100, stop="Moor"), price("B", 200, stop="Moor"))
    quay, moor = stop_hires(trip_of(lines, [], stops=(QUAY, MOOR), offers=offers))
    assert (quay.lines, [o.offer for o in quay.units]) == ((0,), [0])
    assert (moor.lines, [o.offer for o in moor.units]) == ((1,), [2])


def test_units_to_be_had_are_capped_by_the_quantity() -> None:
    """Nine are offered, three are needed; two are two; none is no offer."""
    found = hire_of([thing("A", 3)], price("A", 1, available=9), price("A", 0, available=2),
                    price("A", 0, available=0))  # fmt: skip
    assert [(o.offer, o.most) for o in found.units] == [(0, 3), (1, 2)]


def test_a_dearer_offer_is_dropped_where_a_cheaper_one_never_ends() -> None:
    """The scarce cheap one stays, the endless one at 5.00 stays, 6.00 goes."""
    found = hire_of([thing("A", 3)], price("A", 600), price("A", 500), price("A", 100, available=1))
    assert [o.offer for o in found.offers_for(0)] == [2, 1]


def test_a_delivery_keeps_the_dearer_offer_of_another_supplier_alive() -> None:
    """5.00 and a delivery may be more than 6.00 without; within one supplier it is not."""
    delivery = (Delivery("Reed Hire", "Quay", eur(900)),)
    lines = [thing("A", 3)]
    kept = hire_of(lines, price("A", 500), price("A", 600, "house"), deliveries=delivery)
    assert len(kept.units) == 2
    assert kept.simple_price(0) is None
    dropped = hire_of(lines, price("A", 500), price("A", 600), deliveries=delivery)
    assert len(dropped.units) == 1


def test_a_price_is_simple_where_nothing_else_can_change_it() -> None:
    """One endless offer, no kit, no delivery; a delivery that costs nothing is none."""
    free = (Delivery("Reed Hire", "Quay", eur(0)),)
    assert hire_of([thing("A", 3)], price("A", 500), deliveries=free).simple_price(0) == 500
    kit = price("K", 100, is_kit=True)
    assert hire_of([thing("A", 3, kit="K")], price("A", 500), kit).simple_price(0) is None


def test_a_kit_covers_its_lines_needed_here_however_many_units() -> None:
    """Lines by row; one needed elsewhere is not among them; sold-out kits are no offer."""
    lines = [thing("A", 3, kit="K"), thing("B", kit="K", needed_at=()), thing("C", kit="K")]
    found = hire_of(lines, price("K", 100, is_kit=True),
                    price("K", 50, is_kit=True, available=0))  # fmt: skip
    assert [(kit.lines, kit.price_minor) for kit in found.kits] == [((0, 2), 100)]
    assert most_covered(found, 0) >= 3


def test_offers_together_reach_as_far_as_their_units() -> None:
    """One of the house and two of another are three; of what nobody offers, none."""
    found = hire_of([thing("A", 5), thing("B")], price("A", 0, "house", available=1),
                    price("A", 900, available=2))  # fmt: skip
    assert (most_covered(found, 0), most_covered(found, 1)) == (3, 0)


def test_rows_by_key_keep_their_order() -> None:
    """Odd and even."""
    assert grouped([3, 1, 2, 5, 4], lambda n: n % 2) == {1: (3, 1, 5), 0: (2, 4)}
