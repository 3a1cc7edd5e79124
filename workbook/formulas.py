"""One page a topic with its formulas and units, to print: straight from the bench functions that compute with them."""

import base64
import importlib
import inspect
import io
import pkgutil
import re
from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from pathlib import Path

from workbook import units
from workbook.lookup import glossary
from workbook.paths import refuse_another
from workbook.problems import Problem
from workbook.topics import SLUGS, Topic, by_slug, slug_of

MATH = re.compile(r"\.\. math::[ \t]*(.+?)(?=\n[ \t]*\n[ \t]*\S|\Z)", re.DOTALL)
SPELLED = {
    r"\tfrac": r"\frac",
    r"\dfrac": r"\frac",
    r"\mathsf": r"\mathrm",
    r"\textstyle": "",
    r"\displaystyle": "",
    r"\bigl": "",
    r"\bigr": "",
    r"\lvert": "|",
    r"\rvert": "|",
    r"\!": "",
    r"\;": r"\ ",
    r"\quad": r"\ \ \ ",
    r"\qquad": r"\ \ \ \ \ ",
}
"""What a page of formulas writes, and what the renderer calls it."""


TOKEN = r"\\[a-zA-Z]+|[^\s{}\\[]"
"""What stands for a whole argument where no braces do: one letter, one figure or one command."""


@dataclass(frozen=True)
class Formula:
    """What a function of the bench claims, its formulas as TeX, and its quantities with their units."""

    name: str
    claim: str
    tex: tuple[str, ...]
    quantities: tuple[tuple[str, str], ...]


def formulas(topic: Topic) -> dict[str, list[Formula]]:
    """Return the formulas of a topic by subject, in the order of the bench's modules."""
    package = importlib.import_module(f"workbook.bench.{topic.slug}")
    found = {}
    for module in sorted(one.name for one in pkgutil.iter_modules(package.__path__)):
        subject = importlib.import_module(f"{package.__name__}.{module}")
        public = (getattr(subject, name) for name in getattr(subject, "__all__", ()))
        some = [of(one) for one in public if inspect.isroutine(one) or inspect.isclass(one)]
        found[module.replace("_", " ")] = [one for one in some if one.tex]
    return {subject: some for subject, some in found.items() if some}


def of(function) -> Formula:
    """Return the formula of one function, read from its docstring.

    >>> from workbook.bench.profile import conduction
    >>> found = of(conduction.lumped_time_constant)
    >>> found.tex, found.quantities[-1]
    (('\\\\tau = C / (h A)',), ('result', 'Time constant [s].'))
    """
    text = inspect.getdoc(function) or ""
    claim = text.split("\n\n")[0].replace("\n", " ")
    parameters, _, rest = text.partition("\nReturns\n")
    quantities = [
        (name, " ".join(words.split())) for name, words in _entries(parameters.partition("\nParameters\n")[2])
    ]
    result = _entries(re.split(r"\n[A-Z]\w+\n-{3,}", rest)[0])
    quantities += [("result", " ".join(words.split())) for _, words in result]
    tex = tuple(" ".join(one.split()) for one in MATH.findall(text))
    return Formula(function.__name__, claim, tex, tuple(quantities))


def _entries(section: str) -> list[tuple[str, str]]:
    """Return name and words of each entry of a section of a docstring."""
    return re.findall(r"^(\w[^\n]*?)(?: : [^\n]*)?\n((?:[ ]{4}[^\n]*\n?)+)", section, re.MULTILINE)


def page(topic: Topic) -> str:
    """Return a topic's page as HTML that needs nothing from elsewhere."""
    some = formulas(topic)
    body = []
    for subject, found in some.items():
        body.append(f"<h2>{escape(subject.capitalize())}</h2>")
        body += [_shown(one) for one in found]
    words = "".join(
        f"<dt>{escape(', '.join(word.words))}</dt><dd>{escape(units.together(word.means))}</dd>"
        for word in glossary()
        if topic.slug in word.topics
    )
    told = {unit for found in some.values() for one in found for unit in _units(one)}
    table = "".join(
        f"<tr><th scope='row'>{escape(measured)}</th><td>{escape(', '.join(family))}</td></tr>"
        for measured, family in units.FAMILIES.items()
        if told & set(map(_plain_unit, family))
    )
    return PAGE.format(
        title=escape(f"{topic.number}. {topic.title}: formulas and units"), body="".join(body), units=table, words=words
    )


def _units(formula: Formula) -> set[str]:
    told = (units.written(unit) for _, words in formula.quantities for unit in re.findall(r"\[([^\]]+)\]", words))
    return {_plain_unit(unit) for several in told for unit in re.split(", | or ", several)}


def _plain_unit(unit: str) -> str:
    """Return a unit without what docstrings write otherwise than exercises.

    >>> _plain_unit("m² K/W") == _plain_unit("m²K/W"), _plain_unit("Ω a square") == _plain_unit("Ω/sq")
    (True, True)
    """
    return re.sub("[ ·*]", "", unit).replace("asquare", "/sq")


