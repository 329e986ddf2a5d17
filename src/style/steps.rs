//! The steps of the work as a style lists them, and the sentences that are said of an album.
//!
//! Data only, as `parts`.

use super::expr::{Binding, Condition, Expr, Path, Words};
use crate::text::Place;

/// Words with values in them, once or for each of some things.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sentence {
    pub bindings: Vec<Binding>,
    pub when: Vec<Condition>,
    pub say: Vec<Words>,
    /// Said once where it holds for any of them.
    pub once: bool,
    /// Said before the first of what belongs to the first thing bound.
    pub head: Option<Vec<Words>>,
    /// What stands between those of one thing.
    pub join: Option<String>,
    /// What has to be on the table for it.
    pub needs: Vec<Vec<Words>>,
    pub place: Place,
}

impl Sentence {
    /// Whether both speak of the same things, so that they are said thing by thing.
    pub fn follows(&self, other: &Sentence) -> bool {
        let plain = |it: &Sentence| !it.once && it.head.is_none() && it.join.is_none();
        let of = |it: &Sentence| {
            let all = it.bindings.iter();
            let all = all.map(|it| (it.variable.clone(), it.list.clone()));
            all.collect::<Vec<_>>()
        };
        plain(self) && plain(other) && !self.bindings.is_empty() && of(self) == of(other)
    }

    /// All its words: what it says, what stands before it, and what it needs.
    pub fn words(&self) -> impl Iterator<Item = &Words> {
        let words = self.say.iter().chain(self.head.iter().flatten());
        words.chain(self.needs.iter().flatten())
    }

    /// Whether it is said of each leaf.
    pub fn is_of_leaves(&self) -> bool {
        let first = self.bindings.first();
        first.is_some_and(|it| it.list == Path::of("leaves"))
    }
}

/// Blocks of facts that the program itself puts into a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Uses {
    Measure,
    Cut,
    Photos,
    Tuck,
    /// The order of the leaves.
    Order,
    /// Which edge, which side up, how thick: of a mark by name.
    Mark(String),
}

impl Uses {
    pub fn of(text: &str) -> Option<Uses> {
        Some(match text.split_whitespace().collect::<Vec<_>>()[..] {
            ["measure"] => Uses::Measure,
            ["cut"] => Uses::Cut,
            ["photos"] => Uses::Photos,
            ["tuck"] => Uses::Tuck,
            ["order"] => Uses::Order,
            ["mark", name] => Uses::Mark(name.to_owned()),
            _ => return None,
        })
    }
}

/// What the picture beside a step shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shows {
    /// The layers of each frame, and where they are glued.
    Plies,
    /// What is glued on, in its order.
    Papers,
    /// Whatever is folded, laid flat, with its folds.
    Folds,
    /// A strip that is folded to and fro, seen from its upper edge.
    Zigzag,
    /// What a thing is taken hold of by.
    Grips,
    /// The template: the step stands beside it, at true scale.
    Template,
}

/// One step of the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    pub title: Option<String>,
    pub does: Vec<Sentence>,
    pub checks: Vec<Sentence>,
    pub care: Option<Vec<Words>>,
    pub needs: Vec<Vec<Words>>,
    /// Said where nothing is to be done; else the step is left out.
    pub none: Option<String>,
    pub uses: Option<Uses>,
    /// Minutes of it for one album, by one person with some practice.
    pub minutes: Option<Expr>,
    pub shows: Option<Shows>,
    pub place: Place,
}
