//! Why something does not fit, what is cheapest to change, and what holds a size back.
//!
//! `own` knows the measures that the maker gave, `soften` turns every change that may be made into an
//! unknown amount; `troubles` finds the parts of the trouble and `lists` the cheapest changes for each, each proved by
//! solving the album again, which `changed` does; `deeds` are what a hand does otherwise that no measure
//! says, `candidates` those that an album allows, and `offers` (of larger sheets, `sheets`) finds those that mend, which `tries` tries; `fixes` tells them; `watch` finds what would keep a wish; `write` writes a fix into the album's text; `hand` tries a thing in the
//! hand; `grow` (and, of what is done, `otherwise`) asks what would make a size larger; `need` turns the question round. Everything here is
//! facts: the words are made in `report`. May import every room up to `plan`.

mod candidates;
mod changed;
pub mod deeds;
pub mod fixes;
pub mod grow;
pub mod hand;
mod known;
mod lists;
mod measures;
pub mod need;
mod offers;
mod open;
mod otherwise;
pub mod own;
mod pairs;
mod sheets;
pub mod soften;
mod tries;
mod troubles;
pub mod watch;
pub mod write;

pub use changed::still_there;
pub use deeds::Deed;
pub use offers::smallest_ring;

use crate::album::Value;
use crate::length::{Interval, Length};
use crate::plan::clash::Clash;
use crate::plan::phrase::Phrase;
use crate::plan::{Assumed, Reason, Stopped};
use crate::scene::BagMeasure;

/// How a bag or a measure was probably meant: so it fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meant {
    /// One that was typed, in a larger unit; it is so narrow as it was typed. `bag` is what to type.
    Unit { width: Interval, bag: String },
    /// One of an album, with its two numbers the other way round.
    Turned { name: String, size: String },
    /// Measures that lie on no mark of the ruler: fractions that were typed with a stop. Each with what it is
    /// called, what it is, and what was meant.
    Fractions(Vec<(String, Length, Length)>),
}

/// Why an album does not fit, and what would make it fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Explanation {
    /// How its bag was probably meant.
    pub meant: Option<Meant>,
    /// All minimal sets of rules that clash, smallest first, where they are few.
    pub clashes: Vec<Clash>,
    /// These are all of them.
    pub all_clashes: bool,
    /// The least number of others that there are.
    pub more_clashes: usize,
    /// Bags that may have been measured the other way round: their names, and how wide and high they are.
    pub lying: Vec<(String, Interval, Interval)>,
    /// Single deeds that mend all of the trouble, where it has several parts.
    pub whole: Vec<Fix>,
    /// One list for each independent part of the trouble: a fix takes one from each list.
    pub fixes: Vec<FixList>,
    /// One of the lists has nothing that mends its part: only something else in its place can help.
    pub hopeless: bool,
    /// Bags that count as the worse of two, since their bottom is not known: known, it may fit.
    pub bottoms: Vec<Assumed>,
}

impl Explanation {
    /// Every fix that is listed, each of the list of this number; then those that mend all of it, of none.
    /// Their places are the numbers by which a maker asks for one.
    pub fn numbered(&self) -> Vec<(Option<usize>, &Fix)> {
        let whole = self.whole.iter().map(|fix| (None, fix));
        let lists = self.fixes.iter().enumerate();
        let listed = lists.flat_map(|(n, list)| list.every().map(move |fix| (Some(n), fix)));
        listed.chain(whole).collect()
    }

    /// The number of a list's first fix; past the last list, of the first that mends all of it.
    pub fn first_of(&self, list: usize) -> usize {
        let before = self.fixes.iter().take(list);
        let before = before.map(|it| it.every().count());
        1 + before.sum::<usize>()
    }
}

/// Fixes of one part of the trouble. Sizes are those with one fix of each other list, its
/// [`FixList::meanwhile`]; where another list has none, without its rules that nothing mends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FixList {
    /// Each set of changes of which none can be left out, with its cheapest amounts: those that are the
    /// least trouble first (`style::Effort`), then the cheapest.
    pub fixes: Vec<Fix>,
    /// The fix that mends this part while others are tried: one of measures, if any is. Absent where it
    /// is the cheapest of all, and where no measure mends rules that are set aside meanwhile.
    pub meanwhile: Option<usize>,
    /// The cheapest fix of all, where it is none of these: with smaller amounts of more changes.
    pub cheapest: Option<Fix>,
    /// These are all of them.
    pub all: bool,
    /// Rules, and what they speak of, that clash whatever is changed: every measure that the maker
    /// gave was made smaller and larger, every rule that gives broken, and what is tucked in left
    /// out. Empty if there are fixes.
    pub nothing_mends: Vec<(String, String)>,
    /// Places of the clashes that its first fix mends, in [`Explanation::clashes`].
    pub clashes: Vec<usize>,
}

impl FixList {
    /// Every fix of it, in the order of their numbers.
    pub fn every(&self) -> impl Iterator<Item = &Fix> {
        self.fixes.iter().chain(&self.cheapest)
    }

    /// The place of the one to do first: smaller amounts of more changes, where they are as little trouble and
    /// not half as much as the first.
    pub fn best(&self) -> usize {
        let Some((cheapest, first)) = self.cheapest.as_ref().zip(self.fixes.first()) else {
            return 0;
        };
        match cheapest.effort <= first.effort && cheapest.price.saturating_mul(2) <= first.price {
            true => self.fixes.len(),
            false => 0,
        }
    }
}

