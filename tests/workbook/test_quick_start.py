"""The grammar of internet addresses is loaded when it is asked, and then answers as it would have."""

import subprocess
import sys

import pytest

pytest.importorskip("rfc3987_syntax", reason="this jsonschema loads no grammar")

ASKED = """
import sys
from workbook.quick_start import without_grammar
without_grammar()
import jsonschema, nbformat
assert "lark" not in sys.modules
checker = jsonschema.FormatChecker()
for right in ("http://example.org/%C3%BC", "http://example.org/\u00fc"):
    checker.check(right, "iri")
assert "lark" in sys.modules
for wrong in ("no address", "http://example.org/%", "//example.org/"):
    assert not checker.conforms(wrong, "iri"), wrong
assert checker.conforms("//example.org/", "iri-reference")
"""


def test_a_grammar_put_off_loads_at_the_first_address_and_tells_right_ones_from_wrong():
    """Right and wrong by RFC 3987, 2.2: an escape is % and two digits; an IRI has a scheme, a reference needs none."""
    subprocess.run([sys.executable, "-c", ASKED], check=True, timeout=120)


def test_a_program_started_so_has_its_own_name_and_arguments_and_no_grammar(tmp_path):
    (tmp_path / "seen.py").write_text(
        "import sys, jsonschema\nprint(__name__, sys.argv[1:], 'lark' in sys.modules)", encoding="utf-8"
    )
    command = [sys.executable, "-m", "workbook.quick_start", "seen", "--port=1", "x"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=True, timeout=120)
    assert done.stdout == "__main__ ['--port=1', 'x'] False\n"
