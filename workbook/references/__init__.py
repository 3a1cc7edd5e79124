"""Published and common-practice values, each with its standing and its source.

One TOML file a topic. A value cannot be loaded without its standing and, unless it is common practice, its source.
See ``DEVELOPERS.md`` for the keys.

>>> value("profile", "sac305_solidus_c")
217
>>> entry("profile", "sac305_solidus_c").standing
'published-second-hand'
"""

from workbook.references.loader import KINDS, STANDINGS, BadReference, Reference, entry, load, table, value

__all__ = ["KINDS", "STANDINGS", "Reference", "BadReference", "entry", "load", "table", "value"]
