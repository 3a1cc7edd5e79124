"""Nothing that comes from a scheduler or a worker is unpickled where the cohort is.

A pickle is a program. dask.distributed unpickles more than results: the type of each, exceptions, warnings, and any
message that says it is one, whatever ``deserializers`` names. A worker that a notebook got the better of could so run
its own code beside the key. So while a cluster marks, what came as a pickle is not read, and of what was made for the
way by one of dask's serializers, msgpack's alone is.
"""

import contextlib
import pickle
import sys
from collections.abc import Iterator
from importlib import import_module
from types import ModuleType
from typing import Any
from unittest import mock

READ = "msgpack"
"""The one serializer whose work is read: plain data, and no type but Python's own."""


class Unread(Exception):
    """Stands for what came and was not read."""


class _Writing(ModuleType):
    """The module `pickle` for who writes: it reads nothing."""

    loads = load = Unpickler = staticmethod(lambda *_, **__: Unread())

    def __getattr__(self, name: str) -> Any:
        return getattr(pickle, name)


@contextlib.contextmanager
def unread() -> Iterator[None]:
    """Let dask.distributed read no pickle in this process while this lasts."""
    client, core = import_module("distributed.client"), import_module("distributed.protocol.core")
    read, writing = core.merge_and_deserialize, _Writing("pickle")

    def only_plain(header: Any, *rest: Any, **named: Any) -> Any:
        return read(header, *rest, **named) if header.get("serializer") == READ else Unread()

    with contextlib.ExitStack() as stack:
        stack.enter_context(mock.patch.object(core, "merge_and_deserialize", only_plain))
        stack.enter_context(mock.patch.object(client, "clean_exception", return_value=(Unread, Unread(), None)))
        for name, module in list(sys.modules.items()):
            if name.partition(".")[0] == "distributed" and getattr(module, "pickle", None) is pickle:
                stack.enter_context(mock.patch.object(module, "pickle", writing))
        yield
