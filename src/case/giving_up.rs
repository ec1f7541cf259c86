//! The end that a host makes itself once it gives up: radio, attach or modem off. What stood before it counts.

use super::history::Dated;
use super::{Case, Domain, Evidence, History, Layers, Observation, Power, RegistrationStatus, Sim};
use crate::reference::status_words::{LinkState, SessionState};

/// Commands that switch a module off; vendors' own, common practice, no source.
const OFF: [&str; 7] = ["+QPOWD", "+CPOF", "+CPOWD", "+CPWROFF", "^SMSO", "#SHDN", "+QLPOFF"];

impl Case {
    /// Leaves out of the present what a host ordered when it gave up, and what followed from it.
    pub(crate) fn leave_out_the_end(&mut self) {
        let power_off = self.power_off();
        let restore = power_off.is_some();
        let end = power_off.or_else(|| {
            let ends = [self.radio_off(), self.left(), self.detached()];
            ends.into_iter().flatten().min_by_key(|(order, _)| *order)
        });
        let Some((order, evidence)) = end else { return };
        for history in self.layers.passing() {
            history.close(order, restore);
        }
        self.layers.registration.operator.close(order, false);
        self.gave_up = Some(evidence);
    }

    /// The modem was switched off in order, and nothing started since.
    fn power_off(&self) -> Option<(usize, Evidence)> {
        let off = self.device.power.all().last().filter(|o| o.value == Power::Down)?;
        let ordered = OFF.iter().any(|name| self.dialogue.commands().any(|c| c.starts_with(name)));
        ordered.then(|| (off.order, off.says("switched off by the host in the end")))
    }

    /// The radio was switched off although the modem had not come on.
    fn radio_off(&self) -> Option<(usize, Evidence)> {
        let off = since(&self.device.functionality, |level| matches!(level, 0 | 4))?;
        self.was_ordered("+CFUN", &["=0", "=4"])?;
        self.end(off, "the host switched the radio off in the end")
    }

    /// The modem was told to leave the network although it had not come on.
    fn left(&self) -> Option<(usize, Evidence)> {
        let off = since(&self.registration.operator, |operator| operator.mode == 2)?;
        self.was_ordered("+COPS", &["=2"])?;
        self.end(off, "the host took the modem off the network in the end")
    }

    /// The modem was told to detach although it had not come on.
    fn detached(&self) -> Option<(usize, Evidence)> {
        let off = since(&self.registration.attached, |attached| !attached)?;
        self.was_ordered("+CGATT", &["=0"])?;
        self.end(off, "the host detached the modem in the end")
    }

    /// Whether the last setting of this name is one of these.
    fn was_ordered(&self, name: &str, values: &[&str]) -> Option<()> {
        let (last, well) = self.dialogue.last_set(name)?;
        let value = last.get(name.len()..)?;
        (well && values.contains(&value)).then_some(())
    }

    fn end<T>(&self, off: &Observation<T>, says: &'static str) -> Option<(usize, Evidence)> {
        self.in_trouble(off.order).then(|| (off.order, off.says(says)))
    }