/// Changes that make an album fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fix {
    pub changes: Vec<FixChange>,
    /// The rank of the most trouble among them (`style::Effort`), and the wishes that are not kept then.
    pub effort: usize,
    pub unkept: usize,
    pub price: i64,
    /// No smaller amounts of these changes would do.
    pub proved: bool,
    /// The album was solved again with these changes, and fits; its sizes that are not given.
    pub sizes: Option<Vec<(String, Interval)>>,
}

/// One change of a fix.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FixChange {
    /// Less is accepted than a rule asks for, by whole ruler steps.
    Accept {
        rule: String,
        of: String,
        by: Length,
    },
    /// A measure that the maker or the style gave is made smaller or larger.
    Measure {
        kind: Kind,
        /// `ease`, `post_card.width`, `template.edge`, `pocket.depth`.
        name: String,
        /// The leaf of a size, the bag of a pocket; empty for others.
        of: String,
        /// What a quantity is; empty for others.
        why: String,
        from: Interval,
        to: Interval,
    },
    /// A quantity that the album sets is left as the style has it.
    Usual {
        quantity: String,
        why: String,
        from: Value,
        to: Value,
    },
    /// Something that no measure says is done otherwise.
    Do(Deed),
    /// An insert is left out.
    LeaveOut { name: String, leaf: String },
}

/// What a measure belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The style.
    Quantity,
    /// A thing that the album gives a size.
    Size,
    /// One that is made, and was measured.
    Made,
    /// The holes: the key of an album's template.
    Template(&'static str),
    /// A bag's pocket.
    Pocket(BagMeasure),
}

/// A thing in the hand, tried in a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hand {
    pub width: Interval,
    pub height: Interval,
    /// The leaf that was tried.
    pub leaf: String,
    /// A place of the style, or a slot there.
    pub place: String,
    pub as_it_is: bool,
    pub turned: bool,
    /// What to watch where it goes: wishes about it that are not kept.
    pub watch: Vec<Phrase>,
    /// Other places of that leaf in which it goes as it is; empty where it does here.
    pub elsewhere: Vec<hand::Place>,
    /// What must come off, least first; empty where nothing helps.
    pub trims: Vec<Trim>,
    /// Why it does not go in as it is; absent where it does.
    pub why: Option<Explanation>,
    /// A limit was met before the answer was known.
    pub stopped: Option<Stopped>,
}

/// What comes off a thing so that it goes in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trim {
    pub turned: bool,
    pub off_width: Length,
    pub off_height: Length,
    pub width: Interval,
    pub height: Interval,
}

/// What would make a size larger (or, where small is wanted, smaller).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Growth {
    pub name: String,
    pub leaf: String,
    pub value: Interval,
    pub larger: bool,
    pub held_by: Vec<Reason>,
    /// The smallest change of each given measure that buys anything, each by solving again: the
    /// smallest change first, then what buys most.
    pub offers: Vec<Offer>,
    /// Other places for the thing whose size it is, and what each buys, the most first; no wish is given up
    /// for one.
    pub places: Vec<(Deed, Length)>,
    /// The published pattern of the holes, if it holds the size back, and what leaving it out buys.
    pub pattern: Option<(String, Length)>,
    /// No limit was met: nothing smaller buys anything, and nothing that is not offered does within
    /// [`grow::STEPS`] steps.
    pub proved: bool,
}

/// A change of one given measure, and what it buys.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The measure, as the maker says it: `leaf.width`, `width of small print`, `ease`.
    pub measure: String,
    /// The leaf whose measure it is; empty for quantities, supplies and the template. A bag's measure
    /// is changed for every leaf that is made of such a bag.
    pub leaf: String,
    pub from: Interval,
    /// More of it is needed; otherwise less.
    pub more: bool,
    /// The smallest change that buys anything.
    pub by: Length,
    /// What it buys.
    pub buys: Length,
    /// What the other side of the same thing loses by it: a photo that is turned, for one. Offers
    /// without a loss come first.
    pub loses: Option<Length>,
    /// The change up to which more still buys more, what it buys in all, and what then stands
    /// against more: what holds the size, or rules that clash, or `None` if there is no more of
    /// the measure. Absent where that lies beyond what was tried.
    pub until: Option<(Length, Length, Vec<Reason>)>,
    /// That end is half of what the style asks for of a quantity: less of it was not tried.
    pub half: bool,
}

/// The smallest leaves that take given things uncut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// Leaves of whose width and height neither can shrink, least area first; things may lie either
    /// way up.
    pub leaves: Vec<NeedLeaf>,
    /// Every such leaf up to [`need::LARGEST`] is there.
    pub all: bool,
    /// Why no leaf does, where none does: what clashes in the largest.
    pub why: Option<Clash>,
    /// The bag whose gusset, bottom and pocket the leaves are taken to have; a flat bag without a
    /// pocket where there is none.
    pub like: Option<String>,
    /// Depth of the side gusset; without it there is one slot.
    pub gusset: Option<Interval>,
    /// Things go into a pocket or under a band, and that bag has no pocket: one is made, as low as
    /// will do ([`NeedLeaf::pocket`]).
    pub pocket_made: bool,
    /// Each bag of the supplies, and whether it would do, by its own solve.
    pub bags: Vec<NeedBag>,
}

/// A leaf that takes given things, and no smaller one beside it does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NeedLeaf {
    pub width: Length,
    pub height: Length,
    /// Height of the edge, and depth, of a pocket that is made for it.
    pub pocket: Option<Length>,
    /// Which of the things are turned, in their order.
    pub turned: Vec<bool>,
}

/// A bag of the supplies, tried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NeedBag {
    pub name: String,
    /// `None` if a limit was met.
    pub does: Option<bool>,
    /// Which of the things are turned in it, in their order; empty where it does not do.
    pub turned: Vec<bool>,
}
