//! Properties that hold for every family: no prefix twice, no panic, values within range, nothing from a test form.

use super::{EXAMPLES, SAMPLES, families};
use crate::capture::{Capture, Piece};
use crate::case::{Dialogue, Fact, Facts, Quantity};
use crate::reading::read_exchange;
use crate::response::{ContinuationLine, Form, Response};
use crate::span::Span;
use proptest::prelude::*;

#[test]
fn no_prefix_belongs_to_two_families() {
    let mut prefixes: Vec<_> = families().flat_map(|f| f.prefixes).collect();
    prefixes.sort_unstable();
    for pair in prefixes.windows(2) {
        assert_ne!(pair[0], pair[1]);
    }
    for prefix in prefixes {
        assert_eq!(*prefix, prefix.to_ascii_uppercase());
    }
}

fn quantity(fact: &Fact) -> Option<(Quantity, Option<f64>)> {
    match fact {
        Fact::Reading(reading) => {
            Some((reading.quantity, fact.as_number().map(|(_, value, _)| value)))
        }
        Fact::Port(_, q, value) => Some((*q, *value)),
        Fact::Uncertain(doubt) => Some((doubt.quantity, None)),
        _ => None,
    }
}

/// Words that steer families into their forms, and values that lie around their limits.
fn field() -> impl Strategy<Value = String> {
    let words = prop::sample::select(vec![
        "servingcell",
        "neighbourcell intra",
        "neighbourcell",
        "NOCONN",
        "LIMSRV",
        "SEARCH",
        "LTE",
        "eMTC",
        "NBIoT",
        "WCDMA",
        "GSM",
        "NR5G-SA",
        "NR5G-NSA",
        "NR5G_SA",
        "Online",
        "NO SERVICE",
        "001-01",
        "00101",
        "001 01",
        "001",
        "01",
        "0x00AB",
        "00FFFFFFF",
        "FFFF",
        "EUTRAN-BAND20",
        "LTE BAND 7",
        "NR5G BAND 41",
        "PCC",
        "SCC",
        "band",
        "nwscanmode",
        "mode_pref",
        "lte_band",
        "nr5g_band",
        "AUTO",
        "LTE:NR5G",
        "1:3:7",
        "4G",
        "3G",
        "2G",
        "CAT-M",
        "emm_cause",
        "common/4g",
        "000101",
        "-",
        "",
        "(",
        ")",
        "é",
        "-32768",
        "255",
        "99",
        "65535",
        "0",
        "1",
        "2",
        "3",
        "4",
        "9",
    ]);
    prop_oneof![
        3 => words.clone().prop_map(str::to_owned),
        2 => words.prop_map(|w| format!("\"{w}\"")),
        3 => (-1500i32..700).prop_map(|n| n.to_string()),
        1 => any::<i64>().prop_map(|n| n.to_string()),
        1 => any::<u64>().prop_map(|n| format!("{n:X}")),
        1 => any::<f64>().prop_map(|n| n.to_string()),
        1 => "\\PC{0,12}",
    ]
}

fn line() -> impl Strategy<Value = String> {
    prop::collection::vec(field(), 0..30).prop_map(|f| f.join(","))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn any_fields_are_read_without_panic_and_within_range(
        body in line(),
        rows in prop::collection::vec(line(), 0..4),
        form in prop::sample::select(vec![
            Form::Read, Form::Test, Form::Unsolicited, Form::Unknown,
        ]),
    ) {
        let mut at = 10 + body.len() + 1;
        let continuation: Vec<ContinuationLine<'_>> = rows.iter().map(|text| {
            let span = Span::new(at, at + text.len());
            at += text.len() + 1;
            ContinuationLine { text, span, open: false }
        }).collect();
        for family in families() {
            for prefix in family.prefixes {
                let reply = Response {
                    prefix, form, request: family.request, body: &body, body_at: 10,
                    span: Span::new(0, 10 + body.len()), open: false,
                    fields: &crate::response::fields(&body, 10), continuation: &continuation,
                };
                let mut facts = Facts::default();
                (family.read)(&reply, &mut facts);
                for (fact, span) in facts.found() {
                    prop_assert!(span.start <= span.end && span.end <= at, "{prefix} {fact:?}");
                    let Some((q, value)) = quantity(fact) else { continue };
                    prop_assert!(family.yields.contains(&q), "{prefix} does not list {q:?}");
                    if let Some(value) = value {
                        let (low, high) = q.range();
                        prop_assert!((low..=high).contains(&value), "{prefix} {fact:?}");
                    }
                    prop_assert!(form != Form::Test, "{prefix}: a list of what is possible is no state: {fact:?}");
                }
            }
        }
    }
}

/// The facts of a text.
fn facts_of(text: &str) -> Vec<Fact> {
    let capture = Capture::new(text);
    let (mut facts, mut dialogue) = (Facts::default(), Dialogue::default());
    capture.read(|piece| {
        if let Piece::Exchange(exchange) = piece {
            read_exchange(exchange, false, &mut facts, &mut dialogue);
        }
    });
    facts.drain().map(|(fact, _)| fact).collect()
}

/// A sample behind its request, where it has one.
fn asked(sample: &str) -> String {
    if sample.starts_with("AT") {
        return sample.to_owned();
    }
    let prefix = sample.split(':').next().unwrap_or_default().trim();
    let family =
        crate::response::family(prefix).unwrap_or_else(|| panic!("no family reads {prefix}"));
    let own = family.prefixes.iter().any(|h| family.request.starts_with(h));
    if own { format!("AT{}\r\n{sample}", family.request) } else { sample.to_owned() }
}

