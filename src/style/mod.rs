//! A kind of album: named quantities, unknowns, choices and rules, as text that a maker can change.
//!
//! `text` reads the file, `include` takes others over (`origin` knows for whom), `grammar` reads the rules in
//! it; `check` tests every name (`names`; `meant` is what it was meant to be), dimension and product before any album is looked at (`check_parts`
//! and `check_steps` those of the tables, `check_units` lengths and numbers), and finds what nothing reads
//! (`unread`); `told` lists the names that a rule may read; `named` finds the one that an album names. May import `length`, `text`, `vocabulary` and `album`.

pub mod check;
mod check_parts;
mod check_steps;
#[cfg(test)]
mod check_tests;
mod check_units;
pub mod expr;
mod fault;
pub mod grammar;
#[cfg(test)]
mod grammar_tests;
pub mod include;
mod meant;
pub mod named;
mod names;
mod origin;
pub mod parts;
mod parts_text;
mod shapes;
pub mod shipped;
pub mod steps;
pub mod text;
pub mod told;
pub mod unread;

pub use fault::StyleError;

use crate::album::Value;
use crate::length::{Length, LengthError, Ruler, parse_interval, parse_ratio};
use crate::text::{Files, Place, Said};
use crate::vocabulary::{self, Dimension};
use expr::{Binding, Comparison, Condition, Path, Words};
use itertools::Itertools;
use parts::{Kind, NameRule, Part};
use std::collections::{BTreeMap, BTreeSet};
use steps::Step;

/// A named number of the style, such as the reveal beside a mat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quantity {
    pub name: String,
    pub value: Value,
    /// The default of an album whose ruler is metric.
    pub metric: Option<Value>,
    pub why: String,
    /// It stands for a measure of the maker's own things, and should be measured.
    pub measure: bool,
    /// What making it one ruler step smaller costs in a repair; absent: it stays as it is.
    pub give: Option<i64>,
    pub place: Place,
}

impl Quantity {
    /// What it is in an album that does not set it.
    #[must_use]
    pub fn usual(&self, ruler: Ruler) -> Value {
        match self.metric {
            Some(metric) if ruler.is_metric() => metric,
            _ => self.value,
        }
    }

    /// The least that a change may leave of it, in an album with this ruler: of less than half of what
    /// its style asks for no hand gets what it is there for. A measure of a thing may be whatever is more
    /// than nothing. `None` of what is no length.
    pub fn least(&self, ruler: Ruler) -> Option<Length> {
        let one = Length::from_nm(1);
        match self.usual(ruler) {
            Value::Length(_) if self.measure => Some(one),
            Value::Length(usual) => Some(Length::from_nm((usual.least().nm() + 1) / 2)),
            _ => None,
        }
    }
}

/// Whether a rule reads a length or a number.
pub(super) fn dimension(value: Value) -> Dimension {
    match value {
        Value::Length(_) => Dimension::Length,
        Value::Ratio(..) => Dimension::Number,
    }
}

/// What an unknown should be where nothing else decides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Prefer {
    Large,
    Small,
    /// The shorter of both first, then their sum, then this one.
    LargestWith(Path, Place),
}

/// A size that the solver chooses.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownRule {
    pub name: Path,
    pub bindings: Vec<Binding>,
    pub when: Vec<Condition>,
    pub prefer: Prefer,
    /// Settled before everything else: it ties the leaves together.
    pub first: bool,
    /// A quantity below which it does not go.
    pub least: Option<(Path, Place)>,
    /// What else lies on the same thing above it: a quantity.
    pub above: Option<(Path, Place)>,
    pub tells: Tells,
    pub why: String,
    pub place: Place,
}

/// What is said of a size, in the style's words; plainer words stand in for what is absent.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tells {
    /// What a maker calls it in a list.
    pub title: Option<String>,
    /// And in a sentence: `the hole spacing`.
    pub called: Option<String>,
    /// It and its value: `hole spacing {it}`.
    pub shown: Option<String>,
    /// What to do to make it larger, or smaller, `by` this much, so that `it` is left.
    pub more: Option<String>,
    pub less: Option<String>,
}

impl Tells {
    /// Nothing is said.
    pub const NONE: &'static Tells = &Tells {
        title: None,
        called: None,
        shown: None,
        more: None,
        less: None,
    };
}

/// In which order the items of a table are preferred; ties keep the table's own order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Order {
    Table,
    Small(String),
    Large(String),
}

/// Exactly one item of a supply table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChoiceRule {
    pub name: Path,
    pub bindings: Vec<Binding>,
    pub when: Vec<Condition>,
    /// `prints` or `rings`.
    pub from: String,
    /// Each item either way up.
    pub turn: bool,
    pub prefer: Order,
    pub first: bool,
    pub why: String,
    pub place: Place,
}

/// What a rule demands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Demand {
    /// All of these.
    Require(Vec<Comparison>),
    /// All of one of these.
    Either(Vec<Vec<Comparison>>),
}

