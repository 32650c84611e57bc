"""The packing core: does this set of boxes fit this case, and where.

In: inside sizes and `Item`s, in mm. Out: `Fit`, with a `Place` for each item on YES, and a proof
behind each NO. `Fitter` is the front door; `pack_kernel` is its compiled heart for callers that
are compiled themselves; `arrange` improves a packing for the people who do it; `max_count` bounds
how many identical things a case holds; `PartlyPacked` fills a case one thing at a time;
`pack_bins` packs many boxes into few identical bins.
"""

from packer.geometry.arranging import ARRANGE_EFFORT, Arrangement, arrange
from packer.geometry.bins import BinPacking, pack_bins
from packer.geometry.choosing import warm_up as warm_up_choosing
from packer.geometry.counting import Count, max_count
from packer.geometry.fitter import Fitter
from packer.geometry.items import Fit, Item, Place, Verdict
from packer.geometry.kernel import ANY, FIXED, UPRIGHT, pack_kernel
from packer.geometry.knapsack import best_fillings
from packer.geometry.partly import PartlyPacked
from packer.geometry.spaces import as_ints

__all__ = [
    "ANY",
    "ARRANGE_EFFORT",
    "FIXED",
    "UPRIGHT",
    "Arrangement",
    "BinPacking",
    "Count",
    "Fit",
    "Fitter",
    "Item",
    "PartlyPacked",
    "Place",
    "Verdict",
    "arrange",
    "max_count",
    "pack_bins",
    "pack_kernel",
    "warm_up",
]


def warm_up() -> None:
    """Compile the kernels, or load them from the cache: some seconds once, else under one."""
    fitter = Fitter(1)
    flat = [Item((4, 4, 2), weight_g=2), Item((4, 4, 2), fragile=True, weight_g=1)]
    fit = fitter.decide((5, 5, 6), flat, deterministic_limit=0)
    fitter.bound((5, 5, 6), [flat[0]] * 3)
    PartlyPacked((5, 5, 5), 1).add(flat[0])
    max_count((5, 5, 6), flat[0], 1)
    one = as_ints([1])
    best_fillings(one, one, one, one, one, 1)
    warm_up_choosing()
    if fit.places is not None:
        arrange((5, 5, 6), flat, 1, fit.places, effort=1)
