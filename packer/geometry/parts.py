"""Compiled functions and their parts: each is translated once, optimised only in what calls it.

numba optimises a function, then again as a copy in each of its callers, and theirs; it makes
machine code of all of them, though Python calls few, and one more copy for each constant handed
over. Here what compiled code calls is a part, left as the compiler's frontend made it; a kernel,
which is what Python calls, takes its parts in, and theirs, and is optimised as a whole. That takes
a third of the time, and what comes out is as fast.

In: plain functions. Out: numba's dispatchers. Written against numba's inner classes, hence in a
file of its own: nothing else knows them.
"""

# mypy: allow-untyped-calls

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import numba
from numba.core import compiler, types
from numba.core.codegen import JITCodeLibrary
from numba.core.compiler_lock import global_compiler_lock
from numba.core.compiler_machinery import register_pass
from numba.core.registry import CPUDispatcher, cpu_target
from numba.core.typed_passes import NativeLowering

_SETTINGS = {"nopython": True, "nogil": True}
_UNSEEN = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
_EASY = {"OPT": 1, "LOOP_VECTORIZE": 0}
"""More makes these loops, which are short and full of branches, slower to compile and to run."""


def processor() -> str:
    """What code is compiled for: the machine, the processor, its features."""
    return repr(cpu_target.target_context.codegen().magic_tuple())


class Kernel(CPUDispatcher):
    """Compiled for Python on its first call; for compiled code it is a part."""

    def __init__(self, function: Callable[..., Any], *_: Any, **__: Any) -> None:
        super().__init__(function, targetoptions=dict(_SETTINGS))
        self._part = _Part(function)

    def compile(self, sig: Any) -> Any:
        """Compile for one signature, or load it."""
        with global_compiler_lock, _at_ease():
            return super().compile(sig)

    def get_call_template(self, args: Any, kws: Any) -> Any:
        """numba's question at a call: what comes back. Constants count as any figure."""
        plain = {name: types.unliteral(kind) for name, kind in kws.items()}
        return self._part.get_call_template([types.unliteral(kind) for kind in args], plain)

    def get_overload(self, sig: Any) -> Any:
        """numba's question at a call: what to take in."""
        return self._part.get_overload(sig)


class _Part(CPUDispatcher):
    """A function as compiled code takes it in."""

    def __init__(self, function: Callable[..., Any], *_: Any, **__: Any) -> None:
        super().__init__(function, targetoptions=_SETTINGS | _UNSEEN, pipeline_class=_PartCompiler)

    def add_overload(self, cres: Any) -> None:
        """Known to compiled code, not to Python, which could not call it."""
        self.overloads[tuple(cres.signature.args)] = cres


class _Name:
    """Stands for a part where numba keeps the address of machine code."""


class _Library(JITCodeLibrary):
    """Code that is linked into other code and never runs by itself."""

    def finalize(self) -> None:
        """Leaves it as it is."""
        self._raise_if_finalized()
        self._finalized = True


@register_pass(mutates_CFG=True, analysis_only=False)
class _PartLowering(NativeLowering):
    """Translates; makes no machine code."""

    _name = "part_lowering"

    def run_pass(self, state: Any) -> bool:
        library = _Library(state.targetctx.codegen(), state.func_id.func_qualname)
        library.enable_object_caching()
        state.library = library
        state.flags.no_compile = True
        super().run_pass(state)
        all_parts = [library, *library._linking_libraries]
        name = _Name()
        state.targetctx.insert_user_function(name, state.cr.fndesc, all_parts)
        state.cr = state.cr._replace(cfunc=name)
        return True


class _PartCompiler(compiler.Compiler):
    """numba's own passes with another last one."""

    def define_pipelines(self) -> Any:
        made = super().define_pipelines()
        for passes in made:
            passes.passes = [
                (_PartLowering if each is NativeLowering else each, what)
                for each, what in passes.passes
            ]
            passes.finalize()
        return made


@contextmanager
def _at_ease() -> Iterator[None]:
    """Light optimisation; no search for garbage, of which compiling makes more than it leaves."""
    settings: Any = numba.config
    before = {name: getattr(settings, name) for name in _EASY}
    collecting = gc.isenabled()
    gc.disable()
    for name, value in _EASY.items():
        setattr(settings, name, type(before[name])(value))
    try:
        yield
    finally:
        for name, value in before.items():
            setattr(settings, name, value)
        if collecting:
            gc.enable()
