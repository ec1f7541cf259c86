//! How long a fresh attach took, read off a dialogue with times.

use crate::case::{Case, Observation};
use crate::reply::{Domain, Power, Registration};

/// What a dialogue tells of a fresh attach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Attach {
    /// None was made, or the lines carry no times.
    NotSeen,
    /// Made, and no registration follows.
    Never,
    /// Seconds from the order to the first registration for data.
    After(f64),
}

/// The last fresh attach that was ordered: the radio switched off and on, or a restart.
pub(super) fn attach(case: &Case) -> Attach {
    let switched = case
        .functionality
        .all()
        .windows(2)
        .filter(|pair| matches!(pair[0].value, 0 | 4) && pair[1].value == 1)
        .map(|pair| (pair[1].order, pair[1].at));
    let restarted =
        case.power.all().iter().filter(|o| o.value == Power::HostRestart).map(|o| (o.order, o.at));
    let Some((order, Some(begun))) = switched.chain(restarted).max_by_key(|(order, _)| *order)
    else {
        return Attach::NotSeen;
    };
    let registered = |o: &&Observation<Registration>| {
        o.order > order && matches!(o.value.stat, 1 | 5) && o.value.domain != Domain::Circuit
    };
    let first = case
        .registration
        .values()
        .flat_map(crate::case::History::all)
        .filter(registered)
        .min_by_key(|o| o.order);
    match first.map(|o| o.at) {
        Some(Some(at)) => Attach::After(at.seconds_since(begun)),
        Some(None) => Attach::NotSeen,
        None => Attach::Never,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::Capture;

    fn of(text: &str) -> Attach {
        attach(&Case::read(&Capture::new(text)))
    }

    #[test]
    fn the_time_runs_from_the_order_to_the_first_registration() {
        let text = "[12:00:00.000] > AT+CFUN=4\n[12:00:00.100] < OK\n\
                    [12:00:01.000] > AT+CFUN=1\n[12:00:01.500] < OK\n\
                    [12:00:05.000] < +CEREG: 2,\"0A11\",\"0003A2B1\",7\n\
                    [12:00:13.500] < +CEREG: 1,\"0A11\",\"0003A2B1\",7\n";
        assert_eq!(of(text), Attach::After(12.0));
    }

    #[test]
    fn without_an_attach_or_times_nothing_is_claimed() {
        assert_eq!(of("AT+CEREG?\n+CEREG: 0,1\nOK\n"), Attach::NotSeen);
        assert_eq!(of("AT+CFUN=4\nOK\nAT+CFUN=1\nOK\n+CEREG: 1\n"), Attach::NotSeen);
        let never =
            "[12:00:00.000] > AT+CFUN=1,1\n[12:00:01.000] < OK\n[12:00:09.000] < +CEREG: 2\n";
        assert_eq!(of(never), Attach::Never);
    }
}
