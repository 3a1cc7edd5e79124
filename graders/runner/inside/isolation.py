"""The fences around one child, each a few system calls: namespaces, mounts, rlimits, capabilities, Landlock, seccomp.

They are put up in a forked process that already holds all it needs. Sources: the Linux manual pages user_namespaces(7),
capabilities(7), landlock(7) and seccomp(2); the numbers are those of the kernel's own headers.
"""

import contextlib
import ctypes
import os
import platform
import re
import resource
import signal
import struct

from . import MACHINES, NOBODY

__all__ = [
    "become_nobody",
    "close_descriptors",
    "counts_threads",
    "cheap_to_fork",
    "deaf_to_signals",
    "die_with_parent",
    "drop_capabilities",
    "end_the_rest",
    "first_to_go",
    "landlock",
    "landlock_version",
    "limit",
    "own_mounts",
    "own_namespaces",
    "own_scratch",
    "own_session",
    "seccomp",
    "seccomp_program",
]

libc = ctypes.CDLL(None, use_errno=True)
libc.syscall.restype = ctypes.c_long


def checked(result: int, what: str) -> int:
    """Return the result of a C call, or raise OSError that says what was tried."""
    if result < 0:
        number = ctypes.get_errno()
        raise OSError(number, f"{what}: {os.strerror(number)}")
    return result


# --- who it is


def become_nobody(scratch: str) -> None:
    """Stop being root, where this is root, for good: no file or device of the host is then its own to change."""
    if os.getuid() != 0:
        return
    os.chmod(scratch, 0o777)  # it was made by root
    os.setgroups([])
    os.setresgid(NOBODY, NOBODY, NOBODY)
    os.setresuid(NOBODY, NOBODY, NOBODY)
    prctl(SET_DUMPABLE, 1)  # its own files in /proc are its own again


def counts_threads() -> bool:
    """Return whether the kernel counts threads by user namespace, and for this user: it never does for root.

    Linux 5.14 and later do. Root of a container that may not mount is root to the kernel, by whatever number.
    """
    version = tuple(int(number) for number in re.findall(r"\d+", platform.release())[:2])
    with open("/proc/self/uid_map") as file:
        outside = [line.split()[1] for line in file if line.split()[0] == str(os.getuid())]
    return version >= (5, 14) and outside != ["0"]


# --- namespaces and mounts

NEW_CGROUP, NEW_NET, NEW_USER, NEW_PID, NEW_IPC, NEW_UTS, NEW_MOUNTS = (
    0x02000000,
    0x40000000,
    0x10000000,
    0x20000000,
    0x08000000,
    0x04000000,
    0x00020000,
)
READ_ONLY, NO_SUID, NO_DEV, NO_EXEC, REMOUNT, BIND = 1, 2, 4, 8, 32, 4096
LARGE_PAGE, COLLAPSE = 1 << 21, 25  # madvise
ACCESS_TIMES = {os.ST_NOATIME: 1 << 10, os.ST_NODIRATIME: 1 << 11, os.ST_RELATIME: 1 << 21}


def own_namespaces() -> None:
    """Leave the sandbox's namespaces for new ones; the next child forked is process 1 of its own."""
    user, group = os.getuid(), os.getgid()
    checked(libc.unshare(NEW_USER | NEW_MOUNTS | NEW_PID | NEW_IPC | NEW_NET | NEW_UTS | NEW_CGROUP), "unshare")
    for name, text in (("setgroups", "deny"), ("uid_map", f"{user} {user} 1"), ("gid_map", f"{group} {group} 1")):
        with open(f"/proc/self/{name}", "w") as file:
            file.write(text)


def own_session() -> None:
    """Leave the zygote's process group: a signal to one's own group reaches all of it, in whatever namespace."""
    os.setsid()


