//! What a name of a rule stands for, as the style and the vocabulary can tell without an album.

use super::expr::{Binding, Expr, Node, Path};
use super::parts::{Is, Kind, NameRule};
use super::{Style, UnknownRule, dimension};
use crate::text::Place;
use crate::vocabulary::{self, Dimension};
use itertools::Itertools;
use std::cell::{OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};

/// What a name is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    pub dimension: Dimension,
    /// The solver may have to find it.
    pub unknown: bool,
    /// An album may say nothing of it.
    pub optional: bool,
    /// The tightest of several that are still to be found, or what is known when all lies in its place: no row
    /// of a program can say it.
    pub loose: bool,
}

impl Known {
    /// What an album or a style says.
    pub const fn fact(dimension: Dimension) -> Known {
        Known {
            dimension,
            unknown: false,
            optional: false,
            loose: false,
        }
    }
}

/// Why a name stands for nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Lost {
    /// There is no such thing, or it has no such value.
    Nothing,
    /// The style says what it is, and something is wrong there: that is a fault of its own.
    Told,
    /// There is one for each thing of this kind, and no variable says which.
    Unbound(&'static str),
    /// Every leaf has such a part, and these variables are leaves.
    Several(Vec<String>),
}

/// Variables of a `for` and the kinds of things that they stand for.
pub(super) type Kinds = Vec<(String, &'static str)>;

/// The thing that the first words of a name stand for.
pub(super) struct Owner<'p> {
    pub kind: &'static str,
    /// The word for it: a variable, a part, or a thing of which there is one.
    pub word: &'p str,
    /// What follows.
    rest: &'p [String],
}

pub(super) struct Names<'a> {
    pub style: &'a Style,
    /// In the tables that say where things lie, and in sentences, names mean more than in rules.
    pub tables: bool,
    /// What rules of names come to, by their places: names lean on names, and each is read often. `None`
    /// while one is worked out, so that a circle ends, and if nothing can be said of it.
    known: RefCell<BTreeMap<Place, Option<Known>>>,
    /// Heads of names of things of their own that lean on a leaf.
    leaning: OnceCell<BTreeSet<&'a str>>,
    /// What first words stand for, each of which is read often.
    heads: RefCell<BTreeMap<String, Head>>,
}

/// The kinds of thing that a first word may stand for.
#[derive(Clone, Copy)]
struct Head {
    of_album: Option<&'static str>,
    part: Option<&'static str>,
}

/// Names lean on names no deeper than this.
pub(super) const DEEPEST: usize = 64;
/// And on no more than this, each counted as often as it is read: an expression is worked out through all.
pub(super) const WIDEST: usize = 10_000;

