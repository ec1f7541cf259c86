//! Looking up channels and bands.

use mastside::reference::bands::{lte_band, lte_bands_overlapping, lte_channel};
use std::process::{Command, Stdio};

fn main() {
    divan::main();
}

#[divan::bench]
fn band_of_earfcn() -> Option<u16> {
    lte_channel(divan::black_box(66_536)).map(|c| c.band.number)
}

#[divan::bench]
fn band_by_number() -> Option<u32> {
    lte_band(divan::black_box(71)).map(|b| b.downlink.low_khz)
}

#[divan::bench]
fn overlapping_bands() -> usize {
    lte_bands_overlapping(divan::black_box(3)).len()
}

#[divan::bench]
fn whole_process(bencher: divan::Bencher<'_, '_>) {
    bencher.bench(|| {
        Command::new(env!("CARGO_BIN_EXE_mastside"))
            .args(["lookup", "earfcn", "6300"])
            .stdout(Stdio::null())
            .status()
            .unwrap()
    });
}
