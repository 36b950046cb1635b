"""The life of a process in which one archived ruleset judges; bare Python runs this file by its path.

    python -I -S -B judging_apart.py RULES.zip MEMORY_BYTES

It says `ready`, then answers each job on a line with its report on a line. What the rules raise it says
as `broken` with the reason, and ends. Nothing of ours is imported here but what the zip holds.

The audit hook keeps honest rules honest and names what they tried; it is no boundary, for code in the
same process can get around it. The boundary is that only released rules are run (`releases.py`). Beneath
both, where the system has it: no new rights, user nobody when begun as root, no process, file or network
of its own, and of the file system only Python's library and the zip to read (Landlock).
"""

import os
import resource
import sys

OPEN_FILES = 16
NOBODY = 65534
ALLOWED = (
    "array.", "builtins.id", "code.", "compile", "cpython.", "exec", "gc.", "marshal.", "object.",
    "pickle.find_class", "sys.", "time.sleep",
)  # fmt: skip
ACTING = frozenset(
    "_ctypes _multiprocessing _posixshmem _posixsubprocess _socket _ssl ctypes fcntl mmap"
    " multiprocessing pty resource select signal socket subprocess termios".split()
)
NEW_NAMESPACES = 0x10000000 | 0x40000000
"""A user's own, and in it a network without any connection: CLONE_NEWUSER, CLONE_NEWNET."""
NO_NEW_RIGHTS = 38
LANDLOCK = 444
READ_FILE, READ_FOLDER = 1 << 2, 1 << 3
LIBRARIES = ("/lib", "/lib64", "/usr/lib", "/usr/local/lib")


def _hook(rules, library):
    real, decoded, inside = os.path.realpath, os.fsdecode, library + os.sep
    writing = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND

    def within(path):
        path = real(decoded(path))
        return path in (rules, library) or path.startswith(inside)

    def refuse(event, arguments):
        if event == "import":
            if arguments[0].partition(".")[0] in ACTING:
                raise PermissionError(f"rules only judge: {arguments[0]} is refused")
        elif event == "open":
            if arguments[2] & writing:
                raise PermissionError("rules only judge: no file is written")
            if isinstance(arguments[0], int) or not within(arguments[0]):
                raise PermissionError("rules only judge: no file is read but their own")
        elif event == "os.listdir":
            # The folder it stands in is empty.
            if arguments[0] not in (None, ".") and not within(arguments[0]):
                raise PermissionError("rules only judge: no folder is read but their own")
        elif not event.startswith(ALLOWED):
            raise PermissionError(f"rules only judge: {event} is refused")

    return refuse


def _limit(memory):
    resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
    resource.setrlimit(resource.RLIMIT_NOFILE, (OPEN_FILES, OPEN_FILES))
    for kind in (resource.RLIMIT_CORE, resource.RLIMIT_FSIZE, resource.RLIMIT_NPROC):
        resource.setrlimit(kind, (0, 0))


def _give_up_rights(rules, library):
    """Give up what the system lets a process give up; what it does not know is left."""
    import ctypes
    import struct

    system = ctypes.CDLL(None, use_errno=True)
    system.prctl(NO_NEW_RIGHTS, 1, 0, 0, 0)
    if os.geteuid() == 0:
        system.unshare(NEW_NAMESPACES & ~0x10000000)
        _become_nobody(rules, library)
    else:
        system.unshare(NEW_NAMESPACES)
    knows = system.syscall(LANDLOCK, None, 0, 1)
    if knows >= 1:
        bits = 13 + (knows >= 2) + (knows >= 3)
        handled = struct.pack("QQ", (1 << bits) - 1, 3) if knows >= 4 else struct.pack("Q", (1 << bits) - 1)
        held = system.syscall(LANDLOCK, handled, len(handled), 0)
        for path in (library, rules, os.getcwd(), *LIBRARIES):
            if os.path.exists(path):
                there = os.open(path, os.O_PATH | os.O_CLOEXEC)
                may = READ_FILE | (READ_FOLDER if os.path.isdir(path) else 0)
                system.syscall(LANDLOCK + 1, held, 1, struct.pack("=Qi", may, there), 0)
                os.close(there)
        system.syscall(LANDLOCK + 2, held, 0)
        os.close(held)
    for name in [name for name in sys.modules if name.partition(".")[0] in ACTING]:
        del sys.modules[name]


def _become_nobody(rules, library):
    os.setgroups([])
    os.setegid(NOBODY)
    os.seteuid(NOBODY)
    # Python may lie where nobody else can read it, in a home; then it stays who it is.
    readable = all(os.access(path, os.R_OK, effective_ids=True) for path in (rules, library, os.__file__))
    os.seteuid(0)
    os.setegid(0)
    if readable:
        os.setresgid(NOBODY, NOBODY, NOBODY)
        os.setresuid(NOBODY, NOBODY, NOBODY)


def _live(rules, memory):
    own = os.path.dirname(os.__file__)
    sys.path[:] = [rules, *(one for one in sys.path if one.startswith(own) and "-packages" not in one)]
    _give_up_rights(rules, os.path.realpath(own))
    _limit(memory)
    sys.addaudithook(_hook(os.path.realpath(rules), os.path.realpath(own)))
    from heaterapp.rules.__main__ import main

    sys.stdout.buffer.write(b"ready\n")
    main(["assess", "-", "--lines"])


if __name__ == "__main__":
    try:
        _live(sys.argv[1], int(sys.argv[2]))
    except BaseException as fault:
        said = " ".join(f"{type(fault).__name__} {fault}".split())[:300]
        sys.stdout.buffer.write(f"broken {said}\n".encode(errors="replace"))
        sys.exit(1)
