"""On the road: what happens after the plan.

In: a trip, a plan, and what people report (weights off a scale, a missing case, a stamp at a
border, a tick on a packing list). Out: values that say what that means, refusals as findings, and
mended plans that the judge has passed. Pure functions; only `journal` touches a file.
"""