    /// Whether the modem had not come on before `order`: not registered, without its card, or without a session.
    fn in_trouble(&self, order: usize) -> bool {
        fn before<T>(history: &History<T>, order: usize) -> Option<&Observation<T>> {
            history.current().iter().rfind(|o| o.order < order)
        }
        let Layers { card, sessions, path, registration, .. } = &**self;
        let bad_card = |o: &Observation<Sim>| {
            !matches!(o.value, Sim::Ready | Sim::Inserted | Sim::SecondCodeRequired | Sim::Busy)
        };
        let states = [Domain::FiveG, Domain::Eps, Domain::Packet, Domain::Circuit];
        let best = states
            .into_iter()
            .filter_map(|d| before(registration.states.of(d), order))
            .map(|o| o.value.status())
            .max();
        let refused = before(&registration.rejects, order).is_some_and(|o| !o.value.history);
        let well = [
            before(&sessions.opening, order).filter(|o| o.value).map(|o| o.order),
            before(&sessions.connected, order).map(|o| o.order),
        ];
        let badly = [
            before(&sessions.opening, order).filter(|o| !o.value).map(|o| o.order),
            before(&sessions.no_carrier, order).map(|o| o.order),
            before(&path.links, order).filter(|o| o.value == LinkState::Failed).map(|o| o.order),
            before(&path.traffic, order).filter(|o| !o.value).map(|o| o.order),
            before(&sessions.reported, order)
                .filter(|o| matches!(o.value, SessionState::Inactive | SessionState::NoAddress))
                .map(|o| o.order),
        ];
        let no_session = badly.into_iter().flatten().max() > well.into_iter().flatten().max();
        match best {
            Some(RegistrationStatus::Registered) => no_session,
            Some(RegistrationStatus::Idle | RegistrationStatus::Unknown) | None => {
                no_session || refused || before(&card.state, order).is_some_and(bad_card)
            }
            Some(_) => true,
        }
    }
}

/// The first of the observations at the end that all fit.
fn since<T>(history: &History<T>, fits: impl Fn(&T) -> bool) -> Option<&Observation<T>> {
    history.current().iter().rev().take_while(|o| fits(&o.value)).last()
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;
    use crate::verdict::explain;

    fn finding(text: &str) -> &'static str {
        explain(&Case::read(&Capture::new(text))).id()
    }

    const DIALLED: &str = "AT+CEREG?\n+CEREG: 0,1\nOK\nATD*99#\nNO CARRIER\nATD*99#\nNO CARRIER\n";
    const SEARCHES: &str = "AT+CEREG?\n+CEREG: 0,2\nOK\n";
    const NO_CARD: &str = "AT+CPIN?\n+CME ERROR: 10\n";

    #[test]
    fn what_a_host_orders_when_it_gives_up_is_not_the_cause() {
        for (text, wanted) in [
            (
                format!("{SEARCHES}AT+CFUN=4\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n"),
                "registration/searching",
            ),
            (format!("{DIALLED}AT+CFUN=0\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n"), "bearer/inactive"),
            (format!("{NO_CARD}AT+CFUN=0\nOK\n"), "card/not-detected"),
            (format!("{DIALLED}AT+CGATT=0\nOK\nAT+CGATT?\n+CGATT: 0\nOK\n"), "bearer/inactive"),
            (
                format!("{SEARCHES}AT+COPS=2\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n"),
                "registration/searching",
            ),
            (format!("{SEARCHES}AT+QPOWD=1\nOK\nPOWERED DOWN\n"), "registration/searching"),
            (format!("{NO_CARD}AT+CPOF\nOK\nNORMAL POWER DOWN\n"), "card/not-detected"),
            (
                "+CEREG: 3,\"0B0B\",\"0021F203\",7,0,8\nAT+CFUN=4\nOK\n+CEREG: 0\n".to_owned(),
                "registration/subscriber",
            ),
        ] {
            let verdict = explain(&Case::read(&Capture::new(&text)));
            assert_eq!(verdict.id(), wanted, "{text}");
            assert!(verdict.remarks.iter().any(|r| r.text.contains("gave up")), "{text}");
        }
    }

    #[test]
    fn an_order_without_trouble_before_it_is_what_keeps_the_modem_off() {
        for (text, wanted) in [
            ("AT+CFUN=4\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n", "device/radio-off"),
            (
                "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CFUN=4\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n",
                "device/radio-off",
            ),
            (
                "AT+CEREG?\n+CEREG: 0,2\nOK\nAT+CEREG?\n+CEREG: 0,1\nOK\nAT+CFUN=4\nOK\n+CEREG: 0\n",
                "device/radio-off",
            ),
            ("AT+COPS=2\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n", "registration/idle"),
            (
                "AT+CFUN=0\nOK\nAT+CFUN=1\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\n",
                "registration/searching",
            ),
        ] {
            assert_eq!(finding(text), wanted, "{text}");
        }
    }
}
