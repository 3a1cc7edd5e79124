"""Hostile and broken notebooks, one row each: what it tries, and all that may come of it.

An attack that gets what it wants puts it in `loot`. `SECRET`, `HOST_PORT` and `HOST_FILE` are filled in by the test.
"""

import platform
from dataclasses import dataclass

from graders.runner.inside import answers

MISSING = "missing"
ROWS: list["Row"] = []


@dataclass(frozen=True)
class Row:
    """One hostile notebook.

    `ended` is how its sheet may end; `says` must be among what the attacking cells print or raise; `loot` is the value
    the notebook gets to report, or the reason that there is none, "?" where either will do.
    """

    name: str
    cells: tuple[str, ...]
    ended: tuple[str, ...] = ("finished",)
    says: str = ""
    loot: object = MISSING

    @property
    def timed(self):
        """Whether running out of time is what may come of it."""
        return "time" in self.ended or self.says == "TookTooLong"


def row(name, *cells, ended="finished", says="", loot=MISSING):
    ended = (ended,) if isinstance(ended, str) else ended
    ROWS.append(Row(name, cells, ended, says, loot))


NUMBERS = {
    "keyctl": (250, 219),
    "bpf": (321, 280),
    "perf_event_open": (298, 241),
    "userfaultfd": (323, 282),
    "clone_thread": (56, 220),
    "shmget": (29, 194),
    "semget": (64, 190),
    "msgget": (68, 186),
    "mq_open": (240, 180),
    "fanotify_init": (300, 262),
    "open_by_handle_at": (304, 265),
    "clock_settime": (227, 112),
    "sethostname": (170, 161),
    "syslog": (103, 116),
    "personality": (135, 92),
    "timer_create": (222, 107),
    "timerfd_create": (283, 85),
    "signalfd4": (289, 74),
    "vmsplice": (278, 75),
    "setpgid": (109, 154),
    "setsid": (112, 157),
    "pivot_root": (155, 41),
    "sched_setattr": (314, 274),
    "ioprio_set": (251, 30),
    "init_module": (175, 105),
    "move_pages": (279, 239),
    "kcmp": (312, 272),
}
LIBC = "import ctypes\nlibc = ctypes.CDLL(None, use_errno=True)\n"


def refused_call(name, call, error=1):
    """A raw system call must come back as -1 with this error number (1 is 'not permitted', 38 'no such call')."""
    for known, (x86_64, aarch64) in NUMBERS.items():
        call = call.replace(known, str(x86_64 if platform.machine() == "x86_64" else aarch64))
    row(name, LIBC + f"print(libc.{call}, ctypes.get_errno())", says=f"-1 {error}")


# --- reading what is not theirs
row("reads a file of the host", "loot = open('HOST_FILE').read()", says="FileNotFoundError")
row("reads it by a path with dots", "loot = open('/scratch/../' + 'HOST_FILE').read()", says="FileNotFoundError")
row("reads the user list", "loot = open('/etc/passwd').read()", says="FileNotFoundError")
row("imports the graders", "import graders\nloot = 1", says="ModuleNotFoundError")
row(
    "looks for the key on every import path",
    """
import os, sys
places = [os.path.join(folder, name) for folder in sys.path for name in
          ("graders", "solutions", "exercises", "workbook/exercises", "graders/sheets")]
loot = sum(len(os.listdir(place)) for place in places if os.path.isdir(place))""",
    loot=0,
)
row(
    "walks the runner's room for printed notebooks",
    """
import os
loot = [folder for folder, _, names in os.walk('/room') for name in names
        if name.endswith('.ipynb') and not folder.endswith('lessons')]""",
    loot=[],
)
row("lists the root folder", "import os\nloot = os.listdir('/')", says="PermissionError")
row("lists the processes", "import os\nloot = os.listdir('/proc')", says="PermissionError")
row("reads its own environment from /proc", "loot = open('/proc/self/environ').read()", says="FileNotFoundError")
row("reads the warden's memory", "loot = open('/proc/1/mem', 'rb').read(1)", says="FileNotFoundError")
row("looks for a secret in the environment", "import os\nloot = 'SECRET' in str(os.environ)", loot=False)
row("reads the machine's memory", "loot = open('/dev/mem', 'rb').read(1)", says="FileNotFoundError")
row("opens a terminal", "loot = open('/dev/tty').fileno()", says="FileNotFoundError")
row(
    "links to a file of the host",
    "import os\nos.symlink('HOST_FILE', 'link')\nloot = open('link').read()",
    says="PermissionError",
)
row(
    "looks for a sibling's names in memory",
    """
import gc
loot = any(type(thing) is dict and 'sibling_only' in thing for thing in gc.get_objects())""",
    loot=False,
)
row("looks for what the sheet before it left", "import os\nloot = os.listdir('/scratch')", loot=[])

# --- writing where nothing is theirs
for place, where in {
    "a system library": "'/usr/lib/x'",
    "an installed package": "__import__('numpy').__file__",
    "the runner": "__import__('inside').__file__",
    "the workbook": "__import__('workbook').__file__",
    "the root folder": "'/x'",
    "the shared memory": "'/dev/shm/x'",
}.items():
    row(f"writes over {place}", f"open({where}, 'w').write('x')\nloot = 1", says="Error")
