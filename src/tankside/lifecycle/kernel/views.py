"""A lean array for compiled code: an address and lengths, indexed without any ceremony.

The compiler's own arrays carry owner, strides and item size, and look at the sign of every
index. The arrays of the loop need none of that: they are contiguous, they outlive the run, and
an index counts from the front. So a view costs a fraction of the code, which is what the wait
for the first compilation consists of. With the compiler's own switch for it
(``NUMBA_BOUNDSCHECK=1``) every index is checked.
"""

# The extension interface of the compiler carries no types.
# mypy: disable-error-code="no-untyped-call, import-untyped, override, misc"

from __future__ import annotations

import operator
from collections.abc import Iterator
from contextlib import ExitStack
from typing import Any

from llvmlite import ir
from numba import types
from numba.core import cgutils, config
from numba.core.datamodel.models import PrimitiveModel
from numba.core.typing.templates import (
    AbstractTemplate,
    AttributeTemplate,
    infer_getattr,
    infer_global,
    signature,
)
from numba.extending import lower_builtin, lower_getattr, register_model

Handle = Any
INDEX: Handle = types.intp
SETTINGS: Handle = config
WORD = ir.IntType(INDEX.bitwidth)


class View(types.Type):
    """Compiled-code type of a view: element type and number of dimensions."""

    def __init__(self, dtype: Handle, ndim: int) -> None:
        """Name the type."""
        self.dtype = dtype
        self.ndim = ndim
        super().__init__(name=f"View({dtype}, {ndim})")


@register_model(View)
class _ViewModel(PrimitiveModel):
    """Address of the first element, then the lengths."""

    def __init__(self, manager: Handle, kind: View) -> None:
        element = manager.lookup(kind.dtype).get_data_type().as_pointer()
        words = [WORD] * kind.ndim
        super().__init__(manager, kind, ir.LiteralStructType([element, *words]))


def make_view(builder: Handle, address: Handle, lengths: list[Handle]) -> Handle:
    """Build the value of a view.

    Args:
        builder: of the function being compiled.
        address: pointer to the first element.
        lengths: words, one per dimension.
    """
    kind = ir.LiteralStructType([address.type, *[length.type for length in lengths]])
    value = ir.Constant(kind, ir.Undefined)
    for place, part in enumerate([address, *lengths]):
        value = builder.insert_value(value, part, place)
    return value


def _parts(builder: Handle, kind: View, value: Handle) -> tuple[Handle, list[Handle]]:
    lengths = [builder.extract_value(value, 1 + axis) for axis in range(kind.ndim)]
    return builder.extract_value(value, 0), lengths


@infer_getattr
class _ViewFields(AttributeTemplate):
    """``size`` and ``shape``."""

    key = View

    def resolve_size(self, view: View) -> Handle:
        """Return the type of the number of elements."""
        del view
        return INDEX

    def resolve_shape(self, view: View) -> Handle:
        """Return the type of the lengths."""
        return types.UniTuple(INDEX, view.ndim)


@lower_getattr(View, "size")
def _size(context: Handle, builder: Handle, kind: View, value: Handle) -> Handle:
    del context
    _, lengths = _parts(builder, kind, value)
    return _product(builder, lengths)


@lower_getattr(View, "shape")
def _shape(context: Handle, builder: Handle, kind: View, value: Handle) -> Handle:
    del context
    return cgutils.pack_array(builder, _parts(builder, kind, value)[1])


def _product(builder: Handle, words: list[Handle]) -> Handle:
    total = WORD(1)
    for word in words:
        total = _times(builder, total, word)
    return total


def _times(builder: Handle, left: Handle, right: Handle) -> Handle:
    """Multiply, without an instruction where one side is a plain 0 or 1."""
    for factor, other in ((left, right), (right, left)):
        if isinstance(factor, ir.Constant) and factor.constant in (0, 1):
            return other if factor.constant else factor
    return builder.mul(left, right)


def _plus(builder: Handle, left: Handle, right: Handle) -> Handle:
    """Add, without an instruction where the left side is a plain 0."""
    if isinstance(left, ir.Constant) and left.constant == 0:
        return right
    return builder.add(left, right)