/// How much trouble a change is for a person, the least first: a thing placed or held otherwise, a little
/// trimmed, something else at hand, punched otherwise, fewer, bought, another bag, a piece of paper less,
/// much trimmed, a quantity of the style; then left out, and accepted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Effort {
    Replace,
    Hold,
    Trim,
    AtHand,
    Punch,
    Fewer,
    Buy,
    OtherBag,
    Bare,
    TrimMuch,
    Quantity,
    LeaveOut,
    Accept,
}

impl Effort {
    /// Those of which a style may say which come first, and its words for them: the last two stay last.
    pub const NAMED: [(&'static str, Effort); 11] = [
        ("place", Effort::Replace),
        ("hold", Effort::Hold),
        ("trim", Effort::Trim),
        ("at hand", Effort::AtHand),
        ("punch", Effort::Punch),
        ("fewer", Effort::Fewer),
        ("buy", Effort::Buy),
        ("other bag", Effort::OtherBag),
        ("bare", Effort::Bare),
        ("trim much", Effort::TrimMuch),
        ("quantity", Effort::Quantity),
    ];
}

impl Rule {
    /// All its sentences.
    pub fn words(&self) -> impl Iterator<Item = &Words> {
        self.because.iter().chain(self.watch.iter().flatten())
    }
}

/// One rule of the craft.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rule {
    pub name: String,
    pub wish: bool,
    pub bindings: Vec<Binding>,
    pub when: Vec<Condition>,
    pub demand: Demand,
    /// The reason in words, with places for numbers.
    pub because: Vec<Words>,
    /// Of a wish: what a hand sees where it is not kept, and does about it.
    pub watch: Option<Vec<Words>>,
    /// Of a wish: pieces of paper that a leaf may go without, and that may help to keep it.
    pub mend: Vec<Said<String>>,
    /// What one tick of breaking it costs in a repair; absent: it never gives.
    pub give: Option<i64>,
    /// A length of facts: no more than this is offered to be accepted; absent: any amount.
    pub give_most: Option<expr::Expr>,
    /// It says how much an album holds: as many leaves of one kind as keep all such rules.
    pub capacity: bool,
    pub source: String,
    pub place: Place,
}

/// A kind of album.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Style {
    pub name: String,
    pub title: String,
    pub file: u32,
    pub quantities: Vec<Quantity>,
    pub unknowns: Vec<UnknownRule>,
    pub choices: Vec<ChoiceRule>,
    pub rules: Vec<Rule>,
    /// What the album is made of.
    pub parts: Vec<Part>,
    /// What follows from other names.
    pub names: Vec<NameRule>,
    pub steps: Vec<Step>,
    /// What its words mean, for who has never made such an album.
    pub words: Option<String>,
    /// What can hurt someone at this kind of album: `blades`, `punches` ...
    pub cautions: Vec<String>,
    /// What is the least trouble at this kind of album, first; what it does not name follows.
    pub easiest: Vec<Effort>,
    /// The places of sums that add up numbers: with nothing in them they are no lengths.
    pub counts: BTreeSet<Place>,
    /// What it reads of an album's rings, punch and holes, each name by its first word and whole.
    reads: BTreeSet<String>,
    /// The texts of all of it, if files that it takes over were not asked for and are left out.
    whole: Option<Whole>,
}

/// The text of a style, and what stands beside it.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Whole {
    text: String,
    beside: Vec<(String, Vec<u8>)>,
}

impl Style {
    /// The style with all that it takes over; `None` if nothing was left out of it. Its places are in files of
    /// its own.
    pub fn whole(&self) -> Option<Style> {
        let whole = self.whole.as_ref()?;
        let mut files = Files::default();
        let file = files.add(String::new(), whole.text.clone());
        let mut load = |path: &str| {
            let known = whole.beside.iter().find(|(name, _)| name == path);
            let known = known.map(|(_, bytes)| bytes.clone());
            known.ok_or_else(String::new)
        };
        text::read_with(&mut files, file, &mut load).ok()
    }

    /// The place of a trouble among all, the least first.
    pub fn rank(&self, effort: Effort) -> usize {
        let named = self.easiest.iter().position(|it| *it == effort);
        named.unwrap_or(self.easiest.len() + effort as usize)
    }

    /// Whether it makes holes; also where it has no tables that could say so.
    pub fn pierces(&self) -> bool {
        let parts = parts::all(&self.parts).into_iter();
        let mut marks = parts.filter_map(Part::frame).flat_map(|it| &it.marks);
        self.parts.is_empty() || marks.any(|mark| mark.diameter.is_some())
    }

    /// What a maker calls the sizes to be found that have a title, by their names.
    pub fn titles(&self) -> BTreeMap<String, String> {
        let titled = self.unknowns.iter().filter_map(|unknown| {
            let title = unknown.tells.title.clone()?;
            Some((unknown.name.to_string(), title))
        });
        titled.collect()
    }