row("deletes the runner", "import inside, os\nos.unlink(inside.__file__)\nloot = 1", says="Error")
row(
    "fills its folder",
    """
for i in range(100):
    with open(f'big{i}', 'wb') as file:
        file.write(bytes(10**7))
loot = 1""",
    says="No space left",
)
row(
    "fills its folder with empty files",
    "for i in range(10**4): open(str(i), 'w').close()\nloot = 1",
    says="No space left",
)
row("writes one file without end", "file = open('f', 'wb')\nwhile True: file.write(bytes(10**6))", says="Error")
row(
    "mounts its folder anew",
    LIBC + "print(libc.mount(b't', b'/scratch', b'tmpfs', 0, 0), ctypes.get_errno())",
    says="-1 1",
)
row("makes a device", "import os\nos.mknod('d', 0o20666, os.makedev(1, 1))\nloot = 1", says="PermissionError")
row("makes a named pipe", "import os\nos.mkfifo('p')\nloot = 1", says="PermissionError")
row("removes its working folder", "import os\nos.rmdir('/scratch')\nloot = 1", says="Error")
row("goes to another folder", "import os\nos.chdir('/')\nopen('x', 'w')\nloot = 1", says="Error")

# --- talking to anyone
row(
    "connects to the host",
    "import socket\nsocket.create_connection(('127.0.0.1', HOST_PORT), 2)\nloot = 1",
    says="PermissionError",
)
row(
    "sends a datagram",
    "import socket\nsocket.socket(socket.AF_INET, socket.SOCK_DGRAM)\nloot = 1",
    says="PermissionError",
)
row(
    "opens a web page",
    "import urllib.request\nurllib.request.urlopen('http://127.0.0.1:HOST_PORT/')\nloot = 1",
    says="Error",
)
row("asks for a name", "import socket\nloot = socket.gethostbyname('example.org')", says="gaierror")
row("opens a local socket", "import socket\nsocket.socket(socket.AF_UNIX)\nloot = 1", says="PermissionError")
row("pairs network sockets", "import socket\nsocket.socketpair(socket.AF_INET)\nloot = 1", says="Error")
row("listens", "import socket\nsocket.create_server(('127.0.0.1', 9999))\nloot = 1", says="Error")
row(
    "listens from an event loop",
    "import asyncio\ntry:\n    server = await asyncio.start_server(print, '127.0.0.1', 9999)\n"
    "    loot = len(server.sockets) > 0\nexcept OSError:\n    loot = False",
    loot=False,
)
row(
    "connects from an event loop",
    "import asyncio\nawait asyncio.open_connection('127.0.0.1', HOST_PORT)\nloot = 1",
    says="Error",
)
refused_call("asks for an io_uring", "syscall(425, 8, 0)", 38)

# --- starting other programs
row("forks", "import os\nloot = os.fork()", says="PermissionError")
row("forks without end", "import os\nwhile True:\n    os.fork()", says="PermissionError")
row("forks below Python", LIBC + "print(libc.fork(), ctypes.get_errno())", says="-1 1")
refused_call("clones below the C library", "syscall(435, 0, 0)", 38)
row("runs a program", "import subprocess\nloot = subprocess.run(['/usr/bin/id']).returncode", says="Error")
row("runs a shell command", "import os\nloot = os.system('id') == 0", loot=False)
row("becomes a program", "import os, sys\nos.execv(sys.executable or '/usr/bin/id', ['x'])\nloot = 1", says="Error")
row("spawns a program", "import os\nos.posix_spawn('/usr/bin/id', ['id'], {})\nloot = 1", says="Error")
row(
    "starts a worker process",
    "import multiprocessing\nmultiprocessing.get_context('fork').Process(target=print).start()\nloot = 1",
    says="Error",
)
row("uses a shell line", "!id", says="PermissionError")
row("uses a shell line's output", "loot = !id", says="PermissionError")
row("uses a shell cell", "%%bash\nid", says="Error")
row(
    "starts threads without end",
    """
import threading, time
while True: threading.Thread(target=time.sleep, args=(100,)).start()""",
    says="can't start new thread",
)

# --- taking all the memory
row("builds a text of ten gigabytes", "loot = len('x' * 10**10)", says="MemoryError")
row("appends without end", "things = []\nwhile True: things.append(bytearray(10**7))", says="MemoryError")
row("asks numpy for eighty gigabytes", "import numpy\nloot = numpy.ones(10**10).sum()", says="MemoryError")
row("maps six gigabytes", "import mmap\nmmap.mmap(-1, 6 * 10**9)\nloot = 1", says="OSError")
row("makes a file in memory", "import os\nos.memfd_create('m')\nloot = 1", says="PermissionError")
row("locks memory", LIBC + "print(libc.mlockall(3), ctypes.get_errno())", says="-1")
row("recurses without end", "def again(): again()\nagain()", says="RecursionError")
row("nests brackets without end", "eval('(' * 100000)", says="Error")
row(
    "recurses in C",
    "import ctypes\nnest = None\nfor _ in range(10**6): nest = (nest,)\nrepr(nest)",
    ended=("finished", "crashed"),
)
row(
    "holds on to memory and goes on",
    """
things = []
while True:
    try: things.append(bytearray(10**7))
    except MemoryError: pass""",
    ended=("finished", "time", "memory"),
)

