"""What a check finds wrong, collected so that one run tells all of it."""
import sys

faults = []


def need(holds, what):
    if not holds:
        faults.append(what)
    return holds


def end_where_any():
    if faults:
        sys.exit("\n".join(faults))
