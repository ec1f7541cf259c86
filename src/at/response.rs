//! The response to one command, and whether a line belongs to it.
//!
//! V.250 §5.7: information text, then a final result code. Values are read by the response room.

use crate::response::{Fields, fields};

/// How a command ended (V.250 §5.7.1).
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ResultCode {
    /// `OK`
    Ok,
    /// `ERROR` and its like, as printed.
    Error(String),
    /// None within the time.
    Silent,
    /// None: the modem restarted, or its line was away, while the command was under way.
    Interrupted,
}

/// The response to one command.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CommandResponse {
    /// The information text: lines before the result, without blank ones and without the echo.
    pub lines: Vec<String>,
    /// How it ended.
    pub result: ResultCode,
}

impl CommandResponse {
    /// Whether it ended with `OK`.
    pub fn is_ok(&self) -> bool {
        self.result == ResultCode::Ok
    }

    /// What stands behind a prefix, in the first line that has it.
    pub fn value(&self, prefix: &str) -> Option<&str> {
        self.values(prefix).next()
    }

    /// What stands behind a prefix, in each line that has it.
    pub fn values(&self, prefix: &str) -> impl Iterator<Item = &str> {
        self.lines
            .iter()
            .filter_map(move |l| l.strip_prefix(prefix)?.trim_start().strip_prefix(':'))
            .map(str::trim)
    }

    /// The fields of each line that has a prefix.
    pub fn rows(&self, prefix: &str) -> impl Iterator<Item = Fields<'_>> {
        self.values(prefix).map(|value| fields(value, 0))
    }

    /// The dialogue as text, as a capture holds it.
    pub fn as_text(&self, command: &str) -> String {
        let result = match &self.result {
            ResultCode::Ok => "OK",
            ResultCode::Error(words) => words,
            ResultCode::Silent | ResultCode::Interrupted => "",
        };
        let lines: String = self.lines.iter().map(|l| format!("{l}\n")).collect();
        format!("{command}\n{lines}{result}\n")
    }
}

/// The prefix that responses to a command carry: `+CSQ` for `AT+CSQ`.
pub(super) fn prefix(command: &str) -> String {
    let body = command.trim();
    let body = body
        .get(2..)
        .filter(|_| body.get(..2).is_some_and(|p| p.eq_ignore_ascii_case("AT")))
        .unwrap_or(body);
    body[..body.find(['=', '?']).unwrap_or(body.len())].to_ascii_uppercase()
}

/// Whether a line is the response to another command that never comes by itself.
pub(super) fn is_of_another(line: &str, prefix: &str) -> bool {
    const BY_REQUEST: &[&str] = &[
        "+CMEE", "+CFUN", "+CSQ", "+CESQ", "+COPS", "+CGATT", "+CGDCONT", "+CGACT", "+CGPADDR",
        "+CGAUTH", "+CEER", "+CPINR", "+CRSM", "+CEMODE", "+WS46",
    ];
    line.split_once(':').is_some_and(|(h, _)| h != prefix && BY_REQUEST.contains(&h))
}

/// Whether a line looks like the response to another registration command: with a letter lost, one
/// turns into another. What comes by itself has the state first, and then a quoted area.
pub(super) fn is_damaged(line: &str, prefix: &str) -> bool {
    const STATES: &[&str] = &["+CREG", "+CGREG", "+CEREG", "+C5GREG"];
    let Some((h, value)) = line.split_once(':') else { return false };
    h != prefix
        && STATES.contains(&h)
        && fields(value, 0).get(1).is_some_and(|f| {
            !f.quoted && f.text.len() == 1 && f.text.bytes().all(|b| b.is_ascii_digit())
        })
}

/// Whether a response without any line would be odd.
pub(super) fn expects_lines(command: &str) -> bool {
    let body = command.trim();
    body.ends_with('?')
        || ["AT+CSQ", "AT+CESQ", "AT+CIMI", "ATI", "AT+CEER"]
            .iter()
            .any(|c| body.eq_ignore_ascii_case(c))
}

/// The result code that a line is.
pub(super) fn result(line: &str) -> Option<ResultCode> {
    let line = line.trim();
    match line {
        "OK" => Some(ResultCode::Ok),
        "ERROR" | "NO CARRIER" | "NO DIALTONE" | "BUSY" | "NO ANSWER" | "COMMAND NOT SUPPORT" => {
            Some(ResultCode::Error(line.to_owned()))
        }
        _ if line.starts_with("+CME ERROR") || line.starts_with("+CMS ERROR") => {
            Some(ResultCode::Error(line.to_owned()))
        }
        _ => None,
    }
}

/// Whether a line is printed by a modem that starts, and by nothing else.
pub(crate) fn is_start(line: &str) -> bool {
    const STARTS: [&str; 7] =
        ["RDY", "^SYSSTART", "+SYSSTART", "*ATREADY", "%RDY", "+KSUP", "APP RDY"];
    let line = line.trim();
    STARTS.iter().any(|s| {
        line.strip_prefix(s).is_some_and(|rest| rest.is_empty() || rest.starts_with([':', ' ']))
    })
}
