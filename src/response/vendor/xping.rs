//! `#XPING`: an echo that came back; comes by itself. Its time in seconds; from memory.
//!
//! ```text
//! <seconds> seconds          timeout
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::whole;
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["#XPING"], "", "whether packets come back", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let body = reply.body.trim().trim_matches('"');
        let time =
            body.strip_suffix("seconds").or_else(|| body.strip_suffix("secs")).unwrap_or(body);
        let passed = match time.trim().parse::<f64>() {
            Ok(_) => true,
            Err(_) if body == "timeout" => false,
            Err(_) => return Err(reply.no_form(0)),
        };
        traffic::passed(w, passed, reply.span).map_err(|_| reply.no_form(0))
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#XPING: 0.287 seconds"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn an_echo_has_its_time() {
        assert_eq!(of("#XPING", "0.287 seconds"), [Fact::Traffic(true)]);
        assert_eq!(of("#XPING", "timeout"), [Fact::Traffic(false)]);
    }
}
