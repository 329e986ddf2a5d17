//! A program: whole numbers to be found between bounds, rows over them, groups of alternatives, and
//! the preferences in their order. Data only; imports nothing.
//!
//! What the numbers mean is not known here: an unknown is a count of ruler steps, a row is a rule
//! after its one rounding.

use std::ops::Range;

/// An unknown of a [`Program`], by its place in [`Program::unknowns`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct UnknownId(pub u32);

/// A row of a [`Program`], by its place in [`Program::rows`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RowId(pub u32);

/// A group of alternatives, by its place in [`Program::groups`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GroupId(pub u32);

/// One rule for one set of things, by its place in [`Program::instances`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct InstanceId(pub u32);

/// A whole number to be found, in ruler steps, between `least` and `most` (both included).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown {
    /// As the maker says it, with its leaf where there are several: `shore: photo_mat.width`.
    pub name: String,
    /// Smallest value (ticks).
    pub least: i64,
    /// Largest value (ticks).
    pub most: i64,
    /// `most` is no rule's doing: an answer that reaches it is limited by nothing.
    pub open: bool,
}

/// Alternatives of which exactly one is taken: the items of a supply table, or the branches of an
/// `either`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// What is chosen: `shore: photo_mat.photo.print`, or the rule's name.
    pub name: String,
    /// The alternatives' names, in the order in which they are preferred.
    pub alternatives: Vec<String>,
}

/// "This alternative of this group is taken."
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Guard {
    pub group: GroupId,
    /// Place in [`Group::alternatives`].
    pub alternative: u32,
}

/// `sum of coefficient * unknown <= most`, in force where every guard's alternative is taken.
///
/// Terms are sorted by unknown, without zeros and without repeats; coefficients have no common
/// divisor. A row may have no terms: it then holds (`0 <= most`) or conflicts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    pub terms: Vec<(UnknownId, i64)>,
    pub most: i64,
    /// Sorted by group, one alternative of a group at most.
    pub guards: Vec<Guard>,
}

/// What a rule asks of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Force {
    /// It holds in every plan.
    Must,
    /// It is kept where it can be; see [`Stage::Keep`].
    Wish,
}

/// One rule for one set of things: the unit that a conflict or an explanation names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instance {
    /// Place of the rule in its style.
    pub rule: usize,
    pub force: Force,
    /// Its rows in [`Program::rows`].
    pub rows: Range<usize>,
    /// The group that its `either` made, if it has one.
    pub group: Option<GroupId>,
}

/// One step of the ordered preferences. Each is settled before the next one is looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Keep a wish if it can be kept beside everything settled before it.
    Keep(InstanceId),
    /// Make `sum of coefficient * unknown` as large as possible (coefficients are negative where
    /// small is wanted).
    Best {
        name: String,
        objective: Vec<(UnknownId, i64)>,
    },
    /// Take the first alternative of a group that can be taken.
    Choose(GroupId),
}

/// An album as whole numbers.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Program {
    pub unknowns: Vec<Unknown>,
    pub groups: Vec<Group>,
    pub rows: Vec<Row>,
    pub instances: Vec<Instance>,
    pub stages: Vec<Stage>,
    /// The stages before this one tie the whole album together (template and ring); they come first.
    pub first_stages: usize,
}
