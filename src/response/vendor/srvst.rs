//! `^SRVST`: the service state: 0 none, 1 restricted, 2 valid, 3 restricted to a region, 4 power saving. Comes by itself.

use super::family;
use super::sysinfoex::SERVICE;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["^SRVST"], "", "service state", &[], read);

const FORM: &[Column] = &[SERVICE];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^SRVST: 1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Service};
    use crate::response::sample::of;

    #[test]
    fn restricted_service_is_named() {
        assert_eq!(of("^SRVST", "1"), [Fact::Service(Service::Limited)]);
    }
}
