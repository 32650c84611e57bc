"""Scenes as PDF pages: fonts for every script, right-to-left text, shaping, page layout.

In come scenes (`packer.papers.drawing.scene`) or sheets (`packer.papers.table`); out come the
bytes of a PDF file that needs no font on the reader's machine.
"""
