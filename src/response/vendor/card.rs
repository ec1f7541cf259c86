//! Card and slot: `+QSIMSTAT`, `+QSIMDET`, `+QINISTAT`, `+QPINC`, `%XSIM`, `#QSS`, `#SIMDET`,
//! `+QUIMSLOT`, `!UIMS`, `+GTDUALSIM`, `+SIM`.

use crate::case::{Fact, Facts, Sim};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Field, Form, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = Family {
    heads: &[
        "+QSIMSTAT",
        "%XSIM",
        "#QSS",
        "+QUIMSLOT",
        "!UIMS",
        "+GTDUALSIM",
        "#SIMSELECT",
        "+SIM",
        "+SIMCARD",
        "+QSIMDET",
        "#SIMDET",
        "+QINISTAT",
        "+QPINC",
    ],
    request: "+QSIMSTAT?",
    source: "maker's command",
    about: "whether a card is there, its state, and the slot in use",
    yields: &[],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let last = fields[fields.len() - 1];
    match reply.head.to_ascii_uppercase().as_str() {
        "+QSIMSTAT" => match fields.get(1).and_then(|f| f.small()) {
            Some(0) => pen.fact(Fact::Sim(Sim::NotInserted), fields[1].span),
            Some(1) => pen.fact(Fact::Sim(Sim::Inserted), fields[1].span),
            // Not detected yet: the form is known, and nothing is claimed.
            Some(2) => pen.understood(),
            _ => {}
        },
        "%XSIM" => state_and_cause(&mut pen, reply),
        "#QSS" => {
            let unsolicited = reply.form == Form::Unsolicited || fields.len() == 1;
            // A card whose code is open is not yet one that is read to the end.
            let sim = match last.small() {
                Some(0) => Sim::NotInserted,
                Some(1) => Sim::Inserted,
                Some(2 | 3) => Sim::Ready,
                _ => return Read::UnknownForm,
            };
            if fields.len() == 2 || unsolicited {
                pen.fact(Fact::Sim(sim), last.span);
            }
        }
        "+QUIMSLOT" | "#SIMSELECT" => slot(&mut pen, fields[0], 0),
        "+GTDUALSIM" => slot(&mut pen, fields[0], 1),
        "!UIMS" => {
            // 3 stands for "automatic"; a second field then tells the slot.
            let automatic = fields[0].small() == Some(3);
            match fields.get(1).filter(|_| automatic) {
                Some(used) => slot(&mut pen, *used, 1),
                None if automatic => pen.understood(),
                None => slot(&mut pen, fields[0], 1),
            }
        }
        "+SIM" => match fields[0].text.to_ascii_lowercase().as_str() {
            "inserted" => pen.fact(Fact::Sim(Sim::Inserted), fields[0].span),
            "removed" => pen.fact(Fact::Sim(Sim::NotInserted), fields[0].span),
            _ => {}
        },
        // A switch in the holder: settings, or the place alone; neither is a card that answers.
        "+QSIMDET" => pen.understood(),
        "#SIMDET" => match fields.get(1).and_then(|f| f.small()) {
            Some(1) => pen.fact(Fact::Sim(Sim::Inserted), fields[1].span),
            // On some modules the first field is a slot, perhaps not the one in use.
            Some(0) => pen.understood(),
            _ => {}
        },
        // A sum: 1 the card's code is open, 2 messages and 4 phone book read.
        "+QINISTAT" => match fields[0].small() {
            Some(0) => pen.understood(),
            Some(1..=7) => pen.fact(Fact::Sim(Sim::Ready), fields[0].span),
            _ => {}
        },
        "+QPINC" => match (fields[0].text, fields.get(1).and_then(|f| f.small())) {
            ("SC", Some(left)) => {
                pen.fact(Fact::PinTries(left), fields[1].span);
                if let Some(left) = fields.get(2).and_then(|f| f.small()) {
                    pen.fact(Fact::PukTries(left), fields[2].span);
                }
            }
            ("P2", Some(_)) => pen.understood(),
            _ => {}
        },
        // "NOT AVAILABLE" comes with the radio off as well, so that it says nothing of the card.
        _ => {
            if fields[0].text.eq_ignore_ascii_case("NOT AVAILABLE") {
                pen.understood();
            }
        }
    }
    pen.done()
}