def deaf_to_signals() -> None:
    """Give up every handler. As process 1 of its namespace it then takes no signal from the processes within."""
    for number in signal.valid_signals():
        if callable(signal.getsignal(number)):
            signal.signal(number, signal.SIG_DFL)


def first_to_go() -> None:
    """Let the kernel, where memory runs out, take this process and what it forks before anything else."""
    with open("/proc/self/oom_score_adj", "w") as file:
        file.write("1000")


def cheap_to_fork() -> None:
    """Let this process's memory lie in large pages where it can: a fork copies a line of a table for each page."""
    with open("/proc/self/maps") as file:
        rows = [line.split(maxsplit=5) for line in file]
    for place, rights, _, _, inode, *_ in rows:
        start, end = (int(edge, 16) for edge in place.split("-"))
        start, end = -(-start // LARGE_PAGE) * LARGE_PAGE, end // LARGE_PAGE * LARGE_PAGE
        if "w" in rights and inode == "0" and start < end:  # a kernel that cannot leaves it as it is
            libc.madvise(ctypes.c_void_p(start), ctypes.c_size_t(end - start), COLLAPSE)


def end_the_rest() -> None:
    """End every process that is left in the namespace, of which this must be process 1."""
    with contextlib.suppress(ProcessLookupError):
        os.kill(-1, signal.SIGKILL)
    with contextlib.suppress(ChildProcessError):
        while True:
            os.wait()


def mount_tmpfs(folder: str, flags: int, options: str) -> None:
    checked(
        libc.mount(b"tmpfs", folder.encode(), b"tmpfs", flags | NO_SUID | NO_DEV | NO_EXEC, options.encode()),
        f"mount on {folder}",
    )


def mount_flags(place: str) -> int:
    """Return how the mount at a place keeps access times: a namespace below may not change that."""
    set_there = os.statvfs(place).f_flag
    return sum(flag for known, flag in ACCESS_TIMES.items() if set_there & known)


def own_mounts(devices: tuple[str, ...]) -> None:
    """Cover /proc with nothing, and let no device's node be changed.

    A device on a read-only mount is read and written as before; its mode, owner and times stay as they are.
    """
    for device in devices:
        flags = REMOUNT | BIND | READ_ONLY | NO_SUID | NO_EXEC | mount_flags(device)
        checked(libc.mount(None, device.encode(), None, flags, None), f"read-only mount of {device}")
    mount_tmpfs("/proc", READ_ONLY, "size=4096,nr_inodes=2,mode=0500")


def own_scratch(scratch: str, scratch_bytes: int) -> None:
    """Cover the scratch folder with an empty one of limited size, for this process and its threads alone."""
    checked(libc.unshare(NEW_MOUNTS), "unshare")
    mount_tmpfs(scratch, 0, f"size={scratch_bytes},nr_inodes=512,mode=0700")


def close_descriptors(keep: int) -> int:
    """Point 0, 1 and 2 at nothing, move `keep` to 3, close the rest; return 3."""
    os.dup2(keep, 60)  # out of the way of what follows
    nothing = os.open("/dev/null", os.O_RDWR)
    for number in (0, 1, 2):
        os.dup2(nothing, number)
    os.dup2(60, 3)
    os.closerange(4, resource.getrlimit(resource.RLIMIT_NOFILE)[1])
    return 3


# --- limits and capabilities


def limit(cpu_seconds: int, address_bytes: int, file_bytes: int, threads: int) -> None:
    """Set the resource limits, none of which can be raised again.

    Processes and threads are counted together for a user in a user namespace, so this count is the job's own: keeper,
    child and the child's threads. It binds every user but root (`counts_threads`).
    """
    for what, most in (
        (resource.RLIMIT_CPU, cpu_seconds),
        (resource.RLIMIT_AS, address_bytes),
        (resource.RLIMIT_FSIZE, file_bytes),
        (resource.RLIMIT_NPROC, 2 + threads),
        (resource.RLIMIT_NOFILE, 64),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_MEMLOCK, 0),
        (resource.RLIMIT_MSGQUEUE, 0),
        (resource.RLIMIT_SIGPENDING, 64),
    ):
        resource.setrlimit(what, (most, most))


