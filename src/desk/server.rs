//! The server: loopback sockets, limits on time, size and number, and a clean stop.

use super::desktop::Desktop;
use super::guard::{Guard, LARGEST, guarded};
use super::pages;
use crate::serving::accept;
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware;
use std::io;
use std::net::{Ipv4Addr, Ipv6Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;
use tower_http::timeout::{RequestBodyTimeoutLayer, TimeoutLayer};

/// So many connections at once; further ones wait.
const CONNECTIONS: usize = 32;

/// So long a pause in the body of a request may last.
const BODY: Duration = Duration::from_secs(10);

/// So long an answer may take.
const ANSWER: Duration = Duration::from_mins(1);

/// So long requests in flight may still take when the desk stops.
const STOP: Duration = Duration::from_secs(2);

/// A desk that listens.
struct Desk {
    listeners: Vec<TcpListener>,
    guard: Arc<Guard>,
}

impl Desk {
    /// Listens on loopback: on 127.0.0.1, and on ::1 at the same port where there is IPv6.
    async fn open(port: u16) -> io::Result<Self> {
        let first = TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port))).await?;
        let port = first.local_addr()?.port();
        let second = TcpListener::bind(SocketAddr::from((Ipv6Addr::LOCALHOST, port))).await.ok();
        let guard = Guard::new(port).map_err(|e| io::Error::other(e.to_string()))?;
        Ok(Self {
            listeners: std::iter::once(first).chain(second).collect(),
            guard: Arc::new(guard),
        })
    }
}

fn router(guard: &Arc<Guard>, desktop: Desktop) -> Router {
    pages::routes(guard, desktop)
        .layer(DefaultBodyLimit::max(LARGEST))
        .layer(RequestBodyTimeoutLayer::new(BODY))
        .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, ANSWER))
        .layer(middleware::from_fn_with_state(guard.clone(), guarded))
}

/// Serves until Ctrl-C; `ready` gets the address to open.
///
/// # Errors
///
/// Where the port cannot be listened on.
pub fn serve(
    port: u16,
    desktop: Desktop,
    ready: impl FnOnce(&str) -> io::Result<()>,
) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    let ended = runtime.block_on(async {
        let desk = Desk::open(port).await?;
        ready(&desk.guard.address())?;
        let router = router(&desk.guard, desktop);
        let places = Arc::new(Semaphore::new(CONNECTIONS));
        let listen = |listener| tokio::spawn(accept(listener, router.clone(), places.clone()));
        let accepting: Vec<_> = desk.listeners.into_iter().map(listen).collect();
        tokio::signal::ctrl_c().await?;
        for task in accepting {
            task.abort();
        }
        // Each connection holds a place; all of them free means that nothing is in flight.
        let all = u32::try_from(CONNECTIONS).unwrap_or(u32::MAX);
        let _ = tokio::time::timeout(STOP, places.acquire_many(all)).await;
        Ok(())
    });
    runtime.shutdown_timeout(Duration::from_millis(200));
    ended
}
