"""Kills the program at every system call of its writing, and lets those calls fail.

    python check_faults.py --program target/release/gripwright --work target/outside/faults [--whole]

A sample runs by default; `--whole` takes every call, 500 kills at random times, and a disk that is full at every size.
Needs strace, and the administrator for small disks and immutable files; what cannot run counts as skipped.
"""

import argparse
import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

from report import Report

# Calls that change a folder. Each thread of the program counts its own.
CALLS = "openat,write,fsync,flock,mkdir,rename,renameat,renameat2,link,linkat,unlink,unlinkat,rmdir,ftruncate"
OLD, NEW = "old.toml", "new.toml"
SPEC = "wire-cutter"
# Text of the user in the output folder; no run may touch it.
NOTES = "notes.txt"


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    parser.add_argument("--whole", action="store_true")
    options = parser.parse_args()
    report = Report()
    faults = Faults(report, options)
    if shutil.which("strace") is None:
        report.skip("kills at system calls", "strace is missing")
    else:
        for command in ("make", "mould", "calibrate"):
            faults.kills(command)
            faults.failing_calls(command)
    faults.random_kills(500 if options.whole else 12)
    faults.full_disks()
    faults.immutable_files()
    faults.concurrent_runs(150 if options.whole else 4)
    sys.exit(report.finish())


def digest(path):
    """Returns the SHA-256 of a file, or nothing for one that is missing."""
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else None


def contents(folder):
    """Returns the digests of all files of a folder."""
    return {path.name: digest(path) for path in sorted(folder.iterdir())}


def seems_whole(folder, name):
    """Returns whether a reader would take the files of a document for whole."""
    try:
        document = json.loads((folder / name).read_text())
    except (OSError, ValueError):
        return False
    return all(digest(folder / entry["path"]) == entry["sha256"] for entry in document["files"])


