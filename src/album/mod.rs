//! One album: its leaves, what is tucked where, what the maker prefers, what is fixed or measured.
//!
//! `text` reads it (with `leaf`, `photos`, `shapes` and `fault`); this file says what it is once it is valid.
//! `price` reads what it says of its price, `edit` changes a text of one, `field` by the path of a value in it. May import `length`, `money`, `text` and `supplies`.

pub mod edit;
mod fault;
pub mod field;
mod leaf;
mod photos;
pub mod price;
pub mod quick;
pub mod shapes;
pub mod text;

pub use fault::AlbumError;
pub use photos::{Named, Photos, PhotosIn, name_and_size};

use crate::length::{Interval, Length, Ruler};
use crate::supplies::join::Moved;
use crate::supplies::{Bag, Kind, Supplies};
use crate::text::{Place, Said};

/// A number that a style's quantity can be set to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Value {
    Length(Interval),
    /// Numerator and denominator, reduced; the denominator is positive.
    Ratio(i64, i64),
}

/// Where a kind of album comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StyleName {
    /// One that is shipped.
    Shipped(String),
    /// A file of the maker's own, as written in the album.
    File(String),
}

impl StyleName {
    /// That of an album that names none: the one that is shipped first.
    pub fn usual() -> StyleName {
        StyleName::Shipped("upright".to_owned())
    }

    /// As an album names it: a file has a slash in its name or ends with `.toml`.
    pub fn written(name: &str) -> StyleName {
        match name.contains('/') || name.ends_with(".toml") {
            true => StyleName::File(name.to_owned()),
            false => StyleName::Shipped(name.to_owned()),
        }
    }
}

/// What the maker fixes of the holes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Template {
    pub place: Place,
    pub holes: Option<i64>,
    pub diameter: Option<Interval>,
    /// Hole centres to the spine edge.
    pub edge: Option<Interval>,
    /// Lowest hole's centre above the tail.
    pub first: Option<Interval>,
    pub pitch: Option<Interval>,
    /// Hole centres above the lowest one's, where a pattern spaces them unequally; `pitch` is then
    /// absent.
    pub offsets: Option<Vec<Length>>,
    /// Name of a published pattern, which then fixed the values above.
    pub pattern: Option<Said<String>>,
    /// Outside diameter of an eyelet's flange; counts as the hole's rim.
    pub eyelet: Option<Interval>,
    /// Place in [`Supplies::punches`].
    pub punch: Option<usize>,
}

/// The paper of a mat or a band.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PartPaper {
    /// The leaf has no such part.
    None,
    /// The part is there; its paper is not decided.
    Any,
    /// Places in [`Supplies::papers`]: it may be cut from any of these, and from no other. Never empty.
    Papers(Vec<usize>),
}

/// How an insert is taken hold of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Grip {
    #[default]
    /// By what shows of it, if anything does.
    Plain,
    /// A thumb notch in the bag.
    Notch,
    /// A pull tab.
    Tab,
    /// A string through its head.
    String,
}

impl Grip {
    pub const WORDS: [(&'static str, Grip); 4] = [
        ("plain", Grip::Plain),
        ("notch", Grip::Notch),
        ("tab", Grip::Tab),
        ("string", Grip::String),
    ];

    /// As an album says it.
    pub fn word(self) -> &'static str {
        Grip::WORDS[self as usize].0
    }
}

/// A photo on an insert.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photo {
    pub place: Place,
    /// Places in [`Supplies::prints`] that it may be trimmed from; all of them if nothing was said,
    /// so empty only where there are none.
    pub prints: Vec<usize>,
    /// Its sides in whole numbers, like 2 and 3, either way up.
    pub shape: Option<(i64, i64)>,
    /// Which way up it lies, if that was said.
    pub lies: Option<WayUp>,
}

/// Which way up a photo lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WayUp {
    /// No wider than high.
    Upright,
    /// No higher than wide.
    Across,
}

impl WayUp {
    pub const WORDS: [(&'static str, WayUp); 2] =
        [("upright", WayUp::Upright), ("across", WayUp::Across)];

    pub fn word(self) -> &'static str {
        WayUp::WORDS[usize::from(self == WayUp::Across)].0
    }
}

/// Something tucked in and pulled out, or glued on a back.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Insert {
    pub name: String,
    /// Where its name stands.
    pub named_at: Place,
    pub place: Place,
    /// Where it is tucked or glued, as its style calls the place; empty: where the last of its slots
    /// opens.
    pub goes: Said<String>,
    /// Which slot of that place, if the maker names one; else it is the first.
    pub section: Option<Said<String>>,
    pub width: Option<Said<Interval>>,
    pub height: Option<Said<Interval>>,
    /// How much of it is wanted to show above the mouth or the pocket's edge.
    pub show: Option<Said<Interval>>,
    pub grip: Grip,
    /// Places in [`Supplies::papers`]: it may be cut from any of these; empty where none is named.
    pub papers: Vec<usize>,
    /// The most pieces alike from one of several papers.
    pub most_alike: Option<i64>,
    /// Place in [`Supplies::cards`]; its size is then given.
    pub card: Option<usize>,
    pub caliper: Option<Interval>,
    /// How many of them lie there, one on the other.
    pub count: i64,
    pub photo: Option<Photo>,
}

