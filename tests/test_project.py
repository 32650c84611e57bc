"""What the project declares: every package it imports, pinned as installed, and no address."""

import ast
import importlib.util
import re
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
PINS = (ROOT / ".constraints.txt").read_text(encoding="utf-8").splitlines()
OURS = {"packer", "api", "shared", "support", "workbook"}
# import name -> distribution, where they differ
DISTRIBUTIONS = {"PIL": "pillow", "zxingcpp": "zxing-cpp"}
# The benchmarks compare with these where they are there, and do without where they are not.
OPTIONAL = {"py3dbp", "packingsolver3d"}


def _names(requirements):
    return {canonicalize_name(Requirement(text).name) for text in requirements}


def _imported(*folders):
    files = (path for folder in folders for path in (ROOT / folder).rglob("*.py"))
    found = {name for path in files for name in _imports(path)}
    foreign = found - set(sys.stdlib_module_names) - OURS - OPTIONAL
    return {canonicalize_name(DISTRIBUTIONS.get(name, name)) for name in foreign}


def _imports(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module.split(".")[0]


def test_every_package_the_program_imports_is_declared():
    """A fresh machine has what pyproject.toml names and nothing else."""
    assert _imported("packer", "api", "shared", "demo") <= _names(PROJECT["dependencies"])


def test_every_package_the_tests_import_is_declared():
    """In the extra `tests`, or for the program itself."""
    extra = PROJECT["optional-dependencies"]["tests"]
    assert _imported("tests", ".ci") <= _names([*PROJECT["dependencies"], *extra])


def test_every_pin_is_exact_and_names_no_address():
    """`name==version`, for every platform alike."""
    lines = [line for line in PINS if not line.startswith("#")]
    assert [line for line in lines if not re.fullmatch(r"[a-z0-9.-]+==[\w.+]+", line)] == []


def test_everything_needed_is_pinned_as_it_is_installed_here():
    """Mend with: .venv/bin/python .ci/environment.py pins"""
    if Path(sys.prefix).resolve() != (ROOT / ".venv").resolve():
        pytest.skip("these tests run in another environment than .venv, which is not pinned")
    spec = importlib.util.spec_from_file_location("environment", ROOT / ".ci" / "environment.py")
    environment = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(environment)
    assert [line for line in environment.pins() if line not in PINS] == []


def test_the_licence_is_stated():
    """An SPDX name."""
    assert PROJECT["license"] == "MIT"