def _written(words: str) -> str:
    """Return words of a docstring with their units as people write them.

    >>> _written("Face area [m^2] of `pad`, per [ohm].")
    'Face area [m²] of pad, per [Ω].'
    """
    signs = re.sub(r"\[[^\]]+\]", lambda unit: units.written(unit[0]), words)
    return units.together(signs.replace("`", ""))


def _shown(formula: Formula) -> str:
    rows = "".join(
        f"<tr><th scope='row'>{escape(name.replace('_', ' '))}</th><td>{escape(_written(words))}</td></tr>"
        for name, words in formula.quantities
    )
    pictures = "".join(f"<p class='formula'>{picture(one)}</p>" for one in formula.tex)
    claim = re.sub(r"^Return ", "", formula.claim).rstrip(".")
    return f"<section><h3>{escape(claim[:1].upper() + claim[1:])}</h3>{pictures}<table>{rows}</table></section>"


def picture(tex: str) -> str:
    """Return a formula as an image that carries itself, its TeX as alternative text."""
    from matplotlib import mathtext
    from matplotlib.font_manager import FontProperties

    drawn = io.BytesIO()
    mathtext.math_to_image(f"${plain(tex)}$", drawn, prop=FontProperties(size=13), format="svg", color="#1f2430")
    code = base64.b64encode(drawn.getvalue()).decode()
    return f'<img alt="{escape(tex, quote=True)}" src="data:image/svg+xml;base64,{code}">'


def plain(tex: str) -> str:
    r"""Return TeX in the words that the renderer knows.

    >>> plain(r"x \le \tfrac{1}{2} \text{ of } y")
    'x \\leq \\frac{1}{2} \\mathrm{\\ of\\ } y'
    """
    tex = re.sub(
        r"\\(?:text|operatorname)\{([^}]*)\}", lambda words: f"\\mathrm{{{words[1].replace(' ', chr(92) + ' ')}}}", tex
    )
    tex = re.sub(r"\\(le|ge)(?![a-z])", r"\\\1q", tex)
    tex = re.sub(r"\\begin\{\w+\}|\\end\{\w+\}|&|\\\\", " ", tex)
    for ours, theirs in SPELLED.items():
        tex = tex.replace(ours, theirs)
    tex = re.sub(rf"\\frac\s*({TOKEN})\s*({TOKEN})", r"\\frac{\1}{\2}", tex)
    return re.sub(rf"\\(sqrt|mathbf|mathrm)\s*({TOKEN})", r"\\\1{\2}", tex)


def write(name: str, to: Path | None) -> Path:
    """Write a topic's page and return where it is, or raise Problem."""
    return write_page("formulas", page, name, to)


def write_page(kind: str, page: Callable[[Topic], str], name: str, to: Path | None) -> Path:
    """Write the page of a topic, named by slug or number, and return where it is, or raise Problem."""
    slug = slug_of(name)
    if slug not in SLUGS:
        raise Problem(f"there is no topic {name!r}.", f"topics are {', '.join(SLUGS)}")
    place = to or Path(f"{kind}-{slug}.html")
    if to:
        refuse_another(to, _is_a_page, "--to")
    text = page(by_slug(slug))
    try:
        place.write_text(text, encoding="utf-8")
    except OSError as error:
        raise Problem(f"{place} cannot be written: {error.strerror}.", "give another place with --to") from None
    return place


def _is_a_page(content: bytes) -> bool:
    """Whether a file is a page as this one or a lesson's: both say what made them."""
    return MADE.encode() in content[:1000]


MADE = '<meta name="generator" content="The Rework Workbook">'
"""In the head of a page, ours or a lesson's."""
PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<meta name="generator" content="The Rework Workbook">
<title>{title}</title><style>
body {{ font: 15px/1.45 system-ui, sans-serif; color: #1f2430; background: #fff;
  max-width: 60rem; margin: 1rem auto; padding: 0 1rem; }}
h2 {{ border-bottom: 2px solid; }} h3 {{ font-size: 1em; margin: 0 0 .2em; }}
section {{ break-inside: avoid; margin: 0 0 1.1em; }} .formula {{ margin: .3em 0; overflow-x: auto; }}
.formula img {{ max-width: 100%; }}
table {{ border-collapse: collapse; }} th, td {{ text-align: left; vertical-align: top;
  padding: .1em .8em .1em 0; font-weight: normal; }}
th {{ font-family: ui-monospace, monospace; }} dt {{ font-weight: 600; }} dd {{ margin: 0 0 .4em 1em; }}
</style></head><body><main><h1>{title}</h1>
<p>Each formula as the workbook computes with it; quantities with their units in brackets.</p>
{body}<h2>Units</h2><table>{units}</table><h2>Words</h2><dl>{words}</dl></main></body></html>
"""