# --- taking all the time
row("loops without end", "while True: pass", says="TookTooLong")
row("sleeps for ever", "import time\ntime.sleep(10**6)", says="TookTooLong")
row(
    "loops and lets errors pass",
    """
while True:
    try:
        while True: pass
    except Exception: pass""",
    says="TookTooLong",
)
row(
    "loops and lets everything pass",
    """
while True:
    try:
        while True: pass
    except BaseException: pass""",
    ended=("time", "finished"),
)
row("switches the alarm off", "import signal, time\nsignal.alarm(0)\ntime.sleep(10**6)", ended="time")
row(
    "answers the alarm itself",
    "import signal, time\nsignal.signal(signal.SIGALRM, signal.SIG_IGN)\ntime.sleep(10**6)",
    ended="time",
)
row(
    "blocks all signals",
    "import signal, time\nsignal.pthread_sigmask(signal.SIG_BLOCK, range(1, 65))\ntime.sleep(10**6)",
    ended="time",
)
row("computes in C without end", "sum(range(10**13))", ended="time")
row("matches a pattern without end", "import re\nre.match('(a+)+b', 'a' * 60)", ended=("time", "finished"))
row("raises a number to a huge power", "loot = 7 ** (10**9) % 10", ended=("time", "finished"))
row(
    "waits on a lock it holds",
    "import threading\nlock = threading.Lock()\nlock.acquire()\nlock.acquire()",
    says="TookTooLong",
)
row("waits for input", "loot = input('how many? ')", says="StdinNotImplementedError")
row("waits for a password", "import getpass\nloot = getpass.getpass()", says="StdinNotImplementedError")
row("waits in an event loop", "import asyncio\nawait asyncio.sleep(10**6)", says="TookTooLong")

# --- printing and showing without end
row("prints without end", "while True: print('x' * 1000)", says="TooMuchOutput")
row("prints one huge text", "print('x' * 10**8)", says="TooMuchOutput")
row(
    "prints nothing without end",
    "import sys\nwhile True:\n    sys.stderr.write('.'); sys.stdout.write('.')",
    says="TooMuchOutput",
)
row(
    "prints and lets everything pass",
    """
while True:
    try: print('x' * 1000)
    except BaseException: pass""",
    ended=("time", "finished"),
)
row("shows without end", "while True: display(1)", says="TooMuchOutput")
row("shows one huge page", "from IPython.display import HTML\nHTML('x' * 10**8)", says="TooMuchOutput")
row(
    "draws without end",
    """
import matplotlib.pyplot as plt
for i in range(10**4):
    plt.figure(figsize=(1, 1)); plt.plot([1, 2]); plt.show()""",
    ended=("finished", "time"),
    says="T",
)
row(
    "draws one huge picture",
    "import matplotlib.pyplot as plt\nplt.figure(figsize=(500, 500))\nplt.plot([1, 2]);",
    ended=("finished", "time"),
)
row(
    "has a huge value as its last line", "type('Huge', (), {'__repr__': lambda _: 'x' * 10**7})()", says="TooMuchOutput"
)
row("raises an error with a huge text", "raise ValueError('x' * 10**7)", says="ValueError")
row("prints half of a surrogate pair", "print('\\ud800')\nloot = '\\ud800'", loot="?")
row("prints control characters", "print('\\0\\x1b[2J' * 100)\nloot = 1", loot=1)
row("shows a script", "from IPython.display import HTML, Javascript\ndisplay(Javascript('alert(1)'))\nloot = 1", loot=1)
row(
    "shows a picture that is none",
    "from IPython.display import display\ndisplay({'image/png': '<script>'}, raw=True)",
    ended="malformed",
)
row("shows what is not text", "display({'text/plain': {'a': 1}, 'x/y': [1]}, raw=True)\nloot = 1", loot=1)

