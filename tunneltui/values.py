"""Values that never change, and how one is made from another.

A value is a ``msgspec.Struct``: its class is made in a tenth of the time that a dataclass takes, a value in a
seventh, and a morning makes 50,000. The holding, which pydantic reads, stays of dataclasses.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    # One signature for both: the type checker knows the fields behind this one.
    from dataclasses import replace as replace
else:
    import dataclasses

    from msgspec import Struct, structs

    def replace(value, /, **changes):
        """``value`` with other fields, a struct or a dataclass."""
        return (structs if isinstance(value, Struct) else dataclasses).replace(value, **changes)
