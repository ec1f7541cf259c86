//! Replies that a letter or a page has wrapped at a blank inside them.
//!
//! ```text
//! +CPSI: LTE
//! NB-IOT,Online,001-01,0x1A2B,2050,112,EUTRAN-BAND3,1850,5,5,-11,-94,-63,12
//! ```

use super::column_wrap::unfinished;
use super::item::Kind;
use super::normal::{Builder, Normal, upon};
use std::cell::LazyCell;

/// The text with such replies in one line again; the same where there are none.
pub(super) fn rewrapped(normal: Normal<'_>) -> Normal<'_> {
    upon(normal, joined)
}

fn joined(normal: &Normal<'_>) -> Option<Normal<'static>> {
    let (text, lines) = (normal.text(), normal.lines());
    let longest = LazyCell::new(|| lines.iter().map(|l| l.end - l.start).max().unwrap_or(0));
    let mut builder: Option<Builder<'_>> = None;
    let mut copied = 0;
    // The reply so far, and the last of its lines.
    let mut begun: Option<(String, usize)> = None;
    for &at in normal.unknown().iter().filter(|&&at| at > 0) {
        let (this, next) = (lines[at - 1], lines[at]);
        let so_far = begun.take().filter(|(_, last)| *last == at - 1).map(|(reply, _)| reply);
        let line = so_far.as_deref().unwrap_or_else(|| this.of(text));
        let next_line = next.of(text);
        // No line of the text is as long as both would be: it was wrapped for its length.
        if !may_go_on(line, next_line)
            || next.feeds_since(this, text) != 1
            || line.len() + 1 + next_line.len() <= *longest
            || !goes_on(line, next_line, so_far.is_some())
        {
            continue;
        }
        let rest = unquoted(next_line);
        let end = this.start + this.of(text).trim_end().len();
        let cut = line.trim_end().ends_with(',') || rest.starts_with(',');
        let blank = if cut { "" } else { " " };
        begun = Some(([line.trim_end(), blank, rest].concat(), at));
        let b = builder.get_or_insert_with(|| Builder::new(text));
        b.copy(copied, end);
        b.replace(end, blank);
        copied = next.start + next_line.len() - rest.len();
    }
    builder.map(|mut b| {
        b.copy(copied, text.len());
        b.finish()
    })
}

/// A cheap look before the costly one: values follow a line with a header, or close its quote.
fn may_go_on(line: &str, next: &str) -> bool {
    let (line, next) = (line.as_bytes(), next.as_bytes());
    if memchr::memchr2(b',', b'"', next).is_none() {
        return false;
    }
    let values = memchr::memchr_iter(b',', next).take(2).count();
    let open = || memchr::memchr_iter(b'"', line).count() % 2 == 1;
    memchr::memchr(b':', line).is_some()
        && (values == 2 || memchr::memchr(b'"', next).is_some() && open())
}

/// Whether `next` is the rest of the reply at the end of `line`, which was put `together` from
/// several or is one.
fn goes_on(line: &str, next: &str, together: bool) -> bool {
    let rest = unquoted(next).trim_end();
    let begins =
        rest.starts_with(|c: char| c.is_ascii_alphanumeric() || matches!(c, '"' | '-' | ','));
    // Values have no blank behind their commas, and a sentence has.
    if !begins || rest.contains(", ") {
        return false;
    }
    unfinished(line, next).is_some_and(|last| {
        let values = line[last.text_at..].trim();
        let ends = last.end >= line.trim_end().len() && !last.told;
        // A header may stand alone before its values, where these begin with a quote.
        let broken = if values.is_empty() {
            rest.starts_with('"')
        } else {
            together || !values.ends_with(',')
        };
        last.kind == Kind::Headed && ends && broken
    })
}

/// A line without the marks of mail before it.
fn unquoted(line: &str) -> &str {
    line.trim_start_matches(['>', '|', ' ', '\t'])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(text: &str) -> String {
        rewrapped(Normal::same(text)).text().to_owned()
    }

    #[test]
    fn a_reply_wrapped_at_a_blank_is_one_line_again() {
        for (text, whole) in [
            (
                "AT+CPSI?\n+CPSI: LTE\nNB-IOT,Online,001-01,0x1A2B,2050,112,1850\nOK\n",
                "AT+CPSI?\n+CPSI: LTE NB-IOT,Online,001-01,0x1A2B,2050,112,1850\nOK\n",
            ),
            (
                "+CPSI: LTE\nNB-IOT,Online,001-01,0x1A2B,2050,112,\n1850,5,5,-11,-94,-63,12\nOK\n",
                "+CPSI: LTE NB-IOT,Online,001-01,0x1A2B,2050,112,1850,5,5,-11,-94,-63,12\nOK\n",
            ),
            (
                "> AT+COPS?\n> +COPS: 0,0,\"River\n> Network\",7\n> OK\n",
                "> AT+COPS?\n> +COPS: 0,0,\"River Network\",7\n> OK\n",
            ),
        ] {
            assert_eq!(plain(text), whole);
        }
    }

    #[test]
    fn lines_of_their_own_stay_apart() {
        for text in [
            // A sentence, a line of another modem's reply, a line that would have fitted.
            "+CREG: 0,2\nit searches, then stops, then searches\nOK\n",
            "+CGDCONT: 1,\"IP\",\"gauge.example\"\n+CGDCONT: 2,\"IP\",\"ims\",\"\",0,0\nOK\n",
            "+GTCCINFO:\n1,4,001,01,1A2B,2050\nOK\n",
            "+CSQ: 17,99\n12,13,14\nthis is a line as long as no other one in the text\n",
            "+CSQ: 17,99\n\n1,2,3,4,5,6\n",
            "12:00:01 +CSQ: 17,99\n12:00:02 1,2,3,4,5,6\n",
        ] {
            assert_eq!(plain(text), text);
        }
    }

    #[test]
    fn every_byte_leads_back_to_where_it_stood() {
        let text = "+CPSI: LTE\nNB-IOT,Online,001-01,0x1A2B,2050,112\n";
        let normal = rewrapped(Normal::same(text));
        let at = normal.text().find("Online").unwrap();
        let span = normal.origin(crate::span::Span::new(at, at + 6));
        assert_eq!(span.of(text), "Online");
    }
}
