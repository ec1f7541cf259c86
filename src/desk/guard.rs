//! Who may ask: the key of this start, the host and the origin of a request; and what every answer forbids.

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use std::fmt::Write;
use std::sync::Arc;

/// The largest body of a request in bytes: a text with its coding.
pub(super) const LARGEST: usize = 16 * 1024 * 1024;

/// The name of the cookie that carries the key.
const COOKIE: &str = "mastside-key";

/// The secrets of one start, and the port that it listens on.
#[derive(Debug)]
pub(super) struct Guard {
    key: String,
    /// What forms carry, so that only pages of this start can send them.
    pub(super) token: String,
    port: u16,
}

impl Guard {
    /// New secrets.
    ///
    /// # Errors
    ///
    /// Where the system gives no random bytes.
    pub(super) fn new(port: u16) -> Result<Self, getrandom::Error> {
        Ok(Self { key: random()?, token: random()?, port })
    }

    /// The address to open.
    pub(super) fn address(&self) -> String {
        format!("http://127.0.0.1:{}/?key={}", self.port, self.key)
    }

    fn is_own_host(&self, host: &str) -> bool {
        let own = ["127.0.0.1", "localhost", "[::1]"];
        own.iter().any(|name| host == format!("{name}:{}", self.port))
    }

    fn is_own_origin(&self, origin: &str) -> bool {
        origin.strip_prefix("http://").is_some_and(|host| self.is_own_host(host))
    }

    fn is_key(&self, key: &str) -> bool {
        same(key.as_bytes(), self.key.as_bytes())
    }

    /// Whether a form's token is that of this start.
    pub(super) fn is_token(&self, token: &str) -> bool {
        same(token.as_bytes(), self.token.as_bytes())
    }

    fn has_cookie(&self, headers: &HeaderMap) -> bool {
        let cookies = headers.get_all(header::COOKIE);
        cookies.iter().filter_map(|c| c.to_str().ok()).flat_map(|c| c.split(';')).any(|pair| {
            pair.trim()
                .split_once('=')
                .is_some_and(|(name, key)| name == COOKIE && self.is_key(key))
        })
    }
}

fn random() -> Result<String, getrandom::Error> {
    let mut bytes = [0; 24];
    getrandom::fill(&mut bytes)?;
    Ok(bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    }))
}

/// Compares in a time that does not depend on where the two differ.
fn same(one: &[u8], other: &[u8]) -> bool {
    one.len() == other.len() && one.iter().zip(other).fold(0, |d, (a, b)| d | (a ^ b)) == 0
}

fn refuse(status: StatusCode, sentence: &'static str) -> Response {
    (status, super::frame::notice(sentence)).into_response()
}

/// Lets through who may ask, and puts the headers on every answer.
pub(super) async fn guarded(
    State(guard): State<Arc<Guard>>,
    request: Request,
    next: Next,
) -> Response {
    let mut response = match refused(&guard, &request) {
        Some(answer) => answer,
        None => next.run(request).await,
    };
    let headers = response.headers_mut();
    for (name, value) in [
        (
            header::CONTENT_SECURITY_POLICY,
            "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'",
        ),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::X_FRAME_OPTIONS, "DENY"),
        // With `no-referrer` browsers would hide the origin of the desk's own forms, too.
        (header::REFERRER_POLICY, "same-origin"),
        (header::CACHE_CONTROL, "no-store"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

/// The answer to a request that goes no further; `None` for one that may ask.
fn refused(guard: &Guard, request: &Request) -> Option<Response> {
    let text = |name: header::HeaderName| {
        request.headers().get(name).map(|v| v.to_str().unwrap_or("").to_owned())
    };
    if !text(header::HOST).is_some_and(|host| guard.is_own_host(&host)) {
        return Some(refuse(
            StatusCode::MISDIRECTED_REQUEST,
            "This name does not lead to this desk.",
        ));
    }
    let origin = text(header::ORIGIN);
    let foreign = origin.as_deref().is_some_and(|o| !guard.is_own_origin(o));
    let read = matches!(*request.method(), Method::GET | Method::HEAD);
    if foreign || !read && origin.is_none() {
        return Some(refuse(StatusCode::FORBIDDEN, "Another page may not ask this desk."));
    }
    let query = request.uri().query().unwrap_or("");
    if let Some(key) = query.split('&').find_map(|pair| pair.strip_prefix("key=")) {
        if !guard.is_key(key) {
            return Some(refuse(StatusCode::FORBIDDEN, "This key is not that of this start."));
        }
        let cookie = format!("{COOKIE}={}; HttpOnly; SameSite=Strict; Path=/", guard.key);
        return Some(([(header::SET_COOKIE, cookie)], Redirect::to("/")).into_response());
    }
    let length = text(header::CONTENT_LENGTH).and_then(|l| l.parse::<usize>().ok());
    if length.is_some_and(|length| length > LARGEST) {
        return Some(refuse(StatusCode::PAYLOAD_TOO_LARGE, super::needs::TOO_LARGE));
    }
    let words = "Open the address that the desk printed when it started; it contains the key.";
    (!guard.has_cookie(request.headers())).then(|| refuse(StatusCode::FORBIDDEN, words))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_loopback_names_with_the_own_port_are_the_desk() {
        let guard = Guard::new(4000).unwrap();
        for own in ["127.0.0.1:4000", "localhost:4000", "[::1]:4000"] {
            assert!(
                guard.is_own_host(own) && guard.is_own_origin(&format!("http://{own}")),
                "{own}"
            );
        }
        for other in
            ["127.0.0.1", "127.0.0.1:4001", "desk.example:4000", "127.0.0.1:4000.example", ""]
        {
            assert!(!guard.is_own_host(other), "{other}");
        }
        assert!(!guard.is_own_origin("null") && !guard.is_own_origin("https://127.0.0.1:4000"));
    }

    #[test]
    fn two_starts_have_different_keys() {
        let (one, other) = (Guard::new(1).unwrap(), Guard::new(1).unwrap());
        assert!(one.is_key(&one.key) && !one.is_key(&other.key) && !one.is_key(""));
        assert_ne!(one.key, one.token);
    }
}
