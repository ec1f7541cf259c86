//! The replies of TS 27.007 and V.250.

pub(crate) mod address;
pub(crate) mod apdu;
pub(crate) mod context;
pub(crate) mod device;
mod event;
pub(crate) mod failure;
pub(crate) mod network;
pub(crate) mod operator;
pub(crate) mod registration;
mod setting;
pub(crate) mod signal;
pub(crate) mod sim;
mod status;
pub(crate) mod unprefixed;

use super::Family;

/// Every standard family.
pub(crate) static FAMILIES: &[&Family] = &[
    &registration::CIRCUIT,
    &registration::PACKET,
    &registration::EPS,
    &registration::FIVE_G,
    &sim::CPIN,
    &sim::CPINR,
    &sim::CIMI,
    &sim::CCID,
    &sim::CRSM,
    &signal::CSQ,
    &signal::CESQ,
    &operator::COPS,
    &network::CGATT,
    &network::CEMODE,
    &network::CPSMS,
    &network::CSCON,
    &network::WS46,
    &context::CGDCONT,
    &context::CGACT,
    &context::CGPADDR,
    &context::CGCONTRDP,
    &context::CGAUTH,
    &event::CGEV,
    &device::CFUN,
    &device::CGSN,
    &failure::CEER,
    &apdu::CSIM,
    &status::CIND,
    &status::CIEV,
    &status::CPAS,
    &status::CBC,
    &setting::CLCK,
    &setting::CPOL,
    &setting::CLOCK,
    &setting::KNOWN,
];

#[cfg(test)]
pub(in crate::response) mod tests {
    use crate::case::{Fact, Facts};
    use crate::response::{Form, Response, family};
    use crate::span::Span;

    /// The facts of one reply line without a request.
    pub(in crate::response) fn facts_of(line: &str) -> Vec<Fact> {
        facts_of_form(line, Form::Unknown)
    }

    /// The facts of one reply line that answers a request of the form.
    pub(in crate::response) fn facts_of_form(line: &str, form: Form) -> Vec<Fact> {
        let mut facts = Facts::default();
        with_response(line, form, |reply| {
            let _ = (family(reply.prefix).unwrap().read)(reply, &mut facts);
        });
        facts.drain().map(|(fact, _)| fact).collect()
    }

    /// Hands one response line to a reader.
    pub(in crate::response) fn with_response<T>(
        line: &str,
        form: Form,
        read: impl FnOnce(&Response<'_>) -> T,
    ) -> T {
        let (prefix, body) = line.split_once(':').unwrap();
        let body_at = line.len() - body.trim_start().len();
        let body = body.trim();
        read(&Response {
            prefix,
            form,
            request: "",
            body,
            body_at,
            span: Span::new(0, line.len()),
            open: false,
            fields: &crate::response::fields(body, body_at),
            continuation: &[],
        })
    }
}
