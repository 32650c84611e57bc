"""Holdall's core: a trip workbook comes in, a judged plan and its papers go out.

Data flows one way::

    workbook -> trip -> findings -> decide -> pack -> judge -> papers

`packer` stands on `shared` (reference tables) and knows nothing of `api`.
"""

__version__ = "1.0.0"
