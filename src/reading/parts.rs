//! Several devices in one text, told apart by what stands before their lines or above their parts.
//!
//! A numbered name, a heading or a machine's name always names another device. A port, a prompt or a running program does
//! where the two say what one modem cannot: one modem may have two ports, and a program that starts over gets a new
//! number.

use crate::capture::{Capture, TAG_KINDS, Tag, TagKind};
use crate::case::{Case, Domain, Sim};
use crate::reference::status_words::SessionState;

/// Which part each line of a text is of.
#[derive(Debug)]
pub(super) struct Parts {
    kind: TagKind,
    /// Where lines of the given text begin from which on the text is of another part, and which one; in order.
    changes: Vec<(usize, usize)>,
    /// How many there are.
    pub(super) count: usize,
}

/// More parts than this are no devices.
const MOST: usize = 64;

impl Parts {
    /// The ways in which a text may be divided, the surest first; none for most texts.
    pub(super) fn of(capture: &Capture<'_>) -> Vec<Self> {
        let mut names: [Vec<String>; TAG_KINDS.len()] = Default::default();
        let mut changes: [Vec<(usize, usize)>; TAG_KINDS.len()] = Default::default();
        capture.tagged_lines(|at, tags| {
            for tag in tags {
                let k = tag.kind as usize;
                let place = place(&mut names[k], tag, at);
                if changes[k].last().is_none_or(|(_, last)| *last != place) {
                    changes[k].push((at, place));
                }
            }
        });
        let many = |k: TagKind| matches!(names[k as usize].len(), 2..=MOST);
        TAG_KINDS
            .into_iter()
            .filter(|kind| many(*kind))
            .map(|kind| Self {
                kind,
                changes: std::mem::take(&mut changes[kind as usize]),
                count: names[kind as usize].len(),
            })
            .collect()
    }

    /// Which part a line is of that begins there.
    pub(super) fn at(&self, start: usize) -> usize {
        let behind = self.changes.partition_point(|(from, _)| *from <= start);
        behind.checked_sub(1).map_or(0, |n| self.changes[n].1)
    }

    /// Whether a part says anything of a device; under a heading that takes an answer.
    pub(super) fn says(&self, case: &Case) -> bool {
        case.dialogue.answered > 0 || self.kind != TagKind::Heading && !case.is_empty()
    }

    /// Whether the parts are of several devices; `cases` is what was read of those in which something answers.
    pub(super) fn are_devices(&self, cases: &[Case]) -> bool {
        match self.kind {
            _ if cases.len() < 2 => false,
            TagKind::Device | TagKind::Heading | TagKind::Host => true,
            TagKind::Port => contradict(cases),
            TagKind::Mark | TagKind::Instance => self.take_turns() && contradict(cases),
        }
    }

    /// Whether one part goes on after another has spoken.
    fn take_turns(&self) -> bool {
        self.changes.len() > self.count
    }
}

/// The place of a tag's name among those seen. Before the first heading the text is of a part without a name.
fn place(names: &mut Vec<String>, tag: &Tag, at: usize) -> usize {
    if names.is_empty() && tag.kind == TagKind::Heading && at > 0 {
        names.push(String::new());
    }
    names.iter().position(|name| *name == tag.name).unwrap_or_else(|| {
        if names.len() <= MOST {
            names.push(tag.name.clone());
        }
        names.len() - 1
    })
}

/// Whether two of them say what one modem cannot say.
fn contradict(cases: &[Case]) -> bool {
    cases.iter().enumerate().any(|(n, a)| cases[n + 1..].iter().any(|b| differ(a, b)))
}

