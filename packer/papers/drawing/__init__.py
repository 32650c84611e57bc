"""Drawings of cases and charts as scenes: the same shapes go to paper (PDF) and pages (SVG).

`case_scene` and `case_svg` draw a case with its contents numbered in packing order.
"""

from packer.papers.drawing.case import case_scene, case_svg

__all__ = ["case_scene", "case_svg"]
