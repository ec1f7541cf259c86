//! Commands and responses that carry a secret, and in which of their fields.

use super::found::{PHONE_KEPT, Secret, SecretKind};
use super::phones;
use std::ops::Range;

/// The fields with a secret, counted from 0.
#[derive(Clone, Copy)]
enum Where {
    /// In these fields.
    Fields(&'static [usize]),
    /// In these fields, if the one before the first of them has one of these values.
    After(&'static [&'static str], &'static [usize]),
    /// In these texts in quotes.
    Quoted(&'static [usize]),
    /// In every text that is a phone number.
    Phones,
}

/// A command with its sign, whether its responses count, too, what it carries and where. The order of the fields is
/// that of TS 27.007 for standard commands; those of vendors are from memory.
const CARRY: &[(&str, bool, SecretKind, Where)] = &[
    ("+CPIN", false, SecretKind::Pin, Where::Fields(&[0, 1])),
    ("+CPIN2", false, SecretKind::Pin, Where::Fields(&[0, 1])),
    ("^CPIN", false, SecretKind::Pin, Where::Fields(&[0, 1])),
    ("+CLCK", false, SecretKind::Pin, Where::Fields(&[2])),
    ("+CPWD", false, SecretKind::Pin, Where::Fields(&[1, 2])),
    ("+CGAUTH", true, SecretKind::Word, Where::Fields(&[2, 3])),
    ("*CGAUTH", true, SecretKind::Word, Where::Fields(&[2, 3])),
    ("+XGAUTH", true, SecretKind::Word, Where::Fields(&[2, 3])),
    ("+UAUTHREQ", true, SecretKind::Word, Where::Fields(&[2, 3])),
    ("#PDPAUTH", true, SecretKind::Word, Where::Fields(&[2, 3])),
    ("#SGACT", false, SecretKind::Word, Where::Fields(&[2, 3])),
    ("#USERID", true, SecretKind::Word, Where::Fields(&[0])),
    ("#PASSW", true, SecretKind::Word, Where::Fields(&[0])),
    ("$QCPDPP", true, SecretKind::Word, Where::Fields(&[2, 3])),
    ("^AUTHDATA", true, SecretKind::Word, Where::Fields(&[3, 4])),
    ("+QICSGP", true, SecretKind::Word, Where::Quoted(&[1, 2])),
    ("+CSTT", true, SecretKind::Word, Where::Fields(&[1, 2])),
    ("+CNCFG", true, SecretKind::Word, Where::Quoted(&[1, 2])),
    ("+UPSD", true, SecretKind::Word, Where::After(&["2", "3"], &[2])),
    ("+UMQTT", true, SecretKind::Word, Where::After(&["4"], &[1, 2])),
    ("+UHTTP", true, SecretKind::Word, Where::After(&["2", "3"], &[2])),
    ("+KCNXCFG", true, SecretKind::Word, Where::Quoted(&[2, 3])),
    ("+KFTPCFG", true, SecretKind::Word, Where::Quoted(&[1, 2])),
    ("+FTPUN", true, SecretKind::Word, Where::Fields(&[0])),
    ("+QMTCONN", true, SecretKind::Word, Where::Quoted(&[1, 2])),
    ("+CMQTTCONNECT", true, SecretKind::Word, Where::Quoted(&[1, 2])),
    ("+CWJAP", true, SecretKind::Word, Where::Quoted(&[1])),
    ("+CWSAP", true, SecretKind::Word, Where::Quoted(&[1])),
    ("+CNUM", true, SecretKind::Phone, Where::Phones),
    ("+CLIP", true, SecretKind::Phone, Where::Phones),
    ("+CLCC", true, SecretKind::Phone, Where::Phones),
    ("+CCWA", true, SecretKind::Phone, Where::Phones),
    ("+CSCA", true, SecretKind::Phone, Where::Phones),
    ("+CCFC", true, SecretKind::Phone, Where::Phones),
    ("+CMGS", true, SecretKind::Phone, Where::Phones),
    ("+CMGR", true, SecretKind::Phone, Where::Phones),
    ("+CMGL", true, SecretKind::Phone, Where::Phones),
    ("+CMGW", true, SecretKind::Phone, Where::Phones),
    ("+CMT", true, SecretKind::Phone, Where::Phones),
    ("+CDS", true, SecretKind::Phone, Where::Phones),
    ("+CPBR", true, SecretKind::Phone, Where::Phones),
    ("+CPBF", true, SecretKind::Phone, Where::Phones),
    ("+CPBW", true, SecretKind::Phone, Where::Phones),
];

/// Parts of a command's name that say what it carries; the last ones only at its end. So vendors name commands for
/// credentials, whatever the order of their fields (common practice, no source).
const NAMED: &[&str] = &["PASS", "PWD", "USER", "AUTH", "LOGIN", "CRED", "SECRET"];
const NAMED_AT_END: &[&str] = &["PW", "PSW", "PSWD", "PSK"];

/// Whether a text names credentials: a command, or a field whose value is the next one.
fn names_credentials(name: &str) -> bool {
    let name = name.to_ascii_uppercase();
    NAMED.iter().any(|part| name.contains(part))
        || NAMED_AT_END.iter().any(|end| name.ends_with(end))
}

/// Finds what the commands and responses of one line carry.
pub(super) fn find(line: &str, found: &mut Vec<Secret>) {
    let bytes = line.as_bytes();
    for (at, sign) in line.match_indices(['+', '^', '$', '#', '*', '%', '!']) {
        let name = at + sign.len();
        let end = name + bytes[name..].iter().take_while(|b| b.is_ascii_alphanumeric()).count();
        let blanks = bytes[end..].iter().take_while(|b| matches!(b, b' ' | b'\t')).count();
        let sets = match bytes.get(end + blanks) {
            Some(b'=') => true,
            Some(b':') => false,
            _ => continue,
        };
        let body = end + blanks + 1;
        if bytes.get(body) == Some(&b'?') || end == name {
            continue;
        }
        let known = CARRY.iter().find(|(n, ..)| n.eq_ignore_ascii_case(&line[at..end]));
        match known {
            Some(&(_, responds, kind, place)) if sets || responds => {
                carried(line, body, kind, place, found);
            }
            Some(_) => {}
            None => named(line, body, names_credentials(&line[name..end]), found),
        }
    }
    dialled(line, found);
}

/// Texts of a command whose name says that it carries credentials, and those behind a field that names one:
/// `"PWD","secret"`. Numbers are contexts, kinds of authentication and the like.
fn named(line: &str, body: usize, all: bool, found: &mut Vec<Secret>) {
    let mut hidden = all;
    for Field { range, quoted } in fields(line, body) {
        let text = &line[range.clone()];
        let is_text = quoted || text.starts_with(|c: char| c.is_alphabetic());
        if is_text && !all && (text.eq_ignore_ascii_case("account") || names_credentials(text)) {
            hidden = true;
        } else if hidden && is_text && !text.is_empty() && !is_protocol(text) {
            found.push(Secret { range, kind: SecretKind::Word, keep: 0 });
        }
    }
}

/// Whether a text is a protocol of authentication or of addresses (TS 27.007 §10.1.1, §10.1.31), not a name.
fn is_protocol(text: &str) -> bool {
    ["NONE", "PAP", "CHAP", "IP", "IPV4", "IPV6", "IPV4V6", "PPP"]
        .iter()
        .any(|known| known.eq_ignore_ascii_case(text))
}

fn carried(line: &str, body: usize, kind: SecretKind, place: Where, found: &mut Vec<Secret>) {
    let fields = fields(line, body);
    let text = |r: &Range<usize>| &line[r.clone()];
    let mut hide = |range: &Range<usize>, keep: usize| {
        // What may be set is a list of numbers in brackets.
        let listed = text(range).strip_prefix('(').and_then(|t| t.strip_suffix(')'));
        let listed = listed.is_some_and(|t| t.bytes().all(|b| b.is_ascii_digit() || b == b'-'));
        if !range.is_empty() && !listed {
            found.push(Secret { range: range.clone(), kind, keep });
        }
    };
    match place {
        Where::Fields(wanted) => {
            wanted.iter().filter_map(|&n| fields.get(n)).for_each(|f| hide(&f.range, 0));
        }
        Where::After(values, wanted) => {
            let before = wanted[0].checked_sub(1).and_then(|n| fields.get(n));
            if before.is_some_and(|f| values.iter().any(|v| v.eq_ignore_ascii_case(text(&f.range))))
            {
                wanted.iter().filter_map(|&n| fields.get(n)).for_each(|f| hide(&f.range, 0));
            }
        }
        Where::Quoted(wanted) => {
            let quoted: Vec<_> = fields.iter().filter(|f| f.quoted).collect();
            wanted.iter().filter_map(|&n| quoted.get(n)).for_each(|f| hide(&f.range, 0));
        }
        Where::Phones => {
            let is_phone = |f: &&Field| f.quoted && phones::is_phone(text(&f.range), 3);
            fields.iter().filter(is_phone).for_each(|f| hide(&f.range, PHONE_KEPT));
        }
    }
}

/// A number that is dialled, and user names and passwords in the string for a data call.
fn dialled(line: &str, found: &mut Vec<Secret>) {
    let bytes = line.as_bytes();
    let named = |at: &usize| {
        bytes[*at..].get(..3).is_some_and(|name| name.eq_ignore_ascii_case(b"ATD"))
            && !at.checked_sub(1).is_some_and(|before| bytes[before].is_ascii_alphanumeric())
    };
    let places: Vec<usize> = memchr::memchr2_iter(b'a', b'A', bytes).filter(named).collect();
    if places.is_empty() {
        return;
    }
    let upper = line.to_ascii_uppercase();
    for at in places {
        let from = at + 3;
        let from = from + usize::from(upper[from..].starts_with(['T', 'P']));
        let from = from + usize::from(upper[from..].starts_with([' ', '"']));
        let rest = &upper[from..upper.floor_char_boundary(from + LONGEST)];
        let length = rest.find([' ', ';', '"', '\r', '\n']).unwrap_or(rest.len());
        let called = from..from + length;
        if phones::is_phone(&line[called.clone()], 5) {
            found.push(Secret { range: called, kind: SecretKind::Phone, keep: PHONE_KEPT });
        } else if line[called.clone()].starts_with('*') {
            let mut part_at = called.start;
            for part in line[called].split('*') {
                if let Some((user, rest)) = part.split_once(':') {
                    let password = rest.split(['@', '#']).next().unwrap_or(rest).len();
                    let behind = part_at + user.len() + 1;
                    for range in [part_at..part_at + user.len(), behind..behind + password] {
                        found.push(Secret { range, kind: SecretKind::Word, keep: 0 });
                    }
                }
                part_at += part.len() + 1;
            }
        }
    }
}

/// No command is longer.
const LONGEST: usize = 600;

struct Field {
    range: Range<usize>,
    quoted: bool,
}

/// The values behind a command up to its end, without their quotes.
fn fields(line: &str, body: usize) -> Vec<Field> {
    let bytes = &line.as_bytes()[..line.floor_char_boundary(body + LONGEST)];
    let mut fields = Vec::new();
    let mut at = body;
    loop {
        while matches!(bytes.get(at), Some(b' ' | b'\t')) {
            at += 1;
        }
        let quoted = bytes.get(at) == Some(&b'"');
        let start = at + usize::from(quoted);
        let ends = |b: &u8| {
            if quoted { *b == b'"' } else { matches!(b, b',' | b';' | b'\r' | b'\n' | b'"') }
        };
        let length = bytes[start..].iter().position(ends).unwrap_or(bytes.len() - start);
        let text = line[start..start + length].trim_end();
        fields.push(Field { range: start..start + text.len(), quoted });
        at = start + length + usize::from(quoted && start + length < bytes.len());
        while matches!(bytes.get(at), Some(b' ' | b'\t')) {
            at += 1;
        }
        if bytes.get(at) != Some(&b',') {
            return fields;
        }
        at += 1;
    }
}
