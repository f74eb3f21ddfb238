"""How much memory a process takes at most: a line of code for a child that a test or a benchmark starts.

What the system tells of a child's ``ru_maxrss`` begins with the memory of its parent; the high-water mark of Linux
(``VmHWM`` in ``/proc/self/status``, proc(5)) begins anew with the child.
"""

from __future__ import annotations

MEGABYTES = """
import os, re, resource
if os.path.exists("/proc/self/status"):
    most = int(re.search(r"VmHWM:\\s+([0-9]+)", open("/proc/self/status").read())[1])
else:
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(most // 1024)
"""
"""Prints the most megabytes so far."""
