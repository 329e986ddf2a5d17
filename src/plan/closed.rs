//! The closed album, as its style reckons it. Imports what reads a solution.

use super::frames::{FramePlan, Laying};
use crate::length::Length;
use crate::style::expr::Path;
use crate::style::parts::Edge;

/// The album closed, at most, with what stands out of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Closed {
    pub width: Length,
    pub height: Length,
    pub thickness: Length,
}

/// The largest over all kinds of leaf. `None` if the style does not say it, or where numbers are
/// beyond any album.
pub(super) fn closed(frames: &[(FramePlan, Laying<'_>)]) -> Option<Closed> {
    let leaves = frames.iter().filter(|(frame, _)| frame.leaf.is_some());
    let most = |side: &str, out: &[Edge]| {
        let path = Path(vec!["closed".to_owned(), side.to_owned()]);
        let of = |(frame, laying): &(FramePlan, Laying<'_>)| {
            let value = laying.name(&path)?.interval()?.most();
            let stands_out = frame.stands_out();
            let mut out = out.iter().map(|edge| stands_out[*edge as usize]);
            out.try_fold(value, Length::checked_add)
        };
        let all: Option<Vec<Length>> = leaves.clone().map(of).collect();
        all?.into_iter().max()
    };
    Some(Closed {
        width: most("width", &[Edge::Left, Edge::Right])?,
        height: most("height", &[Edge::Low, Edge::High])?,
        thickness: most("thickness", &[])?,
    })
}