# --- forging the result
PIPE = "import os\n"
row("writes junk on the result pipe", PIPE + "os.write(3, b'junk\\n')", ended="malformed")
row("writes bytes that are no text", PIPE + "os.write(3, b'\\xff\\xfe\\n')", ended="malformed")
row("floods the result pipe", PIPE + "while True: os.write(3, b'x' * 10**6)", ended="too large")
row("floods it with lines", PIPE + "while True: os.write(3, b'\\n' * 10**6)", ended="malformed")
row("writes lists nested two hundred thousand deep", PIPE + "os.write(3, b'[' * 200000 + b'\\n')", ended="malformed")
row("writes a number of five thousand digits", PIPE + "os.write(3, b'9' * 5000 + b'\\n')", ended="malformed")
row("tells of another cell", PIPE + "os.write(3, b'[0,9,\"ok\",[],null,{},0.1]\\n')", ended="malformed")
row("tells of another sheet", PIPE + "os.write(3, b'[7,2,\"ok\",[],null,{},0.1]\\n')", ended="malformed")
row("tells of its own cell twice", PIPE + "os.write(3, b'[0,2,\"ok\",[],null,{},0.1]\\n')", ended="malformed")
FORGE = (
    'import os\nos.write(3, b\'[0,2,"ok",[],null,{},0]\\n[0,3,"ok",[],null,{},0]\\n'
    '[0,4,"reported",[],ANSWERS,{},0]\\n\')\nos._exit(0)'
)
row("forges an answer that is no number", FORGE.replace("ANSWERS", '{"after":NaN,"loot":1}'), ended="malformed")
row("forges an answer too large for a number", FORGE.replace("ANSWERS", '{"after":1e999,"loot":1}'), ended="malformed")
row("forges an answer nested in lists", FORGE.replace("ANSWERS", '{"after":[[[1]]],"loot":1}'), ended="malformed")
row("forges an answer nobody asked for", FORGE.replace("ANSWERS", '{"after":2,"loot":1,"more":9}'), ended="malformed")
row("leaves an answer out", FORGE.replace("ANSWERS", '{"after":2}'), ended="malformed")
row(
    "forges a text of a million characters",
    FORGE.replace("ANSWERS", '{"after":2,"loot":"\' + b"x" * 10**6 + b\'"}'),
    ended="malformed",
)
row(
    "forges a reason of its own",
    FORGE.replace("ANSWERS,{}", '{"after":null,"loot":1},{"after":"<b>full marks</b>"}'),
    ended="malformed",
)
row(
    "forges plain numbers, which is the same as typing them", FORGE.replace("ANSWERS", '{"after":2,"loot":77}'), loot=77
)
row("forges a negative time", PIPE + "os.write(3, b'[0,2,\"ok\",[],null,{},-1]\\n')", ended="malformed")
row("forges an endless time", PIPE + "os.write(3, b'[0,2,\"ok\",[],null,{},1e999]\\n')", ended="malformed")
row(
    "forges answers at a cell that was not asked",
    PIPE + 'os.write(3, b\'[0,2,"ok",[],{"loot":1},{},0]\\n\')',
    ended="malformed",
)
row(
    "forges an output of no known kind",
    PIPE + 'os.write(3, b\'[0,2,"ok",[{"output_type":"page"}],null,{},0]\\n\')',
    ended="malformed",
)
row(
    "forges thousands of outputs",
    PIPE + "os.write(3, b'[0,2,\"ok\",[' + b'{},' * 30000 + b'{}],null,{},0]\\n')",
    ended="malformed",
)
row("closes the result pipe", PIPE + "os.close(3)", ended="crashed")
row("closes every descriptor", PIPE + "os.closerange(0, 64)", ended="crashed")
row("points the result pipe at nothing", PIPE + "os.dup2(os.open('/dev/null', 1), 3)", ended="crashed")
row("closes the pipe and goes on", PIPE + "os.close(3)\nwhile True: pass", ended="crashed")
row(
    "makes the result pipe refuse",
    PIPE + "os.set_blocking(3, False)\nwhile True: os.write(3, b'x' * 10**5)",
    ended=("too large", "malformed", "crashed"),
)
row(
    "opens descriptors without end",
    "files = []\nwhile True: files.append(open('/dev/null'))",
    says="Too many open files",
)

# --- breaking Python from inside
row("replaces float", "import builtins\nbuiltins.float = lambda *_: 1e9\nloot = 2.5", loot=answers.NOT_PLAIN)
row(
    "replaces type",
    "import builtins\nbuiltins.type = lambda *_: float\nloot = object()",
    ended=("finished", "crashed"),
    loot=answers.NOT_PLAIN,
)
row("empties the builtins", "import builtins\nbuiltins.__dict__.clear()", ended=("crashed", "finished", "malformed"))
row("empties the list of modules", "import sys\nsys.modules.clear()\nloot = 1", ended=("crashed", "finished"), loot="?")
row(
    "replaces the JSON encoder",
    "import json\njson.JSONEncoder.encode = lambda *_: '{'\njson.dumps = None\nloot = 3",
    loot=3,
)
row(
    "replaces what the runner sends by", "import inside.cells\ninside.cells.encode = lambda _: '[0]'", ended="malformed"
)
row(
    "replaces the reader of answers, which is the same as typing them",
    "import inside.answers\ninside.answers.read = lambda *_: ({'after': 2, 'loot': 99}, {})",
    loot=99,
)
row(
    "lets the reader of answers lie about types",
    "import inside.answers\ninside.answers.read = lambda *_: ({'after': 2, 'loot': [[1]]}, {})",
    ended="malformed",
)
row("breaks os.write", "import os\ndef broken(*_): raise OSError\nos.write = broken", ended="crashed")
row("breaks the clock", "import time\ntime.monotonic = lambda: float('nan')", ended=("malformed", "crashed", "time"))
row("turns the clock back", "import time\ntime.monotonic = lambda: -1e9", ended=("malformed", "finished"))
row("closes the printing", "import sys\nsys.stdout = None\nsys.stderr = None\nprint(1)\n1/0", ended="finished")
row("replaces the shell's namespace", "get_ipython().user_ns = {}\nloot = 1", ended=("finished", "crashed"), loot="?")
row(
    "hooks the end of each cell",
    """
def hook(*_): raise RuntimeError('hooked')
get_ipython().events.register('post_execute', hook)
loot = 4""",
    loot=4,
)
row("breaks the display of results", "import sys\nsys.displayhook = None\n1", ended="finished")
row("breaks the display of errors", "get_ipython()._showtraceback = None\n1/0", ended=("finished", "crashed"))
row("breaks numpy", "import numpy\nnumpy.ndarray = numpy.float64 = None\nloot = 5", loot=5)
row("breaks matplotlib", "import matplotlib\nmatplotlib.rcParams['figure.dpi'] = 10\nloot = 6", loot=6)
row("traces every line", "import sys\nsys.settrace(lambda *_: 1/0)\nx = 1", ended=("finished", "crashed"))
row("lowers the recursion limit", "import sys\nsys.setrecursionlimit(60)", ended=("finished", "crashed"))

