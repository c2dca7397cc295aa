"""A small disk of its own: a file that is mounted, filled, emptied and shut like a real one."""

import contextlib
import os
import shutil
import subprocess
import time

import pytest


class Disk:
    """``path`` is where it is mounted."""

    def __init__(self, folder):
        self.image, self.path = folder / "disk.img", folder / "disk"
        self.filler = self.path / "filler"

    def make(self, megabytes):
        self.path.mkdir()
        with self.image.open("wb") as file:
            file.truncate(megabytes << 20)
        self._do("mkfs.ext4", "-q", "-F", "-m", "0", self.image)
        self._mount()

    def fill(self, leave=0):
        """Until so many bytes are free."""
        with self.filler.open("ab") as file:
            while (free := shutil.disk_usage(self.path).free - leave) > 0:
                try:
                    os.posix_fallocate(file.fileno(), file.tell(), max(free // 2, 4096))
                except OSError:
                    if free < 1 << 16:
                        break
                file.seek(0, os.SEEK_END)

    def make_room(self):
        self.filler.unlink()

    def shut(self):
        """The system shuts a disk for writing like this when it finds it broken."""
        self._do("sync", "-f", self.path)  # else the disk itself may be torn afterwards
        self._do("mount", "-o", "remount,abort", self.path)

    def open_again(self):
        """Looked through first, as its keeper would."""
        self.leave()
        subprocess.run(["e2fsck", "-fy", self.image], capture_output=True)
        self._mount()

    def leave(self):
        self._do("umount", self.path)
        for _ in range(100):  # the kernel lets go of the file a little later
            if not self._do("losetup", "--associated", self.image):
                return
            time.sleep(0.1)

    def _mount(self):
        self._do("mount", "-o", "loop", self.image, self.path)

    @staticmethod
    def _do(*words):
        done = subprocess.run([*map(str, words)], capture_output=True, text=True)
        if done.returncode:
            raise OSError(f"{words[0]}: {done.stderr.strip()}")
        return done.stdout


@contextlib.contextmanager
def disk(folder, megabytes):
    """Skips where no disk may be mounted."""
    made = Disk(folder)
    if os.geteuid() or not shutil.which("mkfs.ext4"):
        pytest.skip("only the machine's keeper may mount a disk, with mkfs.ext4")
    try:
        made.make(megabytes)
    except OSError as error:
        pytest.skip(f"this machine mounts no disk: {error}")
    try:
        yield made
    finally:
        made.leave()
