//! What was not understood: which lines have the shape of dialogue, so that they are listed and not passed over.
//!
//! A person's sentence and a log's own lines are no dialogue; they are never listed.

use crate::capture::{Exchange, Line, Outcome};
use crate::case::{Dialogue, Unread, Why};
use crate::response::standard::failure;
use crate::response::{Request, says_nothing};
use crate::span::Span;

/// So many plain lines of one answer to an unknown command are listed.
const MOST_PLAIN: usize = 8;

/// What an identity block calls its lines, in small letters (common practice, no source).
const IDENTITY: &[&str] =
    &["manufacturer", "model", "revision", "firmware", "imei", "serial", "svn"];

/// Whether a command reads identities, alone or at the end of a chain.
fn is_identity_read(command: &str) -> bool {
    let last = command.rsplit(';').next().unwrap_or(command).trim();
    let bare =
        last.get(..2).filter(|at| at.eq_ignore_ascii_case("AT")).map_or(last, |_| &last[2..]);
    bare.eq_ignore_ascii_case("I") || says_nothing(bare)
}

/// Whether a line is one of an identity block: its name, a colon, a value.
fn is_identity(line: &Line<'_>) -> bool {
    line.text.split_once(':').is_some_and(|(name, _)| {
        let name = name.trim().to_ascii_lowercase();
        IDENTITY.iter().any(|known| name.starts_with(known))
    })
}

/// Notes a line with a prefix that no family reads.
pub(super) fn command(line: &Line<'_>, request: &Request<'_>, seen: &mut Dialogue) {
    // A log writes its own tags in small letters; modems print their commands in capitals.
    let shouted = !line.prefix.bytes().any(|b| b.is_ascii_lowercase());
    if shouted && !is_prose(line) && !says_nothing(line.prefix) {
        note(line.span, Why::UnknownCommand, request.form(line.prefix).1, None, seen);
    }
}

/// Notes a response of a known command in a form that its family does not know.
pub(super) fn form(line: &Line<'_>, span: Span, request: &str, seen: &mut Dialogue) {
    // What may be set is no state, so nothing is lost with it. Behind its own request a response may have many words.
    let asked = !request.is_empty() && line.sentence.is_none();
    let silent = !asked && is_prose(line) || is_hidden(line.text) || says_nothing(line.prefix);
    if !request.ends_with("=?") && !silent {
        note(span, Why::UnknownForm, request, None, seen);
    }
}

/// Notes the plain lines that answer a command which nothing is known of.
pub(super) fn plain(exchange: &Exchange<'_, '_>, request: &Request<'_>, seen: &mut Dialogue) {
    let Some(command) = exchange.command.filter(|_| request.is_unknown()) else { return };
    // Only between a command and its `OK` a plain line is an answer for sure.
    if exchange.outcome == Outcome::Ok && !is_identity_read(command) {
        let plain = exchange.lines.iter().filter(|l| l.prefix.is_empty());
        let spoken = |l: &&Line<'_>| l.text.bytes().filter(u8::is_ascii_alphanumeric).count() > 1;
        for line in
            plain.filter(spoken).filter(|l| !is_prose(l) && !is_identity(l)).take(MOST_PLAIN)
        {
            note(line.span, Why::UnknownCommand, command, None, seen);
        }
    }
}

/// Notes an error whose number or words no table has.
pub(super) fn error(exchange: &Exchange<'_, '_>, seen: &mut Dialogue) {
    let Outcome::Error { list, text } = exchange.outcome else { return };
    if list.is_empty() || failure::is_known(list, text) {
        return;
    }
    let number = text.trim().parse().ok();
    note(exchange.outcome_span, Why::UnknownWords, exchange.command.unwrap_or(""), number, seen);
}

/// Whether somebody has hidden the value, or its end: `8900101XXXXXXXX`, `35************`.
fn is_hidden(text: &str) -> bool {
    let value = text.trim().trim_matches('"');
    let shown = value.trim_end_matches(['X', 'x', '*', '#', '•', '.', '_']);
    value.len() >= shown.len() + 3 && shown.bytes().all(|b| b.is_ascii_digit())
}

/// Whether a line is a sentence, or ends in one.
fn is_prose(line: &Line<'_>) -> bool {
    const SENTENCE: usize = 4;
    // Words in quotes and between commas are values.
    let mut parts = line.text.split(['"', ',']);
    line.sentence.is_some() || parts.any(|part| crate::capture::words(part) >= SENTENCE)
}

