"""The papers of a plan: tables as data, rendered as workbooks, PDFs, pictures and page fragments.

In come a `Trip` and a judged `Plan`; out go files, each whole or not at all. Row functions are
in `packer.papers.tables`, drawings in `packer.papers.drawing`; the API's pages use both.
"""

from packer.papers.files import PapersError, write_whole
from packer.papers.writing import KINDS, Papers, write_papers

__all__ = ["KINDS", "Papers", "PapersError", "write_papers", "write_whole"]
