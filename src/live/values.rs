//! The typed values in one live response, read by the same families as a pasted text.

use crate::at::CommandResponse;
use crate::capture::Capture;
use crate::case::{Case, Domain};
use crate::rules::RegistrationStatus;
use std::net::IpAddr;

/// What the response to a command says.
pub(super) fn values(command: &str, response: &CommandResponse) -> Case {
    Case::read(&Capture::new(&response.as_text(command)))
}

/// The registration status in a response, of whatever domain it is.
pub(super) fn status(command: &str, response: &CommandResponse) -> Option<RegistrationStatus> {
    let case = values(command, response);
    let states = case.registration.states.values().filter_map(crate::case::History::latest);
    let latest = states.max_by_key(|o| o.order)?;
    // A circuit registration carries no data.
    (latest.value.domain != Domain::Circuit).then(|| RegistrationStatus::of(latest.value.stat))
}

/// Whether a context has an address from the network: a real one, in whatever form it is printed
/// (TS 27.007 §10.1.23).
pub(super) fn has_address(response: &CommandResponse) -> bool {
    response.rows("+CGPADDR").any(|row| row.iter().skip(1).any(|f| is_address(f.text)))
}

/// An IPv4 or IPv6 address that is not the unspecified one; IPv6 comes as sixteen numbers with dots
/// too (TS 27.007 §10.1.23, `+CGPIAF`).
fn is_address(text: &str) -> bool {
    let numbers: Vec<Option<u8>> = text.split('.').map(|n| n.parse().ok()).collect();
    let dotted = numbers.len() == 16 && numbers.iter().all(Option::is_some);
    if dotted {
        return numbers.iter().any(|n| *n != Some(0));
    }
    text.parse().is_ok_and(|address: IpAddr| !address.is_unspecified() && !address.is_loopback())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::at::ResultCode;

    fn of(line: &str) -> CommandResponse {
        CommandResponse { lines: vec![line.into()], result: ResultCode::Ok }
    }

    #[test]
    fn an_address_counts_in_every_form_and_an_empty_one_never() {
        for line in [
            "+CGPADDR: 1,\"192.0.2.44\"",
            "+CGPADDR: 1,192.0.2.44",
            "+CGPADDR: 1,\"0.0.0.0\",\"2001:db8::1\"",
            "+CGPADDR: 1,\"32.1.13.184.0.0.0.0.0.0.0.0.0.0.0.1\"",
        ] {
            assert!(has_address(&of(line)), "{line}");
        }
        for line in [
            "+CGPADDR: 1,\"\"",
            "+CGPADDR: 1",
            "+CGPADDR: 1,0.0.0.0",
            "+CGPADDR: 1,\"0.0.0.0\",\"::\"",
            "+CGPADDR: 1,\"0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0\"",
        ] {
            assert!(!has_address(&of(line)), "{line}");
        }
    }

    #[test]
    fn a_registration_counts_in_every_data_domain() {
        let registered = |command: &str, line: &str| {
            status(command, &of(line)) == Some(RegistrationStatus::Registered)
        };
        assert!(registered("AT+CEREG?", "+CEREG: 0,1"));
        assert!(registered("AT+CGREG?", "+CGREG: 0,5"));
        assert!(registered("AT+C5GREG?", "+C5GREG: 2,1,\"0A11\""));
        assert!(!registered("AT+CREG?", "+CREG: 0,1"));
        assert!(!registered("AT+CEREG?", "+CEREG: 0,2"));
    }
}
