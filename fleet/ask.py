"""Asks `mastside triage` about a batch of records: one row each, whatever a record does to the program."""
import subprocess

# The end of what the program wrote to its standard error, as the reason of a failure.
REASON_BYTES = 300


class TooManyFailures(RuntimeError):
    """More records brought the program down than a task accepts: something else than the records is wrong."""


def rows(command, records, timeout, failures):
    """One (row, reason) a record, in order: the row as bytes, or None and the reason why there is none.

    `command` is a list of arguments, `records` are lines without their ends, `timeout` is in seconds. A batch that the
    program does not answer as a whole is halved until the record that brings it down is alone. More than `failures` of
    those raise TooManyFailures.
    """
    open_parts, answered, failed = [list(records)], [], 0
    while open_parts:
        part = open_parts.pop()
        if not part:
            continue
        out, reason = _run(command, part, timeout)
        if reason is None:
            answered += [(row, None) for row in out]
        elif len(part) > 1:
            middle = len(part) // 2
            # The first half is taken next, so the order stays.
            open_parts += [part[middle:], part[:middle]]
        else:
            failed += 1
            if failed > failures:
                raise TooManyFailures(f"{failed} records bring the program down, the last: {reason}")
            answered.append((None, reason))
    return answered


def _run(command, part, timeout):
    """The rows of one process, and what is wrong with them as a whole."""
    try:
        done = subprocess.run(command, input=b"".join(r + b"\n" for r in part), capture_output=True, timeout=timeout)
    except subprocess.TimeoutExpired:
        return [], f"no end after {timeout:g} s"
    # Half a row has no line end.
    out = done.stdout.split(b"\n")[:-1]
    if done.returncode == 0 and len(out) == len(part):
        return out, None
    tail = done.stderr[-REASON_BYTES:].decode("utf-8", "replace").strip()
    return [], f"exit status {done.returncode}, {len(out)} rows for {len(part)} records: {tail}"
