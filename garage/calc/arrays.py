"""numpy, loaded when something is first computed with it: the program starts, and most pages answer, without it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
else:

    class _Numpy:
        def __getattr__(self, name: str) -> Any:
            import numpy

            return getattr(numpy, name)

    np = _Numpy()

__all__ = ["np"]
