//! Explaining what users have: different captures of 300 to 3,000 bytes, each read once, and the
//! whole process on a small one. The budget is 10,000 captures a second a core.

mod texts;

use divan::counter::{BytesCount, ItemsCount};
use mastside::capture::Capture;
use mastside::case::Case;
use mastside::verdict::explain;
use std::process::{Command, Stdio};

fn main() {
    divan::main();
}

/// Runs `one` over all texts, counted in captures.
fn over_all<T>(bencher: divan::Bencher<'_, '_>, one: impl Fn(&str) -> T + Sync) {
    let texts = texts::all();
    bencher
        .counter(ItemsCount::new(texts.len()))
        .counter(BytesCount::new(texts.iter().map(String::len).sum::<usize>()))
        .bench_local(|| {
            for text in divan::black_box(&texts) {
                divan::black_box(one(text));
            }
        });
}

#[divan::bench(sample_count = 30)]
fn undress_captures(bencher: divan::Bencher<'_, '_>) {
    over_all(bencher, |text| Capture::new(text).text().len());
}

#[divan::bench(sample_count = 30)]
fn read_cases(bencher: divan::Bencher<'_, '_>) {
    over_all(bencher, |text| Case::read(&Capture::new(text)).dialogue.answered);
}

#[divan::bench(sample_count = 30)]
fn read_and_judge(bencher: divan::Bencher<'_, '_>) {
    over_all(bencher, |text| explain(&Case::read(&Capture::new(text))).certainty);
}

#[divan::bench]
fn whole_process(bencher: divan::Bencher<'_, '_>) {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/captures/03-tarn-bridge-pin.txt");
    bencher.bench(|| {
        Command::new(env!("CARGO_BIN_EXE_mastside"))
            .args(["explain", file])
            .stdout(Stdio::null())
            .status()
            .expect("the program starts")
    });
}

#[divan::bench]
fn whole_process_of_true(bencher: divan::Bencher<'_, '_>) {
    bencher.bench(|| Command::new("true").status().expect("it is everywhere"));
}