SET_DUMPABLE, SET_SECCOMP, DROP_FROM_BOUNDING, NO_NEW_PRIVILEGES, AMBIENT, AMBIENT_CLEAR = 4, 22, 24, 38, 47, 4
PARENT_DEATH_SIGNAL = 1


def prctl(option: int, first: int = 0, second: int = 0) -> int:
    arguments = [ctypes.c_ulong(number) for number in (first, second, 0, 0)]
    return checked(libc.prctl(option, *arguments), f"prctl {option}")


def die_with_parent() -> None:
    prctl(PARENT_DEATH_SIGNAL, 9)


def drop_capabilities() -> None:
    """Give up every capability for good."""
    capability = 0
    while libc.prctl(DROP_FROM_BOUNDING, ctypes.c_ulong(capability), *[ctypes.c_ulong(0)] * 3) == 0:
        capability += 1  # until the kernel knows no further one
    prctl(AMBIENT, AMBIENT_CLEAR)
    header = struct.pack("Ii", 0x20080522, 0)  # version 3, this process
    checked(libc.capset(header, bytes(24)), "capset")
    prctl(SET_DUMPABLE, 0)
    prctl(NO_NEW_PRIVILEGES, 1)


# --- Landlock: which folders, and nothing of the network

CREATE_RULESET, ADD_RULE, RESTRICT_SELF = 444, 445, 446
RIGHTS_BY_ABI = {1: 13, 2: 14, 3: 15, 4: 15, 5: 16}  # how many file rights each version knows
READ_FILE, READ_FOLDER, WRITE_FILE, IOCTL = 1 << 2, 1 << 3, 1 << 1, 1 << 15
EXECUTE, MAKE_SPECIAL = 1 << 0, 1 << 6 | 1 << 9 | 1 << 10 | 1 << 11 | 1 << 12  # devices, sockets, pipes, links


def landlock_version() -> int:
    """Return which version of Landlock the kernel has; below 1 where it has none."""
    version: int = libc.syscall(CREATE_RULESET, None, ctypes.c_size_t(0), 1)
    return version


def landlock(readable: list[str], writable: list[str], devices: tuple[str, ...]) -> None:
    """Allow reading below `readable`, writing below `writable` and on `devices`; no TCP, no signal outwards.

    A kernel without Landlock is left at that: this is a second fence behind the mounts and namespaces.
    """
    version = landlock_version()
    if version < 1:
        return
    rights = (1 << RIGHTS_BY_ABI.get(version, 16)) - 1
    network = 3 if version >= 4 else 0  # bind, connect
    scope = 3 if version >= 6 else 0  # abstract sockets, signals
    attributes = struct.pack("QQQ", rights, network, scope)[: 8 if version < 4 else 16 if version < 6 else 24]
    ruleset = checked(libc.syscall(CREATE_RULESET, attributes, ctypes.c_size_t(len(attributes)), 0), "landlock")
    for paths, allowed in (
        (readable, READ_FILE | READ_FOLDER),
        (writable, rights & ~(EXECUTE | MAKE_SPECIAL | IOCTL)),
        (devices, READ_FILE | WRITE_FILE),
    ):
        for path in paths:
            place = os.open(path, os.O_PATH | os.O_CLOEXEC)
            here = allowed if os.path.isdir(path) else allowed & (READ_FILE | WRITE_FILE)
            rule = struct.pack("=Qi", here & rights, place)
            checked(libc.syscall(ADD_RULE, ruleset, 1, rule, 0), f"landlock rule for {path}")
            os.close(place)
    checked(libc.syscall(RESTRICT_SELF, ruleset, 0), "landlock")
    os.close(ruleset)


