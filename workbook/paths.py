"""The one place that knows where notebooks are: beside the packages in a clone, inside the package in a wheel."""

from pathlib import Path

HERE = Path(__file__).resolve().parent


def lessons() -> Path:
    """Return the folder of the lesson notebooks."""
    return HERE / "lessons"


def exercises() -> Path:
    """Return the folder of the printed exercises, one folder a topic."""
    packed = HERE / "exercises"
    return packed if packed.is_dir() else HERE.parent / "exercises"


def clone_folder(name: str) -> Path:
    """Return a top-level folder of the clone, or raise FileNotFoundError in an installed wheel."""
    if not (HERE.parent / "pyproject.toml").is_file():
        raise FileNotFoundError(f"{name}/ is only there in a clone of the project")
    return HERE.parent / name