impl<'a> Names<'a> {
    /// The names of rules, or those of `tables`.
    pub fn of(style: &'a Style, tables: bool) -> Names<'a> {
        Names {
            style,
            tables,
            known: RefCell::default(),
            leaning: OnceCell::new(),
            heads: RefCell::default(),
        }
    }

    /// From here on the names of tables.
    pub fn now_of_tables(&mut self) {
        self.tables = true;
        self.known.get_mut().clear();
    }

    pub fn lookup(&self, path: &Path, kinds: &Kinds) -> Result<Known, Lost> {
        self.deep(path, kinds, 0)
    }

    fn deep(&self, path: &Path, kinds: &Kinds, depth: usize) -> Result<Known, Lost> {
        let fact = |dimension, optional| Known {
            optional,
            ..Known::fact(dimension)
        };
        if let [name] = path.0.as_slice() {
            let quantity = self.style.quantity(name).ok_or(Lost::Nothing)?;
            return Ok(fact(dimension(quantity.value), false));
        }
        let choice = self.style.choices.iter().find(|c| {
            let words = &c.name.0;
            path.0.len() == words.len() + 1 && path.0.starts_with(words)
        });
        if let Some(choice) = choice {
            let mut tables = vocabulary::TABLES.iter();
            let table = tables.find(|(table, _)| *table == choice.from);
            let name = table.and_then(|(_, kind)| vocabulary::find(kind, path.last()));
            // A choice from an empty table is not there at all.
            let name = name.ok_or(Lost::Nothing)?;
            return Ok(fact(name.dimension, choice.bindings.is_empty()));
        }
        let owner = self.owner(path, kinds)?;
        let [field] = owner.rest else {
            return Err(Lost::Nothing);
        };
        let declared = self.style.unknowns.iter().any(|u| {
            let head = u.name.head();
            let same = || head == owner.word || self.variable_kind(u, head) == Some(owner.kind);
            u.name.last() == field && same()
        });
        if declared {
            return Ok(Known {
                unknown: true,
                ..fact(Dimension::Length, true)
            });
        }
        if let Some(rule) = self.rule_of(&owner, field) {
            let known = self.known.borrow().get(&rule.place).copied();
            let known = known.unwrap_or_else(|| {
                self.known.borrow_mut().insert(rule.place, None);
                let known = self.named(rule, depth);
                self.known.borrow_mut().insert(rule.place, known);
                known
            });
            let mut known = known.ok_or(Lost::Told)?;
            let wanted = vocabulary::dimension(owner.kind, owner.word, field);
            known.dimension = wanted.unwrap_or(known.dimension);
            return Ok(known);
        }
        if let Some(named) = vocabulary::find(owner.kind, field) {
            return Ok(Known {
                unknown: named.found,
                ..fact(named.dimension, named.optional)
            });
        }
        if owner.kind == "leaf" && vocabulary::OUT.contains(&field.as_str()) {
            return Ok(Known {
                unknown: true,
                loose: true,
                ..fact(Dimension::Length, false)
            });
        }
        // How far a length may be off the middle of what is given.
        if let Some(of) = field.strip_suffix("_play") {
            let mut before = path.clone();
            before.0.pop();
            before.0.push(of.to_owned());
            let known = self.deep(&before, kinds, depth)?;
            let length = known.dimension == Dimension::Length && !known.unknown;
            return length.then_some(known).ok_or(Lost::Nothing);
        }
        if self.tables && self.is_box(owner.kind) {
            let end = vocabulary::ENDS.contains(&field.as_str());
            if end || (owner.kind == "slot" && field == "widest") {
                return Ok(Known {
                    unknown: true,
                    ..fact(Dimension::Length, false)
                });
            }
        }
        Err(Lost::Nothing)
    }

    fn is_box(&self, kind: &str) -> bool {
        matches!(kind, "mat" | "slot" | "ply" | "frame")
    }

    /// The rule for a name of this thing.
    fn rule_of(&self, owner: &Owner<'_>, field: &str) -> Option<&NameRule> {
        let head = match owner.kind {
            "leaf" => self.style.leaf_name(),
            "hole" => self.style.hole().map(|mark| mark.name.as_str()),
            _ => Some(owner.word),
        };
        self.style.name_rule(head?, field)
    }

    /// What a name comes to: what its first row says that has a value.
    fn named(&self, rule: &NameRule, depth: usize) -> Option<Known> {
        if depth > DEEPEST {
            return None;
        }
        let kinds = self.inside(rule.name.head());
        let mut unknown = false;
        let mut optional = true;
        let mut loose = false;
        let mut dimension = None;
        for row in &rule.rows {
            match &row.is {
                Is::Holds(_) => {
                    dimension = dimension.or(Some(Dimension::Flag));
                    optional = false;
                }
                Is::Value(end) => {
                    for expr in end.all() {
                        let bare = matches!(expr.node, Node::Name(_));
                        let mut kinds = kinds.clone();
                        let bound = expr.bindings().into_iter();
                        kinds.extend(
                            bound.filter_map(|it| Some((it.variable.clone(), listed(it)?))),
                        );
                        for (path, _) in expr.names() {
                            if let Ok(known) = self.deep(path, &kinds, depth + 1) {
                                unknown |= known.unknown;
                                optional &= bare && known.optional;
                                let tightest = end.all().len() > 1 && known.unknown;
                                loose |= known.loose || tightest;
                            }
                        }
                        optional &= bare;
                        dimension = dimension.or_else(|| self.dimension(expr, &kinds, depth + 1));
                    }
                }
            }
        }
        Some(Known {
            dimension: dimension?,
            unknown,
            optional,
            loose,
        })
    }

    /// The dimension of an expression, as far as its names tell.
    fn dimension(&self, expr: &Expr, kinds: &Kinds, depth: usize) -> Option<Dimension> {
        let other = |side: &Expr| self.dimension(side, kinds, depth);
        match &expr.node {
            Node::Number(_) => Some(Dimension::Number),
            Node::Name(path) => self.deep(path, kinds, depth).ok().map(|it| it.dimension),
            Node::Negative(a) | Node::Divide(a, _) | Node::Sum(_, a) => other(a),
            Node::Add(a, b) | Node::Subtract(a, b) | Node::Multiply(a, b) => {
                let (a, b) = (other(a)?, other(b)?);
                Some(if a == Dimension::Number { b } else { a })
            }
        }
    }

    /// The things that the rows of a name with this head may speak of.
    pub fn inside(&self, head: &str) -> Kinds {
        let mut kinds = Kinds::new();
        let frame = self.style.leaf_name();
        if let Some(frame) = frame.filter(|_| self.is_of_leaf(head)) {
            kinds.push((frame.to_owned(), "leaf"));
        }
        if self.style.is_hole(head) {
            kinds.push((head.to_owned(), "hole"));
        }
        kinds
    }

    /// Whether names with this head are those of a leaf: of the leaf itself, of what lies on it or
    /// is pierced through it, or of a thing of their own that leans on a leaf.
    pub fn is_of_leaf(&self, head: &str) -> bool {
        if self.style.of_album_called(head).next().is_some() {
            return false;
        }
        self.is_on_leaf(head)
            || self.style.has_part(head)
            || self.style.is_hole(head)
            || self.leans_on_leaf(head)
    }

    fn is_on_leaf(&self, head: &str) -> bool {
        head == "bag"
            || head == "leaf"
            || self.style.leaf_name() == Some(head)
            || self.style.on_leaf_called(head).is_some()
    }

    fn leans_on_leaf(&self, head: &str) -> bool {
        self.leaning
            .get_or_init(|| self.all_leaning())
            .contains(head)
    }

    /// What reads something of a leaf, then what reads that, and so on.
    fn all_leaning(&self) -> BTreeSet<&'a str> {
        let mut leaning = BTreeSet::new();
        let mut next = Vec::new();
        let mut readers: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for rule in &self.style.names {
            let head = rule.name.head();
            for read in rule.reads_of(Expr::free).into_iter().map(Path::head) {
                match self.is_on_leaf(read) {
                    true => next.push(head),
                    false => readers.entry(read).or_default().push(head),
                }
            }
        }
        while let Some(head) = next.pop() {
            if leaning.insert(head) {
                next.extend(readers.get(head).into_iter().flatten());
            }
        }
        leaning
    }

