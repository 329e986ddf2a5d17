//! What all requests share, and what whoever starts a server says and hears.

use super::desk::Desk;
use super::keys::Keys;
use super::room::Room;
use std::net::SocketAddr;
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::{Notify, watch};

/// How a server is set up.
pub struct Setup {
    pub desk: Arc<dyn Desk>,
    /// The usual step of the ruler of an album that is begun on the page: `1/8 in`.
    pub ruler: &'static str,
    /// How long the key in the address is good.
    pub key_life: Duration,
    /// How long an answer waits for the sizes; later ones follow.
    pub patience: Duration,
    /// Stops it from outside.
    pub stop: Stopper,
}

/// Stops a server.
#[derive(Clone, Debug)]
pub struct Stopper(pub(super) watch::Sender<bool>);

impl Default for Stopper {
    fn default() -> Stopper {
        Stopper(watch::channel(false).0)
    }
}

impl Stopper {
    /// Ends the server soon; what is asked is still answered.
    pub fn stop(&self) {
        self.0.send_replace(true);
    }
}

/// What whoever started a server should know.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// It listens; the address holds a key for one use.
    Listens {
        address: String,
        at: SocketAddr,
        /// Whoever has it gets a fresh address: another run that opens the same album.
        secret: String,
    },
    /// A key was used twice, or too late; here is another address.
    Late { address: String },
}

/// Who hears of it.
pub(super) type Hear = dyn Fn(Event) + Send + Sync;

/// Whoever is at the other end of a connection.
#[derive(Debug)]
pub(super) struct Caller {
    pub(super) began: Instant,
    /// It has shown a key.
    pub(super) known: AtomicBool,
    /// Told when it makes room for others.
    pub(super) leave: Notify,
}

impl Caller {
    pub(super) fn new() -> Caller {
        Caller {
            began: Instant::now(),
            known: AtomicBool::new(false),
            leave: Notify::new(),
        }
    }
}

/// What all requests share.
pub(super) struct Shared {
    /// As the browser names it, with the port.
    pub(super) host: String,
    pub(super) secret: String,
    pub(super) keys: Mutex<Keys>,
    pub(super) room: Room,
    pub(super) patience: Duration,
    pub(super) stop: Stopper,
    pub(super) hear: Box<Hear>,
}

impl Shared {
    pub(super) fn keys(&self) -> MutexGuard<'_, Keys> {
        self.keys.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// An address with a fresh key.
    pub(super) fn address(&self) -> Option<String> {
        let key = self.keys().once()?;
        Some(format!("http://{}/#{key}", self.host))
    }
}
