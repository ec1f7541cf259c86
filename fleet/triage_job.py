"""A Spark job: captures as JSON Lines in, the rows of `mastside triage` as Parquet by day out.

spark-submit --py-files ask.py triage_job.py --program /usr/bin/mastside --captures DIR --rows DIR
"""
import argparse
import os
import sys

# Workers start the interpreter that this one is, with its packages.
os.environ.setdefault("PYSPARK_PYTHON", sys.executable)

import pyarrow as pa
from pyspark.sql import SparkSession
from pyspark.sql import functions as F

import ask

ROW = """site string, at string, finding string, kind_of string, certainty string, acts string, summary string,
    error string, unreachable boolean, evidence struct<line:int,text:string,says:string>,
    attributes map<string,string>, levels map<string,double>, latitude double, longitude double"""

# The attributes that have a column of their own, as in the schema of `mastside triage --parquet`.
COLUMNS = ["network", "area", "cell", "band", "technology", "model", "firmware", "profile", "access-point-name", "card-range"]


def asked(command, timeout, failures):
    """The function for mapInArrow: a process for each batch."""

    def batches(parts):
        for part in parts:
            if part.num_rows == 0:
                continue
            records = part.column("record")
            # A record that came with a carriage return or without loses only what JSON does not need.
            answers = ask.rows(command, records.to_pylist(), timeout, failures)
            yield pa.RecordBatch.from_arrays(
                [
                    records,
                    pa.array([None if row is None else row.decode("utf-8", "replace") for row, _ in answers], pa.string()),
                    pa.array([reason for _, reason in answers], pa.string()),
                ],
                ["record", "row", "reason"],
            )

    return batches


def rows_of(spark, captures, command, timeout, failures, day):
    """The rows of all records below a path, with the digest of each record and its day."""
    records = (
        # Without a line separator of its own, a lone carriage return would split a record.
        spark.read.option("lineSep", "\n").text(captures)
        .select(F.col("value").cast("binary").alias("record"))
        .where(F.length("record") > 0)
    )
    answered = records.mapInArrow(asked(command, timeout, failures), "record binary, row string, reason string")
    row, given = F.from_json("row", ROW).alias("r"), F.from_json(F.col("record").cast("string"), "site string, at string").alias("g")
    failed = F.concat(F.lit("the program failed on this record: "), F.col("reason"))
    parsed = answered.select("record", row, given, failed.alias("failed"))
    at = F.expr("try_to_timestamp(coalesce(r.at, g.at))")
    attribute = lambda name: F.col("r.attributes").getItem(name).alias(name.replace("-", "_"))
    empty = F.expr("cast(map() as map<string,string>)")
    return parsed.select(
        F.sha2("record", 256).alias("record_sha256"),
        F.coalesce("r.site", "g.site").alias("site"),
        at.alias("at"),
        *[F.col(f"r.{name}").alias(name) for name in ("finding", "kind_of", "certainty", "acts", "summary")],
        F.coalesce("failed", "r.error").alias("error"),
        F.coalesce("r.unreachable", F.lit(False)).alias("unreachable"),
        F.col("r.evidence").alias("evidence"),
        *[attribute(name) for name in COLUMNS],
        F.col("r.latitude").alias("latitude"),
        F.col("r.longitude").alias("longitude"),
        F.coalesce("r.levels", F.expr("cast(map() as map<string,double>)")).alias("levels"),
        F.coalesce(F.map_filter("r.attributes", lambda name, _: ~name.isin(COLUMNS)), empty).alias("tags"),
        # Records without a readable time go to the day of the run.
        F.coalesce(F.to_date(at), F.to_date(F.lit(day))).alias("day"),
    )


def session(master, batch, more=()):
    """A session with what the job needs, and with `more` settings."""
    builder = SparkSession.builder.appName("mastside triage")
    if master:
        builder = builder.master(master)
    for key, value in {
        "spark.sql.session.timeZone": "UTC",
        "spark.sql.parquet.compression.codec": "zstd",
        "spark.sql.parquet.outputTimestampType": "TIMESTAMP_MICROS",
        "spark.sql.execution.arrow.maxRecordsPerBatch": str(batch),
        # A batch of large records stays bounded, too.
        "spark.sql.execution.arrow.maxBytesPerBatch": "32m",
        # The folder of a run is written anew as a whole: no row of an earlier run stays in it.
        "spark.sql.sources.partitionOverwriteMode": "static",
        **dict(more),
    }.items():
        builder = builder.config(key, value)
    return builder.getOrCreate()


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--program", required=True, help="mastside, at the same path on every worker")
    options.add_argument("--captures", required=True, help="JSON Lines, a file or a folder")
    options.add_argument("--rows", required=True, help="a folder of this run; what is in it is replaced")
    options.add_argument("--day", default=None, help="the day of records without a readable time, 2026-05-04; default today")
    options.add_argument("--timeout", type=float, default=300, help="seconds for one batch")
    options.add_argument("--failures", type=int, default=20, help="records of one batch that may bring the program down")
    options.add_argument("--batch", type=int, default=10_000, help="records of one batch")
    options.add_argument("--master", help="for trials: local[2], local-cluster[2,1,1024]")
    given = options.parse_args()
    spark = session(given.master, given.batch)
    spark.sparkContext.addPyFile(os.path.join(os.path.dirname(os.path.abspath(__file__)), "ask.py"))
    command = [given.program, "triage", "--format", "jsonl", "-"]
    day = given.day or spark.sql("select cast(current_date() as string)").first()[0]
    rows = rows_of(spark, given.captures, command, given.timeout, given.failures, day)
    rows.write.mode("overwrite").partitionBy("day").parquet(given.rows)
    done = spark.read.parquet(given.rows)
    counts = done.groupBy(F.coalesce("finding", F.lit("no finding")).alias("finding")).count()
    for finding, count in sorted(map(tuple, counts.collect())):
        print(f"{count:>12}  {finding}")
    spark.stop()


if __name__ == "__main__":
    main()
