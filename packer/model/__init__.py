"""The frozen values that every stage takes and returns: trip, plan, finding, outcome.

Nothing in here reads a clock or a network, or a file (but for `plan_json`, which knows plan.json),
and nothing in here decides anything.
All quantities are integers with the unit in the name: `weight_g`, `length_mm`, `cost_minor`
(minor units of the trip currency). There are no floats after reading.
"""