class Faults:
    """Folders before and after a run, and faults on the way from one to the other."""

    def __init__(self, report, options):
        self.report, self.program, self.work = report, options.program.resolve(), options.work.resolve()
        self.whole = options.whole
        shutil.rmtree(self.work, ignore_errors=True)
        self.work.mkdir(parents=True)
        text = Path("demo-specs", f"{SPEC}.toml").read_text()
        (self.work / OLD).write_text(text)
        # Another name is in every file of the parts; fewer coupons change the number of files.
        (self.work / NEW).write_text(text.replace('name = "', 'name = "new ', 1))
        self.folders = {}

    def arguments(self, command, spec):
        """Returns the arguments of a run in the work folder."""
        if command == "calibrate":
            return ["calibrate", spec, f"{spec}.csv", "--out", "o", "--quiet"]
        return [command, spec, "--out", "o", "--quiet"]

    def run(self, command, spec, before=(), **more):
        """Runs the program and returns its exit code."""
        return subprocess.run([*before, self.program, *self.arguments(command, spec)], cwd=self.work, capture_output=True, **more)

    def prepare(self, command):
        """Makes the states before and after a run of a command."""
        for spec, outcome in ((OLD, "good"), (NEW, "tight")):
            (self.work / f"{spec}.csv").write_text(f"coupon,tool,outcome\nM+0.0,body,{outcome}\n")
        folder = self.work / "o"
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        (folder / NOTES).write_text("mine")
        states = [contents(folder)]
        for spec in (OLD, NEW):
            ended = self.run(command, spec)
            assert ended.returncode == 0, ended.stderr.decode()
            states.append(contents(folder))
            if spec == OLD:
                shutil.rmtree(self.work / "before", ignore_errors=True)
                shutil.copytree(folder, self.work / "before")
        self.folders[command] = states
        return states

    def reset(self):
        """Puts the folder back to where it was before the run."""
        shutil.rmtree(self.work / "o", ignore_errors=True)
        shutil.copytree(self.work / "before", self.work / "o")

    def problem(self, command):
        """Returns what is wrong after a fault, before and after the next run; nothing if all is well."""
        folder, (_, old, new) = self.work / "o", self.folders[command]
        visible = {name: value for name, value in contents(folder).items() if not name.startswith(".gripwright-")}
        for name in ("design.json", "mould.json"):
            if name in new and seems_whole(folder, name):
                known = [state for state in (old, new) if state[name] == visible.get(name)]
                listed = [entry["path"] for entry in json.loads((folder / name).read_text())["files"]]
                if not known or any(visible.get(path) != known[0][path] for path in listed):
                    return f"a reader takes a mixture for whole by {name}"
        if visible.get(NOTES) != old[NOTES]:
            return "a file of the user was lost"
        ended = self.settle()
        after = contents(folder)
        if after not in (old, new):
            return f"a mixture after the next run: {sorted(set(after.items()) ^ set(new.items()))[:3]} {ended}"
        ended = self.run(command, NEW)
        if ended.returncode != 0 or contents(folder) != new:
            return f"the next run does not heal: {ended.returncode} {ended.stderr.decode()[:200]}"
        return None

    def settle(self):
        """Starts a run that opens the folder and then fails for want of trials: it writes nothing of its own."""
        arguments = ["calibrate", NEW, "missing.csv", "--out", "o", "--quiet"]
        return subprocess.run([self.program, *arguments], cwd=self.work, capture_output=True).returncode

    def calls(self, command):
        """Returns how often the busiest thread makes each call while it writes."""
        self.reset()
        log = self.work / "calls.log"
        self.run(command, NEW, ["strace", "-f", "-o", log, "-e", f"trace={CALLS}"])
        counts = {}
        for line in log.read_text().splitlines():
            thread, _, rest = line.partition(" ")
            call = rest.strip().split("(")[0]
            if call in CALLS.split(","):
                counts[call, thread] = counts.get((call, thread), 0) + 1
        most = {}
        for (call, _), count in counts.items():
            most[call] = max(most.get(call, 0), count)
        return most

    def places(self, most):
        """Returns calls with their numbers: all, or every few."""
        every = [(call, number) for call, count in sorted(most.items()) for number in range(1, count + 1)]
        return every if self.whole else every[:: max(1, len(every) // 10)]

    def kills(self, command):
        """Kills a run at its calls, one after the other."""
        self.prepare(command)
        places, problems = self.places(self.calls(command)), []
        for call, number in places:
            self.reset()
            self.run(command, NEW, ["strace", "-f", "-qq", "-o", "/dev/null", "-e", f"trace={call}", "-e", f"inject={call}:signal=SIGKILL:when={number}"])
            found = self.problem(command)
            if found:
                problems.append(f"{call} {number}: {found}")
        self.report.check(f"{command} killed at {len(places)} calls", not problems, "; ".join(problems[:3]) or "no mixture, no loss")

    def failing_calls(self, command):
        """Lets calls of a run fail, each once, as a full or broken disk does."""
        places, problems = self.places({call: n for call, n in self.calls(command).items() if call != "flock"}), []
        for call, number in places:
            self.reset()
            error = "ENOSPC" if call in ("write", "openat", "fsync", "mkdir") else "EIO"
            ended = self.run(command, NEW, ["strace", "-f", "-qq", "-o", "/dev/null", "-e", f"trace={call}", "-e", f"inject={call}:error={error}:when={number}"])
            state, (_, old, new) = contents(self.work / "o"), self.folders[command]
            if ended.returncode == 0 and {k: v for k, v in state.items() if not k.startswith(".gripwright-")} != new:
                problems.append(f"{call} {number}: exit 0 without the files")
            found = self.problem(command)
            if found:
                problems.append(f"{call} {number}: {found}")
        self.report.check(f"{command} with {len(places)} failing calls", not problems, "; ".join(problems[:3]) or "no mixture, no loss")

    def random_kills(self, count):
        """Kills runs at random times, by both signals."""
        self.prepare("make")
        self.reset()
        start = time.monotonic()
        self.run("make", NEW)
        length, choose, problems = time.monotonic() - start, random.Random(1), []
        for number in range(count):
            self.reset()
            running = subprocess.Popen([self.program, *self.arguments("make", NEW)], cwd=self.work, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            # Most of the time goes into sizing; the writing at the end is what matters.
            time.sleep(length * choose.uniform(0.7, 1.02))
            running.send_signal(choose.choice([signal.SIGKILL, signal.SIGTERM]))
            running.wait()
            found = self.problem("make")
            if found:
                problems.append(f"kill {number}: {found}")
        self.report.check(f"make killed at {count} random times", not problems, "; ".join(problems[:3]) or "no mixture, no loss")

    def full_disks(self):
        """Writes onto small disks."""
        self.prepare("make")
        disk, problems, sizes = self.work / "o", [], range(1, 40) if self.whole else (8, 20)
        size_kb = sum(path.stat().st_size for path in (self.work / "before").iterdir()) // 1024
        full = 0
        for step in sizes:
            shutil.rmtree(disk, ignore_errors=True)
            disk.mkdir()
            room = size_kb + 80 + step * size_kb // 36
            mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={room}k", "none", disk], capture_output=True)
            if mounted.returncode != 0:
                self.report.skip("full disks", mounted.stderr.decode().strip())
                return
            try:
                shutil.copytree(self.work / "before", disk, dirs_exist_ok=True)
                ended = self.run("make", NEW)
                full += ended.returncode != 0
                state, (_, old, new) = contents(disk), self.folders["make"]
                if state != (new if ended.returncode == 0 else old) or ended.returncode not in (0, 4):
                    problems.append(f"{room} kB: exit {ended.returncode}, {len(state)} files")
            finally:
                subprocess.run(["umount", disk], check=True)
        good = not problems and full > 0
        self.report.check(f"{len(sizes)} small disks, {full} too small", good, "; ".join(problems[:3]) or "the old files or the new ones")

    def immutable_files(self):
        """Makes each file immutable in turn, and the folder read-only."""
        self.prepare("make")
        self.reset()
        folder, problems, tried = self.work / "o", [], 0
        for name in sorted(self.folders["make"][1]):
            self.reset()
            if subprocess.run(["chattr", "+i", folder / name], capture_output=True).returncode != 0:
                self.report.skip("immutable files", "chattr does not work here")
                return
            try:
                ended = self.run("make", NEW)
            finally:
                subprocess.run(["chattr", "-i", folder / name], check=True)
            state, (_, old, new) = contents(folder), self.folders["make"]
            expected = (new, 0) if old[name] == new.get(name) else (old, 4)
            tried += 1
            if (state, ended.returncode) != expected:
                problems.append(f"{name}: exit {ended.returncode}")
        self.report.check(f"{tried} immutable files", not problems, "; ".join(problems[:3]) or "the old files stay")
        self.reset()
        subprocess.run(["chattr", "+i", folder], check=True)
        try:
            ended = self.run("make", NEW)
        finally:
            subprocess.run(["chattr", "-i", folder], check=True)
        good = ended.returncode == 4 and contents(folder) == self.folders["make"][1]
        self.report.check("an immutable folder", good, f"exit {ended.returncode}")

    def concurrent_runs(self, count):
        """Starts two runs at once."""
        self.prepare("make")
        problems = []
        for number in range(count):
            self.reset()
            both = [
                subprocess.Popen([self.program, *self.arguments("make", spec)], cwd=self.work, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
                for spec in (OLD, NEW)
            ]
            codes = [running.wait() for running in both]
            if codes != [0, 0] or contents(self.work / "o") not in self.folders["make"][1:]:
                problems.append(f"{number}: {codes}")
        self.report.check(f"{count} times two runs at once", not problems, "; ".join(problems[:3]) or "one whole folder")


if __name__ == "__main__":
    main()
