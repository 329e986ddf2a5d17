//! Keys: one that stands in the address and is good for one use, and those of the tabs that used one.

use std::fmt::Write;
use std::time::{Duration, Instant};

/// Bytes of a key.
const BYTES: usize = 32;
/// Tabs that may be open at once; the oldest is forgotten.
const MOST: usize = 200;

/// A key that nobody guesses, or `None` if the system has no randomness to give.
pub fn new_key() -> Option<String> {
    let mut bytes = [0; BYTES];
    getrandom::fill(&mut bytes).ok()?;
    Some(bytes.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    }))
}

/// Whether both are the same; how long that takes does not depend on where they differ.
pub fn same(a: &str, b: &str) -> bool {
    let differs = a
        .bytes()
        .zip(b.bytes())
        .fold(0, |all, (a, b)| all | (a ^ b));
    a.len() == b.len() && differs == 0
}

/// What became of a key from an address.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Traded {
    /// The key of the tab.
    For(String),
    /// It was used before, or is too old. The first time, whoever looks at the terminal should know.
    Late {
        first: bool,
    },
    Unknown,
}

/// All keys of a server.
#[derive(Debug)]
pub struct Keys {
    life: Duration,
    /// Keys of addresses: when they were made, whether they were used, whether that was reported.
    once: Vec<Once>,
    tabs: Vec<String>,
}

#[derive(Debug)]
struct Once {
    key: String,
    made: Instant,
    used: bool,
    reported: bool,
}

impl Keys {
    /// Keys of addresses are good for this long.
    pub fn new(life: Duration) -> Keys {
        Keys {
            life,
            once: Vec::new(),
            tabs: Vec::new(),
        }
    }

    /// A new key for an address.
    pub fn once(&mut self) -> Option<String> {
        let key = new_key()?;
        if self.once.len() >= MOST {
            self.once.remove(0);
        }
        self.once.push(Once {
            key: key.clone(),
            made: Instant::now(),
            used: false,
            reported: false,
        });
        Some(key)
    }

    /// Trades the key of an address for that of a tab.
    pub fn trade(&mut self, key: &str) -> Traded {
        let life = self.life;
        let Some(once) = self.once.iter_mut().find(|once| same(&once.key, key)) else {
            return Traded::Unknown;
        };
        if once.used || once.made.elapsed() >= life {
            let first = !std::mem::replace(&mut once.reported, true);
            return Traded::Late { first };
        }
        let Some(tab) = new_key() else {
            return Traded::Unknown;
        };
        once.used = true;
        if self.tabs.len() >= MOST {
            self.tabs.remove(0);
        }
        self.tabs.push(tab.clone());
        Traded::For(tab)
    }

    /// Whether a tab may ask.
    pub fn knows(&self, tab: &str) -> bool {
        self.tabs
            .iter()
            .fold(false, |known, key| known | same(key, tab))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_good_once() {
        let mut keys = Keys::new(Duration::from_secs(60));
        let key = keys.once().expect("randomness");
        let Traded::For(tab) = keys.trade(&key) else {
            panic!("a fresh key");
        };
        assert!(keys.knows(&tab) && !keys.knows(&key) && !keys.knows(""));
        assert_eq!(keys.trade(&key), Traded::Late { first: true });
        assert_eq!(keys.trade(&key), Traded::Late { first: false });
        assert_eq!(keys.trade("guessed"), Traded::Unknown);
        assert_eq!(key.len(), 2 * BYTES);
    }

    #[test]
    fn a_key_grows_old() {
        let mut keys = Keys::new(Duration::ZERO);
        let key = keys.once().expect("randomness");
        assert_eq!(keys.trade(&key), Traded::Late { first: true });
    }
}
