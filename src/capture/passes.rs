//! The passes that undo what terminals, loggers, mail and pages did to a dialogue, in their order.
//!
//! A new pass is one more entry here and one function in a file of its own.

use super::mapped::{Edits, MappedText};
use super::{
    characters, column_wrap, frames, hanging_indent, hex, line_ends, mail_coding, markup,
    one_character_lines, open_quote, spelled_controls, terminal_sequences, word_wrap,
};

/// One pass over a text.
#[derive(Debug)]
pub struct Pass {
    /// What it is called.
    pub name: &'static str,
    /// What it undoes.
    pub undoes: &'static str,
    /// A text that needs it, and what it makes of it.
    pub example: (&'static str, &'static str),
    /// Whether it is for a recording of any length too, and not for pastes alone.
    pub(super) any_length: bool,
    /// The edits that it makes.
    pub(super) edit: fn(&str, &mut Edits<'_>),
}

impl Pass {
    /// The text after this pass.
    pub(super) fn apply<'t>(&self, text: MappedText<'t>) -> MappedText<'t> {
        if self.any_length || text.text().len() <= LONGEST_PASTE {
            text.edited(self.edit)
        } else {
            text
        }
    }
}

/// A longer text is a recording: its lines are not wrapped, and its marks are a known logger's.
const LONGEST_PASTE: usize = 200_000;