/// One kind of leaf.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Leaf {
    pub name: String,
    pub place: Place,
    /// Place in [`Supplies::bags`].
    pub bag: usize,
    pub count: i64,
    /// Its bag is another one than its maker wrote: a slot that only the old one had is not asked for.
    pub exchanged: bool,
    /// Turned over like a page, plain back outside: a cover.
    pub turned: bool,
    /// Pieces of paper by the names that the style has for them.
    pub parts: Vec<(String, PartPaper)>,
    /// Of these the ones that it names with a paper, where they stand.
    pub named: Vec<Said<String>>,
    /// Of parts that may be cut from several papers: the most pieces alike from one paper.
    pub most_alike: Vec<(String, i64)>,
    pub inserts: Vec<Insert>,
    /// Pieces that get the same design of a pad, by their names.
    pub alike: Vec<Vec<String>>,
    /// Within how many openings a design on this leaf does not come again, if that can be.
    pub apart: i64,
    /// Sizes given before anything is cut: `front_mat.width`, `photo_mat.photo.height` ...
    pub given: Vec<(Said<String>, Interval)>,
    /// Sizes measured after it was cut, and `leaf.width`, `front.depth`, `pocket.edge` ...
    pub measured: Vec<(Said<String>, Interval)>,
}

/// Less than a rule asks for, where the maker accepts it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accept {
    pub place: Place,
    /// The rule's name in the style.
    pub rule: Said<String>,
    /// The leaf or the thing that it speaks of, as `why` names it; absent: all.
    pub of: Option<Said<String>>,
    pub by: Length,
    /// The maker's reason.
    pub why: Option<String>,
}

/// An album as the maker wrote it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Album {
    pub title: String,
    pub style: Said<StyleName>,
    pub ruler: Ruler,
    /// What the maker wants most, first things first, as written.
    pub prefer: Vec<Said<String>>,
    pub template: Template,
    /// Place in [`Supplies::rings`], where the ring is fixed.
    pub ring: Option<Said<usize>>,
    /// Quantities of the style that differ here.
    pub set: Vec<(Said<String>, Said<Value>)>,
    pub accepted: Vec<Accept>,
    pub leaves: Vec<Leaf>,
    /// What it says of the parts of the album itself: cover boards, a wrap, a band round it.
    pub own: Own,
    /// Which photos are to be put in their places, if the album names any.
    pub photos: Option<Photos>,
    /// What it says of its price.
    pub price: price::Pricing,
    /// Minutes of steps of the work, by their titles.
    pub minutes: Vec<(Said<String>, i64)>,
    pub supplies: Supplies,
}

/// What an album says of its parts: of those of one leaf, or of those of the album itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Own {
    /// Pieces of paper by the names that the style has for them.
    pub parts: Vec<(String, PartPaper)>,
    /// Of these the ones that it names with a paper, where they stand.
    pub named: Vec<Said<String>>,
    /// Sizes given before anything is cut: `board.width` ...
    pub given: Vec<(Said<String>, Interval)>,
    /// Sizes measured after it was cut.
    pub measured: Vec<(Said<String>, Interval)>,
}

impl Album {
    /// The same album of another kind: one that is shipped, or a style file.
    #[must_use]
    pub fn of_kind(self, style: Said<String>) -> Album {
        Album {
            style: style.with(StyleName::written(&style.value)),
            ..self
        }
    }

    /// The same album with the supplies of all that are made together, among which its own were
    /// [`Moved`].
    #[must_use]
    pub fn with_supplies(&self, supplies: &Supplies, moved: &Moved) -> Album {
        let mut album = self.clone();
        let to = |kind: Kind, at: &mut usize| *at = moved.of(kind, *at);
        let papers = |all: &mut Vec<usize>| all.iter_mut().for_each(|at| to(Kind::Paper, at));
        let parts = album.leaves.iter_mut().flat_map(|leaf| &mut leaf.parts);
        for (_, paper) in parts.chain(&mut album.own.parts) {
            if let PartPaper::Papers(all) = paper {
                papers(all);
            }
        }
        for leaf in &mut album.leaves {
            to(Kind::Bag, &mut leaf.bag);
            for insert in &mut leaf.inserts {
                papers(&mut insert.papers);
                insert.card.iter_mut().for_each(|at| to(Kind::Card, at));
                let prints = insert.photo.iter_mut().flat_map(|photo| &mut photo.prints);
                prints.for_each(|at| to(Kind::Print, at));
            }
        }
        let ring = album.ring.as_mut().map(|ring| &mut ring.value);
        ring.into_iter().for_each(|at| to(Kind::Ring, at));
        let punch = album.template.punch.iter_mut();
        punch.for_each(|at| to(Kind::Punch, at));
        // An album is posted by itself.
        album.supplies = Supplies {
            parcels: self.supplies.parcels.clone(),
            ..supplies.clone()
        };
        album
    }

    /// The same album with a paper for each design of a pad, see [`Supplies::by_design`].
    #[must_use]
    pub fn by_design(&self) -> Album {
        self.with_supplies(&self.supplies.by_design(), &Moved::default())
    }

    /// It stands in a file, where a maker can change it.
    pub fn is_written(&self) -> bool {
        let typed = crate::text::Place::default();
        self.leaves.iter().any(|leaf| leaf.place != typed)
    }

    /// The same album, these leaves (places in [`Album::leaves`]) made of another bag.
    #[must_use]
    pub fn with_bag(&self, leaves: &[usize], bag: &Bag) -> Album {
        let mut other = self.clone();
        let at = other.supplies.bags.len();
        other.supplies.bags.push(bag.clone());
        for leaf in leaves {
            if let Some(leaf) = other.leaves.get_mut(*leaf) {
                leaf.bag = at;
                leaf.exchanged = true;
            }
        }
        other
    }
}
