"""Nothing that comes from a scheduler or a worker is unpickled where the cohort is.

A pickle is a program. dask.distributed unpickles more than results: the type of each, exceptions, warnings, and any
message that says it is one, whatever ``deserializers`` names. A worker that a notebook got the better of could so run
its own code beside the key.
"""

import contextlib
import pickle
import sys
from collections.abc import Iterator
from types import ModuleType
from typing import Any
from unittest import mock


class Unread(Exception):
    """Stands for what came as a pickle."""

    def __init__(self, *_: object) -> None:
        super().__init__("a pickle came, and was not read")


def _unread(*_: object, **__: object) -> Unread:
    return Unread()


class _Writing(ModuleType):
    """The module `pickle` without what reads."""

    loads = load = staticmethod(_unread)
    Unpickler = None

    def __getattr__(self, name: str) -> Any:
        return getattr(pickle, name)


@contextlib.contextmanager
def unread() -> Iterator[None]:
    """Let dask.distributed read no pickle while this lasts."""
    import cloudpickle
    import distributed  # noqa: F401

    writing, clouds = _Writing("pickle"), _Writing("cloudpickle")
    clouds.dumps = cloudpickle.dumps  # type: ignore[attr-defined]
    with contextlib.ExitStack() as stack:
        for name, module in list(sys.modules.items()):
            if name.partition(".")[0] == "distributed" and isinstance(module, ModuleType):
                for attribute, stand_in in (("pickle", writing), ("cloudpickle", clouds)):
                    if getattr(module, attribute, None) in (pickle, cloudpickle):
                        stack.enter_context(mock.patch.object(module, attribute, stand_in))
        yield