fn samples() -> impl Iterator<Item = &'static str> {
    let told = EXAMPLES.iter().copied().flatten().filter(|(_, facts)| !facts().is_empty());
    SAMPLES.iter().flat_map(|samples| samples.iter().copied()).chain(told.map(|(text, _)| *text))
}

#[test]
fn every_example_says_what_stands_beside_it() {
    for (text, facts) in EXAMPLES.iter().copied().flatten() {
        assert_eq!(facts_of(&format!("{text}\r\nOK\r\n")), facts(), "{text}");
    }
}

#[test]
fn every_prefix_of_a_table_is_read() {
    let examples: Vec<&str> = EXAMPLES.iter().copied().flatten().map(|(text, _)| *text).collect();
    for family in families() {
        let own = SAMPLES.iter().copied().flatten().chain(&examples);
        let shown = own.flat_map(|text| text.lines()).any(|line| {
            let prefix = line.split(':').next().unwrap_or_default().trim();
            family.prefixes.contains(&prefix)
        });
        assert!(shown, "{:?} has no example", family.prefixes);
    }
}

#[test]
fn every_family_has_a_sample_that_is_read() {
    for sample in samples() {
        let understood = [sample.to_owned(), asked(sample)]
            .iter()
            .any(|text| !facts_of(&format!("{text}\r\nOK\r\n")).is_empty());
        // Two say something only with their request, or nothing that is kept.
        let silent = ["+NETOPEN", "+CENG: 3,1"].iter().any(|s| sample.starts_with(s));
        assert!(understood || silent, "{sample}");
    }
}

#[test]
fn a_text_cut_anywhere_gives_values_of_the_whole_or_none() {
    let mut wrong = Vec::new();
    for sample in samples() {
        let text = asked(sample);
        let whole = facts_of(&format!("{text}\r\n"));
        // Behind a blank or a line end the words before it are whole.
        let inside = |end: &usize| {
            text.is_char_boundary(*end) && !text[..*end].ends_with(char::is_whitespace)
        };
        for end in (0..=text.len()).filter(inside) {
            let found = facts_of(&text[..end]);
            wrong.extend(
                found
                    .into_iter()
                    .filter(|f| !whole.contains(f))
                    .map(|f| (&text[..end], f))
                    .map(|(t, f)| format!("{t:?} gives {f:?}")),
            );
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn junk_behind_a_response_gives_the_same_or_nothing() {
    const JUNK: &[&str] =
        &["x", "_", "é", "?", ".x", ",x", "\u{fffd}", "-", "=", "(5)", "'s", "0x"];
    for sample in samples() {
        let text = asked(sample);
        let whole = facts_of(&format!("{text}\r\nOK\r\n"));
        for junk in JUNK {
            for fact in facts_of(&format!("{text}{junk}\r\nOK\r\n")) {
                assert!(whole.contains(&fact), "{text:?} and {junk:?} give {fact:?}");
            }
        }
    }
}

#[test]
fn dressings_keep_the_values_of_nearly_every_response() {
    type Dressing = fn(&str) -> String;
    const DRESSINGS: &[Dressing] = &[
        |s| format!("{s}\r\n"),
        |s| format!("< {s}\r\nOK\r\n"),
        |s| format!("[10:11:12.345] {s}\r\n"),
        |s| format!("{s}<CR><LF>\n"),
        |s| format!("{s}\\r\\n\n"),
        |s| format!("{s} // seen today\n"),
        |s| format!("\u{1b}[32m{s}\u{1b}[0m\n"),
        |s| format!("`{s}`\n"),
        |s| format!("{s}^M\n"),
        |s| format!("\r\r\n{s}\r\r\n\r\nOK\r\n"),
    ];
    let lines = samples().filter(|s| !s.contains('\n'));
    let (mut kept, mut all) = (0, 0);
    let mut lost = Vec::new();
    for sample in lines {
        let whole = facts_of(&format!("{sample}\n"));
        for (n, dress) in DRESSINGS.iter().enumerate() {
            let found = facts_of(&dress(sample));
            assert!(found.iter().all(|f| whole.contains(f)), "{:?} gives {found:?}", dress(sample));
            all += 1;
            if found == whole {
                kept += 1;
            } else {
                lost.push(format!("{n}: {sample}"));
            }
        }
    }
    assert!(kept * 100 >= all * 95, "{kept} of {all}: {lost:#?}");
}

#[test]
fn a_hidden_identity_takes_nothing_else_with_it() {
    for mask in ["801A****", "XXXXXXX", "801Axxx", "801A...", "****", "<removed>"] {
        let found = facts_of(&format!(
            "+QENG: \"servingcell\",\"NOCONN\",\"LTE\",\"FDD\",001,01,{mask},20,3350,7,5,5,{mask},-86,-13,-52,15,-\r\n"
        ));
        let has = |quantity| found.iter().any(|f| self::quantity(f).is_some_and(|q| q == quantity));
        assert!(has((Quantity::Rsrp, Some(-86.0))), "{mask}: {found:?}");
        let identity = |f: &Fact| {
            self::quantity(f).is_some_and(|(q, v)| {
                matches!(q, Quantity::CellId | Quantity::TacHex) && v.is_some()
            })
        };
        assert!(!found.iter().any(identity), "{mask}: {found:?}");
    }
}