/// `<state>[,<cause>]`, where a dot has been seen in place of the comma.
fn state_and_cause(pen: &mut FactWriter<'_>, reply: &Response<'_>) {
    let mut parts = reply.body.splitn(2, [',', '.']).map(str::trim);
    let (state, cause) = (parts.next().unwrap_or(""), parts.next());
    let sim = match (state, cause) {
        ("1", None) => Sim::Ready,
        ("0", Some("1")) => Sim::PinRequired,
        // Without a cause, or with 9, no card answers: it is missing or cannot be read.
        ("0", None | Some("9")) => Sim::NotInserted,
        // The other causes are not verified.
        ("0", Some(cause)) if cause.parse::<u8>().is_ok() => return pen.understood(),
        _ => return,
    };
    let span = Span::new(reply.body_at, reply.body_at + reply.body.len());
    pen.fact(Fact::Sim(sim), span);
}

/// A slot counted from 1 (`add` 0) or from 0 (`add` 1).
fn slot(pen: &mut FactWriter<'_>, field: Field<'_>, add: u8) {
    if let Some(number) = field.small().filter(|n| (1..=4).contains(&(n.saturating_add(add)))) {
        pen.fact(Fact::SimSlot(number + add), field.span);
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::{of, says};

    #[test]
    fn an_insert_state_is_no_more_than_that() {
        assert!(says(&of("+QSIMSTAT", "0,1"), &Fact::Sim(Sim::Inserted)));
        assert!(says(&of("+QSIMSTAT", "1,0"), &Fact::Sim(Sim::NotInserted)));
        assert!(of("+QSIMSTAT", "0,2").is_empty());
    }

    #[test]
    fn a_cause_is_read_after_a_comma_or_a_dot() {
        assert!(says(&of("%XSIM", "1"), &Fact::Sim(Sim::Ready)));
        assert!(says(&of("%XSIM", "0,1"), &Fact::Sim(Sim::PinRequired)));
        assert!(says(&of("%XSIM", "0,9"), &Fact::Sim(Sim::NotInserted)));
        assert!(says(&of("%XSIM", "0.9"), &Fact::Sim(Sim::NotInserted)));
        assert!(says(&of("%XSIM", "0"), &Fact::Sim(Sim::NotInserted)));
        assert!(of("%XSIM", "0,4").is_empty());
    }

    #[test]
    fn slots_are_counted_from_one_whatever_the_modem_does() {
        assert!(says(&of("+QUIMSLOT", "1"), &Fact::SimSlot(1)));
        assert!(says(&of("!UIMS", "0"), &Fact::SimSlot(1)));
        assert!(says(&of("!UIMS", "3,1"), &Fact::SimSlot(2)));
        assert!(says(&of("+GTDUALSIM", "1, \"SUB1\", \"L\""), &Fact::SimSlot(2)));
    }

    #[test]
    fn a_status_tells_inserted_from_ready() {
        assert!(says(&of("#QSS", "2,1"), &Fact::Sim(Sim::Inserted)));
        assert!(says(&of("#QSS", "2,3"), &Fact::Sim(Sim::Ready)));
        assert!(says(&of("#QSS", "0"), &Fact::Sim(Sim::NotInserted)));
        assert!(says(&of("+SIM", "Removed"), &Fact::Sim(Sim::NotInserted)));
    }

    #[test]
    fn tries_left_and_the_state_of_the_start_are_read() {
        let tries = of("+QPINC", "\"SC\",2,10");
        assert_eq!(tries, [Fact::PinTries(2), Fact::PukTries(10)]);
        assert!(says(&of("+QINISTAT", "7"), &Fact::Sim(Sim::Ready)));
        assert!(of("+QINISTAT", "0").is_empty());
        assert!(says(&of("#SIMDET", "2,1"), &Fact::Sim(Sim::Inserted)));
        assert!(of("#SIMDET", "2,0").is_empty());
    }
}
