"""The packing core: does this set of boxes fit this case, and where.

In: inside sizes and `Item`s, in mm. Out: `Fit`, with a `Place` for each item on YES, and a proof
behind each NO. `Fitter` is the front door; `pack_kernel` is its compiled heart for callers that
are compiled themselves; `arrange` improves a packing for the people who do it.
"""

from packer.geometry.fitter import Fitter
from packer.geometry.items import Fit, Item, Place, Verdict
from packer.geometry.kernel import ANY, FIXED, UPRIGHT, pack_kernel

__all__ = [
    "ANY",
    "FIXED",
    "UPRIGHT",
    "Fit",
    "Fitter",
    "Item",
    "Place",
    "Verdict",
    "pack_kernel",
]