def _members(index: Handle) -> list[Handle]:
    members: list[Handle] = getattr(index, "types", [index])
    return list(members)


@infer_global(operator.getitem)
class _ReadItem(AbstractTemplate):
    """An element, or a view of what is left when fewer positions are given."""

    def generic(self, args: Handle, kws: Handle) -> Handle:
        """Type one reading."""
        del kws
        view, index = args
        if not isinstance(view, View):
            return None
        members = _members(index)
        if not all(isinstance(member, types.Integer) for member in members):
            return None
        left = view.ndim - len(members)
        return signature(view.dtype if left == 0 else View(view.dtype, left), view, index)


@infer_global(operator.setitem)
class _WriteItem(AbstractTemplate):
    """One element, or every element of a block, gets a number."""

    def generic(self, args: Handle, kws: Handle) -> Handle:
        """Type one writing."""
        del kws
        view, index, _ = args
        if not isinstance(view, View):
            return None
        members = _members(index)
        spans = [member for member in members if isinstance(member, types.SliceType)]
        single = [member for member in members if isinstance(member, types.Integer)]
        if len(spans) + len(single) < len(members):
            return None
        if len(members) < view.ndim and not isinstance(members[-1], types.SliceType):
            return None
        return signature(types.none, view, index, view.dtype)


@lower_builtin(operator.getitem, View, types.Any)
def _read(context: Handle, builder: Handle, sig: Handle, args: Handle) -> Handle:
    kind, index = sig.args
    address, lengths = _parts(builder, kind, args[0])
    offset = WORD(0)
    positions = list(_positions(context, builder, index, args[1]))
    for position, length in zip(positions, lengths, strict=False):
        offset = _step(context, builder, offset, position, length)
    left = lengths[len(positions) :]
    address = builder.gep(address, [_times(builder, offset, _product(builder, left))])
    return make_view(builder, address, left) if left else builder.load(address)


@lower_builtin(operator.setitem, View, types.Any, types.Any)
def _write(context: Handle, builder: Handle, sig: Handle, args: Handle) -> Handle:
    kind, index, _ = sig.args
    address, lengths = _parts(builder, kind, args[0])
    positions = list(_positions(context, builder, index, args[1]))
    inner = _product(builder, lengths[len(positions) :])
    with ExitStack() as loops:
        offset = WORD(0)
        for axis, (position, length) in enumerate(zip(positions, lengths, strict=False)):
            if not isinstance(position, tuple):
                offset = _step(context, builder, offset, position, length)
                continue
            start, stop = position
            stop = builder.select(builder.icmp_signed("<", stop, length), stop, length)
            if axis == len(positions) - 1:
                start, stop, length = (
                    _times(builder, word, inner) for word in (start, stop, length)
                )
            counted = cgutils.for_range_slice(builder, start, stop, WORD(1))
            place, _ = loops.enter_context(counted)
            offset = _plus(builder, _times(builder, offset, length), place)
        builder.store(args[2], builder.gep(address, [offset]))
    return context.get_dummy_value()


def _positions(context: Handle, builder: Handle, index: Handle, value: Handle) -> Iterator[Handle]:
    """Yield a word for each whole number of an index, and (start, stop) for each slice."""
    for k, member in enumerate(_members(index)):
        subscript = builder.extract_value(value, k) if isinstance(index, types.BaseTuple) else value
        if isinstance(member, types.SliceType):
            span = context.make_helper(builder, member, subscript)
            yield span.start, span.stop
        else:
            yield context.cast(builder, subscript, member, INDEX)


def _step(
    context: Handle, builder: Handle, offset: Handle, position: Handle, length: Handle
) -> Handle:
    if SETTINGS.BOUNDSCHECK:
        _check(context, builder, position, length)
    return _plus(builder, _times(builder, offset, length), position)


def _check(context: Handle, builder: Handle, position: Handle, length: Handle) -> None:
    outside = builder.icmp_unsigned(">=", position, length)
    with builder.if_then(outside, likely=False):
        message = ("index outside an array of the loop",)
        context.call_conv.return_user_exc(builder, IndexError, message)
