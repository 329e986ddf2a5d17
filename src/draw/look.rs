//! Papers told apart without colour: a ground and a pattern each, in the order in which an album names
//! them, the same in everything that is printed of it.

use super::list::{Area, Hatch, Ink, Line, Page};
use super::paper::{MM, SMALLEST, said};
use crate::length::Length;
use crate::plan::frames::{FramePlan, Laid, What};
use crate::plan::{Plan, papers};

/// A ground, and lines on it so far apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    ground: Ink,
    hatch: Option<Hatch>,
    apart: i64,
}

const fn look(ground: Ink, hatch: Option<Hatch>, apart: i64) -> Look {
    Look {
        ground,
        hatch,
        apart,
    }
}

/// Rising lines are for glue alone. After the last they begin anew; names always stand beside them.
const LOOKS: [Look; 8] = [
    look(Ink::White, Some(Hatch::Level), 1_300_000),
    look(Ink::Light, Some(Hatch::Upright), 2_000_000),
    look(Ink::White, None, MM),
    look(Ink::White, Some(Hatch::Crossed), 2_500_000),
    look(Ink::Mid, None, MM),
    look(Ink::White, Some(Hatch::Falling), 1_600_000),
    look(Ink::Light, Some(Hatch::Level), 2_600_000),
    look(Ink::White, Some(Hatch::Upright), 1_000_000),
];

/// What a frame is made of.
const BARE: Look = look(Ink::Bag, None, MM);
/// What no paper is named for.
const ANY: Look = look(Ink::White, None, MM);

/// The look of a part where it lies.
pub fn of(plan: &Plan, frame: &FramePlan, laid: &Laid) -> Look {
    let leaf = frame.leaf.and_then(|leaf| plan.leaves.get(leaf));
    let paper = match (laid.what, leaf) {
        (What::Ply(_) | What::Slot(_), _) => return BARE,
        (What::Paper(Some(n)), Some(leaf)) => leaf.parts.get(n).and_then(|it| it.paper.as_ref()),
        (What::Insert(n, _), Some(leaf)) => leaf.inserts.get(n).and_then(|it| it.paper.as_ref()),
        _ => {
            let part = plan.parts.iter().find(|part| part.label == laid.name);
            part.and_then(|part| part.paper.as_ref())
        }
    };
    let at = paper.and_then(|paper| plan.papers.iter().position(|it| it == paper));
    at.map_or(ANY, |at| LOOKS[at % LOOKS.len()])
}

impl Look {
    /// Paints an upright rectangle.
    pub fn paint(self, page: &mut Page, area: Area) {
        page.fill(area, self.ground);
        if let Some(hatch) = self.hatch {
            page.hatch(area, hatch, self.apart, Ink::Mid);
        }
    }

    /// The ground alone, for what is no rectangle.
    pub fn ground(self) -> Ink {
        self.ground
    }
}

/// Each paper's look with its name, and that of what the leaves are made of; nothing where no paper has
/// a look of its own.
pub fn legend(plan: &Plan, width: i64) -> Option<Page> {
    let made_of = plan.frames.iter().find_map(|frame| frame.from.as_deref());
    let bare = made_of.map(|from| (from.trim_end_matches('s'), BARE));
    let names = papers(&plan.leaves, &plan.parts);
    let all = plan.papers.iter().enumerate();
    let all = all.filter(|(_, name)| names.contains(name));
    let all = all.map(|(n, name)| (name.as_str(), LOOKS[n % LOOKS.len()]));
    if names.is_empty() {
        return None;
    }
    let mut page = Page::figure(
        "Papers",
        &format!("How each paper is drawn: {}.", names.join(", ")),
    );
    let (mut x, mut y) = (0, 0);
    let (wide, high) = (9 * MM, 4 * MM);
    for (name, look) in bare.into_iter().chain(all) {
        let name = super::paper::fitted(name, super::font::Face::Regular, SMALLEST, width / 2);
        let text = said(0, 0, &name, SMALLEST);
        let long = wide + 2 * MM + text.area().width() + 5 * MM;
        if x > 0 && x + long > width {
            (x, y) = (0, y + high + 2 * MM);
        }
        let area = Area::sized(x, y, wide, high);
        look.paint(&mut page, area);
        page.rect("", area, Line::Thin, None);
        page.text(said(x + wide + 2 * MM, y + high - MM, &name, SMALLEST));
        x += long;
    }
    page.width = Length::from_nm(width);
    page.height = Length::from_nm(y + high + MM);
    Some(page)
}
