//! The answer to one command, and whether a line belongs to it.

/// How a command ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum End {
    /// `OK`
    Ok,
    /// `ERROR` and its like, as printed.
    Error(String),
    /// Nothing within the time.
    Silent,
}

/// The answer to one command.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The lines before the result, without blank ones and without the echo.
    pub lines: Vec<String>,
    /// How it ended.
    pub end: End,
}

impl Answer {
    /// Whether it ended with `OK`.
    pub fn is_ok(&self) -> bool {
        self.end == End::Ok
    }

    /// What stands behind a header in the answer.
    pub fn value(&self, head: &str) -> Option<&str> {
        self.lines
            .iter()
            .find_map(|l| l.strip_prefix(head)?.trim_start().strip_prefix(':').map(str::trim))
    }
}

/// The header that answers to a command carry: `+CSQ` for `AT+CSQ`.
pub(super) fn head(command: &str) -> String {
    let body = command.trim();
    let body = body
        .get(2..)
        .filter(|_| body.get(..2).is_some_and(|p| p.eq_ignore_ascii_case("AT")))
        .unwrap_or(body);
    body[..body.find(['=', '?']).unwrap_or(body.len())].to_ascii_uppercase()
}

/// Whether a line is the reply of another command that never comes by itself.
pub(super) fn is_of_another(line: &str, head: &str) -> bool {
    const BY_REQUEST: &[&str] = &[
        "+CMEE", "+CFUN", "+CSQ", "+CESQ", "+COPS", "+CGATT", "+CGDCONT", "+CGACT", "+CGPADDR",
        "+CEER", "+CPINR", "+CRSM", "+CEMODE", "+WS46",
    ];
    line.split_once(':').is_some_and(|(h, _)| h != head && BY_REQUEST.contains(&h))
}

/// Whether a line looks like the answer of another registration command: with a letter lost, one
/// turns into another. What comes by itself has the state first, and then a quoted area.
pub(super) fn is_damaged(line: &str, head: &str) -> bool {
    const STATES: &[&str] = &["+CREG", "+CGREG", "+CEREG", "+C5GREG"];
    let Some((h, value)) = line.split_once(':') else { return false };
    let second = value.split(',').nth(1).map(str::trim);
    h != head
        && STATES.contains(&h)
        && second.is_some_and(|s| s.len() == 1 && s.bytes().all(|b| b.is_ascii_digit()))
}

/// Whether an answer without any line would be odd.
pub(super) fn expects_lines(command: &str) -> bool {
    let body = command.trim();
    body.ends_with('?')
        || ["AT+CSQ", "AT+CESQ", "AT+CIMI", "ATI", "AT+CEER"]
            .iter()
            .any(|c| body.eq_ignore_ascii_case(c))
}

/// The result that a line is.
pub(super) fn result(line: &str) -> Option<End> {
    let line = line.trim();
    match line {
        "OK" => Some(End::Ok),
        "ERROR" | "NO CARRIER" | "NO DIALTONE" | "BUSY" | "NO ANSWER" | "COMMAND NOT SUPPORT" => {
            Some(End::Error(line.to_owned()))
        }
        _ if line.starts_with("+CME ERROR") || line.starts_with("+CMS ERROR") => {
            Some(End::Error(line.to_owned()))
        }
        _ => None,
    }
}
