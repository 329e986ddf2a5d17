//! What a style says falsely of where something lies, or how many there are, in one album. May import what
//! `program` may.

use super::model::{Model, Scope};
use crate::album::Album;
use crate::style::expr::Expr;
use crate::text::{Fault, Place, either};

/// What a style says falsely of where something lies, or how many there are.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", said(of, wrong))]
pub struct PlaceError {
    /// The part or the mark.
    pub of: String,
    pub wrong: WrongPlace,
    /// Quantities that it reads, and where the album sets them.
    pub reads: Vec<(String, Option<Place>)>,
    pub place: Place,
}

/// What is false.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrongPlace {
    /// It reads what this album does not have.
    Absent(String),
    /// A count that comes to this, and to no whole number.
    Count(String),
    /// A hole of no diameter.
    NoHole,
    /// A hole that reaches from one edge to the other of what it is in, which measures this.
    Through { on: String, size: String },
    /// So far off the thing that it is a mark of, at which edge, and how far it is from there to the other.
    Off {
        by: String,
        edge: String,
        on: String,
        size: String,
    },
    /// A piece whose ends here are not as far apart as it is cut.
    Size {
        side: &'static str,
        cut: String,
        room: String,
    },
}

impl PlaceError {
    /// With the quantities that this expression reads.
    pub fn new(
        (model, album): (&Model, &Album),
        (of, wrong): (&str, WrongPlace),
        (expr, scope): (&Expr, &Scope),
    ) -> PlaceError {
        let mut reads: Vec<(String, Option<Place>)> = Vec::new();
        model.reads(expr, scope, &mut |path, _| {
            let [name] = path.0.as_slice() else { return };
            let mut set = album.set.iter();
            let set = set.find(|(set, _)| set.value == *name);
            // The command line has no place.
            let set = set
                .map(|(_, value)| value.place)
                .filter(|it| !it.is_empty());
            let found = (name.clone(), set);
            if !reads.contains(&found) {
                reads.push(found);
            }
        });
        let (of, place) = (of.to_owned(), expr.place);
        PlaceError {
            of,
            wrong,
            reads,
            place,
        }
    }
}

fn said(of: &str, wrong: &WrongPlace) -> String {
    match wrong {
        WrongPlace::Absent(name) => {
            format!("`{of}` reads `{name}` here, which this album does not have")
        }
        WrongPlace::Count(is) => format!("this count of `{of}` comes to {is}"),
        WrongPlace::NoHole => format!("`{of}` has no diameter in this album"),
        WrongPlace::Through { on, size } => {
            format!("`{of}` cuts `{on}` in two, which measures {size} that way")
        }
        WrongPlace::Off { by, edge, on, size } => {
            format!("`{of}` lies {by} beyond the {edge} of `{on}`, which measures {size} that way")
        }
        WrongPlace::Size { side, cut, room } => {
            format!("the {side} of `{of}` is {cut}, and {room} between its ends here")
        }
    }
}

impl Fault for PlaceError {
    fn place(&self) -> Place {
        self.place
    }

    fn help(&self) -> Option<String> {
        let reads: Vec<&str> = self.reads.iter().map(|(name, _)| name.as_str()).collect();
        let change = match reads[..] {
            [] => String::new(),
            _ => format!(", or change {}", either(&reads)),
        };
        Some(match &self.wrong {
            WrongPlace::Absent(name) => format!(
                "type a `when` beside it, or name the value under `[name]` with a second row for albums without `{name}`"
            ),
            WrongPlace::Count(_) => format!("type a whole number, 0 or more{change}"),
            WrongPlace::Size { .. } => {
                "delete one of its ends here, or make both sizes the same in a rule".to_owned()
            }
            WrongPlace::NoHole | WrongPlace::Through { .. } | WrongPlace::Off { .. } => {
                format!("type another length here{change}")
            }
        })
    }

    fn also(&self) -> Vec<(Place, String)> {
        let set = self.reads.iter();
        let set = set.filter_map(|(name, place)| Some(((*place)?, name)));
        set.map(|(place, name)| (place, format!("`{name}` is set")))
            .collect()
    }
}
