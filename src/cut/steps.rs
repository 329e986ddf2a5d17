//! The steps at the trimmer: each with the fence's setting, what is cut, what comes off and what is
//! left lying.

use super::batch::{PaperPlan, Turn};
use super::follow;
use super::job::{Counted, Edges};
use super::order::{self, Left, State};
use super::tree::{self, Group, Node};
use super::watch::Watch;
use crate::length::Length;
use crate::nest::{Cutting, Divides, What};

/// What a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Is {
    /// The sheet, or what is left of it.
    Sheet,
    /// A part that is cut again, by its number: 0 is the first that comes off.
    Strip(usize),
    /// A piece of the job's list.
    Piece { piece: usize, turned: bool },
    /// Left over.
    Offcut,
}

/// A part as it lies, its print upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lies {
    pub is: Is,
    pub width: Length,
    pub height: Length,
}

/// What one setting does to parts that are alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cut {
    /// What lies on the trimmer.
    pub from: Lies,
    /// Something was cut off it before.
    pub again: bool,
    /// How many such parts there are on one sheet; each is cut like this.
    pub alike: u64,
    /// Which measure of it becomes smaller.
    pub divides: Divides,
    /// Cuts on each.
    pub cuts: u64,
    /// What comes off each, with how many of it.
    pub off: Vec<(u64, Lies)>,
    /// What is left of each; nothing where the blade takes it.
    pub left: Option<Lies>,
}

/// Everything that is cut with one setting of the fence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    pub setting: Length,
    pub cuts: Vec<Cut>,
}

/// One way of cutting a sheet, in the trimmer's order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetPlan {
    /// Place in the paper's sheets.
    pub stock: usize,
    /// Sheets cut this way, all of them together: each step is done with all before the next.
    pub times: u64,
    /// The number of the first of them; sheets and offcuts of all papers are counted through from 1.
    pub number: u64,
    /// Cut off first.
    pub edges: Edges,
    /// What then lies on the trimmer.
    pub width: Length,
    pub height: Length,
    /// The fence stands at the first setting, from the sheet before.
    pub stays: bool,
    pub steps: Vec<Step>,
    pub(super) groups: Vec<Group>,
    /// For each group its items in the order in which they come off, then what is left; with the
    /// number of the step that cuts it off, counted from 0.
    pub(super) laid: Vec<Vec<Laid>>,
    /// What each group is called, once it has come off.
    pub(super) called: Vec<Option<Is>>,
    /// What the whole sheet is, where it is not cut.
    pub(super) uncut: Option<Node>,
}

impl SheetPlan {
    /// Something is cut off its edges first.
    pub fn trimmed(&self) -> bool {
        self.edges != Edges::default()
    }
}

/// Parts of a group that come off together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Laid {
    pub node: Node,
    pub along: u64,
    pub count: u64,
    /// The step that cuts it off; nothing for what is left in the end.
    pub step: Option<usize>,
}

/// Settles in which order the sheets of these papers are cut, one paper after the other.
pub(super) fn take_turns(papers: &mut [&mut PaperPlan], watch: Watch<'_>) {
    let all = papers.iter().map(|plan| plan.cuttings.len()).sum();
    let uncut = papers.iter().map(|plan| {
        let each = plan.cuttings.iter();
        each.map(|cutting| Uncut::new(plan, cutting, all, watch))
            .collect()
    });
    let uncut: Vec<Vec<Uncut>> = uncut.collect();
    let asked = uncut
        .iter()
        .zip(papers.iter())
        .map(|(sheets, plan)| sheets.iter().map(|s| s.ends(plan)).collect());
    let asked: Vec<Vec<follow::Sheet>> = asked.collect();
    let follow = follow::follow(&asked, watch);
    for ((plan, uncut), follow) in papers.iter_mut().zip(uncut).zip(follow) {
        let turn = |next: follow::Next| Turn {
            cutting: next.sheet,
            settings: uncut[next.sheet].orders[next.order].clone(),
            stays: next.stays,
        };
        plan.turns = follow.into_iter().map(turn).collect();
    }
}

/// All sheets of a plan, paper by paper, those that are cut alike once, in the order in which they are
/// cut.
pub fn sheets<'p>(
    papers: impl IntoIterator<Item = &'p PaperPlan>,
) -> Vec<(&'p PaperPlan, Vec<SheetPlan>)> {
    let mut number = 1;
    let mut next = |plan: &PaperPlan, turn: &Turn| {
        let sheet = cut(plan, turn, number);
        number += sheet.times;
        sheet
    };
    let each = papers.into_iter().map(|plan| {
        let each = plan.turns.iter().map(|turn| next(plan, turn));
        (plan, each.collect())
    });
    each.collect()
}

/// How often the fence is set for all these sheets.
pub fn settings(sheets: &[(&PaperPlan, Vec<SheetPlan>)]) -> usize {
    let all = sheets.iter().flat_map(|(_, sheets)| sheets);
    all.map(|sheet| sheet.steps.len() - usize::from(sheet.stays))
        .sum()
}

/// The orders in which a sheet can be cut.
struct Uncut {
    trimmed: bool,
    orders: Vec<Vec<u64>>,
}

impl Uncut {
    fn new(plan: &PaperPlan, cutting: &Cutting, sheets: usize, watch: Watch<'_>) -> Uncut {
        let groups = tree::groups(&cutting.sheet, plan.counted.job.gap);
        Uncut {
            trimmed: edges(plan, cutting) != Edges::default(),
            orders: order::orders(&groups, sheets, watch),
        }
    }