/// All passes, in the order in which they run: what was done last is undone first.
pub static PASSES: &[Pass] = &[
    Pass {
        name: "terminal sequences",
        undoes: "colours, cursor moves and control characters of a recorded screen",
        example: ("\x1b[32mOK\x1b[0m\x07\r\n", "OK\r\n"),
        any_length: true,
        edit: terminal_sequences::remove,
    },
    Pass {
        name: "spelled-out sequences",
        undoes: "the same with an escape character that is spelled out or was lost",
        example: ("^[[32mOK^[[0m\n[33mOK[0m\n", "OK\nOK\n"),
        any_length: true,
        edit: terminal_sequences::remove_spelled,
    },
    Pass {
        name: "mail coding",
        undoes: "the quoted-printable coding of mail (RFC 2045)",
        example: ("AT+CGDCONT=3D1,=22IP=22\nAT+CF=\nUN?\n", "AT+CGDCONT=1,\"IP\"\nAT+CFUN?\n"),
        any_length: true,
        edit: mail_coding::decode,
    },
    Pass {
        name: "markup",
        undoes: "tags and character references of a page",
        example: ("<p>AT+CSQ<br>+CSQ: 17,99</p>&lt;CR&gt;", "\nAT+CSQ\n+CSQ: 17,99\n<CR>"),
        any_length: true,
        edit: markup::remove,
    },
    Pass {
        name: "characters",
        undoes: "curly quotes, odd blanks and dashes, full-width letters, pictures of controls",
        example: ("AT+CGDCONT=1,“IP”␍␊", "AT+CGDCONT=1,\"IP\"\r\n"),
        any_length: true,
        edit: characters::replace,
    },
    Pass {
        name: "spelled-out controls",
        undoes: "line ends and quotes that are spelled out",
        example: ("AT\\r\\n<CR><LF>OK^M", "AT\r\n\r\nOK\r"),
        any_length: true,
        edit: spelled_controls::decode,
    },
    Pass {
        name: "frames",
        undoes: "an object, row, element or tag around every line",
        example: (
            "{\"n\": 1, \"line\": \"AT+CFUN?\"}\n{\"n\": 2, \"line\": \"+CFUN: 1\"}\n\
             {\"n\": 3, \"line\": \"OK\"}\n{\"n\": 4, \"line\": \"AT+CSQ\"}\n",
            "AT+CFUN?\n+CFUN: 1\nOK\nAT+CSQ\n",
        ),
        any_length: false,
        edit: frames::take_off,
    },
    Pass {
        name: "one character a line",
        undoes: "a log that hands on byte after byte",
        example: ("A\nT\n+\nC\nF\nU\nN\n?\n", "AT+CFUN?\n"),
        any_length: false,
        edit: one_character_lines::join,
    },
    Pass {
        name: "line ends",
        undoes: "a session that a chat or a form has put into one line",
        example: (
            "AT+CPIN? +CPIN: READY OK AT+CREG? +CREG: 0,3 OK",
            "AT+CPIN? \n+CPIN: READY \nOK \nAT+CREG? \n+CREG: 0,3 \nOK",
        ),
        any_length: false,
        edit: line_ends::restore,
    },
    Pass {
        name: "hexadecimal",
        undoes: "bytes that are written as numbers: dumps, lists, runs of digits",
        example: ("TX: 41 54 49 0D 0A\n", "ATI\n\n"),
        any_length: true,
        edit: hex::decode,
    },
    Pass {
        name: "column wrap",
        undoes: "a window that breaks a line at its last column",
        example: (
            "+CGDCONT: 1,\"IP\",\"gauges.river.exam\nple\",\"0.0.0.0\",0,0\n",
            "+CGDCONT: 1,\"IP\",\"gauges.river.example\",\"0.0.0.0\",0,0\n",
        ),
        any_length: false,
        edit: column_wrap::join,
    },
    Pass {
        name: "hanging indent",
        undoes: "a value of a printed table that goes on below its beginning",
        example: (
            "AT+CGACT=1,1 → +CME ERROR: user\n               authentication failed\n",
            "AT+CGACT=1,1 → +CME ERROR: user authentication failed\n",
        ),
        any_length: false,
        edit: hanging_indent::join,
    },
    Pass {
        name: "open quote",
        undoes: "a line end within a quoted value",
        example: (
            "+CEREG: 3,3,\"00E1\",\"0001A2\nB3\",2,0,11\n",
            "+CEREG: 3,3,\"00E1\",\"0001A2B3\",2,0,11\n",
        ),
        any_length: false,
        edit: open_quote::join,
    },
    Pass {
        name: "word wrap",
        undoes: "a letter or a page that breaks a line at a blank",
        example: (
            "+CPSI: LTE\nNB-IOT,Online,001-01,0x1A2B,2050\n",
            "+CPSI: LTE NB-IOT,Online,001-01,0x1A2B,2050\n",
        ),
        any_length: false,
        edit: word_wrap::join,
    },
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::span::Span;
    use proptest::prelude::*;

    #[test]
    fn every_pass_does_what_its_example_shows() {
        for pass in PASSES {
            let (before, after) = pass.example;
            assert_ne!(before, after, "{}", pass.name);
            let text = pass.apply(MappedText::original(before));
            assert_eq!(text.text(), after, "{}: {}", pass.name, pass.undoes);
        }
    }

    #[test]
    fn no_two_passes_have_one_name() {
        for (n, pass) in PASSES.iter().enumerate() {
            assert!(PASSES[..n].iter().all(|other| other.name != pass.name), "{}", pass.name);
        }
    }

    #[test]
    fn plain_dialogue_is_changed_by_none() {
        let plain = "AT+CPIN?\r\n+CPIN: READY\r\n\r\nOK\r\nAT+CGDCONT?\r\n\
            +CGDCONT: 1,\"IP\",\"gauge.example\",\"0.0.0.0\",0,0\r\n\r\nOK\r\nit waited, and then it was gone\r\n";
        for pass in PASSES {
            assert_eq!(pass.apply(MappedText::original(plain)).text(), plain, "{}", pass.name);
        }
    }

    /// Pieces that passes look for, and others.
    const PIECES: &str = "(AT\\+CREG\\?|\\+CREG: 0,1|OK|<CR>|\\\\r\\\\n|\\^M|=3D|=20|&lt;|<p>|“|␍|\x1b\\[3|m|12:00:01|41 54 0D|0x41|\"|'|, |\\{|\\}|\\| |> |é|\n|\r\n| |[a-z]{1,9}){0,40}";

    proptest! {
        #[test]
        fn every_byte_after_a_pass_leads_into_the_original_in_order(text in PIECES) {
            for pass in PASSES {
                let mapped = pass.apply(MappedText::original(&text));
                let mut last = 0;
                for at in 0..mapped.text().len() {
                    let origin = mapped.origin(Span::new(at, at + 1));
                    prop_assert!(last <= origin.start, "{}", pass.name);
                    prop_assert!(origin.start < origin.end && origin.end <= text.len(), "{}", pass.name);
                    last = origin.start;
                }
            }
        }

        #[test]
        fn no_pass_invents_a_digit(text in PIECES) {
            // What a dump spells is read from other digits: it is the one that may.
            for pass in PASSES.iter().filter(|pass| !["hexadecimal", "characters"].contains(&pass.name)) {
                let count = |text: &str| text.bytes().filter(u8::is_ascii_digit).count();
                let mapped = pass.apply(MappedText::original(&text));
                prop_assert!(count(mapped.text()) <= count(&text), "{}", pass.name);
            }
        }
    }
}
