//! Replies of makers' own commands: one file a family, named by its command.
//!
//! A family is known by its header and the form of its fields, never by who made the modem.
//! Whatever is doubtful about a scale is told as a doubt; a number is noted only where one
//! reading alone is possible.

mod allowed;
mod bandset;
mod card;
mod ceng;
mod choice;
mod cipstatus;
mod cnact;
mod command_set;
mod cpsi;
mod debug;
mod eemltesvc;
mod firmware;
mod gstatus;
mod gtcainfo;
mod gtccinfo;
mod hcsq;
mod heat;
mod indexed;
mod labels;
mod lteinfo;
mod monsc;
mod nuestats;
mod pcinfo;
mod ping;
mod place;
mod presets;
mod qcainfo;
mod qcfg;
mod qcrsrp;
mod qcsq;
mod qeng;
mod qnwinfo;
mod qnwprefcfg;
mod qrsrp;
mod reject;
mod rfsts;
mod sleep;
mod smoni;
mod supply;
mod sysinfoex;
mod ucged;
pub(crate) mod unprefixed;
mod xmci;
mod xmonitor;
mod zcainfo;

pub use command_set::{COMMAND_SETS, VendorCommandSet, command_set};

use super::Family;

/// Every family of makers' replies, the most common first.
pub(super) static FAMILIES: &[&Family] = &[
    &qeng::FAMILY,
    &cpsi::FAMILY,
    &qnwinfo::FAMILY,
    &qcsq::FAMILY,
    &qcfg::FAMILY,
    &hcsq::FAMILY,
    &indexed::FAMILY,
    &qcainfo::FAMILY,
    &gstatus::FAMILY,
    &sysinfoex::FAMILY,
    &xmonitor::FAMILY,
    &card::FAMILY,
    &qnwprefcfg::FAMILY,
    &choice::FAMILY,
    &bandset::FAMILY,
    &rfsts::FAMILY,
    &gtccinfo::FAMILY,
    &gtcainfo::FAMILY,
    &eemltesvc::FAMILY,
    &smoni::FAMILY,
    &reject::FAMILY,
    &supply::FAMILY,
    &heat::FAMILY,
    &qrsrp::FAMILY,
    &ping::FAMILY,
    &place::FAMILY,
    &allowed::FAMILY,
    &ceng::FAMILY,
    &cipstatus::FAMILY,
    &cnact::FAMILY,
    &labels::FAMILY,
    &monsc::FAMILY,
    &qcrsrp::FAMILY,
    &ucged::FAMILY,
    &xmci::FAMILY,
    &sleep::FAMILY,
    &nuestats::FAMILY,
    &lteinfo::FAMILY,
    &pcinfo::FAMILY,
    &presets::FAMILY,
    &firmware::FAMILY,
    &zcainfo::FAMILY,
    &debug::FAMILY,
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::{Fact, Facts, Quantity};
    use crate::response::{ContinuationLine, Form, Response};
    use crate::span::Span;
    use proptest::prelude::*;

    #[test]
    fn no_header_belongs_to_two_families() {
        let mut heads: Vec<_> = FAMILIES.iter().flat_map(|f| f.heads).collect();
        heads.sort_unstable();
        for pair in heads.windows(2) {
            assert_ne!(pair[0], pair[1]);
        }
        for head in heads {
            assert_eq!(*head, head.to_ascii_uppercase());
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
            let tail: Vec<ContinuationLine<'_>> = rows.iter().map(|text| {
                let span = Span::new(at, at + text.len());
                at += text.len() + 1;
                ContinuationLine { text, span }
            }).collect();
            for family in FAMILIES {
                for head in family.heads {
                    let reply = Response {
                        head, form, request: family.request, body: &body, body_at: 10,
                        span: Span::new(0, 10 + body.len()), open: false,
                        fields: &crate::response::fields(&body, 10), tail: &tail,
                    };
                    let mut facts = Facts::default();
                    (family.read)(&reply, &mut facts);
                    for (fact, span) in facts.found() {
                        prop_assert!(span.start <= span.end && span.end <= at, "{head} {fact:?}");
                        let Some((q, value)) = quantity(fact) else { continue };
                        prop_assert!(family.yields.contains(&q), "{head} does not list {q:?}");
                        if let Some(value) = value {
                            let (low, high) = q.range();
                            prop_assert!((low..=high).contains(&value), "{head} {fact:?}");
                        }
                        prop_assert!(form != Form::Test, "{head}: a list of what is possible is no state: {fact:?}");
                    }
                }
            }
        }
    }
}