# --- numbers that are none
for words, source in {
    "a float that equals everything": "type('F', (float,), {'__eq__': lambda *_: True, '__abs__': lambda *_: 0.0})(1)",
    "a number made by a class called float": "type('float', (), {'__float__': lambda _: 1.0})()",
    "an int with its own comparison": "type('I', (int,), {'__lt__': lambda *_: True})(1)",
    "a text with its own length": "type('S', (str,), {'__len__': lambda _: 1})('x')",
    "a list that is shorter than it says": "type('L', (list,), {'__len__': lambda _: 1})([1] * 100)",
    "an array of a class of its own": "type('A', (__import__('numpy').ndarray,), {})(1)",
    "a masked array": "__import__('numpy').ma.masked_array([1.0], [True])",
    "an array of objects": "__import__('numpy').array([object()])",
    "a function": "lambda: 1",
    "an exact decimal": "__import__('decimal').Decimal('12.5')",
    "bytes": "b'12.5'",
    "a generator": "(x for x in range(10**9))",
    "a mock of everything": "__import__('unittest.mock').mock.MagicMock()",
}.items():
    row(f"answers with {words}", f"loot = {source}", loot=answers.NOT_PLAIN)
row("answers with a list that holds itself", "loot = []\nloot.append(loot)", loot=answers.NOT_PLAIN)
row("answers with ten million numbers", "loot = [0] * 10**7", loot=answers.TOO_LONG)
row("answers with a text of ten million letters", "loot = 'x' * 10**7", loot=answers.TOO_LONG)
row("answers with minus infinity", "loot = -float('inf')", loot=answers.NOT_FINITE)
row("answers with a list that holds no number", "loot = [1.0, float('nan')]", loot=answers.NOT_FINITE)
row("answers with a whole number beyond all floats", "loot = 10**400", loot=answers.NOT_FINITE)
row("answers with a complex number", "loot = 1j", loot=answers.COMPLEX)
row("answers with a decimal comma", "loot = 12,5", loot=answers.DECIMAL_COMMA)
row("leaves the answer open", "loot = ...", loot=answers.NOT_YET)
row("takes the answer away again", "loot = 1", "del loot")
row("answers and then fails", "loot = 8\n1/0", says="ZeroDivisionError", loot=8)
row(
    "hides its names behind a namespace of its own",
    "class N(dict):\n    __contains__ = lambda *_: True\nglobals().__class__ = N",
    says="TypeError",
)

# --- ending badly, and signals
row("leaves at once", "import os\nos._exit(0)", ended="crashed")
row("leaves as if out of memory", "import os\nos._exit(5)", ended="memory")
row("leaves as if out of time", "import os\nos._exit(4)", ended="time")
row("exits politely", "import sys\nsys.exit(1)", says="SystemExit")
row("calls exit", "exit()\nloot = 1", loot=1)
row("is interrupted", "raise KeyboardInterrupt", says="KeyboardInterrupt")
row("reads address nought", "import ctypes\nctypes.string_at(0)", ended="crashed")
row("aborts", "import os\nos.abort()", ended="crashed")
row("kills its process group", "import os\nos.kill(0, 9)\nloot = os.getppid()", ended="memory")
row("kills everyone", "import os\ntry: os.kill(-1, 9)\nexcept OSError: pass\nloot = os.getpid()", loot=2)
row("kills itself", "import os, signal\nos.kill(os.getpid(), signal.SIGKILL)\nloot = 1", ended="memory")
row("stops itself", "import os, signal\nos.kill(os.getpid(), signal.SIGSTOP)\nloot = 1", ended="time")
row(
    "stops its neighbours",
    "import os, signal\nfor n in range(3, 999):\n    os.kill(n, signal.SIGSTOP)\nloot = 1",
    says="ProcessLookupError",
)
row("kills its keeper", "import os\nos.kill(os.getppid(), 9)\nloot = 1", says="PermissionError")
row(
    "raises an error that cannot be put in words",
    "class E(Exception):\n    def __str__(self): raise self\nraise E",
    ended="finished",
)
row(
    "raises an error that draws itself",
    "class E(Exception):\n    def _render_traceback_(self): return [1, None]\nraise E",
    ended="finished",
)
row("raises an error of no kind", "class E(BaseException): pass\nraise E", says="E")
row("raises a group of errors", "raise ExceptionGroup('g', [ValueError(1)])", ended="finished")
row("is no Python", "this is no Python (", says="SyntaxError")
row("holds a null character", "a = 1\0", ended="finished", says="Error")
row("holds half of a surrogate pair", "a = '\ud800'", ended="finished", says="Error")
row("is a hundred thousand lines", "a = 1\n" * 100_000, ended=("finished", "time"))
row("names a magic that is none", "%no_such_magic", says="no_such_magic")

