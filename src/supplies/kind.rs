//! The kinds of supply. Imports nothing of the crate.

use std::fmt;

/// A kind of supply.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    Bag,
    Paper,
    Print,
    Card,
    Ring,
    Punch,
    Parcel,
}

impl Kind {
    /// As it stands in a heading: `bag`.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Bag => "bag",
            Kind::Paper => "paper",
            Kind::Print => "print",
            Kind::Card => "card",
            Kind::Ring => "ring",
            Kind::Punch => "punch",
            Kind::Parcel => "parcel",
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
