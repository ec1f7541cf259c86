//! How long a fresh attach and a restart took, read off a dialogue with times.

use crate::capture::Stamp;
use crate::case::{Case, Observation};
use crate::case::{Domain, Power, Registration};

/// What a dialogue says of a fresh attach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Begun {
    /// None was made, or the lines carry no times.
    NotSeen,
    /// Made, and no registration follows.
    Never,
    /// Seconds from the order to the first registration for data.
    After(f64),
}

/// The last fresh attach that was ordered: the radio switched off and on.
pub(super) fn attach(case: &Case) -> Begun {
    let levels = case.device.functionality.all().windows(2);
    let on = |pair: &&[Observation<u8>]| matches!(pair[0].value, 0 | 4) && pair[1].value == 1;
    registered_after(case, levels.filter(on).map(|pair| (pair[1].order, pair[1].at)).next_back())
}

/// The last restart that was ordered.
pub(super) fn restart(case: &Case) -> Begun {
    let ordered = case.device.power.all().iter().filter(|o| o.value == Power::HostRestart);
    registered_after(case, ordered.map(|o| (o.order, o.at)).next_back())
}

fn registered_after(case: &Case, begun: Option<(usize, Option<Stamp>)>) -> Begun {
    let Some((order, Some(begun))) = begun else { return Begun::NotSeen };
    let registered = |o: &&Observation<Registration>| {
        o.order > order && o.value.is_registered() && o.value.domain != Domain::Circuit
    };
    let first = case
        .registration
        .states
        .values()
        .flat_map(crate::case::History::all)
        .filter(registered)
        .min_by_key(|o| o.order);
    match first.map(|o| o.at) {
        Some(Some(at)) => Begun::After(at.seconds_since(begun)),
        Some(None) => Begun::NotSeen,
        None => Begun::Never,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::Capture;

    fn case(text: &str) -> Case {
        Case::read(&Capture::new(text))
    }

    #[test]
    fn the_time_runs_from_the_order_to_the_first_registration() {
        let text = "[12:00:00.000] > AT+CFUN=4\n[12:00:00.100] < OK\n\
                    [12:00:01.000] > AT+CFUN=1\n[12:00:01.500] < OK\n\
                    [12:00:05.000] < +CEREG: 2,\"0A11\",\"0003A2B1\",7\n\
                    [12:00:13.500] < +CEREG: 1,\"0A11\",\"0003A2B1\",7\n";
        let case = case(text);
        assert_eq!(attach(&case), Begun::After(12.0));
        assert_eq!(restart(&case), Begun::NotSeen);
    }

    #[test]
    fn a_restart_is_told_apart_from_a_fresh_attach() {
        let both = "[12:00:00.000] > AT+CFUN=1,1\n[12:00:00.500] < OK\n\
                    [12:00:31.000] > AT+CEREG?\n[12:00:31.100] < +CEREG: 0,1\n[12:00:31.100] < OK\n\
                    [12:01:00.000] > AT+CFUN=4\n[12:01:00.100] < OK\n\
                    [12:01:01.000] > AT+CFUN=1\n[12:01:01.500] < OK\n\
                    [12:01:05.000] > AT+CEREG?\n[12:01:05.500] < +CEREG: 0,1\n[12:01:05.500] < OK\n";
        let case = case(both);
        let (Begun::After(restart), Begun::After(attach)) = (restart(&case), attach(&case)) else {
            panic!("{:?} {:?}", restart(&case), attach(&case));
        };
        assert!((30.0..32.0).contains(&restart), "{restart}");
        assert!((4.0..5.0).contains(&attach), "{attach}");
    }

    #[test]
    fn without_an_attach_or_times_nothing_is_claimed() {
        assert_eq!(attach(&case("AT+CEREG?\n+CEREG: 0,1\nOK\n")), Begun::NotSeen);
        assert_eq!(attach(&case("AT+CFUN=4\nOK\nAT+CFUN=1\nOK\n+CEREG: 1\n")), Begun::NotSeen);
        let never =
            "[12:00:00.000] > AT+CFUN=1,1\n[12:00:01.000] < OK\n[12:00:09.000] < +CEREG: 2\n";
        assert_eq!(restart(&case(never)), Begun::Never);
        assert_eq!(attach(&case(never)), Begun::NotSeen);
    }
}
