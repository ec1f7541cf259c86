//! The address of the metrics: one path, read only, in a thread of its own.

use super::figures::Figures;
use super::metrics::{CLASSIC, OPENMETRICS, classic, openmetrics};
use crate::serving::accept;
use axum::Router;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;

/// So many readers at once; further ones wait.
const CONNECTIONS: usize = 8;

/// Serves the figures at `/metrics` until the program ends; gives the address that is listened on.
///
/// # Errors
///
/// Where the address cannot be listened on.
pub fn listen(address: SocketAddr, figures: Arc<Figures>) -> io::Result<SocketAddr> {
    let socket = std::net::TcpListener::bind(address)?;
    socket.set_nonblocking(true)?;
    let there = socket.local_addr()?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    std::thread::Builder::new().name("metrics".into()).spawn(move || {
        runtime.block_on(async move {
            // The socket is open and does not block: nothing can be refused here.
            if let Ok(listener) = TcpListener::from_std(socket) {
                let router = Router::new().route("/metrics", get(metrics)).with_state(figures);
                accept(listener, router, Arc::new(Semaphore::new(CONNECTIONS))).await;
            }
        });
    })?;
    Ok(there)
}

async fn metrics(State(figures): State<Arc<Figures>>, headers: HeaderMap) -> Response {
    let accepted = headers.get(header::ACCEPT).and_then(|a| a.to_str().ok()).unwrap_or("");
    let (text, kind) = if accepted.contains("application/openmetrics-text") {
        (openmetrics(&figures), OPENMETRICS)
    } else {
        (classic(&figures), CLASSIC)
    };
    match text {
        Ok(text) => ([(header::CONTENT_TYPE, kind)], text).into_response(),
        Err(error) => (StatusCode::INTERNAL_SERVER_ERROR, error.to_string()).into_response(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::{Read, Write};

    fn answer(address: SocketAddr, request: &str) -> String {
        let mut stream = std::net::TcpStream::connect(address).unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut text = String::new();
        stream.read_to_string(&mut text).unwrap();
        text
    }

    #[test]
    fn a_reader_gets_the_format_that_it_accepts() {
        let free = SocketAddr::from(([127, 0, 0, 1], 0));
        let there = listen(free, Arc::new(Figures::default())).unwrap();
        let get = |accept: &str| {
            answer(
                there,
                &format!(
                    "GET /metrics HTTP/1.1\r\nHost: {there}\r\nAccept: {accept}\r\nConnection: close\r\n\r\n"
                ),
            )
        };
        let modern = get("application/openmetrics-text;version=1.0.0;q=0.5,text/plain;q=0.1");
        assert!(
            modern.contains("content-type: application/openmetrics-text")
                && modern.contains("# EOF")
        );
        let old = get("*/*");
        assert!(old.contains("content-type: text/plain; version=0.0.4") && !old.contains("# EOF"));
        let posted = answer(
            there,
            &format!(
                "POST /metrics HTTP/1.1\r\nHost: {there}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n"
            ),
        );
        assert!(posted.starts_with("HTTP/1.1 405"), "{posted}");
        assert!(listen(there, Arc::new(Figures::default())).is_err(), "it is taken");
    }
}
