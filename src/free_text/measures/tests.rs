//! Records, pages and dumps in the layouts of many machines; invented.

use super::*;
use crate::case::{Reading, Value};

fn seen(text: &str) -> Vec<String> {
    let (mut measures, mut facts) = (Measures::default(), Facts::default());
    for line in text.lines() {
        measures.read(line, &line.to_ascii_lowercase(), 0, &mut facts);
    }
    let shown = |fact: Fact| match fact {
        Fact::Reading(Reading { quantity, value: Value::Number(Some(n)), .. }) => {
            format!("{} {n}", quantity.name())
        }
        Fact::Reading(Reading { quantity, value: Value::Word(word), .. }) => {
            format!("{} {word}", quantity.name())
        }
        Fact::Port(port, quantity, value) => format!("{port} {} {value:?}", quantity.name()),
        other => format!("{other:?}"),
    };
    facts.drain().map(|(fact, _)| shown(fact)).collect()
}

#[test]
fn a_record_in_any_layout_is_read() {
    for (line, read) in [
        (
            "cell: rsrp -96 rsrq -11 sinr 7 | probe 3/3",
            vec!["rsrp_dbm -96", "rsrq_db -11", "sinr_db 7"],
        ),
        ("lte.rsrp                      -90 dBm", vec!["rsrp_dbm -90"]),
        ("  rsrq -17.5;    # dB", vec!["rsrq_db -17.5"]),
        ("  ss_rsrp: -80", vec!["rsrp_dbm -80"]),
        ("{\"rsrp\":-101,\"snr\":\"4.5\"}", vec!["rsrp_dbm -101", "sinr_db 4.5"]),
        ("RSRP / RSRQ : -99 / -12", vec!["rsrp_dbm -99", "rsrq_db -12"]),
        (
            " Signal ................. -91 dBm RSRP, -11 dB RSRQ",
            vec!["rsrp_dbm -91", "rsrq_db -11"],
        ),
        ("rsrp....: -88 dBm", vec!["rsrp_dbm -88"]),
        ("prx.rsrp=-126", vec!["0 rsrp_dbm Some(-126.0)"]),
        ("drx_rsrp: -88", vec!["1 rsrp_dbm Some(-88.0)"]),
        ("state=connected rat=lte band=3 rsrp=-95", vec!["rsrp_dbm -95", "band 3"]),
        (
            "registered home 001-01, lte b20, tac 0x1771",
            vec!["tac_hex 1771", "band 20", "mcc 001", "mnc 01"],
        ),
        ("Camped on   : 999-70 LTE B8", vec!["band 8", "mcc 999", "mnc 70"]),
        ("  plmn: \"999-70\"", vec!["mcc 999", "mnc 70"]),
        ("plmn 00101 tac 00A1F0", vec!["tac_hex 00A1F0", "mcc 001", "mnc 01"]),
        ("current-plmn                  001/01 \"Weir\"", vec!["mcc 001", "mnc 01"]),
        ("  nrarfcn: 627264", vec!["nr_arfcn 627264"]),
        ("  band: n78", vec!["band 78"]),
        ("  pci 41;", vec!["pci 41"]),
        ("cfg ctx=1 apn=corp.weir auth=chap", vec!["apn corp.weir"]),
        ("  APN            telemetry.ford.example", vec!["apn telemetry.ford.example"]),
        ("dnn: slice1.example", vec!["apn slice1.example"]),
    ] {
        assert_eq!(seen(line), read, "{line}");
    }
}

#[test]
fn indices_other_cells_lists_and_times_are_none() {
    for text in [
        "rsrp 48",
        "rsrp: n/a",
        "RSRP: -90 to -105 is fair",
        "neighbour pci 12 rsrp -99",
        "heard:\n  - {plmn: \"001-01\", band: 1, rsrp: -92}",
        "history {\n    \"02:00\" { rsrp -78; sinr -5.0; }\n}",
        "nr rsrp -80 lte rsrp -95",
        "bands supported: 1,3,7",
        "band 3 and 28",
        "band 3,20",
        "tac 4660",
        "2026-10-01 00:00:00 log rotated",
        "call 0800 12 345",
        "forbidden: 001-01",
        "apn: none",
        "apn is wrong",
        "temperature=-12",
        "rsrp threshold -110 dBm",
    ] {
        assert_eq!(seen(text), Vec::<String>::new(), "{text}");
    }
}

#[test]
fn what_follows_a_block_of_other_cells_is_of_the_serving_one() {
    let text = "scan:\n  a: rsrp -92\nserving:\n  rsrp: -88\n";
    assert_eq!(seen(text), ["rsrp_dbm -88"]);
}
