//! HTTP on sockets of this computer: so many connections at once, limits on slow clients.

use axum::Router;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;

/// So long the head of a request may take.
const HEAD: Duration = Duration::from_secs(10);

/// So long a connection may last with everything in it.
const CONNECTION: Duration = Duration::from_mins(2);

/// Takes connections for as long as there are places; each holds one.
pub(crate) async fn accept(listener: TcpListener, router: Router, places: Arc<Semaphore>) {
    loop {
        match listener.accept().await {
            Ok((stream, _)) => {
                let Ok(place) = places.clone().acquire_owned().await else { return };
                let router = router.clone();
                tokio::spawn(async move {
                    // A client that reads nothing must not keep its place.
                    let _ = tokio::time::timeout(CONNECTION, talk(stream, router)).await;
                    drop(place);
                });
            }
            // Too many open files and the like: they pass.
            Err(_) => tokio::time::sleep(Duration::from_millis(100)).await,
        }
    }
}

async fn talk(stream: TcpStream, router: Router) {
    let served = hyper::server::conn::http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD)
        .keep_alive(false)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(router));
    // A client that breaks off harms nobody else, and there is nobody to tell.
    let _ = served.await;
}
