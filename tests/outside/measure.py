"""Runs a command and writes its time and peak memory as JSON to the file that is the first argument.

This is a process of its own, because the system charges a new process with the memory of its parent, and the checks have
large libraries loaded.
"""

import json
import resource
import subprocess
import sys
import time

start = time.perf_counter()
code = subprocess.run(sys.argv[2:], check=False).returncode
seconds = time.perf_counter() - start
megabytes = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0
with open(sys.argv[1], "w", encoding="utf-8") as file:
    json.dump({"seconds": seconds, "megabytes": megabytes}, file)
sys.exit(code)
