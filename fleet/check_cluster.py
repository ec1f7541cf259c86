#!/usr/bin/env python3
"""The job of this folder on a cluster of two executors on this machine (Spark's own local-cluster), one of them killed with
signal 9 in the middle: its rows against those of one machine, each record once; and a record that kills the program costs
one row. Records are invented.

    MASTSIDE=target/release/mastside fleet/check_cluster.py [--records 200000]

Ends with 77 where PySpark, pyarrow or Java is missing."""
import argparse
import collections
import hashlib
import json
import os
import random
import shutil
import signal
import stat
import subprocess
import sys
import tempfile
import threading
import time

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, HERE)
try:
    import pyarrow.dataset as dataset
    import pyspark  # noqa: F401
    import triage_job
except ImportError as missing:
    print(f"check_cluster: {missing}")
    sys.exit(77)
if not shutil.which("java"):
    print("check_cluster: no java")
    sys.exit(77)

# The record that the stand-in for a crash looks for.
POISON = b"poisonous-record"


def record(number, dice):
    """A record of about 0.7 KB: what an invented modem says."""
    text = [
        "AT+CGMM", f"G{2 + number % 3}", "OK", "AT+CGMR", f"Revision: 03.{number % 20:02}", "OK",
        "AT+CCID", f"+CCID: 8988211{number:012}", "OK", "AT+CPIN?", "+CPIN: READY", "OK",
        "AT+CESQ", f"+CESQ: 99,99,255,255,{number % 34},{20 + number % 50}", "OK", "AT+CFUN?", "+CFUN: 1", "OK",
        "AT+COPS?", '+COPS: 0,2,"00101",7', "OK",
    ]
    if number % 7 == 0:
        text += ["AT+CEREG?", "+CEREG: 3,3,,,,0,8", "OK"]
    else:
        text += [
            "AT+CEREG?", f'+CEREG: 2,1,"{number % 4096:04X}","{0x100000 + number:08X}",7', "OK",
            "AT+CGDCONT?", '+CGDCONT: 1,"IP","gauge.example"', "OK", "AT+CGACT?", "+CGACT: 1,1", "OK",
            "AT+CGPADDR=1", f'+CGPADDR: 1,"192.0.2.{number % 250}"', "OK",
        ]
    while sum(map(len, text)) < 620:
        text += ["AT+CSQ", f"+CSQ: {dice.randrange(32)},99", "OK"]
    at = f"2026-05-{1 + number % 8:02}T{number % 24:02}:{number % 60:02}:00Z"
    return json.dumps({"site": f"site-{number}", "at": at, "text": "\r\n".join(text) + "\r\n"}).encode()


