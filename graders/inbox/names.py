"""What the names along a file's way say: whether it is a notebook, whom it names, and what kind of file it is else."""

import re
from collections.abc import Collection, Iterable
from pathlib import PurePosixPath

PRINTED_NAME = re.compile(r"\d\d_[a-z]")
"""How the notebooks we print are named: a learner whose id is 03 sent no file because it begins with 03."""

OURS = ("timestamp.txt",)
"""What stands beside notebooks in nbgrader's folders."""

ARCHIVES = (".zip", ".tar", ".tar.gz", ".tgz", ".tar.bz2", ".tbz2", ".tar.xz", ".txz")


def is_hidden(name: str) -> bool:
    """Whether a name leads into what systems and editors keep for themselves: checkpoints, shadows of file systems."""
    return any(part.startswith(".") and part != ".." for part in _parts(name)) or "__MACOSX" in _parts(name)


def is_notebook(name: str) -> bool:
    """Whether a file is meant as a notebook: browsers save them under longer names, systems put shadows beside them.

    >>> [is_notebook(name) for name in ("04_x.ipynb", "04_x (1).IPYNB", "04_x.ipynb.txt", "04_x.json", "04_x.pdf")]
    [True, True, True, True, False]
    >>> [is_notebook(name) for name in ("__MACOSX/._x.ipynb", ".ipynb_checkpoints/x-checkpoint.ipynb", "../x.ipynb")]
    [False, False, True]
    """
    path = PurePosixPath(name.replace("\\", "/"))
    if is_hidden(name) or is_archive(name):
        return False
    printed = PRINTED_NAME.match(path.name) and path.suffix.lower() == ".json"
    return ".ipynb" in path.name.lower() or bool(printed)


def is_archive(name: str) -> bool:
    """Whether a file is named like an archive that is opened here."""
    return name.lower().endswith(ARCHIVES)


def kind(name: str) -> str:
    """Return what kind of file a name says it is, in a word for people.

    >>> [kind(name) for name in ("answers.PDF", "work.rar", "README", "a.b c")]
    ['pdf', 'rar', 'no ending', 'no ending']
    """
    ending = PurePosixPath(name.replace("\\", "/")).suffix.lower().removeprefix(".")
    return ending if re.fullmatch(r"[a-z0-9]{1,8}", ending) else "no ending"


def shortened(name: str) -> str:
    """Return a name in at most 160 letters: an archive may give a member one of any length.

    >>> len(shortened("x" * 10_000))
    160
    """
    return name if len(name) <= 160 else f"{name[:79]}…{name[-80:]}"


def named(way: Iterable[str], learners: Collection[str]) -> tuple[str, ...]:
    """Return every learner whom the names along a file's way name, the file's own name last.

    A folder names a learner whose id it is; an archive and the file itself also one with whose id they begin.

    >>> named(["inbox", "amber", "03_x.ipynb"], {"amber", "birch"})
    ('amber',)
    >>> named(["inbox", "birch_late_182_03_x.ipynb"], {"amber", "birch"})
    ('birch',)
    >>> named(["amber.zip", "birch", "03_x (1).ipynb"], {"amber", "birch"})
    ('amber', 'birch')
    >>> named(["inbox", "03_x (1).ipynb"], {"amber", "birch", "03"})
    ()
    """
    *folders, last = [part for name in way for part in _parts(name)] or [""]
    found = {}
    for folder in folders:
        found[_begins_with(folder, learners) if is_archive(folder) else folder if folder in learners else ""] = None
    found[_begins_with(last, learners)] = None
    return tuple(learner for learner in found if learner)


def _begins_with(name: str, learners: Collection[str]) -> str:
    """Return the learner with whose id a name begins, or nothing; the longest, where several do."""
    if PRINTED_NAME.match(name):
        return ""
    starts = [learner for learner in learners if re.match(rf"{re.escape(learner)}(?![A-Za-z0-9])", name)]
    return max(starts, key=len, default="")


def _parts(name: str) -> tuple[str, ...]:
    return PurePosixPath(name.replace("\\", "/")).parts
