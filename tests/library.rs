//! The library from outside of the crate: a text is read and judged; a response, a rule and a writer of one's own are added.

use mastside::capture::Capture;
use mastside::case::{Case, Cell, Fact, Facts, Quantity};
use mastside::explanation::{Basis, Explanation, View};
use mastside::response::{self, Family, Read, Response};
use mastside::rules::{self, Action, Acts, Certainty, Judgement, Rule, Site};
use mastside::verdict::Verdict;

/// A response of an invented vendor: `+XGAUGE: <RSRP, dBm>,<water in the cabinet: 0 or 1>`.
static GAUGE: Family = Family {
    prefixes: &["+XGAUGE"],
    request: "+XGAUGE?",
    source: "an invented vendor's command",
    about: "level, and whether the cabinet is wet",
    yields: &[Quantity::Rsrp],
    read: read_gauge,
};

fn read_gauge(response: &Response<'_>, facts: &mut Facts) -> Read {
    // Whole by its one form, or nothing.
    let [level, wet] = response.fields() else { return Read::UnknownForm };
    let (Ok(level), "0" | "1") = (level.text.parse::<f64>(), wet.text) else {
        return Read::UnknownForm;
    };
    facts.push(Fact::number(Quantity::Rsrp, level, Cell::Serving), response.span);
    if wet.text == "1" {
        facts.push(Fact::Fault, response.span);
    }
    Read::Understood
}

/// A rule of one's own.
static WET: Rule = Rule {
    id: "device/wet-cabinet",
    asks: "Is there water in the cabinet?",
    clause: "common practice, no source",
    acts: Acts::Installer,
    actions: &[Action::step(Acts::Installer, "Dry the cabinet.")
        .with_care("Switch the supply off before you open the cabinet.")],
    page: "# Is there water in the cabinet?\n",
    judge: judge_wet,
    ..Rule::BLANK
};

fn judge_wet(site: &Site<'_>) -> Judgement {
    match site.case.device.faults.latest() {
        Some(fault) => Judgement::Holds {
            certainty: Certainty::Certain,
            evidence: vec![fault.says("the cabinet is wet")],
            summary: "There is water in the cabinet.".into(),
        },
        None => Judgement::Open,
    }
}

const TEXT: &str = "AT+CFUN?\n+CFUN: 1\nOK\nAT+XGAUGE?\n+XGAUGE: -97,1\nOK\n";

/// One test, because a family is added for the whole process, before the first text is read.
#[test]
fn a_response_a_rule_and_a_writer_are_added_from_outside() {
    response::add_families(&[&GAUGE]).unwrap();
    assert!(response::family("+xgauge").is_some());

    let case = Case::read(&Capture::new(TEXT));
    assert_eq!(case.level(Quantity::Rsrp).unwrap().0, Some(-97.0));
    assert!(case.dialogue.unread.is_empty(), "{:?}", case.dialogue.unread);

    let verdict = Verdict::reach_with(&Site::of(&case), &[&WET]);
    let root = verdict.root().unwrap();
    assert_eq!((root.rule.id, verdict.acts), ("device/wet-cabinet", Acts::Installer));
    assert_eq!(root.evidence()[0].span.of(TEXT), "+XGAUGE: -97,1");
    assert!(
        rules::find("device/wet-cabinet").is_none(),
        "the program's own rules stay as they are"
    );

    // A later text without it leaves the rule open.
    let case = Case::read(&Capture::new("AT+XGAUGE?\n+XGAUGE: -97,0\nOK\n"));
    let verdict = Verdict::reach_with(&Site::of(&case), &[&WET]);
    let wet = verdict.judged.iter().find(|j| j.rule == &WET).unwrap();
    assert!(matches!(wet.judgement, Judgement::Open));
    // A form that it does not know gives nothing.
    let case = Case::read(&Capture::new("AT+XGAUGE?\n+XGAUGE: -97,1,4\nOK\n"));
    assert!(case.level(Quantity::Rsrp).is_none() && case.dialogue.unread.len() == 1);

    // It is too late for another one: texts were read without it.
    assert!(response::add_families(&[&GAUGE]).is_err());
}

/// A writer of one's own: the verdict and its lines as one line of tab-separated fields.
fn row(explanation: &Explanation<'_>) -> String {
    let verdict = explanation.verdict();
    let evidence = explanation.evidence().iter();
    let lines: Vec<String> =
        evidence.map(|e| explanation.source.extract(e.span).marked().to_owned()).collect();
    format!("{}\t{}\t{}", verdict.id(), verdict.certainty.word(), lines.join(" | "))
}

#[test]
fn a_writer_of_ones_own_masks_as_the_others_do() {
    let profiles = mastside::carrier::ProfileStore::shipped();
    let text = "AT+CIMI\n001010000012345\nOK\nAT+CFUN?\n+CFUN: 4\nOK\n";
    let explanation =
        Explanation::of(text, Vec::new(), &Basis::of(&profiles), View::default()).unwrap();
    assert_eq!(row(&explanation), "device/radio-off\tcertain\t+CFUN: 4");
    assert!(!explanation.source.word("001010000012345").contains("12345"));
}
