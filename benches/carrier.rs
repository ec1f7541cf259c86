//! Ten thousand profiles: loading them and matching one card, and the whole process.

use mastside::carrier::{Known, ProfileStore};
use std::path::Path;
use std::process::Command;

fn main() {
    divan::main();
}

fn many() -> String {
    (0..10_000)
        .map(|n| {
            format!(
                "[[carrier]]\nname = \"Carrier {n}\"\nnetworks = [\"{:06}\"]\ncards = {{ imsi = [\"{:06}\"] }}\naccess_point = [\n  {{ name = \"net{n}.example\", purpose = [\"attach\", \"internet\"], address = \"IPV4V6\", authentication = \"none\" }},\n]\nbands = {{ lte = [3, 8, 20] }}\n\n",
                100_000 + n, 100_000 + n
            )
        })
        .collect()
}

fn card() -> Known {
    Known { imsi: Some("105000123456789".into()), ..Known::default() }
}

#[divan::bench]
fn load_and_match(bencher: divan::Bencher<'_, '_>) {
    let text = many();
    bencher.bench(|| {
        let mut profiles = ProfileStore::shipped();
        profiles.add(Path::new("many.toml"), text.clone());
        profiles.rank(&card()).fits.len()
    });
}

#[divan::bench]
fn match_among_four(bencher: divan::Bencher<'_, '_>) {
    let profiles = ProfileStore::shipped();
    bencher.bench(|| profiles.rank(&card()).fits.len());
}

#[divan::bench]
fn whole_process(bencher: divan::Bencher<'_, '_>) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("many.toml"), many()).unwrap();
    bencher.bench(|| {
        Command::new(env!("CARGO_BIN_EXE_mastside"))
            .args(["carrier", "match", "--imsi", "105000123456789", "--profiles"])
            .arg(folder.path())
            .output()
            .unwrap()
    });
}
