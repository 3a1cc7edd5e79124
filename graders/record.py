"""The record of own numbers: what was handed out to whom. It is the truth; drawing again is only a check."""

import hashlib
import hmac
import json
from dataclasses import asdict, dataclass
from pathlib import Path

from graders.problems import Problem


@dataclass(frozen=True)
class Handed:
    """One exercise as handed to one learner: givens as printed, edition, the notebook's seal, the package's version."""

    learner: str
    topic: str
    exercise: str
    notebook: str
    givens: dict
    edition: str
    seal: str
    version: str = ""


def seal(secret: bytes, learner: str, topic: str, exercise: str, edition: str, givens: dict) -> str:
    """Return the seal of a handout. It says whose handout a notebook is, not who sent it."""
    text = json.dumps([learner, topic, exercise, edition, givens], sort_keys=True, ensure_ascii=False)
    return hmac.new(secret, text.encode(), hashlib.sha256).hexdigest()[:32]


def line(handed: Handed) -> str:
    """Return one line of the record."""
    return json.dumps(asdict(handed), sort_keys=True, ensure_ascii=False) + "\n"


def read(path: Path) -> dict[tuple[str, str, str], Handed]:
    """Read the record by (learner, topic, exercise), or raise Problem naming the line."""
    record = {}
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise Problem(f"{path} cannot be read: {error}", "put the record back from your safe copy") from None
    for number, text in enumerate(lines, 1):
        try:
            handed = Handed(**json.loads(text))
        except (ValueError, TypeError):
            raise Problem(
                f"{path}, line {number}, is no line of a record.", "put the record back from your safe copy"
            ) from None
        record[handed.learner, handed.topic, handed.exercise] = handed
    return record
