"""Checks that the same spec gives the same bytes in two runs and two folders."""

import hashlib


def digests(folder):
    """Digest of each file below a folder."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def check_same(report, name, first, second):
    """Compares two output folders."""
    one, other = digests(first), digests(second)
    differing = sorted(path for path in one.keys() | other.keys() if one.get(path) != other.get(path))
    report.check(f"{name} repeats byte for byte", bool(one) and not differing, f"{len(one)} files, differing: {differing[:4]}")