# --- threads that stay
row(
    "leaves a thread printing",
    """
import threading
def talk():
    while True: print('x')
threading.Thread(target=talk).start()
loot = 1""",
    ended=("finished", "time"),
    loot=1,
)
row(
    "leaves a thread that will not end",
    "import threading, time\nthreading.Thread(target=time.sleep, args=(10**6,)).start()\nloot = 1",
    loot=1,
)
row(
    "leaves a thread forging results",
    """
import os, threading
def forge():
    while True: os.write(3, b'{}\\n')
threading.Thread(target=forge).start()
import time; time.sleep(0.3)""",
    ended="malformed",
)
row("leaves work for the exit", "import atexit, time\natexit.register(time.sleep, 10**6)\nloot = 1", loot=1)
row(
    "leaves a timer",
    "import signal\nsignal.setitimer(signal.ITIMER_REAL, 0.01, 0.01)\nloot = 1",
    ended=("finished", "crashed", "time"),
    loot=1,
)

# --- asking the kernel for more
row("becomes root", "import os\nos.setuid(0)\nloot = 1", says="PermissionError")
row("raises its limits", "import resource\nresource.setrlimit(resource.RLIMIT_AS, (-1, -1))\nloot = 1", says="Error")
row(
    "raises the limit of processor time",
    "import resource\nresource.setrlimit(resource.RLIMIT_CPU, (-1, -1))\nloot = 1",
    says="Error",
)
refused_call("makes new namespaces", "unshare(0x10000000)")
refused_call("joins other namespaces", "setns(0, 0)")
refused_call("changes its root", "chroot(b'/scratch')")
refused_call("unmounts /proc", "umount2(b'/proc', 2)")
refused_call("traces a process", "ptrace(16, 1, 0, 0)")
refused_call("reads another's memory", "process_vm_readv(1, 0, 0, 0, 0, 0)")
refused_call("takes capabilities", "prctl(24, 21, 0, 0, 0)")
refused_call("loads a filter of its own", "prctl(22, 2, 0, 0, 0)")
refused_call("asks for keys", "syscall(keyctl, 0, 0, 0)")
refused_call("asks for a program in the kernel", "syscall(bpf, 0, 0, 0)")
refused_call("watches the processor", "syscall(perf_event_open, 0, 0, 0, 0, 0)")
refused_call("handles page faults itself", "syscall(userfaultfd, 0)")
refused_call("mounts by the newer call", "syscall(428, -100, b'/', 1)", 38)
refused_call("asks for a call that does not exist", "syscall(100000)", 38)

# --- changing what is the machine's, or everybody's
for device in ("null", "zero", "random", "urandom"):
    row(f"closes /dev/{device} to everyone", f"import os\nos.chmod('/dev/{device}', 0)\nloot = 1", says="Read-only")
    row(f"sets the clock of /dev/{device}", f"import os\nos.utime('/dev/{device}', (1, 1))\nloot = 1", says="Read-only")
row("takes /dev/null for itself", "import os\nos.chown('/dev/null', 65534, 65534)\nloot = 1", says="Error")
row("leaves a mark in everybody's builtins", "import builtins\nbuiltins.sibling_only = 1\nloot = 1", loot=1)
row("makes every warning an error", "import warnings\nwarnings.simplefilter('error')\nloot = 1", loot=1)
row("breaks the printing for all", "import builtins\nbuiltins.print = None\nloot = 1", loot=1)
row(
    "starts small threads without end",
    """
import threading, time
threading.stack_size(32768)
loot = 0
try:
    while loot < 5000:
        threading.Thread(target=time.sleep, args=(100,), daemon=True).start()
        loot += 1
except RuntimeError:
    loot = loot < 40""",
    loot=True,
)
LIBRARY = "import fcntl, numpy\nlibrary = open(numpy.__file__)\n"
row("locks a library", LIBRARY + "fcntl.flock(library, fcntl.LOCK_EX)\nloot = 1", says="PermissionError")
row("locks a part of a library", LIBRARY + "fcntl.lockf(library, fcntl.LOCK_SH)\nloot = 1", says="PermissionError")
row("leases a library", LIBRARY + "fcntl.fcntl(library, fcntl.F_SETLEASE, 0)\nloot = 1", says="PermissionError")
row(
    "asks for notice of a folder", LIBRARY + "fcntl.fcntl(library, fcntl.F_NOTIFY, 1)\nloot = 1", says="PermissionError"
)
row(
    "asks for a signal by a descriptor",
    LIBRARY + "fcntl.fcntl(library, fcntl.F_SETOWN, 1)\nloot = 1",
    says="Permission",
)
row("watches a folder", LIBC + "print(libc.inotify_init1(0), ctypes.get_errno())", says="-1 1")