# --- seccomp: the system calls that numerical Python needs, and no other

#: name, number on x86_64, number on aarch64; "-" where that machine has none.
ALLOWED = """
read 0 63, write 1 64, readv 19 65, writev 20 66, pread64 17 67, pwrite64 18 68, preadv 295 69, pwritev 296 70,
open 2 -, openat 257 56, close 3 57, close_range 436 436, lseek 8 62, stat 4 -, fstat 5 80, lstat 6 -,
newfstatat 262 79, statx 332 291, access 21 -, faccessat 269 48, faccessat2 439 439, getdents 78 -, getdents64 217 61,
getcwd 79 17, chdir 80 49, fchdir 81 50, mkdir 83 -, mkdirat 258 34, rmdir 84 -, unlink 87 -, unlinkat 263 35,
rename 82 -, renameat 264 38, renameat2 316 276, truncate 76 45, ftruncate 77 46, fallocate 285 47, fsync 74 82,
fdatasync 75 83, dup 32 23, dup2 33 -, dup3 292 24, pipe 22 -, pipe2 293 59,
readlink 89 -, readlinkat 267 78, umask 95 166, utimensat 280 88, statfs 137 43, fstatfs 138 44, sendfile 40 71,
copy_file_range 326 285, fadvise64 221 223, chmod 90 -, fchmod 91 52, fchmodat 268 53,
getxattr 191 8, lgetxattr 192 9, fgetxattr 193 10, listxattr 194 11, llistxattr 195 12, flistxattr 196 13,
mmap 9 222, munmap 11 215, mprotect 10 226, mremap 25 216, madvise 28 233, brk 12 214, mincore 27 232, msync 26 227,
clock_gettime 228 113, clock_getres 229 114, clock_nanosleep 230 115, nanosleep 35 101, gettimeofday 96 169,
time 201 -, times 100 153, getitimer 36 102, setitimer 38 103, alarm 37 -,
rt_sigaction 13 134, rt_sigprocmask 14 135, rt_sigreturn 15 139, sigaltstack 131 132, rt_sigpending 127 136,
rt_sigtimedwait 128 137, rt_sigsuspend 130 133, pause 34 -, kill 62 129, tkill 200 130, tgkill 234 131,
restart_syscall 219 128, getpid 39 172, gettid 186 178, getppid 110 173, getuid 102 174, geteuid 107 175,
getgid 104 176, getegid 108 177, getgroups 115 158, getpgrp 111 -, getpgid 121 155, getsid 124 156,
getresuid 118 148, getresgid 120 150, exit 60 93, exit_group 231 94, wait4 61 260, waitid 247 95,
sched_yield 24 124, sched_getaffinity 204 123, sched_getparam 143 121, sched_getscheduler 145 120, getcpu 309 168,
getrusage 98 165, sysinfo 99 179, uname 63 160, getrlimit 97 163, setrlimit 160 164,
getpriority 140 141, getrandom 318 278,
futex 202 98, set_robust_list 273 99, get_robust_list 274 100, set_tid_address 218 96, rseq 334 293, membarrier 324 283,
poll 7 -, ppoll 271 73, select 23 -, pselect6 270 72, epoll_create 213 -, epoll_create1 291 20, epoll_ctl 233 21,
epoll_wait 232 -, epoll_pwait 281 22, epoll_pwait2 441 441, eventfd 284 -, eventfd2 290 19,
sendto 44 206, recvfrom 45 207, shutdown 48 210, getsockname 51 204, getpeername 52 205, getsockopt 55 209
"""