    fn variable_kind(&self, unknown: &UnknownRule, variable: &str) -> Option<&'static str> {
        listed(unknown.bindings.iter().find(|b| b.variable == variable)?)
    }

    /// The kind of a part that every leaf has: of its bag, of what lies on it, or of a thing that is
    /// only named.
    pub fn part(&self, word: &str) -> Option<&'static str> {
        if word == "bag" {
            return Some("bag");
        }
        match self.style.on_leaf_called(word).map(|part| &part.kind) {
            Some(Kind::Paper { .. }) => Some("mat"),
            Some(Kind::Ply { .. }) => Some("ply"),
            Some(Kind::Slot(_)) => Some("slot"),
            Some(Kind::Frame(_)) => None,
            None if self.style.has_part(word) => Some("mat"),
            None => {
                let named = self.is_named(word);
                let other = vocabulary::SINGLE.contains(&word)
                    || word == "leaf"
                    || self.style.leaf_name() == Some(word)
                    || self.style.of_album_called(word).next().is_some()
                    || self.style.is_hole(word);
                (named && !other && self.is_of_leaf(word)).then_some("name")
            }
        }
    }

    /// The kind of a thing of the album itself: a part of its own, or one that is only named.
    pub fn of_album(&self, word: &str) -> Option<&'static str> {
        match self.style.of_album_called(word).next().map(|it| &it.kind) {
            // What has sizes of its own to be found is cut.
            Some(Kind::Frame(_)) if !self.style.papers_of_album().contains(&word) => {
                return Some("frame");
            }
            Some(Kind::Frame(_) | Kind::Paper { .. }) => return Some("mat"),
            Some(Kind::Ply { .. }) => return Some("ply"),
            Some(Kind::Slot(_)) => return Some("slot"),
            None => {}
        }
        (self.is_named(word) && !self.is_of_leaf(word)).then_some("name")
    }

    fn head(&self, word: &str) -> Head {
        if let Some(known) = self.heads.borrow().get(word) {
            return *known;
        }
        let known = Head {
            of_album: self.of_album(word),
            part: self.part(word),
        };
        self.heads.borrow_mut().insert(word.to_owned(), known);
        known
    }

    fn is_named(&self, word: &str) -> bool {
        let mut rules = self.style.names.iter();
        rules.any(|rule| rule.name.head() == word)
    }

    pub(super) fn owner<'p>(&self, path: &'p Path, kinds: &Kinds) -> Result<Owner<'p>, Lost> {
        let Some((head, rest)) = path.0.split_first() else {
            return Err(Lost::Nothing);
        };
        let owner = |kind, word, rest| Ok(Owner { kind, word, rest });
        if let Some(kind) = kind_of(kinds, head) {
            // `leaf.board.height`: a part of that leaf.
            if let ("leaf", [part, inner @ ..]) = (kind, rest)
                && !inner.is_empty()
                && let Some(kind) = self.head(part).part
            {
                return owner(kind, part.as_str(), inner);
            }
            return owner(kind, head.as_str(), rest);
        }
        if let Some(single) = vocabulary::SINGLE.iter().find(|s| *s == head) {
            return owner(single, head.as_str(), rest);
        }
        let word = self.head(head);
        if let Some(kind) = word.of_album {
            return owner(kind, head.as_str(), rest);
        }
        if let Some(kind) = word.part {
            return match leaves(kinds).as_slice() {
                [] => Err(Lost::Unbound("leaf")),
                [_] => owner(kind, head.as_str(), rest),
                several => {
                    let several = several.iter().map(ToString::to_string);
                    Err(Lost::Several(several.collect()))
                }
            };
        }
        let mut lists = vocabulary::LISTS.iter();
        match lists.find(|(_, _, kind)| kind == head) {
            Some((_, _, kind)) => Err(Lost::Unbound(kind)),
            None => Err(Lost::Nothing),
        }
    }

    /// What an unknown is declared to be a size of; the part of two leaves is a part of neither.
    pub fn declared(&self, unknown: &UnknownRule, kinds: &Kinds) -> Result<(), Lost> {
        self.owner(&unknown.name, kinds).map(|_| ())
    }

    /// A name with its leaf in front where there is only one that can be meant, so that two ways of
    /// writing it are one.
    pub fn full(&self, path: &Path, kinds: &Kinds) -> Vec<String> {
        let bare =
            !kinds.iter().any(|(v, _)| v == path.head()) && self.head(path.head()).part.is_some();
        let leaf = match &leaves(kinds)[..] {
            [leaf] if bare => Some((*leaf).to_owned()),
            _ => None,
        };
        leaf.into_iter().chain(path.0.iter().cloned()).collect()
    }
}

/// The kind of the things that a variable runs over.
pub(super) fn listed(binding: &Binding) -> Option<&'static str> {
    let mut lists = vocabulary::LISTS.iter();
    lists
        .find(|(_, list, _)| *list == binding.list.last())
        .map(|(_, _, kind)| *kind)
}

/// The variables that stand for leaves.
fn leaves(kinds: &Kinds) -> Vec<&str> {
    let leaves = kinds.iter().filter(|(_, kind)| *kind == "leaf");
    let leaves = leaves.map(|(variable, _)| variable.as_str());
    leaves.unique().collect()
}

/// The kind of thing that a variable stands for.
pub(super) fn kind_of(kinds: &Kinds, variable: &str) -> Option<&'static str> {
    let mut inner = kinds.iter().rev();
    Some(inner.find(|(name, _)| name == variable)?.1)
}
