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
    let most = |side: &str, out: [Edge; 2]| {
        let path = Path(vec!["closed".to_owned(), side.to_owned()]);
        let of = |(frame, laying): &(FramePlan, Laying<'_>)| {
            let value = laying.name(&path)?.interval()?.most();
            let stands_out = frame.stands_out();
            out.iter().try_fold(value, |sum, edge| {
                sum.checked_add(stands_out[*edge as usize])
            })
        };
        leaves
            .clone()
            .map(of)
            .collect::<Option<Vec<Length>>>()?
            .into_iter()
            .max()
    };
    let thickness = Path::of("closed.thickness");
    let thickness = leaves.clone().map(|(_, laying)| {
        let value = laying.name(&thickness)?.interval()?;
        Some(value.most())
    });
    Some(Closed {
        width: most("width", [Edge::Left, Edge::Right])?,
        height: most("height", [Edge::Low, Edge::High])?,
        thickness: thickness
            .collect::<Option<Vec<Length>>>()?
            .into_iter()
            .max()?,
    })
}
