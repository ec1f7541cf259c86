//! Memory and time of a long text: at most three times its size, which the counter of allocations
//! shows as the most bytes held at once beside the text itself.

mod texts;

use divan::counter::BytesCount;
use mastside::capture::Capture;
use mastside::case::Case;

#[global_allocator]
static ALLOCATIONS: divan::AllocProfiler = divan::AllocProfiler::system();

fn main() {
    divan::main();
}

/// A recording of 8 MB, plain or with a time before each line.
fn recording(logged: bool) -> String {
    let all: String = texts::all().concat().replace(['\\', '<', '{'], "");
    let mut text = String::with_capacity(8_400_000);
    while text.len() < 8_000_000 {
        for line in all.lines() {
            if logged {
                text.push_str("12:00:01.123 -> ");
            }
            text.push_str(line);
            text.push('\n');
        }
    }
    text
}

#[divan::bench(sample_count = 3, args = ["plain", "logged"])]
fn undress_a_long_text(bencher: divan::Bencher<'_, '_>, kind: &str) {
    let text = recording(kind == "logged");
    bencher
        .counter(BytesCount::of_str(&text))
        .bench(|| Capture::new(divan::black_box(&text)).text().len());
}

#[divan::bench(sample_count = 3, args = ["plain", "logged"])]
fn read_a_long_text(bencher: divan::Bencher<'_, '_>, kind: &str) {
    let text = recording(kind == "logged");
    bencher
        .counter(BytesCount::of_str(&text))
        .bench(|| Case::read(&Capture::new(divan::black_box(&text))).dialogue.answered);
}
