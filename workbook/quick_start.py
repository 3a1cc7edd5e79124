"""Start a program that reads notebooks without the grammar of internet addresses, which it loads and never asks.

jsonschema, with which notebooks and the settings of a server are checked, loads the grammar of internationalised
addresses (RFC 3987) as soon as it is there, and that builds forty parsers: more than a second, and two thirds of what
JupyterLab takes to load. Here it is loaded when the first such address is checked.

``python -m workbook.quick_start jupyterlab ...`` is ``python -m jupyterlab ...``, started so.
"""

import importlib
import importlib.util
import sys
from types import ModuleType

GRAMMAR = "rfc3987_syntax"


class Later(ModuleType):
    """Stands for the grammar until it is asked."""

    def is_valid_syntax(self, term: str, value: str) -> bool:
        """Say whether a text is an address of a kind, by the grammar itself: jsonschema's one question to it."""
        if sys.modules.get(GRAMMAR) is self:
            del sys.modules[GRAMMAR]
        return bool(importlib.import_module(GRAMMAR).is_valid_syntax(term, value))


def without_grammar() -> None:
    """Let the grammar be loaded when it is asked, where it is installed and not loaded already."""
    if GRAMMAR not in sys.modules and importlib.util.find_spec(GRAMMAR):
        sys.modules[GRAMMAR] = Later(GRAMMAR)


if __name__ == "__main__":
    import runpy

    without_grammar()
    del sys.argv[0]
    runpy.run_module(sys.argv[0], run_name="__main__", alter_sys=True)
