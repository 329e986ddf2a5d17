//! The server: it listens on the loopback address, hands each request to the room, and sends back what a
//! tab has not got yet.

use super::keys::{Keys, new_key};
use super::posts::router;
use super::room::Room;
use super::shared::{Caller, Event, Setup, Shared};
use hyper::body::Incoming;
use hyper::service::Service;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::io;
use std::net::{Ipv4Addr, Ipv6Addr, SocketAddr};
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::atomic::Ordering;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;

/// Connections at once; others wait.
const MOST_CONNECTIONS: usize = 64;
/// The head of a request is here by then.
const HEAD: Duration = Duration::from_secs(5);
/// Bytes of a request's head.
const MOST_HEAD: usize = 8 * 1024;
/// Where all connections are taken, one that has shown no key for this time makes room.
const GRACE: Duration = Duration::from_secs(1);
/// A connection lives no longer, whatever it does.
const CONNECTION: Duration = Duration::from_secs(120);
/// How often the album's file is looked at.
const LOOK: Duration = Duration::from_secs(2);
/// What is asked when the server stops is still answered.
const LAST: Duration = Duration::from_millis(500);

/// Why there are no keys.
const NO_KEY: &str = "the system gives no random numbers";

/// Serves the page until it is stopped.
///
/// # Errors
/// If it cannot listen, if the album's file cannot be read, or if the system has no randomness to give.
pub fn serve(setup: Setup, hear: impl Fn(Event) + Send + Sync + 'static) -> io::Result<()> {
    let room = Room::open(setup.desk, setup.ruler).map_err(io::Error::other)?;
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?;
    runtime.block_on(async move {
        let listener = match TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await {
            Ok(listener) => listener,
            // A machine that knows only the newer kind of address.
            Err(_) => TcpListener::bind((Ipv6Addr::LOCALHOST, 0)).await?,
        };
        let address: SocketAddr = listener.local_addr()?;
        let secret = new_key();
        let secret = secret.ok_or_else(|| io::Error::other(NO_KEY))?;
        let shared = Arc::new(Shared {
            secret: secret.clone(),
            host: address.to_string(),
            keys: Mutex::new(Keys::new(setup.key_life)),
            room,
            patience: setup.patience,
            stop: setup.stop,
            hear: Box::new(hear),
        });
        let first = shared.address();
        let first = first.ok_or_else(|| io::Error::other(NO_KEY))?;
        (shared.hear)(Event::Listens {
            address: first,
            at: address,
            secret,
        });
        let watched = tokio::spawn(look_at_file(Arc::clone(&shared)));
        listen(listener, &shared).await;
        watched.abort();
        let last = Arc::clone(&shared);
        let _ = tokio::task::spawn_blocking(move || last.room.settle()).await;
        Ok(())
    })
}

async fn look_at_file(shared: Arc<Shared>) {
    loop {
        tokio::time::sleep(LOOK).await;
        let shared = Arc::clone(&shared);
        let _ = tokio::task::spawn_blocking(move || shared.room.look_at_file()).await;
    }
}

/// Answers until it is stopped.
async fn listen(listener: TcpListener, shared: &Arc<Shared>) {
    let router = router(shared);
    let free = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    let mut stop = shared.stop.0.subscribe();
    let mut http = hyper::server::conn::http1::Builder::new();
    http.timer(TokioTimer::new())
        .header_read_timeout(HEAD)
        .max_buf_size(MOST_HEAD);
    // The connections that are there, the oldest first.
    let mut held: Vec<Arc<Caller>> = Vec::new();
    loop {
        let taken = tokio::select! {
            _ = stop.wait_for(|stop| *stop) => break,
            taken = listener.accept() => taken,
        };
        let Ok((stream, from)) = taken else {
            // No file is left to open: a moment later there may be.
            tokio::time::sleep(Duration::from_millis(20)).await;
            continue;
        };
        if !from.ip().is_loopback() {
            continue;
        }
        // The end of a long answer does not wait until its beginning is acknowledged.
        let _ = stream.set_nodelay(true);
        held.retain(|caller| Arc::strong_count(caller) > 1);
        let place = loop {
            // Whoever has shown no key for a while makes room for others, the oldest first.
            let strange = held.iter().position(|it| !it.known.load(Ordering::Relaxed));
            let since = strange
                .and_then(|at| held.get(at))
                .map(|it| it.began.elapsed());
            let wait = since.map_or(CONNECTION, |since| GRACE.saturating_sub(since));
            tokio::select! {
                biased;
                _ = stop.wait_for(|stop| *stop) => break None,
                place = Arc::clone(&free).acquire_owned() => break place.ok(),
                () = tokio::time::sleep(wait) => {
                    if let Some(at) = strange {
                        held.remove(at).leave.notify_one();
                    }
                }
            }
        };
        let Some(place) = place else { break };
        let caller = Arc::new(Caller::new());
        held.push(Arc::clone(&caller));
        let (router, of) = (router.clone(), Arc::clone(&caller));
        let service = hyper::service::service_fn(move |mut request: hyper::Request<Incoming>| {
            request.extensions_mut().insert(Arc::clone(&of));
            TowerToHyperService::new(router.clone()).call(request)
        });
        let connection = http.serve_connection(TokioIo::new(stream), service);
        let mut stop = shared.stop.0.subscribe();
        tokio::spawn(async move {
            let mut connection = std::pin::pin!(connection);
            let ended = tokio::select! {
                _ = connection.as_mut() => true,
                () = caller.leave.notified() => true,
                () = tokio::time::sleep(CONNECTION) => false,
                _ = stop.wait_for(|stop| *stop) => false,
            };
            if !ended {
                connection.as_mut().graceful_shutdown();
                let _ = tokio::time::timeout(LAST, connection).await;
            }
            drop(place);
        });
    }
    // Whatever is on its way gets its answer, for a moment.
    let all = u32::try_from(MOST_CONNECTIONS).unwrap_or(u32::MAX);
    let _ = tokio::time::timeout(LAST, free.acquire_many(all)).await;
}
