"""The part of the runner that lives behind the wall, with the notebooks. It imports nothing of `graders`."""

SCRATCH = "/scratch"  #: the one folder a notebook may write to

NOBODY = 65534  #: the user and group of everything behind the wall

PLAIN, FURNISHED = b"plain", b"furnished"  #: the two kinds of job: for the bare process, or the one with libraries

#: The exit codes by which a child says how it ended; cut short, it is well but runs no further sheet of its group.
FINISHED, FAULT, OUT_OF_TIME, OUT_OF_MEMORY, CUT_SHORT = 0, 3, 4, 5, 6

#: The machines whose system calls we list: the column of the list, and the kernel's name for the machine.
MACHINES = {"x86_64": (0, 0xC000003E), "aarch64": (1, 0xC00000B7)}