def write_records(folder, count):
    """Files of records, a few that cannot be used, and one of 20 MB. Gives the lines."""
    dice = random.Random(1)
    lines = [record(number, dice) for number in range(count)]
    odd = [b'{"site":"torn",', b"\x00\xff\xfe binary", b'{"site":"latin","text":"caf\xe9"}', b'{"site":"lone","text":"AT+CPIN?\\rOK"}']
    odd.append(json.dumps({"site": "large", "at": "2026-05-01T00:00:00Z", "text": "noise of a log line\r\n" * 950_000}).encode())
    for place, line in enumerate(odd):
        lines.insert((place + 1) * count // (len(odd) + 1), line)
    parts = 16
    for part in range(parts):
        with open(os.path.join(folder, f"part-{part:02}.jsonl"), "wb") as file:
            file.writelines(line + b"\n" for line in lines[part * len(lines) // parts : (part + 1) * len(lines) // parts])
    return lines


def one_machine(program, folder):
    """The rows of one process over the same files: digest of the record and what the row says."""
    begun = time.time()
    files = sorted(os.path.join(folder, name) for name in os.listdir(folder))
    out = subprocess.run([program, "triage", "--format", "jsonl", *files], capture_output=True, check=True).stdout
    took = time.time() - begun
    return [json.loads(line) for line in out.splitlines()], took


def executors():
    """The processes of executors below this one."""
    found = subprocess.run(["ps", "-eo", "pid,ppid,args"], capture_output=True, text=True).stdout.splitlines()[1:]
    parents, commands = {}, {}
    for line in found:
        pid, parent, command = line.split(None, 2)
        parents[int(pid)], commands[int(pid)] = int(parent), command

    def below(pid):
        while pid in parents:
            if pid == os.getpid():
                return True
            pid = parents[pid]
        return False

    return [pid for pid, command in commands.items() if "CoarseGrainedExecutorBackend" in command and below(pid)]


class Killer(threading.Thread):
    """Kills one executor once a task is done, and before all are."""

    def __init__(self, spark):
        super().__init__(daemon=True)
        self.spark, self.killed = spark, None

    def run(self):
        tracker = self.spark.sparkContext.statusTracker()
        while self.killed is None:
            time.sleep(0.2)
            for stage in tracker.getActiveStageIds():
                info = tracker.getStageInfo(stage)
                if info and info.numTasks > 4 and 2 <= info.numCompletedTasks < info.numTasks - 2:
                    pids = executors()
                    if len(pids) >= 2:
                        self.killed = (pids[0], info.numCompletedTasks, info.numTasks)
                        os.kill(pids[0], signal.SIGKILL)
                        return


def told(row):
    return tuple(row.get(key) for key in ("site", "finding", "certainty", "acts", "summary", "error"))


def on_cluster(command, captures, rows, kill):
    """Runs the job; gives rows by digest, the seconds, and what was killed."""
    spark = triage_job.session("local-cluster[2,1,1024]", 5_000, {"spark.ui.enabled": "false", "spark.sql.files.maxPartitionBytes": "8m"})
    spark.sparkContext.setLogLevel("ERROR")
    spark.sparkContext.addPyFile(os.path.join(HERE, "ask.py"))
    killer = Killer(spark)
    if kill:
        killer.start()
    begun = time.time()
    answers = triage_job.rows_of(spark, captures, command, 300, 20, "2026-05-09")
    answers.write.mode("overwrite").partitionBy("day").parquet(rows)
    took = time.time() - begun
    spark.stop()
    columns = ["record_sha256", "site", "finding", "certainty", "acts", "summary", "error"]
    read = dataset.dataset(rows, partitioning="hive").to_table(columns=columns).to_pylist()
    return read, took, killer.killed


def read_back(program, rows, alone):
    """What is wrong with the overview that the program makes of the cluster's rows, where it reads Parquet."""
    done = subprocess.run([program, "triage", "--from", rows, "--format", "json"], capture_output=True)
    if done.returncode == 2 and b"features parquet" in done.stderr:
        print("this program is built without Parquet: the overview of the rows is not checked")
        return []
    overview = json.loads(done.stdout)
    failing = sum(row["finding"] not in (None, "connected", "unclear") for row in alone)
    grouped = sum(len(group["sites"]) for group in overview["groups"])
    print(f"overview of the cluster's rows: {grouped} failing sites, {failing} wanted")
    return [] if grouped == failing else [f"{grouped} failing sites in the overview, {failing} rows of one machine fail"]


def written(program, captures, folder, alone):
    """What is wrong with the Parquet that the program itself writes, read by pyarrow."""
    path = os.path.join(folder, "own.parquet")
    files = sorted(os.path.join(captures, name) for name in os.listdir(captures))
    done = subprocess.run([program, "triage", "--format", "jsonl", "--parquet", path, *files], capture_output=True)
    if done.returncode == 2 and b"--parquet" in done.stderr:
        return []
    columns = ["site", "finding", "certainty", "acts", "summary", "error"]
    own = [told(row) for row in dataset.dataset(path).to_table(columns=columns).to_pylist()]
    print(f"the program's own Parquet: {len(own)} rows")
    return [] if own == [told(row) for row in alone] else ["the program's own Parquet has other rows than its JSON Lines"]


def guarded_filter(program, folder):
    """The program, but for a record that names the poison: there it dies as a crash would."""
    path = os.path.join(folder, "poisoned")
    with open(path, "w") as file:
        file.write(
            f"#!{sys.executable}\nimport os, signal, subprocess, sys\nread = sys.stdin.buffer.read()\n"
            f"if {POISON!r} in read: os.kill(os.getpid(), signal.SIGSEGV)\n"
            f"done = subprocess.run([{program!r}, *sys.argv[1:]], input=read, capture_output=True)\n"
            "sys.stdout.buffer.write(done.stdout); sys.exit(done.returncode)\n"
        )
    os.chmod(path, os.stat(path).st_mode | stat.S_IXUSR)
    return path


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--records", type=int, default=200_000)
    given = options.parse_args()
    program = os.path.abspath(os.environ.get("MASTSIDE", "target/release/mastside"))
    command = [program, "triage", "--format", "jsonl", "-"]
    wrong = []
    with tempfile.TemporaryDirectory() as folder:
        captures = os.path.join(folder, "captures")
        os.mkdir(captures)
        lines = write_records(captures, given.records)
        alone, took = one_machine(program, captures)
        print(f"one process, all cores: {len(alone)} rows, {took:.1f} s", flush=True)
        wanted = collections.Counter((hashlib.sha256(line).hexdigest(), told(row)) for line, row in zip(lines, alone))
        read, took, killed = on_cluster(command, captures, os.path.join(folder, "rows"), True)
        print(f"two executors: {len(read)} rows, {took:.1f} s; killed (process, tasks done, tasks): {killed}", flush=True)
        if killed is None:
            wrong.append("no executor was killed")
        found = collections.Counter((row["record_sha256"], told(row)) for row in read)
        if found != wanted:
            wrong += [f"missing {list((wanted - found).items())[:3]}", f"too many {list((found - wanted).items())[:3]}"]
        wrong += read_back(program, os.path.join(folder, "rows"), alone)
        wrong += written(program, captures, folder, alone)
        # A record that kills the program: one row with the reason, every other record its own.
        captures = os.path.join(folder, "poisoned-captures")
        os.mkdir(captures)
        dice = random.Random(2)
        few = [record(number, dice) for number in range(2_000)]
        few[700] = json.dumps({"site": "poisoned", "text": POISON.decode()}).encode()
        with open(os.path.join(captures, "part.jsonl"), "wb") as file:
            file.writelines(line + b"\n" for line in few)
        guarded = [guarded_filter(program, folder), "triage", "--format", "jsonl", "-"]
        read, took, _ = on_cluster(guarded, captures, os.path.join(folder, "poisoned-rows"), False)
        failed = [row for row in read if row["error"] and "the program failed on this record" in row["error"]]
        print(f"a record that kills the program: {len(read)} rows, {len(failed)} of them failed, {took:.1f} s", flush=True)
        if len(read) != len(few) or [row["site"] for row in failed] != ["poisoned"]:
            wrong.append(f"{len(read)} rows for {len(few)} records, failed: {failed[:3]}")
    for problem in wrong:
        print("WRONG", problem)
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
