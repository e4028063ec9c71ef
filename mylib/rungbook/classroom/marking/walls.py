"""The walls around one notebook's process: own namespaces, no privileges, limits on what it may use.

Linux only; `limit` works on any Unix. Called between fork and the first cell, so it is plain calls of the C library.
"""

from __future__ import annotations

import ctypes
import os
import platform
import resource
import struct
from collections.abc import Iterable
from typing import Any

_NEWNS, _NEWUTS, _NEWIPC, _NEWUSER, _NEWPID, _NEWNET = (
    0x00020000,
    0x04000000,
    0x08000000,
    0x10000000,
    0x20000000,
    0x40000000,
)
_MS_NOSUID, _MS_NODEV, _MS_BIND, _MS_MOVE, _MS_REC, _MS_PRIVATE = 0x2, 0x4, 0x1000, 0x2000, 0x4000, 0x40000
_PR_SET_PDEATHSIG, _PR_SET_DUMPABLE, _PR_SET_SECCOMP, _PR_SET_NO_NEW_PRIVS = 1, 4, 22, 38
SCRATCH = "/scratch"  # an empty folder of the cage on which the new /tmp is built
_UID = 1000  # the notebook's user inside its own user namespace

# calls of the kernel that no exercise needs and that reach other processes, mounts, namespaces or hidden memory:
# name -> number on x86_64, on aarch64 (Linux's unistd tables)
_REFUSED = {
    "ptrace": (101, 117),
    "process_vm_readv": (310, 270),
    "process_vm_writev": (311, 271),
    "mount": (165, 40),
    "umount2": (166, 39),
    "pivot_root": (155, 41),
    "chroot": (161, 51),
    "unshare": (272, 97),
    "setns": (308, 268),
    "bpf": (321, 280),
    "perf_event_open": (298, 241),
    "userfaultfd": (323, 282),
    "io_uring_setup": (425, 425),
    "memfd_create": (319, 279),
    "memfd_secret": (447, 447),
    "keyctl": (250, 219),
    "add_key": (248, 217),
    "request_key": (249, 218),
    "shmget": (29, 194),
    "open_tree": (428, 428),
    "move_mount": (429, 429),
    "fsopen": (430, 430),
    "fsmount": (432, 432),
    "mount_setattr": (442, 442),
    "kexec_load": (246, 104),
    "init_module": (175, 105),
    "finit_module": (313, 273),
    "open_by_handle_at": (304, 265),
    "pidfd_getfd": (438, 438),
}
_CLONE, _CLONE3 = {"x86_64": 56, "aarch64": 220}, 435
_ARCH = {"x86_64": 0xC000003E, "aarch64": 0xC00000B7}
_EPERM, _ENOSYS = 1, 38


def _libc() -> Any:
    return ctypes.CDLL(None, use_errno=True)


def _check(done: int, what: str) -> None:
    if done != 0:
        number = ctypes.get_errno()
        raise OSError(number, f"{what}: {os.strerror(number)}")


def own_namespaces() -> None:
    """Move this process into new namespaces of users, mounts, network, messages, names; its next child is process 1.

    Raises OSError where the kernel does not allow it.
    """
    user, group = os.getuid(), os.getgid()
    _check(_libc().unshare(_NEWUSER | _NEWNS | _NEWUTS | _NEWIPC | _NEWPID | _NEWNET), "unshare")
    for name, text in (("setgroups", "deny"), ("uid_map", f"{_UID} {user} 1"), ("gid_map", f"{_UID} {group} 1")):
        with open(f"/proc/self/{name}", "w", encoding="ascii") as file:
            file.write(text)


def hide(scratch_bytes: int, kept: Iterable[str] = ()) -> None:
    """Give this process mounts of its own: an empty /proc, new /tmp and /dev/shm of at most `scratch_bytes` each.

    kept: folders under /tmp that stay to be seen (where Python itself is installed there).
    Raises OSError if a mount fails.
    """
    libc = _libc()
    _check(libc.unshare(_NEWNS), "unshare mounts")
    _check(libc.mount(None, b"/", None, _MS_REC | _MS_PRIVATE, None), "private mounts")
    for place, size in (("/proc", 4096), ("/dev/shm", scratch_bytes), (SCRATCH, scratch_bytes)):
        options = f"size={size},nr_inodes=4096,mode=1777".encode()
        _check(libc.mount(b"tmpfs", place.encode(), b"tmpfs", _MS_NOSUID | _MS_NODEV, options), f"mount {place}")
    for folder in kept:
        there = SCRATCH + folder.removeprefix("/tmp")
        os.makedirs(there)
        _check(libc.mount(folder.encode(), there.encode(), None, _MS_BIND | _MS_REC, None), f"keep {folder}")
    _check(libc.mount(SCRATCH.encode(), b"/tmp", None, _MS_MOVE, None), "mount /tmp")


