"""README.md agrees with the code: columns, commands, exit codes; and what it points to exists."""

import importlib.util
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def readme():
    """The program that writes the parts, loaded by its path."""
    spec = importlib.util.spec_from_file_location("readme", ROOT / ".ci" / "readme.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_written_parts_are_current(readme):
    """Mend with: .venv/bin/python .ci/readme.py"""
    assert readme.renewed(TEXT) == TEXT


def test_a_changed_part_is_noticed(readme):
    """The comparison above can fail."""
    spoiled = TEXT.replace("**Quantity**", "**Number**")
    assert spoiled != TEXT
    assert readme.renewed(spoiled) == TEXT


@pytest.mark.parametrize("target", re.findall(r"\]\(([^)#]+)\)", TEXT))
def test_links_lead_to_files(target):
    """Pictures and pages that the README shows are in the repository."""
    assert (ROOT / target).exists()
