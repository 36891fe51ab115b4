"""Steps of compiling: the parts of the loop stay as translated until they are joined.

By default the compiler makes machine code of every function and optimises every function again
inside each of its callers. Only the loop as a whole is ever called from outside, so its parts
are translated, kept, and optimised once, when all are linked into the whole.
"""

# The compiler carries no types.
# mypy: disable-error-code="no-untyped-call, import-untyped, misc"

from __future__ import annotations

from typing import Any, ClassVar

from llvmlite.binding import Linkage
from numba._dynfunc import make_function
from numba.core.codegen import JITCodeLibrary
from numba.core.compiler import CompilerBase, DefaultPassBuilder
from numba.core.compiler_machinery import PassManager, register_pass
from numba.core.typed_passes import (
    IRLegalization,
    NativeLowering,
    NopythonTypeInference,
    PreLowerStripPhis,
)
from numba.core.typing.context import Context
from numba.core.untyped_passes import (
    FixupArgs,
    GenericRewrites,
    IRProcessing,
    ReconstructSSA,
    TranslateByteCode,
)

Handle = Any


class PartLibrary(JITCodeLibrary):
    """Code of one function as it was translated: not optimised, not linked, not run."""

    def _optimize_functions(self, module: Handle) -> None:
        module.data_layout = self._codegen._data_layout

    def add_ir_module(self, module: Handle) -> None:
        """Take the translated function in, and drop its text, whose parts hold one another."""
        super().add_ir_module(module)
        for function in module.functions:
            for block in function.blocks:
                block.instructions.clear()
            function.blocks.clear()

    def finalize(self) -> None:
        """Leave the function as it is; it is optimised where it is used."""
        self._finalized = True

    def own_code(self) -> Handle:
        """Return the code of this function alone; where it is linked twice, one is dropped."""
        for function in self._final_module.functions:
            if not function.is_declaration and function.linkage == Linkage.external:
                function.linkage = Linkage.linkonce_odr
        return self._final_module

    def _get_module_for_linking(self) -> Handle:
        """Return the code with all it needs, for a caller that was compiled the usual way."""
        module = self.own_code().clone()
        for library in gather(self._linking_libraries):
            module.link_in(_code_of(library), preserve=True)
        return module


class WholeLibrary(JITCodeLibrary):
    """Code of the loop with all its parts, optimised as one."""

    def finalize(self) -> None:
        """Link every part that any part needs, once; then optimise and make machine code."""
        for library in gather(self._linking_libraries):
            self._final_module.link_in(_code_of(library), preserve=True)
        self._linking_libraries = []
        super().finalize()

    def _optimize_final_module(self) -> None:
        """Optimise once; the loops are short and branch, so there is nothing to vectorise."""
        steps, settings = self._codegen._module_pass_manager(
            loop_vectorize=False, slp_vectorize=False
        )
        steps.run(self._final_module, settings)


def gather(libraries: list[Handle]) -> list[Handle]:
    """Return the libraries and all that the parts among them need, each once."""
    needed: dict[Handle, None] = dict.fromkeys(libraries)
    waiting = list(needed)
    while waiting:
        library = waiting.pop()
        if isinstance(library, PartLibrary):
            new = [other for other in library._linking_libraries if other not in needed]
            needed |= dict.fromkeys(new)
            waiting += new
    return list(needed)


def _code_of(library: Handle) -> Handle:
    if isinstance(library, PartLibrary):
        return library.own_code()
    return library._get_module_for_linking()


class UncheckedPasses(PassManager):
    """Steps that do not look over the function again after each of them."""

    _ENFORCING = False


class Remembering(Context):
    """The compiler's table of types, which answers the same call only once.

    To find what adds two numbers it tries every meaning of ``+`` in turn, and asks again each
    time a function is looked through. Within the loop the answer never changes.
    """

    answers: ClassVar[dict[Handle, Handle]] = {}

    def __init__(self, shared: Context) -> None:
        """Share everything with the common table."""
        vars(self).update(vars(shared))

    def resolve_function_type(self, func: Handle, args: Handle, kws: Handle) -> Handle:
        """Return the signature with which a function takes these types."""
        if isinstance(func, str):
            return super().resolve_function_type(func, args, kws)
        asked = (func, args, tuple(kws.items()))
        answer = self.answers.get(asked)
        if answer is None:
            answer = self.answers[asked] = super().resolve_function_type(func, args, kws)
        return answer


@register_pass(mutates_CFG=True, analysis_only=False)
class Typing(NopythonTypeInference):
    """Find the types of one function."""

    _name = "typing"

    def run_pass(self, state: Handle) -> bool:
        """Find the types, remembering what was found for other functions."""
        common = state.typingctx
        state.typingctx = Remembering(common)
        done = bool(super().run_pass(state))
        state.typingctx = common
        return done


@register_pass(mutates_CFG=True, analysis_only=False)
class PartLowering(NativeLowering):
    """Translate a part and register it for its callers, without machine code."""

    _name = "part_lowering"

    def run_pass(self, state: Handle) -> bool:
        """Translate one function."""
        state.library = PartLibrary(state.targetctx.codegen(), state.func_id.func_qualname)
        state.flags.no_compile = True
        super().run_pass(state)
        described = state.cr.fndesc
        stub = make_function(
            described.lookup_module(), described.qualname, "", 0, state.cr.env, (state.library,)
        )
        state.targetctx.insert_user_function(stub, described, [state.library])
        state.cr = state.cr._replace(cfunc=stub)
        return True


@register_pass(mutates_CFG=True, analysis_only=False)
class WholeLowering(NativeLowering):
    """Translate the loop and join its parts."""

    _name = "whole_lowering"

    def run_pass(self, state: Handle) -> bool:
        """Translate one function and make machine code."""
        state.library = WholeLibrary(state.targetctx.codegen(), state.func_id.func_qualname)
        state.library.enable_object_caching()
        return bool(super().run_pass(state))


def _steps(state: Handle, lowering: type[NativeLowering]) -> list[PassManager]:
    """Return the steps the loop needs: no closures, contexts, array expressions or rewrites."""
    steps = UncheckedPasses("tankside")
    steps.add_pass(TranslateByteCode, "analyse bytecode")
    steps.add_pass(FixupArgs, "fix up arguments")
    steps.add_pass(IRProcessing, "process")
    steps.add_pass(GenericRewrites, "constant positions")
    steps.add_pass(ReconstructSSA, "single assignment")
    steps.add_pass(Typing, "types")
    steps.add_pass(PreLowerStripPhis, "strip phis")
    steps.add_pass(IRLegalization, "legalise")
    steps.add_pass(lowering, "translate")
    last = DefaultPassBuilder.define_nopython_lowering_pipeline(state)
    steps.passes.extend(step for step in last.passes if step[0].__name__ == "NoPythonBackend")
    steps.finalize()
    return [steps]


class PartCompiler(CompilerBase):
    """Steps for a function called only from compiled code."""

    def define_pipelines(self) -> list[PassManager]:
        """Return the steps."""
        return _steps(self.state, PartLowering)


class WholeCompiler(CompilerBase):
    """Steps for the function called from outside."""

    def define_pipelines(self) -> list[PassManager]:
        """Return the steps."""
        return _steps(self.state, WholeLowering)
