"""How much memory a process held at most, by the kernel's own high-water mark (Linux).

Not by getrusage(): what that names begins with all that the process which started this one held, so that a small
program started by a large test looks large, and its growth is hidden.
"""

import re
from pathlib import Path


def peak_mb() -> float:
    """The most that this process has held at once since it began, in MB of 1024 kB."""
    found = re.search(r"^VmHWM:\s*(\d+) kB", Path("/proc/self/status").read_text(encoding="ascii"), re.MULTILINE)
    assert found is not None
    return int(found[1]) / 1024