# --- what a notebook might leave to the next: the follower compares what it sees with what an undisturbed one does
OWN_FOLDER = "import os\n"
row("leaves a file with a line end in its name", "open('a\\nb', 'w').write('x')\nloot = 1", loot=1)
row("leaves a hidden file", "open('.hidden', 'w').write('x')\nloot = 1", loot=1)
row("leaves a folder nobody may enter", OWN_FOLDER + "os.mkdir('closed', 0)\nloot = 1", loot=1)
row("leaves a deep tree", OWN_FOLDER + "os.makedirs('/'.join('d' * 200))\nloot = 1", loot=1)
row("closes its folder to itself", OWN_FOLDER + "os.chmod('/scratch', 0)\nloot = 1", loot=1)
row("dates its folder back", OWN_FOLDER + "os.utime('/scratch', (1, 1))\nloot = 1", loot=1)
row(
    "leaves a library of its own where imports look first",
    "import sys\nopen('/scratch/numpy.py', 'w').write('ndarray = 0')\nsys.path.insert(0, '/scratch')\nloot = 1",
    loot=1,
)
row(
    "leaves a file mapped into memory",
    "import mmap\nf = open('m', 'wb+'); f.truncate(9)\nkept = mmap.mmap(f.fileno(), 9)\nkept[:3] = b'abc'\nloot = 1",
    loot=1,
)
row("leaves another umask", OWN_FOLDER + "os.umask(0o777)\nloot = 1", loot=1)
row("leaves other settings of the environment", OWN_FOLDER + "os.environ['HOME'] = '/x'\nloot = 1", loot=1)
row("leaves another time zone", "import os, time\nos.environ['TZ'] = 'Asia/Tokyo'\ntime.tzset()\nloot = 1", loot=1)
row("leaves another locale", "import locale\nlocale.setlocale(locale.LC_ALL, 'C')\nloot = 1", loot=1)
row("leaves numpy raising", "import numpy\nnumpy.seterr(all='raise')\nloot = 1", loot=1)
row("leaves numpy printing two digits", "import numpy\nnumpy.set_printoptions(precision=2)\nloot = 1", loot=1)
row("leaves decimals of two digits", "import decimal\ndecimal.getcontext().prec = 2\nloot = 1", loot=1)
row("leaves chance decided", "import random\nrandom.seed(1)\nrandom.random = lambda: 0.5\nloot = 1", loot=1)
row("leaves the rubbish lying", "import gc\ngc.disable()\ngc.set_threshold(0)\nloot = 1", loot=1)
row("leaves threads that never take turns", "import sys\nsys.setswitchinterval(100)\nloot = 1", loot=1)
row("leaves pi as three", "import math\nmath.pi = 3\nloot = 1", loot=1)
row(
    "leaves a hook on every import",
    "import sys\nsys.meta_path.insert(0, None)\nloot = 1",
    ended=("finished", "crashed"),
    loot="?",
)
row("leaves a hook on all it does", "import sys\nsys.addaudithook(lambda *_: 1 / 0)", ended=("finished", "crashed"))
row("leaves a magic of its own", "get_ipython().register_magic_function(print, 'line', 'mine')\nloot = 1", loot=1)
row(
    "leaves a display of its own for numbers",
    "get_ipython().display_formatter.formatters['text/plain'].for_type(float, lambda *_: 'x')\nloot = 1",
    loot=1,
)
row("leaves a signal handler", "import signal\nsignal.signal(signal.SIGUSR1, lambda *_: 1 / 0)\nloot = 1", loot=1)
row("leaves signals blocked", "import signal\nsignal.pthread_sigmask(signal.SIG_BLOCK, {2, 10, 15})\nloot = 1", loot=1)
row(
    "leaves a thread that writes files",
    """
import threading
def write():
    while True: open('/scratch/late', 'w').write('x')
threading.Thread(target=write, daemon=True).start()
loot = 1""",
    loot=1,
)
row(
    "leaves a crash to come",
    "import faulthandler\nfaulthandler.dump_traceback_later(0.01, exit=True)\nloot = 1",
    ended=("finished", "crashed"),
    loot="?",
)
row(
    "wakes the results with signals",
    "import os, signal\nos.set_blocking(3, False)\nsignal.set_wakeup_fd(3)\n"
    "signal.signal(signal.SIGUSR1, print)\nos.kill(os.getpid(), signal.SIGUSR1)",
    ended=("malformed", "finished"),
)
row(
    "queues signals without end",
    """
import os, signal
signal.pthread_sigmask(signal.SIG_BLOCK, {40})
for _ in range(20000): os.kill(os.getpid(), 40)
queued = 0
while signal.sigtimedwait({40}, 0): queued += 1
loot = 0 < queued < 200""",
    loot=True,
)

# --- who looks after it
row(
    "takes its keeper's time away",
    "import resource\nresource.prlimit(1, resource.RLIMIT_CPU, (0, 0))\nloot = 1",
    says="PermissionError",
)
row(
    "takes its keeper's descriptors away",
    "import resource\nresource.prlimit(1, resource.RLIMIT_NOFILE, (0, 0))\nloot = 1",
    says="PermissionError",
)
row(
    "looks up its keeper's limits",
    "import resource\nloot = resource.prlimit(1, resource.RLIMIT_CPU)[0]",
    says="PermissionError",
)
row("stops its keeper", "import os, signal\nos.kill(1, signal.SIGSTOP)\nloot = 1", says="PermissionError")
row(
    "asks to be spared where memory runs out",
    "open('/proc/self/oom_score_adj', 'w').write('-1000')\nloot = 1",
    says="FileNotFoundError",
)
refused_call("lets itself be looked into", "prctl(4, 1, 0, 0, 0)")
refused_call("outlives its keeper", "prctl(1, 0, 0, 0, 0)")
refused_call("adopts what is orphaned", "prctl(36, 1, 0, 0, 0)")
refused_call("lets anyone trace it", "prctl(0x59616d61, -1, 0, 0, 0)")
refused_call("moves its memory's edges", "prctl(35, 1, 0, 0, 0)")
refused_call("joins another process group", "syscall(setpgid, 0, 1)")
refused_call("leaves its session", "syscall(setsid)")
refused_call("starts a thread in a network of its own", "syscall(clone_thread, 0x40010900, 0, 0, 0, 0)")
refused_call("sets a timer of the kernel", "syscall(timer_create, 1, 0, 0)")
refused_call("sets a timer with a descriptor", "syscall(timerfd_create, 1, 0)")
refused_call("reads signals from a descriptor", "syscall(signalfd4, -1, 0, 8, 0)")
refused_call("opens a process as a file", "syscall(434, 1, 0)", 38)
refused_call("takes another's descriptor", "syscall(438, 3, 0, 0)", 38)
refused_call("advises another's memory", "syscall(440, 3, 0, 0, 0, 0)", 38)
refused_call("makes memory nobody can look into", "syscall(447, 0)", 38)
refused_call("compares two processes", "syscall(kcmp, 1, 2, 0, 0, 0)")
refused_call("moves another's pages", "syscall(move_pages, 1, 0, 0, 0, 0, 0)")

