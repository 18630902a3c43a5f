"""Checks the JSON Schema of the spec with an independent validator. It must accept what the program accepts, and refuse
every fixture whose fault a schema can detect.

    python check_schema.py --program target/release/gripwright
"""

import argparse
import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path

from jsonschema import Draft202012Validator

from report import Report

# Codes of faults that a schema can detect: they involve no other value, no library and no design.
VISIBLE = {"unknown-key", "missing", "wrong-type"}


def codes(text):
    """Codes of the errors that a fixture expects."""
    return set(re.findall(r"^# error \d+-\d+ ([a-z0-9-]+)", text, flags=re.MULTILINE))


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", type=Path, required=True)
    options = parser.parse_args()
    report = Report()
    schema = json.loads(subprocess.run([options.program.resolve(), "schema"], check=True, capture_output=True).stdout)
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    good = [Path("crates/input/data/starter.toml"), *sorted(Path("demo-specs").glob("*.toml"))]
    for path in good:
        fault = next(validator.iter_errors(tomllib.loads(path.read_text())), None)
        report.check(f"schema accepts {path.name}", fault is None, fault.message[:100] if fault else "no fault")
    refused = 0
    for path in sorted(Path("tests/suite/spec").glob("*.toml")):
        try:
            text = path.read_text()
            value = tomllib.loads(text)
        except (UnicodeDecodeError, tomllib.TOMLDecodeError):
            continue
        fault = next(validator.iter_errors(value), None)
        if codes(text) & VISIBLE:
            refused += 1
            report.check(f"schema refuses {path.name}", fault is not None, fault.message[:100] if fault else "no fault")
        elif not codes(text):
            report.check(f"schema accepts {path.name}", fault is None, fault.message[:100] if fault else "no fault")
    report.check("fixtures that a schema can refuse", refused >= 5, f"{refused}")
    sys.exit(report.finish())


if __name__ == "__main__":
    main()