fn note(span: Span, why: Why, request: &str, error: Option<u16>, seen: &mut Dialogue) {
    let request = Some(request).filter(|r| !r.is_empty()).map(|r| format!("AT{r}"));
    seen.not_understood(Unread { span, why, request, error });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::Capture;
    use crate::case::Case;

    /// What is listed of a text: the reason, the text, the request.
    fn listed(text: &str) -> Vec<(Why, &str, Option<String>)> {
        let case = Case::read(&Capture::new(text));
        let seen = case.dialogue.unread.into_iter();
        seen.map(|u| (u.why, u.span.of(text), u.request)).collect()
    }

    #[test]
    fn a_line_of_the_shape_of_dialogue_is_listed_with_its_request() {
        let asked = |r: &str| Some(r.to_owned());
        assert_eq!(
            listed("AT+XQTEST?\n+XQTEST: 4,\"a\"\nOK\nAT+CSQ\n+CSQ: 17,99\nOK\n"),
            [(Why::UnknownCommand, "+XQTEST: 4,\"a\"", asked("AT+XQTEST?"))]
        );
        assert_eq!(
            listed("AT+CEREG?\n+CEREG: soon\nOK\n"),
            [(Why::UnknownForm, "+CEREG: soon", asked("AT+CEREG?"))]
        );
        assert_eq!(
            listed("+QENG: \"servingcell\",\"NOCONN\",\"LTE\",\"FDD\",001,01,x!,246\n")[0].0,
            Why::UnknownForm
        );
        assert_eq!(
            listed("AT^XQROW\nalpha 1\nOK\n"),
            [(Why::UnknownCommand, "alpha 1", asked("AT^XQROW"))]
        );
        assert_eq!(listed("AT+CSQ\n+CSQ: 17,99\n^XQBOOT: 7\nOK\n")[0].2, None, "by itself");
    }

    #[test]
    fn a_vendors_own_error_number_is_listed_and_a_known_one_is_not() {
        let case = Case::read(&Capture::new("AT+CGACT=1,1\n+CME ERROR: 811\n"));
        let [unread] = &case.dialogue.unread[..] else { panic!("{:?}", case.dialogue.unread) };
        assert_eq!((unread.why, unread.error), (Why::UnknownWords, Some(811)));
        for known in ["+CME ERROR: 10", "+CME ERROR: SIM busy", "ERROR", "+CMS ERROR: 310"] {
            assert_eq!(listed(&format!("AT+CPIN?\n{known}\n")), [], "{known}");
        }
    }

    #[test]
    fn standard_lines_that_tell_nothing_and_identities_are_not_listed() {
        for text in [
            "AT+CMEE?\n+CMEE: 2\nOK\n",
            "AT+CNMI?\n+CNMI: 2,1,0,0,0\nOK\n+CMTI: \"SM\",3\n",
            "AT+GCAP\n+GCAP: +CGSM\nOK\n",
            "AT+GMR\nRev 7.01-weir\nOK\n",
            "AT+CCID\n+CCID: 8900101XXXXXXXXXXXXX\nOK\n",
            "AT+XQV\nManufacturer: Weir Example\nModel: W-1\nRevision: 7.01\nOK\n",
        ] {
            assert_eq!(listed(text), [], "{text}");
        }
        assert_eq!(listed("AT+XQV\nalpha 1\nOK\n").len(), 1, "another command's line is");
    }

    #[test]
    fn people_and_logs_are_not_listed() {
        for text in [
            "Dear all, the modem does not work. Note: it did last week!\n",
            "Jan 10 12:00:01 gw app[12]: +state: idle\n",
            "I get +XQTEST: 4 from time to time, what is it?\n",
            "AT+CEREG?\n+CEREG: 0,1\nOK\nnice, is it not?\n",
        ] {
            assert_eq!(listed(text), [], "{text}");
        }
    }

    #[test]
    fn at_most_200_are_kept_and_the_rest_is_counted() {
        let case = Case::read(&Capture::new(&"+XQTEST: 4\n".repeat(230)));
        assert_eq!((case.dialogue.unread.len(), case.dialogue.unread_more), (200, 30));
    }
}
