//! Pull tabs: where they lie on what they pull, and the pieces of paper that they are cut as. May import
//! what `plan` may.

use super::{Area, FramePlan, Laid, What};
use crate::album::Grip;
use crate::length::{Interval, Length};
use crate::plan::SizePlan;
use crate::plan::leaf::{InsertPlan, TabPlan};
use crate::plan::view::View;
use crate::style::parts::Edge;

/// A pull tab where it lies (nanometres).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tab {
    /// What of it is hidden, if the end of its thing is.
    pub hidden: Option<Area>,
    pub seen: Area,
    pub wide: i64,
    /// What of it is longer than its thing.
    pub beyond: i64,
}

impl FramePlan {
    /// A pull tab at the end of a thing where its slot opens; at its head if it is glued on.
    pub fn tab(&self, laid: &Laid) -> Option<Tab> {
        let (wide, up) = self.grips.tab?;
        let slot = laid.slot.and_then(|slot| self.parts.get(slot));
        let edge = match slot.map(|slot| slot.what) {
            Some(What::Slot(Some(edge))) => edge,
            _ => Edge::High,
        };
        let end = laid.area.way(edge);
        let middle = match edge {
            Edge::Low | Edge::High => laid.area.left.midpoint(laid.area.right),
            Edge::Left | Edge::Right => laid.area.low.midpoint(laid.area.high),
        };
        let before = laid.behind.iter().filter(|it| {
            let across = match edge {
                Edge::Low | Edge::High => it.left..=it.right,
                Edge::Left | Edge::Right => it.low..=it.high,
            };
            across.contains(&middle) && it.way_back(edge) < end && end < it.way(edge)
        });
        let covered = before.map(|it| it.way(edge)).max();
        let part = |from: i64, to: i64| {
            let across = (middle - wide / 2, middle + wide / 2);
            let ((left, right), (low, high)) = match edge {
                Edge::High => (across, (from, to)),
                Edge::Low => (across, (-to, -from)),
                Edge::Right => ((from, to), across),
                Edge::Left => ((-to, -from), across),
            };
            Area {
                left,
                right,
                low,
                high,
            }
        };
        let from = covered.unwrap_or(end);
        Some(Tab {
            hidden: covered.map(|covered| part(end, covered)),
            seen: part(from, from + up),
            wide: wide / 2 * 2,
            beyond: from + up - end,
        })
    }
}

impl Area {
    /// How far it reaches to an edge, counted that way.
    fn way(self, edge: Edge) -> i64 {
        match edge {
            Edge::Left => -self.left,
            Edge::Right => self.right,
            Edge::Low => -self.low,
            Edge::High => self.high,
        }
    }

    /// Where it begins, counted the same way.
    fn way_back(self, edge: Edge) -> i64 {
        match edge {
            Edge::Left => -self.right,
            Edge::Right => self.left,
            Edge::Low => -self.high,
            Edge::High => self.low,
        }
    }
}

/// The piece of paper that is glued on as a tab, in whole ruler steps, never shorter than it has to be.
pub(super) fn cut(
    view: View<'_>,
    frame: &FramePlan,
    laid: &Laid,
    insert: &InsertPlan,
) -> Option<TabPlan> {
    let tab = frame.tab(laid).filter(|_| insert.grip == Grip::Tab)?;
    let long = tab.beyond + frame.grips.glued?;
    let step = view.parts.album.ruler.step().nm();
    let side = |side: &str, nm: i64| SizePlan {
        name: format!("{}.tab.{side}", insert.name),
        leaf: insert.width.leaf.clone(),
        value: Interval::exact(Length::from_nm((nm + step - 1) / step * step)),
        held_by: Vec::new(),
    };
    Some(TabPlan {
        width: side("width", tab.wide),
        height: side("height", long),
    })
}