    fn ends(&self, plan: &PaperPlan) -> follow::Sheet {
        let length = |setting: &u64| plan.counted.length(*setting);
        let each = self.orders.iter().filter_map(|order| {
            Some(follow::Ends {
                first: length(order.first()?),
                last: length(order.last()?),
                settings: order.len(),
            })
        });
        follow::Sheet {
            trimmed: self.trimmed,
            orders: each.collect(),
        }
    }
}

fn edges(plan: &PaperPlan, cutting: &Cutting) -> Edges {
    let edges = plan.counted.edges.get(cutting.stock);
    edges.copied().unwrap_or_default()
}

fn cut(plan: &PaperPlan, turn: &Turn, number: u64) -> SheetPlan {
    let (counted, cutting) = (&plan.counted, &plan.cuttings[turn.cutting]);
    let groups = tree::groups(&cutting.sheet, counted.job.gap);
    let whole = match &cutting.sheet.what {
        What::Piece { piece, turned } => Node::Piece {
            piece: *piece,
            turned: *turned,
        },
        _ => Node::Offcut,
    };
    let mut walk = Walk::new(counted, &groups);
    let steps = walk.steps(&turn.settings);
    SheetPlan {
        stock: cutting.stock,
        times: cutting.times,
        number,
        edges: edges(plan, cutting),
        width: counted.length(cutting.sheet.width),
        height: counted.length(cutting.sheet.height),
        stays: turn.stays,
        steps,
        laid: walk.laid,
        called: walk.called,
        uncut: groups.is_empty().then_some(whole),
        groups,
    }
}

/// How far the parts of a sheet are cut.
struct Walk<'a> {
    counted: &'a Counted,
    groups: &'a [Group],
    state: State,
    /// What is left of each group (steps along its cuts).
    left: Vec<u64>,
    /// What each group is called, once it has come off.
    called: Vec<Option<Is>>,
    strips: usize,
    laid: Vec<Vec<Laid>>,
}

impl<'a> Walk<'a> {
    fn new(counted: &'a Counted, groups: &'a [Group]) -> Walk<'a> {
        let mut called = vec![None; groups.len()];
        if let Some(first) = called.first_mut() {
            *first = Some(Is::Sheet);
        }
        Walk {
            counted,
            groups,
            state: State::new(groups),
            left: groups.iter().map(Group::along).collect(),
            called,
            strips: 0,
            laid: vec![Vec::new(); groups.len()],
        }
    }

    fn steps(&mut self, order: &[u64]) -> Vec<Step> {
        let mut steps = Vec::new();
        for setting in order {
            let batches = self.state.cut(self.groups, *setting);
            let number = steps.len();
            let cuts = batches.iter().map(|batch| self.cut(batch, number));
            let cuts = cuts.collect();
            let setting = self.counted.length(*setting);
            steps.push(Step { setting, cuts });
        }
        steps
    }

    fn cut(&mut self, batch: &order::Batch, step: usize) -> Cut {
        let group = &self.groups[batch.group];
        let gap = self.counted.job.gap;
        let is = self.called[batch.group].unwrap_or(Is::Sheet);
        let before = self.left[batch.group];
        let from = self.lies(group, before, is);
        let mut off = Vec::new();
        let mut cuts = 0;
        for (item, count) in &batch.off {
            let item = &group.items[*item];
            off.push((*count, self.part(group, item.along, item.node)));
            self.laid[batch.group].push(Laid {
                node: item.node,
                along: item.along,
                count: *count,
                step: Some(step),
            });
            cuts += count;
            let taken = (item.along + gap).saturating_mul(*count);
            self.left[batch.group] = self.left[batch.group].saturating_sub(taken);
        }
        let end = match batch.left {
            Left::More | Left::Nothing => None,
            Left::Item(item) => Some((group.items[item].along, group.items[item].node)),
            Left::Rest => group.rest.map(|along| (along, Node::Offcut)),
        };
        let left = match (batch.left, end) {
            (Left::More, _) => Some(self.lies(group, self.left[batch.group], is)),
            (_, Some((along, node))) => {
                self.laid[batch.group].push(Laid {
                    node,
                    along,
                    count: 1,
                    step: None,
                });
                Some(self.part(group, along, node))
            }
            (_, None) => None,
        };
        Cut {
            from,
            again: before != group.along(),
            alike: group.alike,
            divides: group.divides,
            cuts,
            off,
            left,
        }
    }

    /// A part of a group, so long in the direction of its cuts.
    fn lies(&self, group: &Group, along: u64, is: Is) -> Lies {
        let (width, height) = match group.divides {
            Divides::Width => (along, group.height),
            Divides::Height => (group.width, along),
        };
        Lies {
            is,
            width: self.counted.length(width),
            height: self.counted.length(height),
        }
    }

    /// What comes off a group, with its name.
    fn part(&mut self, group: &Group, along: u64, node: Node) -> Lies {
        let is = match node {
            Node::Piece { piece, turned } => Is::Piece { piece, turned },
            Node::Offcut => Is::Offcut,
            Node::Again(inner) => *self.called[inner].get_or_insert_with(|| {
                self.strips += 1;
                Is::Strip(self.strips - 1)
            }),
        };
        self.lies(group, along, is)
    }
}
