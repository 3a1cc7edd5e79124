"""What a learner, a course site or a joker may send: files and archives for the tests of the inbox."""

import bz2
import gzip
import io
import json
import lzma
import os
import struct
import tarfile
import time
import zipfile

NAME = "04_bead-lag.ipynb"


def handout(cohort, learner, notebook="04_bead-lag"):
    """Return the bytes of a learner's handout, as if sent back unanswered."""
    return (cohort.handout(learner) / "profile" / f"{notebook}.ipynb").read_bytes()


def answered(cohort, learner, words="time_constant = 5.0\n", notebook="04_bead-lag"):
    """Return a learner's handout with something in its first answer cell."""
    read = json.loads(handout(cohort, learner, notebook))
    for cell in read["cells"]:
        if cell["metadata"].get("nbgrader", {}).get("solution"):
            cell["source"] = words
            break
    return json.dumps(read).encode()


def altered(content, **changes):
    """Return a notebook that says something else of its handout."""
    read = json.loads(content)
    read["metadata"]["rework_workbook"].update(changes)
    return json.dumps(read).encode()


def with_cell(content, **changes):
    """Return a notebook with one cell more, changed so."""
    read = json.loads(content)
    cell = {"cell_type": "code", "id": "x", "metadata": {}, "source": "", "outputs": [], "execution_count": None}
    read["cells"].append(cell | changes)
    return json.dumps(read).encode()


def zipped(members, packing=zipfile.ZIP_DEFLATED, when=None):
    """Return a zip of {name: bytes}, saved when (a local time of six numbers; now without)."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in members.items():
            info = zipfile.ZipInfo(name, when or time.localtime()[:6])
            archive.writestr(info, content, packing)
    return out.getvalue()


def tarred(members, packed="", when=None):
    """Return a tar of {name: bytes}, packed as gz, bz2 or xz where said."""
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode=f"w:{packed}") as archive:
        for name, content in members.items():
            info = tarfile.TarInfo(name)
            info.size, info.mtime = len(content), time.time() if when is None else when
            archive.addfile(info, io.BytesIO(content))
    return out.getvalue()


def special(kind, **fields):
    """Return a tar with one member that is no plain file, before nothing else."""
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w") as archive:
        info = tarfile.TarInfo(fields.pop("name", NAME))
        info.type = kind
        for name, value in fields.items():
            setattr(info, name, value)
        archive.addfile(info)
    return out.getvalue()


def header(name, size, kind):
    """Return one tar header that says its member is so large."""
    info = tarfile.TarInfo(name)
    info.size, info.type = size, kind
    return info.tobuf(tarfile.GNU_FORMAT)


def cut_short(size):
    """Return a tar that says its one member is so large, and has nothing of it."""
    return header(NAME, size, tarfile.REGTYPE) + bytes(2 * tarfile.BLOCKSIZE)


def long_name_bomb(size):
    """Return a tar.gz of which the name of the first member is so many bytes long."""
    out = io.BytesIO()
    with gzip.GzipFile(fileobj=out, mode="wb", compresslevel=9) as file:
        file.write(header("././@LongLink", size, tarfile.GNUTYPE_LONGNAME))
        for _ in range(size // 1_000_000):
            file.write(b"a" * 1_000_000)
    return out.getvalue()


def zeros(size, name=NAME, packing=zipfile.ZIP_DEFLATED):
    """Return a zip with one member of so many zeros."""
    out, info = io.BytesIO(), zipfile.ZipInfo(name)
    info.compress_type = packing
    with zipfile.ZipFile(out, "w") as archive, archive.open(info, "w") as file:
        for _ in range(size // 1_000_000):
            file.write(b"0" * 1_000_000)
    return out.getvalue()


def locked(content):
    """Return a zip whose members say they are locked with a password."""
    data = bytearray(content)
    for signature, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        start = data.find(signature)
        data[start + at] |= 1
    return bytes(data)


def patched(content, signature, at, value):
    """Return an archive with some bytes after a signature changed."""
    data = bytearray(content)
    start = data.find(signature) + at
    data[start : start + len(value)] = value
    return bytes(data)


def nested(content, times, name=NAME):
    """Return a notebook packed so many times."""
    for time_ in range(times):
        content, name = zipped({name: content}), f"in{time_}.zip"
    return content


def unix_time(seconds):
    """Return the extra field of a zip's member that says when it was saved, in seconds of Unix."""
    return struct.pack("<HHBi", 0x5455, 5, 1, seconds)


def zipped_at(name, content, seconds):
    """Return a zip with one member that says in Unix time when it was saved, and a clock that says 1980."""
    info = zipfile.ZipInfo(name)
    info.extra = unix_time(seconds)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr(info, content)
    return out.getvalue()


def put(path, content, seconds=None):
    """Write a file, changed at a time in seconds of Unix."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    if seconds is not None:
        os.utime(path, (seconds, seconds))
    return path


PACKERS = {"gz": gzip.compress, "bz2": bz2.compress, "xz": lzma.compress}
