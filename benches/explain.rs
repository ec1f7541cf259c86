//! Explaining one capture of 3 KB in library form, and the whole process on a small one.

use mastside::capture::Capture;
use mastside::case::Case;
use mastside::verdict::explain;
use std::process::{Command, Stdio};

fn main() {
    divan::main();
}

/// So many captures are read one after the other for one measurement: what a core does in a second
/// counts, not how long the first one takes.
const IN_A_ROW: u32 = 200;

/// So long is the capture, in bytes.
const LENGTH: usize = 3000;

/// A dialogue of 3 KB, cut at its end as pastes are.
fn capture() -> String {
    let part = "AT+CPIN?\r\n+CPIN: READY\r\n\r\nOK\r\nAT+CSQ\r\n+CSQ: 17,99\r\n\r\nOK\r\nAT+CESQ\r\n+CESQ: 99,99,255,255,21,48\r\n\r\nOK\r\n\
                AT+CEREG?\r\n+CEREG: 2,2,\"0A11\",\"0003A2B1\",7\r\n\r\nOK\r\nAT+COPS?\r\n+COPS: 0\r\n\r\nOK\r\n\
                AT+CGDCONT?\r\n+CGDCONT: 1,\"IPV4V6\",\"gauge.example\",\"0.0.0.0\",0,0\r\n\r\nOK\r\nI waited for a minute and tried it again.\r\n";
    let mut text = part.repeat(LENGTH / part.len() + 1);
    text.truncate(LENGTH);
    text
}

/// The same dialogue with levels and cells that change from turn to turn: no two turns are alike.
fn changing() -> String {
    let turn = |n: usize| {
        format!(
            "AT+CPIN?\r\n+CPIN: READY\r\n\r\nOK\r\nAT+CSQ\r\n+CSQ: {},99\r\n\r\nOK\r\nAT+CESQ\r\n+CESQ: 99,99,255,255,{},{}\r\n\r\nOK\r\n\
             AT+CEREG?\r\n+CEREG: 2,2,\"0A11\",\"0003A2{:02X}\",7\r\n\r\nOK\r\nAT+COPS?\r\n+COPS: 0\r\n\r\nOK\r\n\
             AT+CGDCONT?\r\n+CGDCONT: 1,\"IPV4V6\",\"gauge.example\",\"0.0.0.0\",0,0\r\n\r\nOK\r\nI waited for a minute and tried it again.\r\n",
            12 + n % 8,
            14 + n % 9,
            40 + n % 11,
            n % 256,
        )
    };
    let mut text: String = (0..=LENGTH / turn(0).len()).map(turn).collect();
    text.truncate(LENGTH);
    text
}

#[divan::bench(sample_size = IN_A_ROW)]
fn read_a_case(bencher: divan::Bencher<'_, '_>) {
    let text = capture();
    bencher
        .counter(divan::counter::BytesCount::of_str(&text))
        .bench(|| Case::read(&Capture::new(divan::black_box(&text))).dialogue.answered);
}

#[divan::bench(sample_size = IN_A_ROW)]
fn read_and_judge(bencher: divan::Bencher<'_, '_>) {
    let text = capture();
    bencher
        .counter(divan::counter::BytesCount::of_str(&text))
        .bench(|| explain(&Case::read(&Capture::new(divan::black_box(&text)))).certainty);
}

#[divan::bench(sample_size = IN_A_ROW)]
fn read_and_judge_changing_levels(bencher: divan::Bencher<'_, '_>) {
    let text = changing();
    bencher
        .counter(divan::counter::BytesCount::of_str(&text))
        .bench(|| explain(&Case::read(&Capture::new(divan::black_box(&text)))).certainty);
}

/// The demo's captures one after the other: short, and each with a mess of its own.
#[divan::bench]
fn read_and_judge_the_demo(bencher: divan::Bencher<'_, '_>) {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/captures");
    let texts: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .map(|path| std::fs::read(path).unwrap())
        .filter_map(|bytes| mastside::capture::decode(&bytes).ok().map(Into::into))
        .collect();
    bencher
        .counter(divan::counter::BytesCount::new(texts.iter().map(String::len).sum::<usize>()))
        .counter(divan::counter::ItemsCount::new(texts.len()))
        .bench(|| {
            divan::black_box(&texts)
                .iter()
                .filter(|text| !explain(&Case::read(&Capture::new(text))).summary.is_empty())
                .count()
        });
}

/// What `wc -l` does on the same bytes, for comparison.
#[divan::bench(sample_size = IN_A_ROW)]
fn count_lines(bencher: divan::Bencher<'_, '_>) {
    let text = capture();
    bencher
        .counter(divan::counter::BytesCount::of_str(&text))
        .bench(|| memchr::memchr_iter(b'\n', divan::black_box(text.as_bytes())).count());
}

#[divan::bench]
fn whole_process(bencher: divan::Bencher<'_, '_>) {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/captures/03-tarn-bridge-pin.txt");
    bencher.bench(|| {
        Command::new(env!("CARGO_BIN_EXE_mastside"))
            .args(["explain", file])
            .stdout(Stdio::null())
            .status()
            .unwrap()
    });
}

#[divan::bench]
fn whole_process_of_true(bencher: divan::Bencher<'_, '_>) {
    bencher.bench(|| Command::new("true").status().unwrap());
}

/// A recording of 8 MB: the time grows with its length, the memory with nothing but the text.
#[divan::bench(sample_count = 5)]
fn read_and_judge_a_long_text(bencher: divan::Bencher<'_, '_>) {
    let text = capture().repeat(2600);
    bencher
        .counter(divan::counter::BytesCount::of_str(&text))
        .bench(|| explain(&Case::read(&Capture::new(divan::black_box(&text)))).certainty);
}