# --- meeting a neighbour
refused_call("shares memory by a key", "syscall(shmget, 1, 4096, 0o1666)")
refused_call("shares a semaphore by a key", "syscall(semget, 1, 1, 0o1666)")
refused_call("shares a queue by a key", "syscall(msgget, 1, 0o1666)")
refused_call("opens a queue by its name", "syscall(mq_open, b'/queue', 0o102, 0o666, 0)")
refused_call("watches the whole file system", "syscall(fanotify_init, 0, 0)")
row(
    "shares memory by a name",
    "from multiprocessing import shared_memory\nshared_memory.SharedMemory('meet', create=True, size=9)\nloot = 1",
    says="Error",
)
PAIR = "import socket\none, other = socket.socketpair()\n"
row("gives its end of a pair a name", PAIR + "one.bind('\\0meet')\nloot = 1", says="PermissionError")
row("connects its end of a pair to a name", PAIR + "one.connect('\\0meet')\nloot = 1", says="PermissionError")
row("hands a descriptor through a pair", PAIR + "socket.send_fds(one, [b'x'], [3])\nloot = 1", says="PermissionError")

# --- changing a library everybody shares
THE_LIBRARY = "import os, numpy\nplace = numpy.__file__\n"
row("dates a library back", THE_LIBRARY + "os.utime(place, (1, 1))\nloot = 1", says="Read-only")
row("closes a library to everyone", THE_LIBRARY + "os.chmod(place, 0)\nloot = 1", says="Read-only")
row("takes a library for itself", THE_LIBRARY + "os.chown(place, 65534, 65534)\nloot = 1", says="PermissionError")
row(
    "notes something on a library", THE_LIBRARY + "os.setxattr(place, 'user.x', b'x')\nloot = 1", says="PermissionError"
)
row("empties a library", THE_LIBRARY + "os.truncate(place, 0)\nloot = 1", says="Error")
row("moves a library to its folder", THE_LIBRARY + "os.rename(place, 'mine')\nloot = 1", says="Error")
row("links a library into its folder", THE_LIBRARY + "os.link(place, 'mine')\nloot = 1", says="PermissionError")
row(
    "maps a library to write in it",
    THE_LIBRARY + "import mmap\nmmap.mmap(os.open(place, os.O_RDWR), 0)\nloot = 1",
    says="Error",
)
row("dates the runner's room back", "import os\nos.utime('/room', (1, 1))\nloot = 1", says="Read-only")
row("closes the runner's room", "import os\nos.chmod('/room', 0)\nloot = 1", says="Read-only")

# --- the machine itself
row("puts itself last in line", "import os\nos.nice(19)\nloot = 1", says="PermissionError")
row(
    "puts itself first in line",
    "import os\nos.sched_setscheduler(0, os.SCHED_FIFO, os.sched_param(1))\nloot = 1",
    says="PermissionError",
)
row("keeps a processor for itself", "import os\nos.sched_setaffinity(0, {0})\nloot = 1", says="PermissionError")
row("makes a pipe huge", "import fcntl, os\nfcntl.fcntl(os.pipe()[0], 1031, 1 << 20)\nloot = 1", says="PermissionError")
row(
    "adds to the machine's chance",
    "import fcntl\nfcntl.ioctl(open('/dev/random'), 0x40085203, bytes(12))\nloot = 1",
    says="PermissionError",
)
refused_call("sets the machine's clock", "syscall(clock_settime, 0, bytes(16))")
refused_call("names the machine", "syscall(sethostname, b'mine', 4)")
refused_call("reads the kernel's log", "syscall(syslog, 3, 0, 0)")
refused_call("takes another kind of memory map", "syscall(personality, 0x0040000)")
refused_call("opens a file by its number", "syscall(open_by_handle_at, -100, 0, 0)")
refused_call("puts pages into a pipe", "syscall(vmsplice, 1, 0, 0, 0)")
refused_call("changes the root for all", "syscall(pivot_root, b'/', b'/')")
refused_call("asks for a deadline", "syscall(sched_setattr, 0, 0, 0)")
refused_call("puts its files first", "syscall(ioprio_set, 1, 0, 0)")
refused_call("loads a module", "syscall(init_module, 0, 0, b'')")
