//! Many captures at once: different records of about 0.7 KB, as JSON Lines, through one process on one core and on all.
//! The budget is 10,000 records a second a core, with memory that does not grow with their number.

use mastside::carrier::ProfileStore;
use mastside::explanation::{Basis, View};
use mastside::triage::{Fleet, Judge, Overview, Row};
use std::fmt::Write as _;

fn main() {
    divan::main();
}

/// Records that differ in every number that a modem gives.
fn records(count: usize) -> Vec<String> {
    let record = |n: usize| {
        let mut text = String::from("AT+CGMM\r\nG2\r\nOK\r\n");
        let (level, area, cell) = (20 + n % 50, n % 4096, 0x10_0000 + n);
        let _ = write!(
            text,
            "AT+CGMR\r\nRevision: 03.{:02}\r\nOK\r\nAT+CCID\r\n+CCID: 8988211{n:012}\r\nOK\r\nAT+CPIN?\r\n+CPIN: READY\r\nOK\r\n\
             AT+CESQ\r\n+CESQ: 99,99,255,255,{},{level}\r\nOK\r\nAT+CFUN?\r\n+CFUN: 1\r\nOK\r\nAT+COPS?\r\n+COPS: 0,2,\"00101\",7\r\nOK\r\n",
            n % 20,
            n % 34
        );
        if n.is_multiple_of(7) {
            text.push_str("AT+CEREG?\r\n+CEREG: 3,3,,,,0,8\r\nOK\r\n");
        } else {
            let _ = write!(
                text,
                "AT+CEREG?\r\n+CEREG: 2,1,\"{area:04X}\",\"{cell:08X}\",7\r\nOK\r\nAT+CGDCONT?\r\n+CGDCONT: 1,\"IP\",\"gauge.example\"\r\nOK\r\n\
                 AT+CGACT?\r\n+CGACT: 1,1\r\nOK\r\nAT+CGPADDR=1\r\n+CGPADDR: 1,\"192.0.2.{}\"\r\nOK\r\n",
                n % 250
            );
        }
        while text.len() < 700 {
            let _ = write!(text, "AT+CSQ\r\n+CSQ: {},99\r\nOK\r\n", (n + text.len()) % 32);
        }
        serde_json::json!({"site": format!("site-{n}"), "at": "2026-05-04T06:00:00Z", "text": text})
            .to_string()
    };
    (0..count).map(record).collect()
}

/// One core: a line in, a line out.
#[divan::bench(sample_count = 5)]
fn rows_on_one_core(bencher: divan::Bencher<'_, '_>) {
    let records = records(5000);
    let profiles = ProfileStore::shipped();
    let judge = Judge { basis: Basis::of(&profiles), view: View::default() };
    bencher.counter(divan::counter::ItemsCount::new(records.len())).bench_local(|| {
        records.iter().map(|r| judge.line(r.as_bytes()).line().len()).sum::<usize>()
    });
}

/// From 10,000 rows to the overview.
#[divan::bench(sample_count = 5)]
fn overview_of_ten_thousand_sites(bencher: divan::Bencher<'_, '_>) {
    let records = records(10_000);
    let profiles = ProfileStore::shipped();
    let judge = Judge { basis: Basis::of(&profiles), view: View::default() };
    let rows: Vec<Row> = records.iter().map(|r| judge.line(r.as_bytes())).collect();
    bencher.bench_local(|| {
        let mut fleet = Fleet::default();
        for row in &rows {
            fleet.add(row.clone());
        }
        Overview::of(&fleet, None, chrono::TimeDelta::hours(48)).groups.len()
    });
}