def drop_privileges() -> None:
    """Give up every capability, for good, and refuse the calls of the kernel that no exercise needs.

    Raises OSError if that fails. On machines other than x86_64 and aarch64 no calls are refused.
    """
    libc = _libc()
    header = struct.pack("=Ii", 0x20080522, 0)  # version 3, this process
    _check(libc.capset(ctypes.c_char_p(header), ctypes.c_char_p(bytes(24))), "capset")
    _check(libc.prctl(_PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0), "no_new_privs")
    machine = platform.machine()
    if machine in _ARCH:
        _refuse_calls(libc, machine)


def _refuse_calls(libc: Any, machine: str) -> None:
    column = list(_ARCH).index(machine)
    numbers = [pair[column] for pair in _REFUSED.values()]
    program = [
        (0x20, 0, 0, 4),  # the architecture of the call
        (0x15, 1, 0, _ARCH[machine]),
        (0x06, 0, 0, 0x80000000),  # another one: the process is killed
        (0x20, 0, 0, 0),  # the number of the call
        (0x35, 0, 1, 0x40000000),  # x32 numbers of the same architecture
        (0x06, 0, 0, 0x00050000 | _EPERM),
        (0x15, 0, 1, _CLONE3),  # its flags cannot be read here; the C library falls back on clone
        (0x06, 0, 0, 0x00050000 | _ENOSYS),
    ]
    for number in numbers:
        program += [(0x15, 0, 1, number), (0x06, 0, 0, 0x00050000 | _EPERM)]
    spaces = _NEWNS | _NEWUTS | _NEWIPC | _NEWUSER | _NEWPID | _NEWNET | 0x02000000  # and cgroups
    program += [
        (0x15, 0, 3, _CLONE[machine]),
        (0x20, 0, 0, 16),  # clone's flags
        (0x45, 0, 1, spaces),
        (0x06, 0, 0, 0x00050000 | _EPERM),
        (0x06, 0, 0, 0x7FFF0000),  # everything else is allowed
    ]
    code = b"".join(struct.pack("=HBBI", *one) for one in program)
    buffer = ctypes.create_string_buffer(code, len(code))
    filter_ = struct.pack("@HP", len(program), ctypes.addressof(buffer))
    _check(libc.prctl(_PR_SET_SECCOMP, 2, ctypes.c_char_p(filter_), 0, 0), "seccomp")


def limit(memory: int, seconds: int, processes: int | None, file_bytes: int) -> None:
    """Set limits for this process and what it starts: address space [bytes], processor time [s], number of processes
    (None outside a user namespace of its own, where the kernel would count all of the user's), size of a file [bytes],
    128 open files, no core dump."""
    wanted = {
        resource.RLIMIT_AS: memory,
        resource.RLIMIT_CPU: seconds,
        resource.RLIMIT_FSIZE: file_bytes,
        resource.RLIMIT_NOFILE: 128,
        resource.RLIMIT_CORE: 0,
    }
    if processes is not None:
        wanted[resource.RLIMIT_NPROC] = processes
    for kind, value in wanted.items():
        _, hard = resource.getrlimit(kind)
        value = value if hard == resource.RLIM_INFINITY else min(value, hard)
        resource.setrlimit(kind, (value, value))


def readable_by_own_user() -> None:
    """After a change of user: let this process write its own maps of users again, which `own_namespaces` needs."""
    _libc().prctl(_PR_SET_DUMPABLE, 1, 0, 0, 0)


def die_with_parent() -> None:
    """Have this process killed when the one that forked it ends."""
    _libc().prctl(_PR_SET_PDEATHSIG, 9, 0, 0, 0)