#: The same, for calls of which one argument is looked at too.
ONLY_WITH = "clone 56 220, socketpair 53 199, ioctl 16 29, prctl 157 167, fcntl 72 25, prlimit64 302 261"
THREAD = 0x00010000  # clone: a thread of this process, not a process
LOCAL_SOCKET = 1  # socketpair: what an event loop wakes itself with
TERMINAL_QUESTIONS = (0x5401, 0x5413, 0x541B, 0x5421, 0x5450, 0x5451)  # ioctl: is it a terminal, how wide, how full
THREAD_NAMES = (15, 16)  # prctl
ITSELF = 0  # prlimit64: its own limits, never its keeper's
DESCRIPTORS = (0, 1, 2, 3, 4, 1030, 1032)  # fcntl: copy one, its flags, a pipe's size; no lock, lease or notice

NO_PERMISSION, NO_SUCH_CALL = 0x00050001, 0x00050026  # errno EPERM, ENOSYS
ALLOW, KILL = 0x7FFF0000, 0x80000000
LOAD, EQUAL, ANY_BIT, AT_LEAST, RETURN = 0x20, 0x15, 0x45, 0x35, 0x06
CALL, ARCHITECTURE, FIRST_ARGUMENT, SECOND_ARGUMENT = 0, 4, 16, 24
FIRST_SHARED_NUMBER = 424  # from here a number means the same call on every machine


def numbers(table: str, column: int) -> dict[str, int]:
    """Return {name: number} of one machine's column."""
    rows = [row.split() for row in table.replace("\n", " ").split(",")]
    return {row[0]: int(row[1 + column]) for row in rows if row[1 + column] != "-"}


def seccomp_program(machine: str | None = None, threads: bool = True) -> bytes:
    """Return the filter as bytes, with or without leave to start threads.

    It reads: wrong machine, kill; on the list, allow; newer than the list, no such call (so that the C library falls
    back to an older one); anything else, not permitted.
    """
    column, architecture = MACHINES[machine or platform.machine()]

    def step(code: int, constant: int, if_so: int = 0, if_not: int = 0) -> bytes:
        return struct.pack("HBBI", code, if_so, if_not, constant)

    def look_at(number: int, argument: int, test: int, accepted: tuple[int, ...]) -> bytes:
        """Where it is this call: allow if the low half of its argument passes the test for any accepted constant."""
        body = step(LOAD, argument)
        for constant in accepted:
            body += step(test, constant, 0, 1) + step(RETURN, ALLOW)
        body += step(RETURN, NO_PERMISSION)
        return step(EQUAL, number, 0, len(body) // 8) + body

    program = step(LOAD, ARCHITECTURE) + step(EQUAL, architecture, 1, 0) + step(RETURN, KILL) + step(LOAD, CALL)
    for number in numbers(ALLOWED, column).values():
        program += step(EQUAL, number, 0, 1) + step(RETURN, ALLOW)
    special = numbers(ONLY_WITH, column)
    program += look_at(special["clone"], FIRST_ARGUMENT, ANY_BIT, (THREAD,) if threads else ())
    program += look_at(special["socketpair"], FIRST_ARGUMENT, EQUAL, (LOCAL_SOCKET,))
    program += look_at(special["ioctl"], SECOND_ARGUMENT, EQUAL, TERMINAL_QUESTIONS)
    program += look_at(special["prctl"], FIRST_ARGUMENT, EQUAL, THREAD_NAMES)
    program += look_at(special["fcntl"], SECOND_ARGUMENT, EQUAL, DESCRIPTORS)
    program += look_at(special["prlimit64"], FIRST_ARGUMENT, EQUAL, (ITSELF,))
    program += step(AT_LEAST, FIRST_SHARED_NUMBER, 0, 1) + step(RETURN, NO_SUCH_CALL)
    return program + step(RETURN, NO_PERMISSION)


def seccomp(program: bytes) -> None:
    """Put this process, and all its threads to come, behind the filter."""
    code = ctypes.create_string_buffer(program, len(program))
    header = struct.pack("HP", len(program) // 8, ctypes.addressof(code))
    holder = ctypes.create_string_buffer(header, len(header))
    prctl(SET_SECCOMP, 2, ctypes.addressof(holder))
