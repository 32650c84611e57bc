"""The hand-made plan that all tests of papers rest on is a legal plan with the costs it states."""

from packer.judge import judge


def test_the_judge_finds_nothing_wrong_with_the_sample_plan(trip, plan):
    """No breach, and the hand-computed costs and charges are the judge's."""
    verdict = judge(trip, plan)
    assert verdict.breaches == ()
    assert verdict.costs == plan.costs
    assert verdict.charges == plan.charges
