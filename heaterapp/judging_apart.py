"""The life of a process in which one archived ruleset judges; bare Python runs this file by its path.

    python -I -S -B judging_apart.py RULES.zip MEMORY_BYTES

It says `ready`, then answers each job on a line with its report on a line. What the rules raise it says
as `broken` with the reason, and ends. Nothing of ours is imported here but what the zip holds.
"""

import os
import resource
import sys

FORBIDDEN = (
    "socket.", "subprocess.", "os.system", "os.exec", "os.fork", "os.posix_spawn", "os.spawn", "ctypes.",
    "os.remove", "os.rename", "os.mkdir", "os.rmdir", "os.truncate", "os.link", "os.symlink", "shutil.",
)  # fmt: skip
OPEN_FILES = 64


def _refuse(event, arguments):
    if event.startswith(FORBIDDEN):
        raise PermissionError(f"rules only judge: {event} is refused")
    if event == "open" and arguments[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT):
        raise PermissionError("rules only judge: no file is written")


def _limit(memory):
    resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
    resource.setrlimit(resource.RLIMIT_NOFILE, (OPEN_FILES, OPEN_FILES))
    for kind in (resource.RLIMIT_CORE, resource.RLIMIT_FSIZE):
        resource.setrlimit(kind, (0, 0))


def _live(rules, memory):
    own = os.path.dirname(os.__file__)
    sys.path[:] = [rules, *(one for one in sys.path if one.startswith(own) and "-packages" not in one)]
    _limit(memory)
    sys.addaudithook(_refuse)
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
