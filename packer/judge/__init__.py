"""The independent check of any plan, also one made by hand.

In: a `Trip` and a `Plan`. Out: a `Verdict`: every breach, and all costs and charges computed
afresh. This package imports the model and the shared tables and nothing else, so that it can
disagree with the solver.

Where to look: names and units `identity`, constraint 1 and 2 `weights`, 3 and 5 `contents`,
4 `space`, 6 `roles`, 7 `carry` and `batteries`, fly or hire `coverage`; money in `charges`,
`hire` and `freight`; the plan's stated figures in `figures`; all of it together in `check`.
"""

from packer.judge.check import judge, settle
from packer.judge.verdict import BREACHES, Breach, StopCost, Verdict

__all__ = ["BREACHES", "Breach", "StopCost", "Verdict", "judge", "settle"]