    /// What it says of a size, by its name.
    pub fn tells(&self, name: &str) -> &Tells {
        let unknowns = self.unknowns.iter().map(|it| (&it.name, &it.tells));
        let rows = self.names.iter();
        let rows = rows.flat_map(|rule| rule.rows.iter().map(|row| (&rule.name, &row.tells)));
        let mut all = unknowns
            .chain(rows)
            .filter(|(_, tells)| *tells != Tells::NONE);
        let found = all.find(|(path, _)| path.0.iter().map(String::as_str).eq(name.split('.')));
        found.map_or(Tells::NONE, |(_, tells)| tells)
    }

    /// Whether a name is worked out from this value, such as `bag.pocket_edge`.
    pub fn reads(&self, value: &str) -> bool {
        let rows = self.names.iter().flat_map(|name| &name.rows);
        let exprs = rows.flat_map(|row| row.is.exprs());
        let mut read = exprs.flat_map(expr::Expr::paths);
        read.any(|path| path.to_string() == value)
    }

    /// What each of its choices, sizes and rules runs over, and the conditions under which it applies.
    pub fn cases(&self) -> impl Iterator<Item = (&[Binding], &[Condition])> {
        let choices = self.choices.iter();
        let choices = choices.map(|it| (&it.bindings[..], &it.when[..]));
        let sizes = self.unknowns.iter();
        let sizes = sizes.map(|it| (&it.bindings[..], &it.when[..]));
        let rules = self.rules.iter();
        let rules = rules.map(|it| (&it.bindings[..], &it.when[..]));
        choices.chain(sizes).chain(rules)
    }

    /// Whether it declares a size of this part of a leaf.
    pub fn has_part(&self, name: &str) -> bool {
        let mut named = self.unknowns.iter().filter(|it| it.name.head() == name);
        named.any(|it| self.is_of_a_part(it))
    }

    /// The rules of names that are of the album itself, whatever leaves there are: of a part of its own, or of
    /// what is only named and leans on no leaf; by their places in the list.
    pub fn names_of_album(&self) -> BTreeSet<usize> {
        let names = names::Names::of(self, true);
        let heads = self.names.iter().map(|rule| rule.name.head());
        let is_own =
            |head: &str| !vocabulary::SINGLE.contains(&head) && names.of_album(head).is_some();
        heads.positions(is_own).collect()
    }

    /// Whether the sides of a leaf are measures of its bag and nothing else.
    pub fn leaf_is_its_bag(&self) -> bool {
        let frame = self.leaf_frame().map_or("leaf", |(part, _)| &part.name);
        // One that lies on its side has its bag's other side there.
        ["width", "height"].into_iter().all(|side| {
            let is_measure = |row: &parts::Row| match &row.is {
                parts::Is::Value(parts::End::At(expr)) => match &expr.node {
                    expr::Node::Name(path) => {
                        let other = ["width", "height"].contains(&path.last());
                        path.head() == "bag" && (path.last() == side || !other)
                    }
                    _ => false,
                },
                _ => false,
            };
            let rule = self.name_rule(frame, side);
            rule.is_none_or(|rule| rule.rows.iter().all(is_measure))
        })
    }

    fn is_of_a_part(&self, unknown: &UnknownRule) -> bool {
        let head = unknown.name.head();
        let here = match unknown.bindings.as_slice() {
            [leaf] => leaf.list.0 == ["leaves"] && leaf.variable != head,
            _ => false,
        };
        let other = || self.on_leaf_called(head).map(|part| &part.kind);
        here && !vocabulary::SINGLE.contains(&head)
            && matches!(other(), None | Some(Kind::Paper { .. }))
    }

    /// The quantity of that name.
    pub fn quantity(&self, name: &str) -> Option<&Quantity> {
        self.quantities.iter().find(|q| q.name == name)
    }
}

impl Rule {
    /// One comparison in it: of the way of an `either`, which is 0 where all must hold.
    pub fn comparison(&self, way: usize, place: usize) -> Option<&Comparison> {
        self.ways().get(way)?.get(place)
    }

    /// The ways to keep it, each as the comparisons that then hold: one where all must hold.
    pub fn ways(&self) -> &[Vec<Comparison>] {
        match &self.demand {
            Demand::Require(all) => std::slice::from_ref(all),
            Demand::Either(any) => any,
        }
    }

    /// Every comparison in it.
    pub fn comparisons(&self) -> impl Iterator<Item = &Comparison> {
        self.ways().iter().flatten()
    }

    /// Every expression of its comparisons, its sentences and what it gives at most.
    pub fn exprs(&self) -> impl Iterator<Item = &expr::Expr> {
        let sides = self.comparisons().flat_map(|it| [&it.left, &it.right]);
        let words = self.words().filter_map(Words::value);
        sides.chain(words).chain(&self.give_most)
    }
}

/// Reads a length or a ratio, as a quantity's value.
///
/// # Errors
///
/// The text is neither.
pub fn value(text: &str) -> Result<Value, LengthError> {
    if let Ok(ratio) = parse_ratio(text) {
        return Ok(Value::Ratio(*ratio.numer(), *ratio.denom()));
    }
    parse_interval(text).map(Value::Length)
}
