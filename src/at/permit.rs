//! What a read-only run may send.

/// Reads that write `=` and change nothing.
const READS_WITH_VALUES: &[&str] = &[
    "+CRSM=176,",
    "+CPINR=",
    "+CGPADDR=",
    "+CGCONTRDP=",
    "+QENG=\"",
    "+QGPSLOC=2",
    "+CLCK=\"SC\",2",
    "+CLCK=\"PN\",2",
];

/// Vendors' commands whose set form with one quoted word is a read.
const READS_BY_WORD: &[&str] = &["+QCFG=\"", "+QNWPREFCFG=\""];

/// Volatile settings that a read needs, and that are put back.
const VOLATILE: &[&str] = &["+CMEE=", "+CEREG=", "+CGREG=", "+CREG=", "+C5GREG="];

/// Results as words or as numbers, or switched on: for the time of a run, and put back.
const RESULTS: &[&str] = &["V0", "V1", "Q0", "Q1"];

/// Commands without a value that only read.
const PLAIN_READS: &[&str] = &[
    "",
    "I",
    "+CSQ",
    "+CESQ",
    "+CIMI",
    "+CCID",
    "+ICCID",
    "+QCCID",
    "+CGMI",
    "+CGMM",
    "+CGMR",
    "+CGSN",
    "+CEER",
    "+CPINR",
    "+CGPADDR",
    "+CGCONTRDP",
    "+CPAS",
    "+CBC",
    "+QNWINFO",
    "+QCSQ",
    "+QCAINFO",
    "+QRSRP",
    "+QRSRQ",
    "+QSINR",
    "+QTEMP",
    "%XMONITOR",
    "^SMONI",
    "^SMONP",
    "#RFSTS",
    "#SERVINFO",
    "+NUESTATS",
    "+CGNSINF",
    "+CGPSINFO",
    "$GPSACP",
];

/// Whether a command (without or with `AT`) only reads: it may be sent without being asked for by
/// name. The slow search for networks is none, because it drops the link.
pub fn is_read(command: &str) -> bool {
    let upper = command.trim().to_ascii_uppercase();
    let body = upper.strip_prefix("AT").unwrap_or(&upper);
    if body.contains(';') || body.contains(['\r', '\n']) {
        return false;
    }
    if body.starts_with("+COPS=?") {
        return false;
    }
    if let Some(name) = body.strip_suffix('?') {
        return !name.contains('=') || body.ends_with("=?");
    }
    let by_word = READS_BY_WORD.iter().any(|p| {
        body.strip_prefix(p)
            .is_some_and(|rest| rest.ends_with('"') && rest.matches('"').count() == 1)
    });
    by_word
        || PLAIN_READS.contains(&body)
        || RESULTS.contains(&body)
        || READS_WITH_VALUES.iter().any(|p| body.starts_with(p))
        || is_volatile(body)
}

/// Whether a command (without or with `AT`) switches a volatile setting that a read needs: it is sent
/// where it is put back, and nowhere else.
pub(crate) fn is_volatile(command: &str) -> bool {
    let upper = command.trim().to_ascii_uppercase();
    let body = upper.strip_prefix("AT").unwrap_or(&upper);
    VOLATILE.iter().any(|p| {
        body.strip_prefix(p).is_some_and(|v| v.len() == 1 && v.bytes().all(|b| b.is_ascii_digit()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_pass_and_writes_do_not() {
        for read in [
            "AT",
            "AT+CPIN?",
            "AT+COPS?",
            "AT+CSQ",
            "AT+CEREG=3",
            "AT+CMEE=1",
            "AT+CRSM=176,28539,0,0,12",
            "AT+QCFG=\"band\"",
            "AT+CGDCONT=?",
            "AT+QENG=\"servingcell\"",
        ] {
            assert!(is_read(read), "{read}");
        }
        for write in [
            "AT+COPS=?",
            "AT+COPS=0",
            "AT+CFUN=1",
            "AT+CPIN=\"0000\"",
            "AT+CGDCONT=1,\"IP\",\"x\"",
            "AT+CRSM=214,28539,0,0,12,\"FF\"",
            "AT&F",
            "ATZ",
            "ATD*99#",
            "AT+QCFG=\"band\",0,1",
            "AT+CSQ;+CFUN=0",
            "AT+CGATT=0",
            "AT+CEMODE=2",
            "AT+CLCK=\"SC\",0,\"0000\"",
            "AT+CEREG=3\rAT+CFUN=0",
        ] {
            assert!(!is_read(write), "{write}");
        }
    }

    #[test]
    fn every_question_of_every_rule_is_a_read_but_the_search() {
        for rule in crate::rules::all() {
            for read in rule.reads(None) {
                assert!(is_read(read) || read == "AT+COPS=?", "{} asks for {read}", rule.id);
            }
        }
    }
}
