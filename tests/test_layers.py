"""The shape of the repository: what may import what, what stands at the top, how long files are.

The layers are those of DEVELOPERS.md. Whoever needs an exception writes it into `EXCEPTIONS`
with the reason.
"""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent

# layer -> the layers it may know beside itself
LAYERS = {
    "shared": (),
    "packer.model": ("shared",),
    "packer.law": ("packer.model", "shared"),
    "packer.wishes": ("packer.model",),
    "packer.reading": ("packer.model", "shared"),
    "packer.rules": ("packer.model", "packer.law", "shared"),
    "packer.geometry": (),
    "packer.decide": ("packer.model", "packer.law", "packer.geometry"),
    "packer.judge": ("packer.model", "shared"),
    "packer.papers": ("packer.model", "packer.judge", "shared"),
    "packer.pipeline": (
        "packer.model",
        "packer.reading",
        "packer.rules",
        "packer.wishes",
        "packer.decide",
        "packer.judge",
        "packer.papers",
    ),
    "packer.what_if": ("packer.model", "packer.pipeline"),
    "packer.road": (
        "packer.model",
        "packer.law",
        "packer.geometry",
        "packer.judge",
        "packer.decide",
        "shared",
    ),
    "packer.next_trip": ("packer.model", "packer.reading", "packer.road"),
    "packer.cli": ("packer", "shared", "api"),
    "packer.__main__": ("packer.cli",),
    "api": ("packer", "shared"),
}

# (file, layer imported) -> why this one may
EXCEPTIONS = {
    (
        "packer/geometry/items.py",
        "packer.model",
    ): "the place it answers with is a value of the plan",
}

# layer -> the only packages from outside that it may import
OUTSIDE = {
    "shared": set(),
    "packer.model": set(),
    "packer.law": set(),
    "packer.wishes": set(),
    "packer.rules": set(),
    "packer.geometry": {"numpy", "numba", "ortools"},
    "packer.decide": {"highspy", "numpy", "numba", "ortools", "scipy"},
    "packer.judge": set(),
    "packer.pipeline": set(),
    "packer.cli": {"uvicorn", "starlette"},
}

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "packer",
    "api",
    "tests",
    "demo",
    "shared",
}

MOST_LINES = 400
# file -> why it is longer
LONG_FILES = {
    "packer/reading/schema.py": "one table, a line for each column of the workbook",
}


def _sources():
    return sorted(
        path for top in ("packer", "api", "shared") for path in (ROOT / top).rglob("*.py")
    )


def _module(path):
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _layer(module):
    """The longest layer name that the module lies under, or None."""
    under = [name for name in LAYERS if module == name or module.startswith(f"{name}.")]
    return max(under, key=len, default=None)


def _imports(path):
    """Every module that a file imports, at any depth, as dotted names."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import; the full name shows the layer"
            yield from (_full_name(node.module, alias.name) for alias in node.names)


def _full_name(module, name):
    """`from packer import law` imports a module; `from packer.law import x` a name in it."""
    inner = ROOT.joinpath(*module.split("."), name)
    return f"{module}.{name}" if inner.is_dir() or inner.with_suffix(".py").exists() else module


def _forbidden(path):
    own = _layer(_module(path))
    if own is None:
        return
    allowed = (own, *LAYERS[own])
    file = path.relative_to(ROOT).as_posix()
    for name in _imports(path):
        other = _layer(name)
        known = other is None or any(other == a or other.startswith(f"{a}.") for a in allowed)
        if not known and (file, other) not in EXCEPTIONS:
            yield f"{file} imports {name}"


def test_each_layer_imports_only_what_stands_below_it():
    """The table above holds for every import, late ones and those for types included."""
    assert [line for path in _sources() for line in _forbidden(path)] == []


def test_every_module_of_packer_lies_in_a_layer():
    """A new package gets its row in the table before it gets its first user."""
    homeless = [_module(path) for path in _sources() if _layer(_module(path)) is None]
    assert homeless == ["packer"]


def test_the_judge_shares_no_code_with_what_it_judges():
    """It would repeat the solver's mistakes if it did."""
    assert set(LAYERS["packer.judge"]) == {"packer.model", "shared"}
    assert not [file for file, _ in EXCEPTIONS if file.startswith("packer/judge/")]


@pytest.mark.parametrize("layer", OUTSIDE)
def test_the_core_uses_few_libraries(layer):
    """Heavy libraries stay where they are needed."""
    strangers = {
        name.split(".")[0]
        for path in _sources()
        if _layer(_module(path)) == layer
        for name in _imports(path)
    }
    strangers -= set(sys.stdlib_module_names) | {"packer", "shared", "api"}
    assert strangers <= OUTSIDE[layer]


def test_every_exception_is_still_needed():
    """An exception that nothing uses any more is taken out."""
    used = {
        (path.relative_to(ROOT).as_posix(), _layer(name))
        for path in _sources()
        for name in _imports(path)
    }
    assert set(EXCEPTIONS) <= used


def test_the_top_level_holds_only_what_it_should():
    """Whatever else the project needs stands in a folder or begins with a dot."""
    listed = subprocess.run(
        ["git", "ls-tree", "--name-only", "HEAD"], cwd=ROOT, capture_output=True, text=True
    )
    if listed.returncode:
        pytest.skip("not a git checkout, so built folders cannot be told from others")
    entries = set(listed.stdout.split("\n")) - {""}
    assert {entry for entry in entries if not entry.startswith(".")} == TOP_LEVEL


def test_files_stay_short():
    """At most 400 lines a file, unless a reason stands in the table."""
    everything = [*_sources(), *(ROOT / "tests").rglob("*.py"), *(ROOT / "demo").rglob("*.py")]
    lengths = {p.relative_to(ROOT).as_posix(): len(p.read_text().splitlines()) for p in everything}
    long = {file: count for file, count in lengths.items() if count > MOST_LINES}
    assert {file: count for file, count in long.items() if file not in LONG_FILES} == {}


def test_every_module_says_what_it_is_for():
    """A docstring opens every module."""
    silent = [
        path.relative_to(ROOT).as_posix()
        for path in _sources()
        if not ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    ]
    assert silent == []


def test_every_public_function_has_a_docstring():
    """What a function takes and returns is said where it stands."""
    silent = [
        f"{path.relative_to(ROOT).as_posix()}: {node.name}"
        for path in _sources()
        for node in _public_functions(ast.parse(path.read_text(encoding="utf-8")))
        if not ast.get_docstring(node)
    ]
    assert silent == []


def _public_functions(tree):
    """Public functions of the module and public methods of its public classes."""
    homes = [tree, *(n for n in tree.body if isinstance(n, ast.ClassDef) and n.name[0] != "_")]
    for home in homes:
        for node in home.body:
            is_function = isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))
            if is_function and not node.name.startswith("_") and not node.decorator_list:
                yield node