fn differ(a: &Case, b: &Case) -> bool {
    fn values<T: PartialEq>(a: Option<&T>, b: Option<&T>) -> bool {
        a.zip(b).is_some_and(|(a, b)| a != b)
    }
    let device = |case: &Case| case.device.imei.latest().map(|o| o.value.clone());
    let model = |case: &Case| case.device.model.latest().map(|o| o.value.clone());
    let ready = |case: &Case| case.card.state.latest().map(|o| o.value == Sim::Ready);
    let states = || {
        [Domain::Circuit, Domain::Packet, Domain::Eps, Domain::FiveG].into_iter().any(|domain| {
            let stat = |case: &Case| case.stat(domain).map(|o| o.value.stat);
            values(stat(a).as_ref(), stat(b).as_ref())
        })
    };
    // A session that is up, against one that is down or refused.
    let well = |case: &Case| {
        let session = case.sessions.reported.latest().map(|o| o.value == SessionState::Active);
        session.or_else(|| case.registration.rejects.latest().map(|_| false))
    };
    values(well(a).as_ref(), well(b).as_ref())
        || values(device(a).as_ref(), device(b).as_ref())
        || values(model(a).as_ref(), model(b).as_ref())
        || values(ready(a).as_ref(), ready(b).as_ref())
        || states()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cases(text: &str) -> Vec<Case> {
        let mut last = Case::read(&Capture::new(text));
        let mut all = std::mem::take(&mut last.others);
        all.push(last);
        all
    }

    fn stats(text: &str) -> Vec<Option<u8>> {
        cases(text).iter().map(|case| case.stat(Domain::Eps).map(|o| o.value.stat)).collect()
    }

    #[test]
    fn names_headings_and_hosts_divide_a_text() {
        for text in [
            "modem1> AT+CEREG?\nmodem1> +CEREG: 0,1\nmodem1> OK\nmodem2> AT+CEREG?\nmodem2> +CEREG: 0,3\nmodem2> OK\n",
            "[unit-a] AT+CEREG?\n[unit-b] AT+CEREG?\n[unit-a] +CEREG: 0,1\n[unit-a] OK\n[unit-b] +CEREG: 0,3\n[unit-b] OK\n",
            "Board A:\nAT+CEREG?\n+CEREG: 0,1\nOK\n\nBoard B:\nAT+CEREG?\n+CEREG: 0,3\nOK\n",
            "AT+CEREG?\n+CEREG: 0,1\nOK\n\nthe other board:\nAT+CEREG?\n+CEREG: 0,3\nOK\n",
            "Mar  4 10:00:01 hut celld[8]: AT+CEREG?\nMar  4 10:00:01 hut celld[8]: +CEREG: 0,1\nMar  4 10:00:02 barn celld[8]: AT+CEREG?\nMar  4 10:00:02 barn celld[8]: +CEREG: 0,3\n",
            "ttyUSB2: AT+CEREG?\nttyUSB2: +CEREG: 0,1\nttyUSB2: OK\nttyUSB6: AT+CEREG?\nttyUSB6: +CEREG: 0,3\nttyUSB6: OK\n",
        ] {
            assert_eq!(stats(text), [Some(1), Some(3)], "{text}");
        }
    }

    #[test]
    fn lines_in_turns_stay_apart() {
        let text = "[north] AT+CPIN?\n[south] AT+CPIN?\n[north] +CPIN: READY\n[south] +CME ERROR: 10\n[north] OK\n\
            [north] AT+CEREG?\n[south] AT+CEREG?\n[south] +CEREG: 0,0\n[north] +CEREG: 0,1\n[north] OK\n[south] OK\n";
        assert_eq!(stats(text), [Some(1), Some(0)]);
    }

    #[test]
    fn a_log_of_a_host_with_two_modems_is_divided() {
        let text = "2026-09-30 23:58:01 m0 session 1 up 192.0.2.4\n2026-09-30 23:58:02 m1 attach rejected, EMM cause 15\n\
            2026-09-30 23:59:02 m0 keepalive ok 44 ms\n";
        assert_eq!(cases(text).len(), 2);
    }

    #[test]
    fn one_modem_with_two_ports_or_a_program_that_starts_over_stays_one() {
        for text in [
            "ttyUSB2: AT+CPIN?\nttyUSB2: +CPIN: READY\nttyUSB2: OK\nttyUSB3: AT+CEREG?\nttyUSB3: +CEREG: 0,3\nttyUSB3: OK\n",
            "Mar  4 10:00:01 hut celld[8]: AT+CEREG?\nMar  4 10:00:01 hut celld[8]: +CEREG: 0,2\n\
             Mar  4 10:09:02 hut celld[9]: AT+CEREG?\nMar  4 10:09:02 hut celld[9]: +CEREG: 0,3\n",
            "step1: AT+CEREG?\nstep1: +CEREG: 0,2\nstep2: AT+CEREG?\nstep2: +CEREG: 0,3\n",
            "A: AT+CEREG?\nB: +CEREG: 0,3\nA: AT+CSQ\nB: +CSQ: 9,99\n",
            "[query] AT+CEREG?\n[reader] +CEREG: 0,3\n[reader] OK\n[query] AT+CSQ\n[reader] +CSQ: 9,99\n[reader] OK\n",
            "The modem of site 2 does not come up.\nAT+CEREG?\n+CEREG: 0,3\nOK\n",
        ] {
            assert_eq!(stats(text), [Some(3)], "{text}");
        }
    }
}
