"""Everything the loop knows as one object, passed to compiled code as one pointer.

A World holds numpy arrays by name (:data:`layout.FIELDS`). Compiled functions read
``w.name`` as an ordinary array; only an address goes from call to call, which keeps the
compilation short. The arrays must not be replaced while compiled code runs.
"""

# The extension interface of the compiler carries no types.
# mypy: disable-error-code="no-untyped-call, import-untyped, override, misc"

from __future__ import annotations

from typing import Any

import numpy as np
from numba import types
from numba.core.typing.templates import AttributeTemplate, infer_getattr
from numba.extending import (
    NativeValue,
    lower_getattr_generic,
    models,
    register_model,
    typeof_impl,
    unbox,
)
from numba.np.numpy_support import from_dtype

from tankside.claims import whole_setting
from tankside.lifecycle.kernel.layout import fields
from tankside.lifecycle.kernel.views import WORD, View, make_view

Handle = Any
SLOTS = whole_setting(5, "words per array: address and up to four lengths")
ORDER = {name: (place, np.dtype(kind), size) for place, (name, kind, size) in enumerate(fields())}


KINDS = {name: View(from_dtype(dtype), size) for name, (_, dtype, size) in ORDER.items()}


class World:
    """Named arrays and the table of their addresses."""

    def __init__(self, arrays: dict[str, np.ndarray[Any, Any]]) -> None:
        """Hold the arrays and note where they lie.

        Args:
            arrays: one contiguous array per field of the layout.

        Raises:
            ValueError: an array has the wrong type, shape or order.
        """
        self.arrays = arrays
        self._table = np.zeros((len(ORDER), SLOTS), dtype=np.uint64)
        for name, (place, dtype, size) in ORDER.items():
            array = arrays[name]
            if array.dtype != dtype or array.ndim != size or not array.flags.c_contiguous:
                raise ValueError(f"array {name}: {array.dtype}, {array.ndim} dimensions")
            self._table[place, 0] = array.ctypes.data
            self._table[place, 1 : 1 + size] = array.shape
        self.address = int(self._table.ctypes.data)


class WorldType(types.Type):
    """Compiled-code type of a World."""

    def __init__(self) -> None:
        """Name the type."""
        super().__init__(name="World")


WORLD = WorldType()


@typeof_impl.register(World)
def _typeof_world(value: object, context: object) -> WorldType:
    del value, context
    return WORLD


@register_model(WorldType)
class _WorldModel(models.OpaqueModel):
    """A plain pointer."""


@unbox(WorldType)
def _unbox_world(kind: object, value: Handle, c: Handle) -> Handle:
    del kind
    address = c.pyapi.object_getattr_string(value, "address")
    pointer = c.pyapi.long_as_voidptr(address)
    c.pyapi.decref(address)
    return NativeValue(pointer)


@infer_getattr
class _WorldFields(AttributeTemplate):
    """Give each field its array type."""

    key = WorldType

    def generic_resolve(self, world: WorldType, name: str) -> Handle:
        """Return the array type of a field, None for an unknown name."""
        return KINDS.get(name)


@lower_getattr_generic(WorldType)
def _read_field(
    context: Handle, builder: Handle, kind: WorldType, value: Handle, name: str
) -> Handle:
    """Build the array of a field from the table; the table does not change during a run."""
    place, _, size = ORDER[name]
    table = builder.bitcast(value, WORD.as_pointer())

    def read(slot: int) -> Handle:
        loaded = builder.load(builder.gep(table, [WORD(place * SLOTS + slot)]))
        loaded.set_metadata("invariant.load", builder.module.add_metadata([]))
        return loaded

    element = context.get_data_type(KINDS[name].dtype).as_pointer()
    return make_view(
        builder, builder.inttoptr(read(0), element), [read(1 + axis) for axis in range(size)]
    )
