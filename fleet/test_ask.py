"""What a batch gets from programs that behave, die, hang and stop early: `python3 -m unittest discover fleet`."""
import sys
import unittest

import ask

FILTER = """
import sys, time
for line in sys.stdin.buffer:
    if b"die" in line: sys.exit(9)
    if b"hang" in line: time.sleep(60)
    if b"early" in line: sys.exit(0)
    sys.stdout.buffer.write(b"row of " + line[:20].strip() + b"\\n"); sys.stdout.flush()
"""
COMMAND = [sys.executable, "-c", FILTER]


def good(count):
    return [b"record %d" % n for n in range(count)]


class Ask(unittest.TestCase):
    def expect(self, records, guilty, reason):
        answers = ask.rows(COMMAND, records, timeout=2, failures=3)
        self.assertEqual(len(answers), len(records))
        for number, (record, (row, why)) in enumerate(zip(records, answers)):
            if number in guilty:
                self.assertIsNone(row)
                self.assertIn(reason, why)
            else:
                self.assertEqual((row, why), (b"row of " + record[:20].strip(), None))

    def test_each_record_gets_its_row_in_order(self):
        self.expect(good(50), (), "")
        self.assertEqual(ask.rows(COMMAND, [], 2, 0), [])

    def test_a_record_that_kills_the_program_is_alone_in_the_end(self):
        self.expect(good(7) + [b"die"] + good(6), (7,), "exit status 9, 0 rows for 1 records")

    def test_a_program_that_stops_early_with_success_loses_nothing(self):
        self.expect(good(3) + [b"early"] + good(3), (3,), "exit status 0, 0 rows")

    def test_a_record_that_hangs_costs_its_own_row(self):
        self.expect([b"hang"] + good(1), (0,), "no end after 2 s")

    def test_large_and_binary_records_pass(self):
        self.expect([b"x" * 20_000_000, b"\xff\x00\r", b""], (), "")

    def test_too_many_failures_fail_the_task(self):
        with self.assertRaises(ask.TooManyFailures):
            ask.rows(COMMAND, [b"die"] * 5, timeout=2, failures=3)


if __name__ == "__main__":
    unittest.main()
