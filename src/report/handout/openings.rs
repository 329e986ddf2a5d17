//! The map of the album: what faces what at each opening.

use super::said::{lengths, plain};
use super::{Block, Section, Table, tidy};
use crate::plan::Where;
use crate::plan::{LeafPlan, Plan};
use crate::report::words::capital;

/// One side of a kind of leaf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Side {
    /// Place in [`Plan::leaves`].
    pub leaf: usize,
    /// The side with the pocket, not the back.
    pub pocket: bool,
}

/// One opening, or several that are alike: what is seen at the left and at the right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Opening {
    /// The first and the last of these openings, counted from 1; both 0 for the album closed.
    pub from: i64,
    pub to: i64,
    pub left: Option<Side>,
    pub right: Option<Side>,
}

/// From the front cover to the back of the album, leaf by leaf in the order of the plan. A leaf is
/// seen pocket side first; a turned one back first.
pub fn openings(plan: &Plan) -> Vec<Opening> {
    let side = |leaf: usize, first: bool| Side {
        leaf,
        pocket: first != plan.leaves[leaf].turned,
    };
    let mut all = Vec::new();
    let mut at = 0_i64;
    let mut before: Option<Side> = None;
    for (n, leaf) in plan.leaves.iter().enumerate() {
        if leaf.count < 1 {
            continue;
        }
        all.push(Opening {
            from: at,
            to: at,
            left: before,
            right: Some(side(n, true)),
        });
        at += 1;
        if leaf.count > 1 {
            all.push(Opening {
                from: at,
                to: at + leaf.count - 2,
                left: Some(side(n, false)),
                right: Some(side(n, true)),
            });
            at += leaf.count - 1;
        }
        before = Some(side(n, false));
    }
    all.push(Opening {
        from: at,
        to: at,
        left: before,
        right: None,
    });
    all
}

/// The name of one opening, or of several.
pub fn named(opening: &Opening) -> String {
    match (opening.left, opening.right) {
        (None, _) => "Front cover".to_owned(),
        (_, None) => "Back of the album".to_owned(),
        _ if opening.from == opening.to => format!("Opening {}", opening.from),
        _ => format!("Openings {} to {}", opening.from, opening.to),
    }
}

/// What is seen on a side of a leaf, and what is tucked in there.
pub fn seen(leaf: &LeafPlan, pocket: bool) -> String {
    let mut said = vec![format!(
        "{}, {}",
        capital(&leaf.name),
        if pocket { "pocket side" } else { "back" }
    )];
    let labels: &[&str] = match pocket {
        true => &["front_mat", "pocket_mat", "band"],
        false => &["back_mat"],
    };
    let known = ["front_mat", "pocket_mat", "band", "back_mat"];
    let mats: Vec<String> = leaf
        .parts
        .iter()
        .filter(|p| {
            labels.contains(&p.label.as_str()) || (pocket && !known.contains(&p.label.as_str()))
        })
        .map(|p| match &p.paper {
            Some(paper) => format!("{} of {paper}", plain(&p.label)),
            None => plain(&p.label),
        })
        .collect();
    said.push(match mats.is_empty() {
        true => "bare bag".to_owned(),
        false => lengths(&mats),
    });
    for insert in &leaf.inserts {
        if (insert.goes == Where::Back) == pocket {
            continue;
        }
        let several = match insert.count {
            0 | 1 => String::new(),
            n => format!(" (x{n})"),
        };
        said.push(format!(
            "{}: {}{several}",
            super::said::place(insert),
            plain(&insert.name)
        ));
    }
    format!("{}.", said.join("; "))
}

/// The map's title, and the words above it.
pub const TITLE: &str = "The album, page by page";
pub const INTRODUCTION: &str = "What faces what as you turn the leaves, rings in the middle. What is tucked into the mouth is reached from above.";

/// The map as a text.
pub fn section(plan: &Plan) -> Section {
    let told =
        |side: Option<Side>| side.map_or(String::new(), |s| seen(&plan.leaves[s.leaf], s.pocket));
    let rows = openings(plan)
        .iter()
        .map(|o| vec![named(o), told(o.left), told(o.right)])
        .collect();
    let head = ["", "At the left", "At the right"];
    tidy(Section {
        title: TITLE.to_owned(),
        blocks: vec![
            Block::Text(INTRODUCTION.to_owned()),
            Block::Table(Table {
                head: head.map(str::to_owned).to_vec(),
                rows,
                ..Table::default()
            }),
        ],
    })
}
